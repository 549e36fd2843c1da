"""Task: write a reading down with wet gloves, and go."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from marshlight.notebook.models import Reading, Run


def _newest(run: Run, kind: str) -> Reading:
    found = Reading.objects.filter(run=run, kind=kind).order_by("-entered_at").first()
    assert found is not None
    return found


def test_a_level_takes_three_taps_and_one_number(
    page: Page, drum: Run, checked: Callable[[Page], None], targets: Callable[[Page], list[str]]
) -> None:
    page.goto("/")
    page.get_by_role("link", name="Log for Drum 1").click()  # tap 1
    checked(page)
    page.get_by_role("link", name="holder level").click()  # tap 2
    assert targets(page) == []
    checked(page)
    for key in "215":
        page.get_by_role("button", name=key, exact=True).click()
    expect(page.get_by_label("holder level", exact=True)).to_have_value("215")
    page.get_by_role("button", name="Save").click()  # tap 3
    expect(page.get_by_role("status")).to_have_text("Saved. Holder level: 21.5 cm.")
    assert _newest(drum, "level").value == pytest.approx(0.215)


def test_an_odd_number_is_questioned_and_kept_when_sure(
    page: Page, drum: Run, checked: Callable[[Page], None]
) -> None:
    page.goto(f"/runs/{drum.pk}/log/reading/level/")
    page.get_by_label("holder level", exact=True).fill("15")
    page.get_by_role("button", name="Save").click()
    alert = page.get_by_role("alert")
    expect(alert).to_contain_text("Nothing is saved yet")
    expect(alert).to_contain_text("It was 19.0 cm before")
    checked(page)
    page.get_by_role("button", name="Save it as I saw it").click()
    expect(page.get_by_role("status")).to_contain_text("Saved")
    assert _newest(drum, "level").value == pytest.approx(0.015)


def test_an_impossible_number_is_explained_and_can_be_mended(phone: Page, drum: Run) -> None:
    phone.goto(f"/runs/{drum.pk}/log/reading/ph/")
    phone.get_by_label("pH", exact=True).fill("71")
    phone.get_by_role("button", name="Save").click()
    expect(phone.get_by_role("alert")).to_contain_text("Allowed: 0 pH to 14 pH")
    phone.get_by_role("button", name="Delete the last digit").click()
    phone.get_by_role("button", name="Save").click()
    expect(phone.get_by_role("status")).to_contain_text("Saved. pH: 7")


def test_a_flame_is_one_tap_after_choosing_it(phone: Page, drum: Run) -> None:
    phone.goto(f"/runs/{drum.pk}/log/")
    phone.get_by_role("link", name="flame test").click()
    expect(phone.get_by_text("The gas can explode")).to_be_visible()
    phone.get_by_role("button", name="lights and dies").click()
    expect(phone.get_by_role("status")).to_contain_text("lights and dies")


def test_the_log_works_without_scripts(without_scripts: Page, drum: Run) -> None:
    page = without_scripts
    page.goto(f"/runs/{drum.pk}/log/reading/level/")
    expect(page.get_by_role("button", name="7", exact=True)).to_be_hidden()
    page.get_by_label("holder level", exact=True).fill("8.5")
    page.get_by_label("unit of holder level").select_option("in")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("status")).to_contain_text("Saved")
    assert _newest(drum, "level").value == pytest.approx(0.2159)


def test_a_feed_is_written_with_what_went_in(
    page: Page, drum: Run, checked: Callable[[Page], None], targets: Callable[[Page], list[str]]
) -> None:
    page.goto(f"/runs/{drum.pk}/log/event/feed/")
    page.get_by_label("material 1", exact=True).select_option(label="stale bread")
    page.get_by_label("mass of material 1").fill("200 g")
    assert targets(page) == []
    checked(page)
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("status")).to_contain_text("200 g of stale bread")
