"""Task: try something on a run before doing it, and see what is best to do next."""

from collections.abc import Callable

from playwright.sync_api import Page, expect

from marshlight.notebook.models import Run


def test_what_is_tried_stands_beside_doing_nothing(
    page: Page, drum: Run, checked: Callable[[Page], None], targets: Callable[[Page], list[str]]
) -> None:
    page.goto(f"/runs/{drum.pk}/what-if/?dose=20")
    tried = page.get_by_role("figure", name="With it")
    beside = page.get_by_role("figure", name="Doing nothing")
    for chart in (tried, beside):
        expect(chart.locator("canvas")).to_be_visible()
    # One switch turns both.
    tried.get_by_role("button", name="Gas").click()
    expect(beside.get_by_role("button", name="Gas")).to_have_attribute("aria-pressed", "true")
    expect(page.get_by_text("Risk of souring", exact=True)).to_be_visible()
    assert targets(page) == []
    checked(page)


def test_the_best_next_step_is_said_first(
    page: Page, drum: Run, checked: Callable[[Page], None], targets: Callable[[Page], list[str]]
) -> None:
    page.goto(f"/runs/{drum.pk}/next-step/")
    expect(page.get_by_role("status")).to_contain_text("in 100")
    for name in ("Draw off and refill", "Buffer", "Heat or insulate"):
        expect(page.get_by_role("heading", name=name)).to_be_visible()
    expect(page.get_by_label("Risk of souring you would bear")).to_have_value("5 %")
    assert targets(page) == []
    checked(page)


def test_a_dose_can_be_tried_without_scripts(without_scripts: Page, drum: Run) -> None:
    without_scripts.goto(f"/runs/{drum.pk}/what-if/")
    without_scripts.get_by_label("Sodium bicarbonate").fill("15 g")
    without_scripts.get_by_role("button", name="Try it").click()
    expect(without_scripts.get_by_role("status")).to_contain_text("15 g of sodium bicarbonate")
