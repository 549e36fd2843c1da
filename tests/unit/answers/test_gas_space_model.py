"""The way of a run's gas by the process model: believed where it agrees, left where it does not."""

from datetime import timedelta

import numpy as np
import pytest
from django.utils import timezone

from marshlight.answers.gas_space import gas_space
from marshlight.answers.gas_space_model import MEMBERS, ModelGas, model_gas
from marshlight.answers.gas_space_run import BY_MODEL, BY_TESTS, own_way
from marshlight.answers.lives import lives_of_run
from marshlight.answers.run_gas import run_gas
from marshlight.notebook.models import Person, Run, Site
from marshlight.notebook.recording import record_event, record_reading
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


def made(run: Run) -> ModelGas:
    found = own_way(run_gas(run), BY_MODEL)
    assert found.model is not None
    return found.model


def test_lives_that_are_far_from_the_counted_gas_are_left_out(run: Run) -> None:
    found = made(run)
    assert found.of == MEMBERS
    assert found.gas_m3.shape[0] == found.lives <= MEMBERS
    ledger = run_gas(run).analysis.ledger
    assert ledger is not None
    assert np.all(found.gas_m3[:, -1] > 0.5 * ledger.total.value)


def test_lives_fitted_to_every_reading_take_the_place_of_those_near_the_amount(run: Run) -> None:
    drawn = made(run)
    assert not drawn.fitted
    assert "not worked out yet" in drawn.why_not
    fit = lives_of_run(run, now=timezone.now())
    assert fit.lives is not None
    found = made(run)
    assert found.fitted
    assert found.lives == found.of == len(fit.lives) == found.gas_m3.shape[0]
    # Readings narrow the make-up of what it makes now.
    assert found.now[2] - found.now[0] < drawn.now[2] - drawn.now[0]
    assert np.all(found.methane_m3 <= found.gas_m3)
    answer = gas_space({}, run=run).answer
    model = next(s for s in answer.sections if s.title.startswith("What the process model"))
    names = [f.name for f in model.figures]
    assert "lives fitted to its readings" in names
    assert "lives that agree" not in names


def test_lives_that_have_not_seen_the_newest_record_are_not_used(run: Run, keeper: Person) -> None:
    lives_of_run(run, now=timezone.now())
    record_reading(run, "ph", "7.1", at=timezone.now() - timedelta(hours=1), by=keeper)
    found = made(run)
    assert not found.fitted
    assert "something was written down since" in found.why_not
    answer = gas_space({}, run=run).answer
    model = next(s for s in answer.sections if s.title.startswith("What the process model"))
    notes = " ".join(f.note for f in model.figures)
    assert "something was written down since" in notes


def test_lives_fitted_up_to_today_say_nothing_of_days_ahead(run: Run) -> None:
    lives_of_run(run, now=timezone.now())
    ahead = model_gas(run_gas(run), 40.0)
    assert not ahead.fitted
    assert "they end today" in ahead.why_not


def test_the_first_gas_is_richer_in_carbon_dioxide_than_what_follows(run: Run) -> None:
    low, middle, high = made(run).over_time(np.array([0.0, 0.5, 5.0, 6.0]))
    assert middle[1] < middle[3]
    assert np.all(low <= middle)
    assert np.all(middle <= high)


def test_the_gas_between_two_days_is_their_difference(run: Run) -> None:
    found = made(run)
    middle = found.over_time(np.array([1.0, 4.0]))[1][1]
    each = [
        np.diff(np.interp([1.0, 4.0], found.day, burns))[0]
        / np.diff(np.interp([1.0, 4.0], found.day, gas))[0]
        for burns, gas in zip(found.methane_m3, found.gas_m3, strict=True)
    ]
    assert middle == pytest.approx(np.quantile(each, 0.5))


def test_days_without_gas_keep_the_share_of_the_gas_before(run: Run) -> None:
    found = made(run)
    end = float(found.day[-1])
    shares = found.over_time(np.array([0.0, end, end + 1.0, end + 2.0]))[1]
    assert shares[2] == shares[1] == shares[3]


def test_the_page_follows_the_model_and_says_so(run: Run) -> None:
    answer = gas_space({}, run=run).answer
    assert any("comes from the process model" in note for note in answer.notes)
    titles = [section.title for section in answer.sections]
    assert "In the gas holder" in titles
    assert "What the process model says of its gas" in titles


def test_tests_of_the_gas_may_be_asked_for_instead(run: Run) -> None:
    answer = gas_space({"by": BY_TESTS}, run=run).answer
    assert any("comes from tests" in note for note in answer.notes)
    assert "What the process model says of its gas" not in [s.title for s in answer.sections]


def test_a_model_that_tests_contradict_is_not_followed(run: Run, keeper: Person) -> None:
    assert run.started_at is not None
    at = run.started_at + timedelta(days=7, hours=1)
    record_reading(run, "analyser", "12 %", detail={"carbon_dioxide": "86 %"}, at=at, by=keeper)
    answer = gas_space({}, run=run).answer
    assert any("comes from tests" in n and "the model says" in n for n in answer.notes)


@pytest.mark.parametrize("fitted", [False, True])
def test_a_model_far_from_the_counted_gas_is_not_followed(
    run: Run, keeper: Person, *, fitted: bool
) -> None:
    assert run.started_at is not None
    for turn in range(1, 90):
        at = run.started_at + timedelta(days=7, minutes=15 * turn)
        record_reading(run, "level", "240 mm", at=at, by=keeper)
        record_event(run, "holder_emptied", "0 mm", at=at + timedelta(minutes=9), by=keeper)
    if fitted:
        assert lives_of_run(run, now=timezone.now()).lives is not None
    answer = gas_space({}, run=run).answer
    assert any("is far from the" in note and "look for a leak" in note for note in answer.notes)
    # Its own way is followed all the same, by its tests.
    assert answer.sections[0].title == "Inside, and on the way there"


def test_a_run_whose_charge_is_unknown_is_followed_by_tests(run: Run) -> None:
    bare = Run(name="bare", site=run.site, vessel=run.vessel)
    bare.save()
    found = own_way(run_gas(bare), BY_MODEL)
    assert found.model is None


def test_after_emptying_the_holder_holds_less_air_than_from_the_start(
    run: Run, keeper: Person
) -> None:
    since = gas_space({}, run=run).picture
    assert since is not None
    held = next(spot for spot in since.spots if spot.label == "holder")
    path = own_way(run_gas(run), BY_MODEL).seen
    assert path is not None
    likely = path.paths[1].last
    # It was emptied on day 4: what came since is nearer to the gas space than to air.
    assert 1.0 - held.methane - held.co2 >= likely.air
    assert 1.0 - held.methane - held.co2 < 0.8


def test_the_model_is_asked_once_for_one_state_of_the_log(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    first = model_gas(run_gas(run), 5.0)

    def never(*_: object, **__: object) -> None:
        raise AssertionError("worked out again")

    monkeypatch.setattr("marshlight.answers.gas_space_model.ensemble", never)
    assert model_gas(run_gas(run), 5.0) is first


def test_typing_the_room_alone_does_not_replace_the_run_s_own_way(run: Run) -> None:
    known = {f.question.name: f.value for f in gas_space({}, run=run).answer.fields}
    answer = gas_space({**known, "room": "50 m3"}, run=run).answer
    assert any("comes from the process model" in note for note in answer.notes)
    answer = gas_space({**known, "made": "1 L"}, run=run).answer
    assert any("typed are reckoned with" in note for note in answer.notes)
