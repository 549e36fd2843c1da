"""The best next step: limits that bind are named, cautions stand at the hazard, trials are left."""

from types import SimpleNamespace

import numpy as np
import pytest
from django.utils import timezone

from marshlight.answers.analysis import analyse
from marshlight.answers.assessment import Assessed
from marshlight.answers.next_step import next_step
from marshlight.answers.next_step_dose import by_weight, give_words
from marshlight.answers.next_step_feed import Fed, amounts_table, each_time, flow_unit, often
from marshlight.answers.next_step_refill import due_words, flat_words
from marshlight.answers.simulate_opened import comes_first, opened
from marshlight.answers.simulate_try import larder_of
from marshlight.answers.state import State
from marshlight.answers.told import Answer, Section
from marshlight.decide.watch.steps import (
    Cycle,
    DosePlan,
    FeedingPlan,
    Liquor,
    RefillPlan,
    Risk,
    Rung,
)
from marshlight.decide.watch.suspicion import Suspicion
from marshlight.notebook.models import Person, Run, Site, TrialBottle
from marshlight.notebook.setting_up import set_up
from marshlight.process.model import Liquid
from worlds import make_drum

pytestmark = pytest.mark.django_db


@pytest.fixture
def run() -> Run:
    """Give the small drum on day 8."""
    keeper = Person(name="keeper", role=Person.Role.KEEPER)
    keeper.save()
    place = Site(name="Test yard", altitude_m=200.0, time_zone="UTC", room_temperature_c=18.0)
    place.save()
    return make_drum(place, keeper)


def section(found: Answer, start: str) -> Section:
    return next(s for s in found.sections if s.title.startswith(start))


def test_limits_are_named_and_cautions_stand_at_the_hazard(run: Run) -> None:
    parts: list[tuple[int, int]] = []

    def tell(done: int, of: int) -> None:
        parts.append((done, of))

    asked = {"at_hand": "0.02 kg", "warm": "20", "risk": "50 %"}
    found = next_step(asked, run=run, now=timezone.now(), system="us", progress=tell)
    assert found.problems == {}
    assert parts == [(i, 6) for i in range(1, 7)]
    feed = section(found, "Feed: ")
    # Its charge of bread sours most of its lives by itself.
    assert feed.before == ("No feed: left alone it is already at more risk than you would bear.",)
    assert found.sentence.startswith("Do not feed: left alone it ends sour in ")
    assert any("oz (about" in figure.value for figure in section(found, "Buffer").figures)
    assert "disease" in feed.warning
    assert "45 °C at most" in section(found, "Heat").before[0]
    assert "always the chemical into the water" in section(found, "Buffer").warning
    assert all(figure.sources for figure in section(found, "Buffer").figures)
    assert section(found, "Draw off").warning


def test_a_slip_stands_beside_its_field_without_figures(run: Run) -> None:
    found = next_step({"risk": "80 %"}, run=run, now=timezone.now())
    assert list(found.problems) == ["risk"]
    assert found.sections == ()


def test_a_bottle_of_a_trial_is_left_as_it_is(run: Run) -> None:
    run.trial_bottle = TrialBottle()
    assert "Leave it as it is" in next_step({}, run=run, now=timezone.now()).sentence


def test_a_run_that_has_ended_has_no_next_step(run: Run) -> None:
    run.ended_at = timezone.now()
    found = next_step({}, run=run, now=timezone.now())
    assert found.sentence.startswith("This run has ended")
    assert found.sections == ()


def test_a_run_without_a_charge_gets_a_reason(run: Run) -> None:
    bare = Run(name="bare", site=run.site, vessel=run.vessel)
    bare.save()
    found = next_step({}, run=bare, now=timezone.now())
    assert found.sentence.startswith("The model cannot say.")
    assert found.sections == ()


def planned(**changes: object) -> DosePlan:
    usual: dict[str, object] = {
        "liquor": Liquor(6.2, 37.0, 45.0), "liquid_m3": 0.015, "by_chemistry_kg": 0.05,
        "by_model_kg": 0.06, "allowed_kg": 0.18, "unfed": Risk(60, 100), "dosed": Risk(3, 100),
        "give_kg": 0.06, "portion_kg": 0.03, "limit": 0.05,
    }  # fmt: skip
    return DosePlan(**(usual | changes))  # type: ignore[arg-type]


def test_a_dose_is_told_in_portions_with_what_to_watch() -> None:
    words = give_words(planned(), "metric")
    assert "in 2 portions of 30 g (about 6.5 level teaspoons)" not in words
    assert "in 2 portions of 30 g" in words
    for part in ("outlet open", "Stop feeding", "Read the pH before each portion"):
        assert part in words


def test_where_soda_cannot_rescue_it_is_said() -> None:
    lost = planned(by_model_kg=None, dosed=Risk(40, 100))
    assert "It may not be enough" in give_words(lost, "metric")
    full = planned(allowed_kg=0.0, give_kg=0.0, by_model_kg=None)
    assert give_words(full, "metric").startswith("No more bicarbonate")
    idle = planned(by_chemistry_kg=0.0, by_model_kg=None, give_kg=0.0)
    assert give_words(idle, "metric").startswith("Soda is not the remedy")
    assert give_words(planned(unfed=Risk(1, 100)), "metric").startswith("No dose is called for")


def test_weights_come_with_spoons_only_where_they_can_be_counted() -> None:
    assert by_weight(0.0046, "metric") == "4.6 g (about 1 level teaspoon)"
    assert by_weight(1.5, "metric") == "1.5 kg"
    assert by_weight(0.0005, "metric") == "500 mg"
    assert often(3.0) == "every 3 days"


def cycle(days: float, share: float, gas: float) -> Cycle:
    return Cycle(days, share, (gas, gas, gas), np.full(4, gas), 0.0, Risk(0, 100))


def test_how_little_it_matters_is_only_said_where_it_does_not() -> None:
    tried = tuple(cycle(d, s, 1.0 + d / 1000.0) for d in (20.0, 30.0) for s in (0.25, 0.33))
    flat = RefillPlan(tried[-1], tried, tried, (0.0, 2.0, 5.0), 0.05, 0)
    assert flat_words(flat).startswith("It hardly matters: 4 of 4 ways")
    poor = tuple(cycle(40.0 + i, 0.25, 0.1) for i in range(9))
    steep = RefillPlan(tried[0], (*tried[:2], *poor), tried[:2], (0.0, 2.0, 5.0), 0.05, 0)
    assert flat_words(steep) == (
        "Within 5 % of the best comes every 20 days 33 % drawn off; elsewhere it matters."
    )
    alone = RefillPlan(tried[0], (tried[0], *poor), tried[:1], (0.0, 0.0, 0.0), 0.05, 0)
    assert "here it matters" in flat_words(alone)
    assert due_words(alone) == "now"
    assert due_words(steep) == "in 2 days (0 to 5 days from now)"


def test_a_refill_within_half_a_day_is_due_now() -> None:
    ways = (cycle(20.0, 0.25, 1.0),)
    assert due_words(RefillPlan(ways[0], ways, ways, (0.0, 0.3, 2.0), 0.05, 0)) == (
        "now (0 to 2 days from now)"
    )


def test_a_leak_comes_before_any_plan(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    leak = Suspicion("leak", "gas is being lost", 0.8, "", test="Brush soapy water on the lid")
    for module in ("assessment", "simulate_opened"):
        monkeypatch.setattr(f"marshlight.answers.{module}.suspected", lambda *_: leak)
    begun = opened(
        {}, run=run, now=timezone.now(), system="metric", key="next-step", title="The best",
        questions=lambda larder: (),
    )  # fmt: skip
    assert begun.holds
    assert begun.told.first.startswith("First: brush soapy water on the lid")
    assert "Do not feed it for more gas before that" in begun.told.first


def test_a_run_in_order_has_nothing_first(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(
        "marshlight.answers.simulate_opened.assess_run",
        lambda *_, **__: Assessed(State("steady"), "It runs well.", (), "", ""),
    )
    begun = opened(
        {}, run=run, now=timezone.now(), system="metric", key="next-step", title="The best",
        questions=lambda larder: (),
    )  # fmt: skip
    assert begun.told.first == ""
    assert not begun.holds


def test_a_leak_that_was_answered_is_a_leak_still(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        "marshlight.answers.simulate_opened.assess_run",
        lambda *_, **__: Assessed(State("leaking"), "Gas seems to be getting lost.", (), "", ""),
    )
    words, holds = comes_first(analyse(run), timezone.now(), "metric")
    assert holds
    assert words.startswith("Gas seems to be getting lost. Do not feed it for more gas before")


def test_a_run_that_only_starts_is_to_be_fed_nothing(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(
        "marshlight.answers.simulate_opened.assess_run",
        lambda *_, **__: Assessed(State("starting"), "It is getting going.", (), "", ""),
    )
    told = []
    for flame in ((), ((2.0, "dies"),), ((2.0, "holds"),)):
        facts = SimpleNamespace(flame=flame)
        monkeypatch.setattr("marshlight.answers.simulate_opened.run_facts_of", lambda *_: facts)  # noqa: B023
        told.append(comes_first(analyse(run), timezone.now(), "metric")[0])
    assert all(words.startswith("First: let it get going.") for words in told[:2])
    assert told[2] == ""


def test_what_went_in_is_not_offered_twice(run: Run) -> None:
    keeper = Person.objects.get()
    analysis = analyse(run)
    material = next(part.feedstock for charge in analysis.records.charges for part in charge.parts)
    before = larder_of(run, analysis, timezone.now())
    assert material.name in before.lots
    set_up(
        "lot", {"name": "Sack by the door", "feedstock": material.name, "amount": "5 kg"},
        by=keeper,
    )  # fmt: skip
    after = larder_of(run, analysis, timezone.now())
    assert "Sack by the door" in after.lots
    assert material.name not in after.lots


def test_where_the_risk_cannot_be_told_the_gentlest_rhythm_is_taken() -> None:
    def plan(every: float, binds: str, gas: float) -> FeedingPlan:
        rung = Rung(0.1, Risk(0, 20), (gas, gas, gas))
        return FeedingPlan(every, rung, rung, binds, 0.05, (rung,), Liquid(0.001, {}), 0.015)

    told = Fed("bread", (plan(1.0, "risk", 1.0), plan(7.0, "risk", 1.0)), 1e-3, 0.0)
    assert told.best.every_d == 7.0
    untold = Fed("bread", (plan(1.0, "few", 1.0), plan(7.0, "few", 1.0)), 1e-3, 0.0, 0.012)
    assert untold.best.every_d == 1.0
    assert untold.holder_hours == pytest.approx(24.0 * 0.012)


def test_amounts_that_are_compared_stand_in_one_unit_and_nobody_counts_forty_spoons() -> None:
    few, much = (Rung(kg, Risk(0, 200), (gas, gas, gas)) for kg, gas in ((0.02, 4e-4), (0.2, 5e-3)))
    plan = FeedingPlan(1.0, much, few, "stay", 0.05, (few, much), Liquid(0.001, {}), 0.015)
    fed = Fed("bread", (plan,), 1e-3, 0.0)
    metric = [row[1].split(" ", 1)[1] for row in amounts_table(fed, "metric").rows]
    assert metric == ["L/d (0.40 to 0.40 L/d)", "L/d (5.0 to 5.0 L/d)"]
    assert each_time(fed, 0.2, "us") == "7.1 oz (about 0.85 cup)"
    assert flow_unit(fed, "us") == "gal/d"
