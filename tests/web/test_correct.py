"""Corrections: a new version with who and why; nothing is lost."""

import pytest
from django.test import Client

from marshlight.notebook.models import Person, Reading, Run

pytestmark = pytest.mark.django_db


@pytest.fixture
def level(run: Run) -> Reading:
    """Give the newest level."""
    newest = Reading.objects.filter(run=run, kind="level").order_by("-at").first()
    assert newest is not None
    return newest


def _page(record: Reading) -> str:
    return f"/records/reading/{record.pk}/correct/"


def test_a_correction_is_a_new_version_with_who_and_why(
    here: Client, level: Reading, keeper: Person
) -> None:
    sent = {"value": "210", "unit": "mm", "reason": "read the wrong end of the scale"}
    assert here.post(_page(level), sent).status_code == 302
    newest = Reading.objects.get(supersedes=level)
    assert newest.value == pytest.approx(0.210)
    assert (newest.version, newest.reason) == (2, "read the wrong end of the scale")
    assert newest.entered_by == keeper
    assert newest.at == level.at
    level.refresh_from_db()
    assert level.value == pytest.approx(0.190)


def test_a_correction_without_a_reason_is_refused_and_keeps_what_was_typed(
    here: Client, level: Reading
) -> None:
    page = here.post(_page(level), {"value": "210", "unit": "mm", "reason": " "})
    assert page.status_code == 422
    assert "Say why" in page.content.decode()
    assert 'value="210"' in page.content.decode()
    assert Reading.objects.filter(supersedes=level).count() == 0


def test_a_withdrawn_record_stays_in_the_history_and_counts_no_more(
    here: Client, level: Reading
) -> None:
    answer = here.post(_page(level), {"withdraw": "yes", "reason": "wrong drum"}, follow=True)
    assert "Withdrawn" in answer.content.decode()
    newest = Reading.objects.get(supersedes=level)
    assert newest.retracted
    assert level.pk not in Reading.objects.current().values_list("pk", flat=True)
    history = here.get(_page(newest)).content.decode()
    assert "wrong drum" in history
    assert "Version 1" in history
    assert "Version 2" in history


def test_the_address_of_an_old_version_leads_to_the_newest(here: Client, level: Reading) -> None:
    here.post(_page(level), {"value": "210", "unit": "mm", "reason": "misread"})
    answer = here.get(_page(level))
    assert answer.status_code == 302
    assert answer["Location"] == _page(Reading.objects.get(supersedes=level))


def test_a_reader_cannot_correct(away: Client, level: Reading, reader: Person) -> None:
    away.force_login(reader.user, backend="django.contrib.auth.backends.ModelBackend")
    assert away.post(_page(level), {"value": "1", "reason": "x"}).status_code == 403
    assert Reading.objects.filter(supersedes=level).count() == 0
