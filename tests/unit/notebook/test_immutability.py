"""What was written stays written, whichever way one tries to change it."""

import pytest
from django.core.management import call_command
from django.db import IntegrityError, connection, transaction

from marshlight.errors import NotebookError
from marshlight.notebook import guards
from marshlight.notebook.health import troubles
from marshlight.notebook.models import Event, Reading, Run, SetupVersion, Site
from marshlight.notebook.recording import record_event, record_reading
from unit.notebook.conftest import day

pytestmark = pytest.mark.django_db


def test_a_kept_reading_cannot_be_saved_again(run: Run) -> None:
    reading = record_reading(run, "ph", "7.1", at=day(1)).record
    reading.value = 7.9
    with pytest.raises(NotebookError, match="add a correction"):
        reading.save()
    assert Reading.objects.get().value == 7.1


def test_a_kept_event_cannot_be_deleted(run: Run) -> None:
    event = record_event(run, "mix", "5 min", at=day(1)).record
    with pytest.raises(NotebookError, match="retract"):
        event.delete()
    with pytest.raises(NotebookError, match="retract"):
        Event.objects.all().delete()
    assert Event.objects.count() == 1


def test_many_readings_cannot_be_changed_at_once(run: Run) -> None:
    reading = record_reading(run, "ph", "7.1", at=day(1)).record
    with pytest.raises(NotebookError, match="correction"):
        Reading.objects.update(value=5.0)
    with pytest.raises(NotebookError, match="correction"):
        Reading.objects.bulk_update([reading], ["value"])


def test_the_database_itself_refuses_to_delete_from_any_table(full: Run) -> None:
    for table in (*guards.FIXED_TABLES, *guards.KEPT_TABLES):
        with (
            connection.cursor() as cursor,
            pytest.raises(IntegrityError, match="keeps what was written"),
            transaction.atomic(),
        ):
            cursor.execute(f"DELETE FROM {table}")


@pytest.mark.parametrize("change", ["value = 9", "note = 'x'", "at = at", "retracted = NULL"])
def test_the_database_itself_refuses_to_change_a_reading(change: str, run: Run) -> None:
    record_reading(run, "ph", "7.1", at=day(1))
    with (
        connection.cursor() as cursor,
        pytest.raises(IntegrityError, match="keeps what was written"),
        transaction.atomic(),
    ):
        cursor.execute(f"UPDATE notebook_reading SET {change}")


def test_setup_history_cannot_be_rewritten(run: Run) -> None:
    version = SetupVersion.objects.filter(record="run").get()
    version.why = "another reason"
    with pytest.raises(NotebookError):
        version.save()


def test_a_version_must_say_why_it_was_made(run: Run) -> None:
    first = record_reading(run, "ph", "7.1", at=day(1)).record
    second = Reading(
        run=run, at=day(1), kind="ph", value=7.0, supersedes=first, first_id=first.pk, version=2
    )
    with pytest.raises(IntegrityError), transaction.atomic():
        second.save()


def test_a_history_is_a_chain_and_not_a_tree(run: Run) -> None:
    first = record_reading(run, "ph", "7.1", at=day(1)).record
    same = {"run": run, "at": day(1), "kind": "ph", "first_id": first.pk, "reason": "misread"}
    Reading(value=7.0, supersedes=first, version=2, **same).save()
    with pytest.raises(IntegrityError), transaction.atomic():
        Reading(value=6.9, supersedes=first, version=3, **same).save()


def test_missing_locks_are_reported(run: Run) -> None:
    assert troubles() == []
    guards.take_down(connection)
    found = troubles()
    guards.put_up(connection)
    assert len(found) == 1
    assert "locks" in found[0]
    assert troubles() == []


@pytest.mark.django_db(transaction=True)
def test_emptying_the_notebook_on_purpose_works_and_leaves_the_locks_in_place() -> None:
    Site.objects.create(name="Bench")
    call_command("flush", interactive=False, verbosity=0)
    assert Site.objects.count() == 0
    assert guards.missing(connection) == []
