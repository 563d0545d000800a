"""The browser, and phones that fail a test when a script fails or a request leaves the machine."""

import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

from tests.browser.garage import (
    DEMO_NAME,
    NAME,
    Garage,
    OpenPhone,
    be_patient,
    begin,
    garage_in,
    make_build,
    watch,
)
from tests.programs import find_browser
from tests.running import HERE

RESOLVES = ", ".join(
    [*(f"MAP {name}.local {HERE}" for name in (NAME, DEMO_NAME)), "MAP * ~NOTFOUND", f"EXCLUDE {HERE}"]
)
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-default-apps",
    "--disable-sync",
    "--metrics-recording-only",
    "--no-first-run",
    "--disable-features=Translate,OptimizationHints,MediaRouter",
    f"--host-resolver-rules={RESOLVES}",
]
PHONE: dict[str, Any] = {
    "viewport": {"width": 390, "height": 844},
    "device_scale_factor": 2,
    "has_touch": True,
    "is_mobile": True,
    "reduced_motion": "reduce",
}


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    program = find_browser()
    assert program, "python -m tests finds or installs a browser"
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=program, headless=True, args=ARGUMENTS)
        yield opened
        opened.close()


@pytest.fixture
def open_phone(browser: Browser) -> Iterator[OpenPhone]:
    """Open a phone of its own: nothing is shared with another but what `storage_state` names."""
    wrong: list[str] = []
    opened = []

    def open_one(**options: Any) -> Page:
        context = browser.new_context(**(PHONE | options))
        be_patient(context)
        opened.append(context)
        watch(context, wrong)
        return context.new_page()

    yield open_one
    for context in opened:
        context.close()
    assert wrong == []


@pytest.fixture(scope="module")
def garage(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Garage]:
    folder = tmp_path_factory.mktemp("garage")
    with garage_in(folder) as served:
        yield served
    shutil.rmtree(folder)


@pytest.fixture(scope="module")
def owner_state(browser: Browser, garage: Garage) -> Any:
    """The owner's cookies, after a build was made."""
    with browser.new_context(**PHONE) as context:
        be_patient(context)
        page = context.new_page()
        begin(page, garage, name="Mara")
        make_build(page, title="Blue van, other engine")
        return context.storage_state()


@pytest.fixture
def owner(open_phone: OpenPhone, owner_state: Any) -> Page:
    return open_phone(storage_state=owner_state)


@pytest.fixture(scope="module")
def demo() -> Iterator[Garage]:
    with garage_in(Path(), name=DEMO_NAME) as served:
        yield served


@pytest.fixture(scope="module")
def demo_state(browser: Browser, demo: Garage) -> Any:
    with browser.new_context(**PHONE) as context:
        be_patient(context)
        begin(context.new_page(), demo, name="Wren")
        return context.storage_state()
