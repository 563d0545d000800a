"""The option `--checks` where its plugin is missing, and the profile of all property tests."""

import pytest
from hypothesis import HealthCheck, settings

from tests.option import checks_option

# A machine that is busy is no fault of the example. Examples are drawn by chance in every run: a failure
# prints what draws its example again, and the folder `.hypothesis` keeps it for the next run.
settings.register_profile(
    "putback", deadline=None, print_blob=True, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("putback")


def pytest_addoption(parser: pytest.Parser, pluginmanager: pytest.PytestPluginManager) -> None:
    if not pluginmanager.hasplugin("putback_checks"):
        checks_option.pytest_addoption(parser)
