"""The page in a real browser: skipped, with a reason, where there is none."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from scheduler.report.page import write_page
from tests.drawn_plans import drawn_plan

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

    from scheduler.plan import Plan

HERE = Path(__file__).parent
CHROMIUM = shutil.which("chromium")
NOW_MINUTE = 700
PATIENCE_MS = 15_000


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Skip where the browser or what drives it is missing."""
    missing = []
    if find_spec("playwright") is None:
        missing.append("playwright (pip install -e '.[browser]')")
    if CHROMIUM is None:
        missing.append("chromium (apt-get install chromium)")
    if not missing:
        return
    mark = pytest.mark.skip(reason=f"needs {' and '.join(missing)}")
    for item in items:
        if HERE in item.path.parents:
            item.add_marker(mark)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The system's own browser, one for all tests of a worker."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as driver:
        started = driver.chromium.launch(
            executable_path=CHROMIUM, args=["--no-sandbox"]
        )
        yield started
        started.close()


@pytest.fixture
def page(browser: Browser) -> Iterator[Page]:
    """An empty page of its own."""
    context = browser.new_context(viewport={"width": 1280, "height": 900})
    context.set_default_timeout(PATIENCE_MS)
    yield context.new_page()
    context.close()


@pytest.fixture(scope="session")
def axe() -> str:
    """Text of the accessibility checker; skipped where it is not installed."""
    path = Path(os.environ.get("AXE_CORE", "node_modules/axe-core")) / "axe.min.js"
    if not path.exists():
        pytest.skip("needs axe-core (npm install axe-core, its folder in AXE_CORE)")
    return path.read_text(encoding="utf-8")


@pytest.fixture
def show(page: Page, tmp_path: Path) -> Callable[..., Page]:
    """Draw a plan and open its file; console errors and requests end up in lists."""

    def opened(plan: Plan | None = None, fragment: str = "") -> Page:
        path = tmp_path / "report.html"
        write_page(drawn_plan(24, NOW_MINUTE) if plan is None else plan, path)
        page.goto(f"{path.as_uri()}{fragment}")
        return page

    return opened


@pytest.fixture
def heard(page: Page) -> list[str]:
    """Everything that a page should not do: requests, errors, warnings."""
    found: list[str] = []
    page.on("console", lambda message: found.append(f"console: {message.text}"))
    page.on("pageerror", lambda error: found.append(f"error: {error}"))
    page.on("request", lambda request: found.append(f"request: {request.url}"))
    return found
