"""Task: see what lies ahead of a run and what may be wrong with it."""

from collections.abc import Callable

from playwright.sync_api import Page, expect

from marshlight.notebook.models import Run

# Fitting the process model takes a second or two, more on a busy machine.
PATIENCE_MS = 60_000


def test_the_outlook_draws_its_charts_and_reads_day_by_day(
    page: Page, drum: Run, checked: Callable[[Page], None], targets: Callable[[Page], list[str]]
) -> None:
    page.goto(f"/runs/{drum.pk}/outlook/", timeout=PATIENCE_MS)
    expect(page.get_by_role("heading", name="Outlook")).to_be_visible()
    for name in ("Gas per day", "pH", "Methane in the gas", "Acids and buffer"):
        chart = page.get_by_role("figure", name=name)
        expect(chart.locator("canvas")).to_be_visible()
    days = page.get_by_role("region", name="The first week, day by day").get_by_role("row")
    expect(days).to_have_count(8)
    expect(page.get_by_text("never of gas in the vessel")).to_be_visible()
    assert targets(page) == []
    checked(page)


def test_the_diagnosis_gives_chances_and_a_test(
    page: Page, drum: Run, checked: Callable[[Page], None], targets: Callable[[Page], list[str]]
) -> None:
    page.goto(f"/runs/{drum.pk}/diagnosis/", timeout=PATIENCE_MS)
    expect(page.get_by_role("heading", name="What may be wrong")).to_be_visible()
    expect(page.get_by_text("Cheapest test").first).to_be_visible()
    expect(page.get_by_text("What the readings say").first).to_be_visible()
    assert targets(page) == []
    checked(page)


def test_the_runs_page_fills_in_both_when_one_scrolls_there(phone: Page, drum: Run) -> None:
    phone.goto(f"/runs/{drum.pk}/")
    for name, words in (
        ("What may be wrong", "What speaks for it, what else it could be"),
        ("The coming two weeks", "Day by day, and what it rests on"),
    ):
        part = phone.get_by_role("region", name=name)
        part.scroll_into_view_if_needed()
        expect(part.get_by_role("link", name=words)).to_be_visible(timeout=PATIENCE_MS)


def test_acids_and_buffer_are_one_switch_apart(phone: Page, drum: Run) -> None:
    phone.goto(f"/runs/{drum.pk}/outlook/", timeout=PATIENCE_MS)
    chart = phone.get_by_role("figure", name="Acids and buffer")
    chart.get_by_role("button", name="Buffer").click()
    expect(chart.get_by_text("what holds the pH when acids come")).to_be_visible()
