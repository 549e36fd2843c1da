"""The demonstration world is whole, repeatable, marked as invented and never mixed."""

from datetime import UTC, datetime

import pytest
from django.db import transaction

from marshlight.demo import demo_is_loaded, load_demo
from marshlight.errors import NotebookError
from marshlight.notebook.models import Event, Reading, Run, Site
from marshlight.notebook.setting_up import set_up
from marshlight.process.model import kernel

pytestmark = pytest.mark.django_db
NOW = datetime(2026, 5, 20, 15, 30, tzinfo=UTC)


def test_the_world_holds_every_story_and_says_that_it_is_invented() -> None:
    steps: list[str] = []
    load_demo(now=NOW, progress=lambda done, of, what: steps.append(f"{done}/{of} {what}"))
    assert demo_is_loaded()
    assert Site.objects.get().invented
    names = {run.name.split(",")[0] for run in Run.objects.all()}
    assert names == {*(f"Drum {i}" for i in range(1, 7)), "Barrel", "Trial"}
    assert Run.objects.filter(name__startswith="Trial").count() == 15
    assert all("Invented" in run.notes for run in Run.objects.all())
    assert steps[-1].startswith("22/22")
    for run in Run.objects.exclude(name__startswith="Trial"):
        assert "made by the process model" in run.notes


def test_without_a_compiled_model_curves_tell_the_stories_and_the_runs_say_so(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(kernel, "find_spec", lambda name: None)
    kernel.library.cache_clear()
    try:
        load_demo(now=NOW)
    finally:
        kernel.library.cache_clear()
    for run in Run.objects.all():
        assert "made by gas curves" in run.notes
    assert "not compiled" in Run.objects.get(name__startswith="Drum 2").notes
    strips = Reading.objects.filter(run__name__startswith="Drum 2", kind="ph")
    assert min(strip.value for strip in strips) < 5.6


def test_nothing_lies_in_the_future_and_every_run_has_its_charge() -> None:
    load_demo(now=NOW)
    assert not Reading.objects.filter(at__gt=NOW).exists()
    assert not Event.objects.filter(at__gt=NOW).exists()
    for run in Run.objects.all():
        assert Event.objects.filter(run=run, kind="charge").count() == 1
    assert Event.objects.filter(kind="feed", run__name__startswith="Barrel").count() > 80


def test_the_same_seed_and_moment_give_the_same_readings() -> None:
    first = _made_and_undone()
    assert len(first) > 2000
    assert first == _made_and_undone()


def _made_and_undone() -> list[tuple[object, ...]]:
    before = transaction.savepoint()
    load_demo(now=NOW)
    rows = Reading.objects.order_by("at", "run__name", "kind")
    made = list(rows.values_list("at", "run__name", "kind", "entered"))
    transaction.savepoint_rollback(before)
    return made


def test_invented_data_never_goes_into_a_used_notebook() -> None:
    set_up("site", {"name": "A real barn", "altitude": "10 m"})
    with pytest.raises(NotebookError, match="empty notebook"):
        load_demo(now=NOW)
    assert not demo_is_loaded()
