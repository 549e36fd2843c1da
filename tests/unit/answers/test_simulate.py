"""What if: a run by the process model, beside doing nothing."""

from datetime import datetime, timedelta

import numpy as np
import pytest
from django.utils import timezone

from marshlight.answers.analysis import analyse
from marshlight.answers.simulate import AHEAD_D, MEMBERS, WhatIf, what_if
from marshlight.answers.simulate_past import FULLEST, past_of
from marshlight.answers.told import Figure
from marshlight.notebook.models import Person, Run, Site
from marshlight.notebook.recording import record_event, record_reading
from marshlight.process.model import Dose, DrawOff, Feed, OpenSeal, SetTemperature, Vent
from worlds import make_drum

pytestmark = pytest.mark.django_db


@pytest.fixture
def keeper() -> Person:
    person = Person(name="keeper", role=Person.Role.KEEPER)
    person.save()
    return person


@pytest.fixture
def run(keeper: Person) -> Run:
    """Give the small drum on day 8."""
    place = Site(name="Test yard", altitude_m=200.0, time_zone="UTC", room_temperature_c=18.0)
    place.save()
    return make_drum(place, keeper)


def ask(run: Run, **typed: str) -> WhatIf:
    return what_if(typed, run=run, now=timezone.now())


def figures(found: WhatIf, title: str) -> dict[str, Figure]:
    section = next(s for s in found.told.sections if s.title.startswith(title))
    return {figure.name: figure for figure in section.figures}


def middle(figure: Figure) -> float:
    return float(figure.value.split(" ")[0])


def at(run: Run, day: float) -> datetime:
    assert run.started_at is not None
    return run.started_at + timedelta(days=day)


def test_left_alone_it_says_gas_ph_and_what_it_cannot_know(run: Run) -> None:
    found = ask(run)
    assert found.told.sentence.startswith("Left alone")
    alone = figures(found, "Doing nothing")
    assert 4.0 < middle(alone["final pH"]) < 8.5
    assert alone["lives that end sour"].value.endswith(f"of {MEMBERS}")
    assert all(figure.sources for figure in alone.values())
    titles = [section.title for section in found.told.sections]
    assert titles == ["Doing nothing", "Against this run's own gas", "Where it can be wrong"]
    assert found.told.cautions


def test_the_same_question_gets_the_same_answer(run: Run) -> None:
    now = timezone.now()
    first, second = (what_if({"dose": "20 g"}, run=run, now=now) for _ in range(2))
    assert first.told.sections == second.told.sections


def test_bicarbonate_lifts_the_ph_in_every_life(run: Run) -> None:
    found = ask(run, dose="40 g")
    assert found.told.sentence.startswith("With 40.0 g of sodium bicarbonate")
    change = figures(found, "What it changes")
    low = float(change["rise of pH"].value.split("(")[1].split(" ")[0])
    assert low > 0.0
    assert middle(figures(found, "With")["final pH"]) >= middle(
        figures(found, "Doing nothing")["final pH"]
    )


def test_cooling_gives_less_gas(run: Run) -> None:
    change = figures(ask(run, warm="-15"), "What it changes")
    assert change["lives with more gas"].value.startswith("0 of")


def test_food_gives_more_gas(run: Run) -> None:
    choices = [name for name, _ in ask(run).told.fields[0].question.choices]
    bread = next(name for name in choices if "bread" in name)
    found = ask(run, feed=bread, amount="0.05 kg", every="3 d")
    assert f"of {bread} every" in found.told.sentence
    change = figures(found, "What it changes")
    assert change["lives with more gas"].value == f"{MEMBERS} of {MEMBERS}"


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"dose": "4 bar"}, "dose"),
        ({"amount": "1 kg"}, "feed"),
        ({"warm": "40"}, "warm"),
        ({"feed": "moonlight"}, "feed"),
    ],
)
def test_what_cannot_be_used_stands_beside_its_field(
    run: Run, typed: dict[str, str], field: str
) -> None:
    found = ask(run, **typed)
    assert list(found.told.problems) == [field]
    assert found.told.sections == ()


def test_a_feed_too_large_for_the_vessel_is_refused(run: Run) -> None:
    name = ask(run).told.fields[0].question.choices[1][0]
    assert list(ask(run, feed=name).told.problems) == ["amount"]
    assert list(ask(run, feed=name, amount="30 kg").told.problems) == ["amount"]


def test_a_run_without_a_charge_gets_a_sentence_and_no_figures(run: Run) -> None:
    bare = Run(name="bare", site=run.site, vessel=run.vessel)
    bare.save()
    found = ask(bare)
    assert "what was put in at the start" in found.told.sentence
    assert found.chart is None
    assert found.told.sections == ()


def test_the_log_becomes_the_models_events(run: Run, keeper: Person) -> None:
    record_event(run, "dose", "30 g", at=at(run, 2.0), by=keeper,
                 detail={"substance": "bicarbonate"})  # fmt: skip
    record_event(run, "dose", "1 g", at=at(run, 2.2), by=keeper,
                 detail={"substance": "trace_elements"})  # fmt: skip
    record_event(run, "draw_off", "2 L", at=at(run, 3.0), by=keeper)
    feed = {"parts": [{"feedstock": "bread_stale", "mass": "0.2 kg"}], "water": "14 L"}
    record_event(run, "feed", at=at(run, 4.0), detail=feed, by=keeper)
    record_event(run, "seal_opened", at=at(run, 5.0), by=keeper)
    record_reading(run, "slurry_temperature", "30", at=at(run, 1.0), by=keeper)
    past = past_of(analyse(run), 8.0)
    kinds = [type(event) for event in past.events if not isinstance(event, SetTemperature)]
    # The feed lifts the slurry over the fullest, so that some is drawn off first.
    assert kinds.count(Dose) == 1
    assert kinds.count(DrawOff) == 2
    assert kinds.count(Feed) == 1
    assert kinds.count(OpenSeal) == 1
    assert kinds.count(Vent) == 1
    assert past.liquid_m3 == pytest.approx(FULLEST * past.digester.vessel_m3)
    assert past.digester.temperature_c == pytest.approx(30.0)
    assert past.celsius == pytest.approx(36.8)
    assert any("dose of day 2 is left out" in note for note in past.notes)


def test_chart_and_table_say_the_same(run: Run) -> None:
    found = ask(run, dose="40 g")
    assert found.chart is not None
    assert [view.name for view in found.chart.views] == ["pH", "Gas", "Methane", "Acids", "H₂S"]
    for view in found.chart.views:
        assert len(view.table.rows) == AHEAD_D + 1
        points = view.points[0]
        assert bool(np.all(np.array(points.low) <= np.array(points.high)))
        assert view.line is not None
