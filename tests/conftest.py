"""Where the plugin with the option `--checks` is not installed, its option is added here."""

import pytest

from tests.option import checks_option


def pytest_addoption(parser: pytest.Parser, pluginmanager: pytest.PytestPluginManager) -> None:
    if not pluginmanager.hasplugin("putback_checks"):
        checks_option.pytest_addoption(parser)
