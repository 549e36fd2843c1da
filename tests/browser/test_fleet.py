"""Task: find out of many digesters the one to visit first."""

from collections.abc import Callable

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from marshlight.answers.analysis import analyse, revision
from marshlight.answers.fleet_finding import keep_finding
from marshlight.notebook.models import Person, Run
from worlds import make_drum


@pytest.fixture
def three(drum: Run) -> list[Run]:
    """Give three drums, of which two were worked out."""
    keeper = Person.objects.get()
    others = [make_drum(drum.site, keeper, f"Drum {n} behind the long byre") for n in (2, 3)]
    for run in (drum, others[0]):
        keep_finding(run, analyse(run), timezone.now(), rests_on=revision(run))
    return [drum, *others]


@pytest.mark.django_db(transaction=True)
def test_the_list_is_read_and_narrowed(
    page: Page,
    three: list[Run],
    checked: Callable[[Page], None],
    targets: Callable[[Page], list[str]],
) -> None:
    page.goto("/fleet/")
    lines = page.get_by_role("main").get_by_role("listitem")
    expect(lines).to_have_count(3)
    expect(page.get_by_text("1 not worked out yet")).to_be_visible()
    assert targets(page) == []
    checked(page)
    page.get_by_label("Name, vessel or site").fill("byre")
    page.get_by_role("button", name="Show these").click()
    expect(lines).to_have_count(2)
    expect(page.get_by_label("Name, vessel or site")).to_have_value("byre")
    checked(page)
    page.get_by_text("By site, state or keeper").click()
    page.get_by_label("State").select_option("not worked out")
    page.get_by_role("button", name="Show these").click()
    expect(lines).to_have_count(1)
    page.get_by_role("link", name="Show all").click()
    expect(lines).to_have_count(3)
    page.get_by_role("link", name="Drum 1", exact=True).click()
    expect(page.get_by_role("heading", name="What to do")).to_be_visible()


@pytest.mark.django_db(transaction=True)
def test_the_list_is_narrowed_by_keyboard_without_scripts(
    without_scripts: Page, three: list[Run]
) -> None:
    without_scripts.goto("/fleet/")
    without_scripts.get_by_label("Name, vessel or site").fill("drum 3")
    without_scripts.keyboard.press("Enter")
    expect(without_scripts.get_by_role("main").get_by_role("listitem")).to_have_count(1)
