"""Task: find out whether the gas burns, and on what."""

from collections.abc import Callable

from playwright.sync_api import Page, expect

from marshlight.notebook.models import Run


def test_the_flame_page_of_a_run_answers_first(
    page: Page, drum: Run, checked: Callable[[Page], None], targets: Callable[[Page], list[str]]
) -> None:
    page.goto(f"/runs/{drum.pk}/flame/")
    expect(page.get_by_role("heading", name="Will it burn?")).to_be_visible()
    expect(page.get_by_text("The last flame test: holds a flame")).to_be_visible()
    expect(page.get_by_text("can hardly be seen in daylight").first).to_be_visible()
    expect(page.get_by_role("heading", name="A new burner", exact=True)).to_be_visible()
    expect(page.get_by_role("img", name="The new burner in section")).to_be_visible()
    assert targets(page) == []
    checked(page)


def test_the_answer_follows_what_one_types(phone: Page, drum: Run) -> None:
    phone.goto("/flame/")
    phone.get_by_label("Methane in the gas").fill("30 to 38 %")
    expect(phone.get_by_text("No flame will hold on a burner").first).to_be_visible()
    phone.get_by_label("Its jet's hole, if known").fill("0.8 mm")
    expect(phone.get_by_text("drill 2.").nth(1)).to_be_visible()
    assert "methane=30%20to%2038" in phone.url


def test_a_slip_stands_beside_its_field(phone: Page, drum: Run) -> None:
    phone.goto("/flame/")
    phone.get_by_role("textbox", name="Gas at hand").fill("4 kg")
    expect(phone.locator("#slip-held")).to_contain_text("measures mass")


def test_a_source_is_one_tap_from_its_figure(phone: Page, drum: Run) -> None:
    phone.goto("/flame/")
    phone.get_by_role("link", name="of burning velocity: Laminar burning").click()
    expect(phone.get_by_role("heading", level=1)).to_contain_text("Laminar burning velocities")


def test_without_scripts_the_form_still_answers(without_scripts: Page, drum: Run) -> None:
    without_scripts.goto("/flame/")
    without_scripts.get_by_label("Methane in the gas").fill("52 %")
    without_scripts.get_by_role("button", name="Work it out").click()
    expect(without_scripts.get_by_text("may hold, still and unsteadily").first).to_be_visible()
