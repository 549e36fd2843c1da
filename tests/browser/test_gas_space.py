"""Task: see whether the inside is explosive, and what opening does."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from marshlight.notebook.models import Run


def test_the_gas_space_of_a_run_cautions_first_and_draws_the_triangle(
    page: Page, drum: Run, checked: Callable[[Page], None], targets: Callable[[Page], list[str]]
) -> None:
    page.goto(f"/runs/{drum.pk}/gas-space/")
    caution = page.get_by_text("The gas can explode")
    expect(caution).to_be_visible()
    sentence = page.get_by_role("status")
    expect(sentence).to_contain_text("treat the inside as explosive")
    above = caution.bounding_box()
    below = sentence.bounding_box()
    assert above
    assert below
    assert above["y"] < below["y"]
    whole = page.get_by_role("img", name="Methane, carbon dioxide and air")
    expect(whole).to_be_visible()
    expect(page.get_by_role("img", name="Corner near air")).to_be_visible()
    assert targets(page) == []
    checked(page)


def test_the_triangle_can_be_read_as_words_and_table(phone: Page, drum: Run) -> None:
    phone.goto("/gas-space/")
    expect(phone.get_by_text("passes through the explosive region").last).to_be_visible()
    phone.get_by_text("The likely path in figures").first.click()
    table = phone.get_by_role("table", name="The likely path in figures")
    expect(table.get_by_role("cell", name="explosive").first).to_be_visible()


def test_less_gas_leaves_the_inside_explosive(phone: Page, drum: Run) -> None:
    phone.goto("/gas-space/")
    phone.get_by_label("Gas made since it was closed").fill("1.2 L")
    expect(phone.get_by_role("status")).to_contain_text("explosive by these figures")


@pytest.mark.parametrize("where", ["cleaning", "hygiene", "safety-sheet"])
def test_the_sister_pages_are_sound(
    page: Page,
    drum: Run,
    checked: Callable[[Page], None],
    targets: Callable[[Page], list[str]],
    where: str,
) -> None:
    page.goto(f"/runs/{drum.pk}/{where}/")
    assert targets(page) == []
    checked(page)


def test_a_dangerous_air_dose_is_refused_beside_its_field(phone: Page, drum: Run) -> None:
    phone.goto("/cleaning/")
    phone.get_by_label("Air dose").fill("15 %")
    expect(phone.locator("#slip-air")).to_contain_text("Do not dose so much air")
    expect(phone.get_by_role("heading", name="A little air instead")).to_be_hidden()


def test_all_of_it_is_reached_with_the_keyboard(phone: Page, drum: Run) -> None:
    phone.goto(f"/runs/{drum.pk}/gas-space/")
    phone.get_by_role("link", name="Flame", exact=True).focus()
    phone.keyboard.press("Tab")
    expect(phone.get_by_role("link", name="Inside the gas space")).to_be_focused()
    phone.get_by_role("link", name="Gas cleaning").focus()
    phone.keyboard.press("Enter")
    expect(phone.get_by_role("heading", name="How is the gas cleaned?")).to_be_visible()
