"""Task: see whether a vessel will be warm enough, and what one change does."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from marshlight.notebook.models import Run


@pytest.mark.parametrize(
    "address", ["/heat/", "/gas-train/", "/leak/?readings=0+200;6+150;24+20&space=8+L"]
)
def test_the_pages_are_sound(
    page: Page,
    transactional_db: None,
    address: str,
    checked: Callable[[Page], None],
    targets: Callable[[Page], list[str]],
) -> None:
    page.goto(address)
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    assert targets(page) == []
    checked(page)


def test_a_run_s_heat_is_drawn_and_said(
    page: Page, drum: Run, checked: Callable[[Page], None], targets: Callable[[Page], list[str]]
) -> None:
    page.goto(f"/runs/{drum.pk}/heat/")
    chart = page.get_by_role("figure", name="Temperature and heater")
    expect(chart.locator("canvas")).to_be_visible()
    expect(page.get_by_role("table", name="As it is, and with one change")).to_be_visible()
    expect(page.get_by_role("img", name="Drum 1 in section")).to_be_visible()
    expect(page.get_by_label("Rated power")).to_have_value("40.0 W")
    assert targets(page) == []
    checked(page)


def test_the_heater_s_duty_is_one_switch_away(phone: Page, drum: Run) -> None:
    phone.goto(f"/runs/{drum.pk}/heat/")
    chart = phone.get_by_role("figure", name="Temperature and heater")
    chart.get_by_role("button", name="Heater").click()
    expect(chart.get_by_text("The heater is on")).to_be_visible()
    chart.get_by_text("Heater as a table").click()
    expect(chart.get_by_role("table", name="Heater on")).to_be_visible()


def test_the_answer_follows_while_one_types(phone: Page, transactional_db: None) -> None:
    phone.goto("/heat/")
    expect(phone.get_by_role("status").filter(has_text="Warm enough")).to_be_visible()
    phone.get_by_label("Rated power").fill("4 W")
    expect(phone.get_by_role("status").filter(has_text="Not warm enough")).to_be_visible()
    expect(phone.get_by_role("figure", name="Temperature").locator("canvas")).to_be_visible()
    phone.get_by_label("Rated power").fill("4 degC")
    expect(phone.get_by_label("Rated power")).to_have_attribute("aria-invalid", "true")
    phone.get_by_label("Rated power").fill("25 W")
    expect(phone.get_by_role("status").filter(has_text="Warm enough")).to_be_visible()
    expect(phone.get_by_label("Rated power")).not_to_have_attribute("aria-invalid", "true")


def test_a_refused_heater_shows_no_chart(phone: Page, transactional_db: None) -> None:
    phone.goto("/heat/")
    phone.get_by_label("Mains protection").select_option("no residual-current device")
    expect(phone.get_by_role("status").filter(has_text="can kill")).to_be_visible()
    expect(phone.get_by_role("figure", name="Temperature and heater")).to_have_count(0)


def test_only_fields_of_the_chosen_heater_are_asked_for(
    phone: Page, transactional_db: None
) -> None:
    phone.goto("/heat/")
    expect(phone.get_by_label("Outside of the coil's tube")).to_be_hidden()
    phone.get_by_label("Heater", exact=True).select_option("hot-water coil in the slurry")
    expect(phone.get_by_label("Outside of the coil's tube")).to_be_visible()
    expect(phone.get_by_label("Mains protection")).to_be_hidden()


def test_the_keyboard_alone_changes_the_comparison(phone: Page, transactional_db: None) -> None:
    phone.goto("/heat/")
    choice = phone.get_by_label("One change to compare")
    choice.focus()
    phone.keyboard.press("ArrowDown")
    phone.keyboard.press("ArrowDown")
    table = phone.get_by_role("table", name="As it is, and with one change")
    expect(table.get_by_role("columnheader", name="thermostat 3 °C (5 °F) lower")).to_be_visible()


def test_without_scripts_the_form_still_answers(
    without_scripts: Page, transactional_db: None
) -> None:
    without_scripts.goto("/heat/")
    without_scripts.get_by_label("Rated power").fill("4 W")
    without_scripts.get_by_role("button", name="Work it out").click()
    expect(without_scripts.get_by_role("status").filter(has_text="Not warm enough")).to_be_visible()
    without_scripts.get_by_text("Temperature as a table").click()
    expect(without_scripts.get_by_role("table", name="Slurry temperature")).to_be_visible()


def test_the_gas_train_is_drawn_with_the_depths_typed(phone: Page, transactional_db: None) -> None:
    phone.goto("/gas-train/?relief=seal&relief_depth=200+mm&dips=40+mm")
    expect(phone.get_by_role("img", name="From the vessel to the burner")).to_be_visible()
    expect(phone.get_by_text("20.0 cm", exact=True).first).to_be_visible()


def test_a_missing_relief_is_refused_while_one_types(phone: Page, transactional_db: None) -> None:
    phone.goto("/gas-train/")
    phone.get_by_label("Relief on the vessel").select_option("none")
    expect(
        phone.get_by_role("status").filter(has_text="a drum bursts or throws its lid")
    ).to_be_visible()


def test_a_file_of_temperatures_fills_the_field_and_answers(
    phone: Page, transactional_db: None
) -> None:
    phone.goto("/heat/?heater=none")
    expect(phone.get_by_label("Temperatures read")).to_be_hidden()
    phone.get_by_label("Temperature of the air").select_option("as read below, repeated")
    rows = "hour,celsius\n" + "\n".join(f"{hour},31" for hour in range(30))
    file = {"name": "shed.csv", "mimeType": "text/csv", "buffer": rows.encode()}
    phone.get_by_label("or from a file").set_input_files(file)
    expect(phone.get_by_label("Temperatures read")).to_have_value(rows)
    expect(phone.get_by_role("status").filter(has_text="it settles at 31")).to_be_visible()
