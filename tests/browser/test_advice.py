"""Task: do what is advised or put it off, with one tap, and see why the list has changed."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from marshlight.notebook.models import Event, Run


@pytest.mark.django_db(transaction=True)
def test_advice_is_put_off_with_one_tap(
    page: Page, drum: Run, checked: Callable[[Page], None], targets: Callable[[Page], list[str]]
) -> None:
    page.goto(f"/runs/{drum.pk}/")
    expect(page.get_by_text("Read pH next")).to_be_visible()
    assert targets(page) == []
    page.get_by_role("button", name="Tomorrow: put off “Read pH next”").click()
    expect(page.get_by_role("status")).to_contain_text("Put off: Read the pH. Back on")
    expect(page.get_by_text("“Read pH next” is gone, put off")).to_be_visible()
    expect(page.get_by_role("button", name="Tomorrow: put off “Read pH next”")).to_have_count(0)
    page.get_by_text("Out of sight for now (1)").click()
    expect(page.get_by_role("button", name="Take back: Read pH next")).to_be_visible()
    assert targets(page) == []
    checked(page)
    assert Event.objects.filter(kind="advice_put_off").count() == 1


@pytest.mark.django_db(transaction=True)
def test_advice_is_answered_by_keyboard_and_taken_back(phone: Page, drum: Run) -> None:
    phone.goto(f"/runs/{drum.pk}/")
    phone.get_by_role("button", name="Done: Read pH next").focus()
    phone.keyboard.press("Enter")
    expect(phone.get_by_role("status")).to_contain_text("Done: Read the pH.")
    phone.get_by_text("Out of sight for now (1)").click()
    phone.get_by_role("button", name="Take back: Read pH next").click()
    expect(phone.get_by_role("button", name="Done: Read pH next")).to_be_visible()


@pytest.mark.django_db(transaction=True)
def test_advice_is_answered_without_scripts(without_scripts: Page, drum: Run) -> None:
    without_scripts.goto(f"/runs/{drum.pk}/")
    without_scripts.get_by_role("button", name="3 days: put off “Read pH next”").click()
    expect(without_scripts.get_by_text("“Read pH next” is gone, put off")).to_be_visible()
