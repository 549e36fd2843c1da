"""Chromium over the live pages: on a phone and a laptop, light and dark, by role and label."""

import os
import shutil
import threading
from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.core.signals import request_finished, request_started
from playwright.sync_api import Browser, ConsoleMessage, Page, expect, sync_playwright
from pytest_django import Settings
from pytest_django.live_server_helper import LiveServer

from marshlight.notebook.models import Person, Run, Site
from worlds import make_drum

# Playwright keeps an event loop in this thread, which Django takes for asynchronous code.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"
ARGUMENTS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
SCREENS = {"phone": (360, 800), "laptop": (1280, 720)}
# How long to look for what a test expects: a busy machine is slow, and no test here is a race.
PATIENCE_S = 30.0
expect.set_options(timeout=PATIENCE_S * 1000)


@dataclass(frozen=True)
class Screen:
    """What a page is looked at on."""

    name: str
    look: str

    @property
    def size(self) -> tuple[int, int]:
        """Give width and height [px]."""
        return SCREENS[self.name]


class InHand:
    """The requests that the live server has begun and not finished."""

    def __init__(self) -> None:
        self._count = 0
        self._changed = threading.Condition()
        request_started.connect(self._begin)
        request_finished.connect(self._finish)

    def _begin(self, **_: object) -> None:
        with self._changed:
            self._count += 1

    def _finish(self, **_: object) -> None:
        with self._changed:
            self._count -= 1
            self._changed.notify_all()

    def wait(self) -> None:
        """Wait until none is left, so that none writes into the tables of the next test."""
        with self._changed:
            assert self._changed.wait_for(lambda: self._count <= 0, PATIENCE_S), "a page hangs"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark every test of this room; they run by themselves, one browser at a time."""
    for item in items:
        if "/browser/" in str(item.path):
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """Start the system's Chromium once."""
    path = shutil.which("chromium") or shutil.which("chromium-browser")
    assert path, "Chromium is missing: apt-get install chromium libatomic1"
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=path, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def in_hand() -> InHand:
    """Count the requests of all browser tests."""
    return InHand()


@pytest.fixture(
    params=[Screen(name, look) for name in SCREENS for look in ("light", "dark")],
    ids=lambda screen: f"{screen.name}-{screen.look}",
)
def screen(request: pytest.FixtureRequest) -> Screen:
    """Give each of the four ways a page is looked at."""
    return request.param


@dataclass(frozen=True)
class Desk:
    """Where pages are opened: the browser, the server, and what the server has in hand."""

    browser: Browser
    base: str
    in_hand: InHand

    def open(self, screen: Screen, *, scripts: bool = True) -> Iterator[Page]:
        """Open a page; any error in the browser's console fails the test."""
        width, height = screen.size
        context = self.browser.new_context(
            viewport={"width": width, "height": height},
            color_scheme=screen.look,
            base_url=self.base,
            java_script_enabled=scripts,
            has_touch=screen.name == "phone",
            locale="en-GB",
        )
        page = context.new_page()
        troubles: list[str] = []
        page.on("console", lambda m: troubles.append(m.text) if _is_fault(m) else None)
        page.on("pageerror", lambda error: troubles.append(str(error)))
        yield page
        # Closing cuts short what is still under way, and the page complains of that.
        found = list(troubles)
        context.close()
        self.in_hand.wait()
        assert found == []


# What a page says when its reader goes on before an answer is there; a failed answer says more.
_CUT_SHORT = ("htmx:sendAbort", "htmx:afterRequest")


def _is_fault(message: ConsoleMessage) -> bool:
    """Leave out what a page answers on purpose: a refused form (422), an unknown address (404)."""
    meant = any(f"status of {code}" in message.text for code in (404, 422))
    return message.type == "error" and not meant and not message.text.startswith(_CUT_SHORT)


@pytest.fixture
def desk(chromium: Browser, live_server: LiveServer, settings: Settings, in_hand: InHand) -> Desk:
    """Give the place where pages are opened."""
    settings.MARSHLIGHT_LOOPBACK = True
    return Desk(chromium, live_server.url, in_hand)


@pytest.fixture
def page(desk: Desk, screen: Screen) -> Iterator[Page]:
    """Open a page on each screen."""
    yield from desk.open(screen)


@pytest.fixture
def phone(desk: Desk) -> Iterator[Page]:
    """Open a page on a light phone only, for tests where the screen makes no difference."""
    yield from desk.open(Screen("phone", "light"))


@pytest.fixture
def without_scripts(desk: Desk) -> Iterator[Page]:
    """Open a page on a phone whose browser runs no scripts."""
    yield from desk.open(Screen("phone", "light"), scripts=False)


@pytest.fixture
def drum(transactional_db: None) -> Run:
    """Give a run to look at."""
    keeper = Person(name="keeper", role=Person.Role.LEAD)
    keeper.save()
    place = Site(name="Test yard", altitude_m=200.0, room_temperature_c=18.0)
    place.save(by=keeper)
    return make_drum(place, keeper)


def _settle(page: Page) -> None:
    """Wait for a link just followed: the document is there before its first element."""
    page.wait_for_load_state("load")


def check_page(page: Page) -> None:
    """Check what holds for every page: nothing spills sideways, nothing bars a screen reader."""
    width = page.viewport_size["width"] if page.viewport_size else 0
    _settle(page)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    expect(page.get_by_role("main")).to_have_count(1)
    expect(page.get_by_role("heading", level=1)).to_have_count(1)
    found = Axe().run(page)
    problems = [
        f"{v['id']}: {v['help']} at {[n['target'] for n in v['nodes']][:3]}"
        for v in found.response["violations"]
    ]
    assert problems == []


def small_targets(page: Page) -> list[str]:
    """List the buttons and boxed links that are lower than a wet glove needs (48 px)."""
    _settle(page)
    return page.evaluate(
        """() => [...document.querySelectorAll('button, .button, select, input:not([type=hidden])')]
          .filter(e => e.offsetParent && !['checkbox', 'radio'].includes(e.type))
          .filter(e => e.getBoundingClientRect().height < 47.5)
          .map(e => e.outerHTML.slice(0, 80))"""
    )


@pytest.fixture
def checked() -> object:
    """Give the check that every page must pass."""
    return check_page


@pytest.fixture
def targets() -> object:
    """Give the look-out for small targets."""
    return small_targets
