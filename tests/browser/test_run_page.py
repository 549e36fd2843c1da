"""Task: see how one run is doing, what it will do, and what lies behind it."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from marshlight.notebook.models import Run


def test_the_run_page_draws_and_says_how_it_is(
    page: Page, drum: Run, checked: Callable[[Page], None], targets: Callable[[Page], list[str]]
) -> None:
    page.goto(f"/runs/{drum.pk}/")
    expect(page.get_by_role("img", name="Drum 1 in section")).to_be_visible()
    chart = page.get_by_role("figure", name="Gas")
    expect(chart.locator("canvas")).to_be_visible()
    expect(chart.get_by_role("img", name="of gas so far")).to_be_visible()
    expect(page.get_by_role("heading", name="What to do")).to_be_visible()
    expect(page.get_by_role("figure", name="Temperature").locator("canvas")).to_be_visible()
    assert targets(page) == []
    checked(page)


def test_total_and_daily_gas_are_one_switch_apart(phone: Page, drum: Run) -> None:
    phone.goto(f"/runs/{drum.pk}/")
    chart = phone.get_by_role("figure", name="Gas")
    daily = chart.get_by_role("button", name="Per day")
    expect(daily).to_have_attribute("aria-pressed", "false")
    daily.click()
    expect(daily).to_have_attribute("aria-pressed", "true")
    expect(chart.get_by_text("at the last look")).to_be_visible()
    expect(chart.get_by_text("Per day as a table")).to_be_visible()
    expect(chart.get_by_text("Total as a table")).to_be_hidden()


def test_the_figures_can_be_read_as_a_table(phone: Page, drum: Run) -> None:
    phone.goto(f"/runs/{drum.pk}/")
    chart = phone.get_by_role("figure", name="Gas")
    chart.get_by_text("Total as a table").click()
    table = chart.get_by_role("table", name="Gas so far")
    expect(table.get_by_role("row")).to_have_count(9)


def _until(page: Page, seen: Callable[[], bool]) -> None:
    """Look again and again, for a canvas says nothing of when it is drawn."""
    for _ in range(100):
        if seen():
            return
        page.wait_for_timeout(100)
    pytest.fail("the chart was not drawn anew")


def test_all_charts_zoom_together(phone: Page, drum: Run) -> None:
    phone.goto(f"/runs/{drum.pk}/")
    shot = phone.get_by_role("figure", name="Temperature").locator("canvas")
    before = shot.screenshot()
    phone.get_by_role("figure", name="Gas").get_by_role("button", name="Closer").click()
    _until(phone, lambda: shot.screenshot() != before)
    phone.get_by_role("figure", name="Gas").get_by_role("button", name="All").click()
    _until(phone, lambda: shot.screenshot() == before)


def test_two_fingers_zoom_a_chart(phone: Page, drum: Run) -> None:
    phone.goto(f"/runs/{drum.pk}/")
    plot = phone.get_by_role("figure", name="Gas").locator(".u-over")
    plot.scroll_into_view_if_needed()
    shot = phone.get_by_role("figure", name="Gas").locator("canvas")
    before = shot.screenshot()
    plot.evaluate(
        """over => {
          const box = over.getBoundingClientRect(), clientY = box.top + 40, target = over;
          const touch = (identifier, clientX) => new Touch({identifier, target, clientX, clientY});
          const send = (kind, a, b) => over.dispatchEvent(new TouchEvent(kind, {
            bubbles: true, cancelable: true, touches: [touch(1, a), touch(2, b)]}));
          send('touchstart', box.left + 80, box.left + 120);
          send('touchmove', box.left + 40, box.left + 180);
          over.dispatchEvent(new TouchEvent('touchend', {bubbles: true, touches: []}));
        }"""
    )
    _until(phone, lambda: shot.screenshot() != before)


def test_a_reading_is_corrected_with_who_and_why(phone: Page, drum: Run) -> None:
    phone.goto(f"/runs/{drum.pk}/")
    phone.get_by_role("link", name="Correct holder level").first.click()
    expect(phone.get_by_label("holder level", exact=True)).to_have_value("190 mm")
    phone.get_by_label("holder level", exact=True).fill("180 mm")
    phone.get_by_label("Why").fill("foam on the scale")
    phone.get_by_role("button", name="Save the correction").click()
    expect(phone.get_by_text("corrected: foam on the scale")).to_be_visible()
    phone.get_by_role("link", name="History of holder level").click()
    expect(phone.get_by_text("Version 2")).to_be_visible()


def test_the_correction_page_is_sound(
    page: Page, drum: Run, checked: Callable[[Page], None], targets: Callable[[Page], list[str]]
) -> None:
    page.goto(f"/runs/{drum.pk}/")
    page.get_by_role("link", name="Correct flame test").first.click()
    expect(page.get_by_role("heading", name="Correct: flame test")).to_be_visible()
    assert targets(page) == []
    checked(page)


def test_without_scripts_the_figures_are_still_there(without_scripts: Page, drum: Run) -> None:
    without_scripts.goto(f"/runs/{drum.pk}/")
    expect(without_scripts.get_by_text("of gas so far").first).to_be_visible()
    without_scripts.get_by_text("Total as a table").click()
    expect(without_scripts.get_by_role("table", name="Gas so far")).to_be_visible()


def test_on_a_phone_the_ways_on_stand_in_one_row_and_one_small_grid(phone: Page, drum: Run) -> None:
    phone.goto(f"/runs/{drum.pk}/")
    log = phone.get_by_role("link", name="Log a reading").bounding_box()
    step = phone.get_by_role("link", name="Next step").bounding_box()
    more = phone.get_by_role("navigation", name="More about this run")
    grid = more.bounding_box()
    assert log is not None
    assert step is not None
    assert grid is not None
    assert step["y"] == log["y"]
    assert grid["height"] < 2.2 * 48.0
    for name in ("What if?", "Heat", "Flame", "Gas space", "Gas train", "Safety sheet"):
        expect(more.get_by_role("link", name=name)).to_be_visible()
