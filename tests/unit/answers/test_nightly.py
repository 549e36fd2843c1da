"""The nightly update: each result is kept as it comes, whatever dies or is stopped midway."""

import os
import pickle
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from concurrent.futures import Future
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path
from typing import Any

import pytest
from django.utils import timezone

from marshlight.answers import analysis, keeping, nightly_parcel
from marshlight.answers.analysis import analyse, latest_readings, ready, revision
from marshlight.answers.assessment import assess_run
from marshlight.answers.fleet_finding import FIRST_VISITS, keep_failure
from marshlight.answers.foreseen import Foreseen
from marshlight.answers.nightly_parcel import Job, Parcel, Returned, work_out_parcel
from marshlight.answers.nightly_place import place_to_work
from marshlight.answers.nightly_round import FRESH_FOR
from marshlight.answers.outlook import outlook_of, outlook_ready
from marshlight.answers.timeline import event_marks
from marshlight.errors import InputError, MarshlightError
from marshlight.notebook.bridge import run_facts
from marshlight.notebook.models import Finding, Person, Run, Site
from marshlight.notebook.recording import record_event, record_reading
from nights import Inline, Place, go
from worlds import make_drum

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("quick")]


@pytest.fixture(autouse=True)
def steady_engine(monkeypatch: pytest.MonkeyPatch) -> None:
    """Let no file that changes meanwhile make results old."""
    monkeypatch.setattr(analysis, "engine_mark", lambda: "the engine")


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Leave the fit out, which most of these tests only wait for."""
    none = Foreseen(None, why_not="left out of this test")
    monkeypatch.setattr(analysis, "foresee", lambda *given, **more: none)


@pytest.fixture
def keeper(db: None) -> Person:
    return Person.objects.create(name="keeper", role=Person.Role.KEEPER)


@pytest.fixture
def drums(keeper: Person) -> list[Run]:
    """Give three drums of one site."""
    site = Site.objects.create(name="Yard", altitude_m=200.0, room_temperature_c=18.0)
    return [make_drum(site, keeper, f"Drum {n}") for n in (1, 2, 3)]


def test_every_run_that_goes_on_gets_a_result(drums: list[Run], keeper: Person) -> None:
    record_event(drums[2], "end", note="spent", by=keeper)
    told: list[tuple[int, int, str]] = []
    report = go(progress=lambda *step: told.append(step))
    assert (report.going, report.worked_out, report.failed, report.left) == (2, 2, (), 0)
    assert told[-1][:2] == (2, 2)
    found = Finding.objects.get(run=drums[0])
    assert found.rests_on == revision(drums[0])
    assert found.keeper == keeper
    assert found.said["next_step"]
    assert found.took_s > 0.0
    assert not Finding.objects.filter(run=drums[2]).exists()


def test_a_result_is_what_the_runs_own_page_says(drums: list[Run]) -> None:
    now = timezone.now()
    go(now=now)
    found = Finding.objects.get(run=drums[0])
    own = assess_run(analyse(drums[0]), now, system="metric")
    assert (found.state, found.said["next_step"]) == (own.state.word, own.next_step)
    assert (found.rank < FIRST_VISITS) == (
        own.state.tone == "trouble" or any(a.urgent for a in own.advice)
    )


def test_the_pages_find_what_was_worked_out(drums: list[Run]) -> None:
    assert ready(drums[0]) is None
    go()
    assert ready(drums[0]) is not None


def test_the_forecast_by_the_process_model_is_ready_in_the_morning(drums: list[Run]) -> None:
    record_event(drums[1], "end", note="spent")
    record_event(drums[2], "end", note="spent")
    now = timezone.now()
    go(now=now)
    # A night without the model leaves its forecast to the next.
    assert go(now=now, by_model=True).worked_out == 1
    found = outlook_ready(drums[0])
    assert found is not None
    assert found.fresh
    assert found.thing.days
    assert Finding.objects.get(run=drums[0]).said["ahead"] == found.thing.sentence
    assert go(now=now, by_model=True).already == 1
    # It is the very outlook that the page would have worked out.
    keeping._kept.clear()
    assert outlook_of(drums[0], now=now).days == found.thing.days


def test_what_is_fresh_is_left_alone(drums: list[Run]) -> None:
    go()
    place = Place()
    report = go(place)
    assert (report.already, report.worked_out, place.sent) == (3, 0, 0)
    assert report.sentence.startswith("0 of 3 runs brought up to date")


def test_a_new_reading_makes_a_result_old(drums: list[Run], keeper: Person) -> None:
    go()
    record_reading(drums[1], "ph", "7.0", by=keeper)
    assert Finding.objects.get(run=drums[1]).rests_on == ""
    report = go()
    assert (report.already, report.worked_out) == (2, 1)
    assert Finding.objects.get(run=drums[1]).rests_on == revision(drums[1])


def test_after_a_night_a_run_without_news_is_told_anew_but_not_fitted_anew(
    drums: list[Run], monkeypatch: pytest.MonkeyPatch
) -> None:
    go()
    fitted: list[str] = []
    real = analysis.work_out
    monkeypatch.setattr(
        analysis,
        "work_out",
        lambda records, *, seed: fitted.append(seed) or real(records, seed=seed),
    )
    later = timezone.now() + FRESH_FOR + timedelta(minutes=1)
    assert go(now=later).worked_out == 3
    assert fitted == []
    assert go(now=later, again=True).worked_out == 3
    assert len(fitted) == 3


def test_a_run_that_fails_is_named_with_its_reason_and_the_others_go_on(
    drums: list[Run], monkeypatch: pytest.MonkeyPatch
) -> None:
    real = analysis.work_out

    def fails(records: Any, *, seed: str) -> Any:
        if records.run.name == "Drum 2":
            raise InputError("lid", "glued", "one that opens", "Use another")
        return real(records, seed=seed)

    monkeypatch.setattr(analysis, "work_out", fails)
    report = go()
    assert report.worked_out == 2
    assert [(f.name, f.why.startswith("lid")) for f in report.failed] == [("Drum 2", True)]
    assert "1 failed" in report.sentence
    assert "one that opens" in Finding.objects.get(run=drums[1]).trouble
    monkeypatch.setattr(analysis, "work_out", real)
    # It is tried again at the next start, and then all is well.
    assert go().worked_out == 1
    assert Finding.objects.get(run=drums[1]).trouble == ""


def test_a_log_that_cannot_be_read_fails_alone(
    drums: list[Run], monkeypatch: pytest.MonkeyPatch
) -> None:
    def unreadable(run: Run) -> Any:
        if run.name == "Drum 1":
            raise MarshlightError("its log cannot be read")
        return run_facts(run)

    monkeypatch.setattr("marshlight.answers.nightly_round.run_facts", unreadable)
    report = go()
    assert [f.why for f in report.failed] == ["its log cannot be read"]
    assert report.worked_out == 2


def test_a_failure_keeps_what_was_known_before(drums: list[Run]) -> None:
    go()
    before = Finding.objects.get(run=drums[0])
    keep_failure(drums[0], "no luck")
    after = Finding.objects.get(run=drums[0])
    assert (after.state, after.said, after.trouble) == (before.state, before.said, "no luck")


def test_a_worker_that_dies_once_loses_nothing(drums: list[Run]) -> None:
    deaths = iter([True])
    place = Place(lambda parcel: next(deaths, False))
    report = go(place)
    assert (report.worked_out, report.failed, report.breakdowns) == (3, (), 1)
    assert len(place.opened) == 2


def test_a_run_that_kills_every_worker_is_found_out_and_the_others_are_kept(
    drums: list[Run],
) -> None:
    killer = str(drums[1].pk)
    report = go(Place(lambda parcel: parcel.key == killer))
    assert report.worked_out == 2
    assert [(f.name, "died" in f.why) for f in report.failed] == [("Drum 2", True)]


def test_a_place_that_always_breaks_down_is_given_up(drums: list[Run]) -> None:
    class Broken(Inline):
        broken = True

        def __init__(self) -> None:
            super().__init__()
            self.broken = True

    @contextmanager
    def place() -> Iterator[Any]:
        yield Broken()

    with pytest.raises(MarshlightError, match="Start it again"):
        go(place)


def test_cancelled_it_keeps_what_came_and_goes_on_next_time(drums: list[Run]) -> None:
    class Slow(Inline):
        """Gives back the first parcel; the others never come."""

        def submit(self, work: Callable[[Parcel], Returned], parcel: Parcel) -> Future[Returned]:
            return super().submit(work, parcel) if self.sent == 0 else Future()

    @contextmanager
    def place() -> Iterator[Any]:
        yield Slow()

    asked = iter([False, True])
    report = go(place, cancelled=lambda: next(asked, True))
    assert (report.worked_out, report.left, report.cancelled) == (1, 2, True)
    assert "2 left for the next start" in report.sentence
    again = go()
    assert (again.already, again.worked_out) == (1, 2)


def test_a_reading_that_comes_while_a_run_is_worked_out_is_not_passed_over(
    drums: list[Run], keeper: Person, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Meanwhile(Inline):
        def submit(self, work: Callable[[Parcel], Returned], parcel: Parcel) -> Future[Returned]:
            if parcel.key == str(drums[0].pk):
                record_reading(drums[0], "ph", "6.2", by=keeper)
            return super().submit(work, parcel)

    @contextmanager
    def place() -> Iterator[Any]:
        yield Meanwhile()

    go(place)
    assert Finding.objects.get(run=drums[0]).rests_on == ""
    assert go().worked_out == 1


def test_a_worker_needs_neither_database_nor_settings(drums: list[Run], tmp_path: Path) -> None:
    job = Job(
        records=run_facts(drums[0]),
        latest=latest_readings(drums[0]),
        analysis=None,
        earlier=None,
        taught=(),
        looked=None,
        marks=event_marks(drums[0]),
        now=timezone.now(),
        system="metric",
        by_model=True,
        diagnosis=True,
    )
    parcel = Parcel("key", pickle.dumps(job))
    (tmp_path / "parcel").write_bytes(pickle.dumps(parcel))
    code = (
        "import pickle, sys, pathlib\n"
        "from marshlight.answers.nightly_parcel import work_out_parcel\n"
        "back = work_out_parcel(pickle.loads(pathlib.Path(sys.argv[1]).read_bytes()))\n"
        "from django.conf import settings\n"
        "engine = settings.DATABASES.get('default', {}).get('ENGINE', 'none')\n"
        "made = pickle.loads(back.made) if back.made else None\n"
        "print(engine, made and bool(made.outlook.days) and made.diagnosed.found is not None)"
    )
    clean = {k: v for k, v in os.environ.items() if not k.startswith(("DJANGO", "MARSHLIGHT"))}
    done = subprocess.run(
        [sys.executable, "-c", code, str(tmp_path / "parcel")],
        env=clean,
        capture_output=True,
        text=True,
        check=False,
    )
    engine, told = done.stdout.split()
    assert engine in ("none", "django.db.backends.dummy")
    assert told == "True", done.stderr


def test_what_breaks_on_a_worker_comes_back_in_words() -> None:
    assert "a defect of marshlight" in work_out_parcel(Parcel("seed", b"no pickle")).why_not
    assert nightly_parcel.work_out_parcel is work_out_parcel


@pytest.mark.slow
def test_processes_of_this_machine_work_it_out_and_one_that_is_killed_loses_nothing(
    drums: list[Run],
) -> None:
    killed: list[int] = []

    @contextmanager
    def place() -> Iterator[Any]:
        with place_to_work("") as pool:
            yield pool
            # Never reached before all is done; the killing is done from the progress below.

    def kill_one(done: int, of: int, what: str) -> None:
        if not killed:
            import multiprocessing

            child = next(c for c in multiprocessing.active_children() if "Spawn" in c.name)
            killed.append(child.pid or 0)
            os.kill(killed[0], signal.SIGKILL)

    report = go(place, progress=kill_one, by_model=False)
    assert killed
    assert (report.worked_out, report.failed, report.left) == (3, (), 0)
    assert Finding.objects.count() == 3
