"""Task: see at a glance which run needs me, and get to it."""

from collections.abc import Callable

from playwright.sync_api import Page, expect

from marshlight.notebook.models import Run


def test_the_overview_shows_each_run_and_its_log_button(
    page: Page, drum: Run, checked: Callable[[Page], None], targets: Callable[[Page], list[str]]
) -> None:
    page.goto("/")
    expect(page.get_by_role("link", name="Drum 1", exact=True)).to_be_visible()
    expect(page.get_by_role("img", name="Drum 1 in section")).to_be_visible()
    expect(page.get_by_role("link", name="Log for Drum 1")).to_be_visible()
    expect(page.get_by_text("L a day").first).to_be_visible()
    assert targets(page) == []
    checked(page)


def test_the_keyboard_reaches_the_content_first(phone: Page, drum: Run) -> None:
    phone.goto("/")
    phone.keyboard.press("Tab")
    skip = phone.get_by_role("link", name="Skip to the content")
    expect(skip).to_be_focused()
    phone.keyboard.press("Enter")
    phone.keyboard.press("Tab")
    expect(phone.get_by_role("link", name="Drum 1", exact=True)).to_be_focused()


def test_light_and_dark_can_be_chosen_against_the_device(phone: Page, drum: Run) -> None:
    phone.goto("/")
    ground = "getComputedStyle(document.body).backgroundColor"
    light = phone.evaluate(ground)
    phone.get_by_role("button", name="Dark colours").click()
    expect(phone.get_by_role("button", name="Light colours")).to_be_visible()
    assert phone.evaluate(ground) != light
    phone.reload()
    assert phone.evaluate(ground) != light


def test_units_are_switched_from_any_page(phone: Page, drum: Run) -> None:
    phone.goto("/")
    phone.get_by_role("button", name="Show US units").click()
    expect(phone.get_by_text("a day").first).to_contain_text("gal")


def test_the_plain_pages_are_sound(page: Page, drum: Run, checked: Callable[[Page], None]) -> None:
    for address in ("/feedstocks/", "/feedstocks/bread_stale/", "/cautions/", "/nowhere/"):
        page.goto(address)
        checked(page) if address != "/nowhere/" else expect(
            page.get_by_role("heading", name="No such page")
        ).to_be_visible()
