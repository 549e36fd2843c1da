"""What if: a run by the process model, beside doing nothing."""

from datetime import datetime, timedelta

import numpy as np
import pytest
from django.utils import timezone

from marshlight.answers.analysis import analyse
from marshlight.answers.simulate import WhatIf, what_if
from marshlight.answers.simulate_lives import MEMBERS
from marshlight.answers.simulate_past import past_of, thinned
from marshlight.answers.simulate_try import AHEAD_D, AS_BEFORE
from marshlight.answers.told import Figure
from marshlight.decide.watch.steps import FULLEST
from marshlight.matter import find
from marshlight.matter.mixing import Part
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


def test_left_alone_it_says_gas_ph_risk_and_what_it_rests_on(run: Run) -> None:
    found = ask(run)
    assert found.told.sentence.startswith("Left alone")
    assert "risk of souring" in found.told.sentence
    alone = figures(found, "Doing nothing")
    assert 4.0 < middle(alone["pH at the end"]) < 8.5
    assert " in 100" in alone["risk of souring"].value
    assert all(figure.sources for figure in alone.values())
    titles = [section.title for section in found.told.sections]
    assert titles == ["Doing nothing", "What it rests on", "Where it can be wrong"]
    assert found.told.cautions
    assert len(found.charts) == 1


def test_the_same_question_gets_the_same_answer(run: Run) -> None:
    now = timezone.now()
    first, second = (what_if({"dose": "20 g"}, run=run, now=now) for _ in range(2))
    assert first.told.sections == second.told.sections


def test_bicarbonate_lifts_the_ph_of_the_middle_life_and_gives_gas_of_its_own(run: Run) -> None:
    found = ask(run, dose="40 g")
    assert found.told.sentence.startswith("With 40 g of sodium bicarbonate")
    change = figures(found, "What it changes")
    assert float(change["rise of pH"].value.split(" ")[0]) > 0.0
    assert middle(change["gas more"]) > 0.0
    assert "carbon dioxide" in change["lives with more methane"].note


def test_cooling_gives_less_methane(run: Run) -> None:
    change = figures(ask(run, warm="-15"), "What it changes")
    assert change["methane more"].value.startswith("-")


def test_food_gives_more_gas(run: Run) -> None:
    choices = [name for name, _ in ask(run).told.fields[0].question.choices]
    bread = next(name for name in choices if "bread" in name)
    found = ask(run, feed=bread, amount="0.05 kg", every="3 d")
    assert f"of {bread} every" in found.told.sentence
    change = figures(found, "What it changes")
    assert middle(change["gas more"]) > 0.0
    beside = figures(found, "With")["risk of souring"].note
    assert beside.startswith("doing nothing: ")


def test_drawn_off_and_refilled_it_starts_anew(run: Run) -> None:
    found = ask(run, draw="5 L", refill="as charged")
    assert "5 L drawn off and refilled with a fresh charge" in found.told.sentence
    assert middle(figures(found, "What it changes")["gas more"]) > 0.0


def test_skipping_asks_for_a_run_that_is_fed_and_then_waits(run: Run, keeper: Person) -> None:
    assert list(ask(run, skip="5 d").told.problems) == ["skip"]
    feed = {"parts": [{"feedstock": "bread_stale", "mass": "0.05 kg"}], "water": "0.1 L"}
    for day in (2.0, 4.0, 6.0):
        record_event(run, "feed", at=at(run, day), detail=feed, by=keeper)
    before, skipped = ask(run, feed=AS_BEFORE), ask(run, skip="12 d")
    assert "With the usual feed, 150 g every 2 d" in before.told.sentence
    assert "after 12 d without" in skipped.told.sentence
    for found in (before, skipped):
        assert middle(figures(found, "What it changes")["gas more"]) > 0.0
    assert before.told.sections != skipped.told.sections


def test_what_is_filled_in_is_thinned_until_it_pours() -> None:
    manure = find("goat manure")
    fresh = thinned((Part(manure, 1.0),))
    assert fresh.volume_m3 > 0.001 * manure.value("TS") / 0.10 * 0.9
    thin = find("digester effluent")
    assert thinned((Part(thin, 1.0),)).volume_m3 < 0.0011


def test_a_run_whose_gas_was_never_read_says_it_goes_by_the_recipe(
    run: Run, keeper: Person
) -> None:
    fresh = Run(name="fresh", site=run.site, vessel=run.vessel)
    fresh.save(by=keeper)
    parts = [{"feedstock": "digester_effluent", "mass": "9 kg"}]
    record_event(fresh, "charge", at=at(run, 7.0), detail={"parts": parts}, by=keeper)
    fresh.refresh_from_db()
    told = ask(fresh).told
    rests = next(s for s in told.sections if s.title == "What it rests on")
    assert rests.before[0].startswith("By the recipe alone: no gas has been read yet")
    assert told.sentence.startswith("By the recipe alone: ")


def test_a_run_that_was_read_is_fitted_to_its_readings(run: Run) -> None:
    rests = next(s for s in ask(run).told.sections if s.title == "What it rests on")
    assert rests.before[0].startswith("Fitted to this run's own readings: gas (")


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"dose": "4 bar"}, "dose"),
        ({"amount": "1 kg"}, "feed"),
        ({"warm": "40"}, "warm"),
        ({"feed": "moonlight"}, "feed"),
        ({"draw": "500 L"}, "draw"),
        ({"refill": "water"}, "draw"),
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
    assert found.charts == ()
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


def test_charts_and_tables_say_the_same_at_the_same_heights(run: Run) -> None:
    found = ask(run, dose="40 g")
    assert [chart.title for chart in found.charts] == ["With it", "Doing nothing"]
    assert len({chart.group for chart in found.charts}) == 1
    for left, right in zip(*(chart.views for chart in found.charts), strict=True):
        assert (min(left.reach), max(left.reach)) == (min(right.reach), max(right.reach))
    for chart in found.charts:
        assert [view.name for view in chart.views] == ["pH", "Gas", "Methane", "Acids", "H₂S"]
        for view in chart.views:
            assert len(view.table.rows) == AHEAD_D + 1
            assert view.bands is not None
            assert view.line is not None
            low, high = np.array(view.bands.low95), np.array(view.bands.high95)
            assert bool(np.all(low <= np.array(view.line.value)))
            assert bool(np.all(np.array(view.line.value) <= high))
    assert f"{MEMBERS} lives" in " ".join(found.told.notes)
