"""Parts of a trial: comparisons, power, design, the rack, stopping, mixtures, pooling."""

import numpy as np
import pytest
from scipy import stats
from statsmodels.stats.multicomp import pairwise_tukeyhsd
from statsmodels.stats.power import TTestIndPower

from marshlight.decide.trial import (
    Group,
    Material,
    OwnResult,
    Plan,
    SharedError,
    Step,
    bottles_needed,
    compare_pairs,
    design_trial,
    drawn_toward,
    pooled_power,
    round_doubts,
    shuffled,
    smallest_difference,
    stopping,
    synergy,
    welch,
    welch_power,
)
from marshlight.decide.trial.studentized_range import range_p, range_quantile
from marshlight.errors import InputError
from marshlight.estimate import Estimate


def _groups(seed: int, sizes: tuple[int, ...]) -> list[Group]:
    rng = np.random.default_rng(seed)
    return [Group(f"g{i}", tuple(rng.normal(3 + i, 1.0, n))) for i, n in enumerate(sizes)]


def test_welch_agrees_with_scipy() -> None:
    a, b = _groups(1, (4, 6))
    theirs = stats.ttest_ind(a.values, b.values, equal_var=False)
    ours = welch(a, b)
    assert ours.p == pytest.approx(theirs.pvalue, rel=1e-12)
    assert ours.df == pytest.approx(theirs.df, rel=1e-12)
    assert (ours.low, ours.high) == pytest.approx(theirs.confidence_interval(), rel=1e-10)


def test_tukey_agrees_with_statsmodels_for_unequal_groups() -> None:
    groups = _groups(2, (3, 5, 4, 6))
    values = [v for g in groups for v in g.values]
    names = [g.name for g in groups for _ in g.values]
    theirs = pairwise_tukeyhsd(values, names)
    expected = {
        frozenset(pair): p
        for pair, p in zip(
            [
                (a, b)
                for i, a in enumerate(theirs.groupsunique)
                for b in theirs.groupsunique[i + 1 :]
            ],
            theirs.pvalues,
            strict=True,
        )
    }
    for c in compare_pairs(groups, method="tukey"):
        assert c.p == pytest.approx(expected[frozenset((c.a, c.b))], abs=1e-5)


def test_power_agrees_with_statsmodels() -> None:
    for d, n in ((0.5, 10), (1.0, 4), (2.0, 3)):
        theirs = TTestIndPower().power(d, n, 0.05)
        assert pooled_power(d, 1.0, n) == pytest.approx(theirs, abs=1e-6)


def test_blanks_shared_by_both_groups_cancel_when_their_levers_are_equal() -> None:
    a, b = _groups(3, (3, 3))
    same = welch(a, b, shared=SharedError(10.0, 2.0))
    assert same.standard_error == pytest.approx(welch(a, b).standard_error)
    apart = welch(
        Group("a", a.values, 100.0), Group("b", b.values, 90.0), shared=SharedError(0.1, 2.0)
    )
    assert apart.standard_error == pytest.approx(np.hypot(same.standard_error, 1.0))


def test_unequal_scatter_and_many_comparisons_only_widen() -> None:
    a, b = _groups(4, (3, 3))
    alone, among = welch(a, b), welch(a, b, of=6)
    assert among.low < alone.low
    assert among.p > alone.p


def test_welch_needs_more_bottles_than_equal_scatter_would() -> None:
    assert smallest_difference(1.0, 3) > smallest_difference(1.0, 3, pooled=True)
    assert bottles_needed(2.0, 1.0) >= 5
    assert welch_power(0.0, (1.0, 1.0), (3, 3)) < 0.05


def test_shuffling_three_against_three_cannot_fall_below_a_tenth() -> None:
    found = shuffled([1.0, 1.1, 1.2], [9.0, 9.1, 9.3])
    assert found.p == found.smallest_p == pytest.approx(0.1)
    many = shuffled(list(np.arange(8.0)), list(np.arange(8.0) + 0.5))
    assert many.p > 0.4


def test_a_design_weighs_in_by_the_ratio_and_fills_the_bottle() -> None:
    bread = Material("bread", 0.6, Estimate(0.42, 0.03), 0.3)
    whey = Material("whey", 0.05, Estimate(0.45, 0.04), 0.5)
    cellulose = Material("cellulose", 0.95, Estimate(0.365, 0.01), 0.3, role="control")
    plan = Plan((cellulose, bread, whey), 1e-3, 0.4, 0.02, Estimate(2e-3, 3e-4), blocks=3)
    made = design_trial(plan, rng=np.random.default_rng(7))
    for f in made.fillings:
        # A closed bottle gains 100 kPa at most in its first day, at 10 g VS a litre at most.
        assert f.most_in_a_day_m3 / 4e-4 * 101.325 * 310.15 / 273.15 < 100.01
        assert f.substrate_vs_kg <= 4.0e-3 + 1e-12
        assert f.inoculum_kg + f.substrate_kg + f.water_kg == pytest.approx(0.6)
        assert f.water_kg > -1e-12
        if f.role != "blank":
            assert f.inoculum_kg * 0.02 / f.substrate_vs_kg == pytest.approx(2.0)
    assert len(made.places) == 12
    for block in (1, 2, 3):
        here = [p.name for p in made.places if p.block == block]
        assert sorted(here) == ["blank", "bread", "cellulose", "whey"]
    assert made.places == design_trial(plan, rng=np.random.default_rng(7)).places
    assert made.places != design_trial(plan, rng=np.random.default_rng(8)).places
    slow = next(f for f in made.fillings if f.name == "bread")
    assert slow.days == pytest.approx(np.log1p(30.0) / 0.3 + 3.0)
    assert not made.warnings or all("VS" in w or "kPa" in w for w in made.warnings)


def test_a_design_without_a_control_or_with_two_bottles_is_warned_about() -> None:
    plan = Plan(
        (Material("bread", 0.6, Estimate(0.42, 0.03), 0.3),),
        1e-3, 0.4, 0.02, Estimate(2e-3, 3e-4), replicates=2,
    )  # fmt: skip
    warned = " ".join(design_trial(plan, rng=np.random.default_rng(1)).warnings)
    assert "control" in warned
    assert "three is the least" in warned


def _round(**amounts: float) -> list[Step]:
    return [Step(k.replace("_", " "), k.rpartition("_")[0], v, 1.0) for k, v in amounts.items()]


def test_a_round_that_fits_raises_no_question() -> None:
    steps = _round(bread_1=100, bread_2=96, bread_3=103, whey_1=40, whey_2=42, whey_3=39)
    assert round_doubts(steps) == ()


def test_two_readings_under_each_others_label_are_asked_about_once() -> None:
    steps = _round(bread_1=41, bread_2=96, bread_3=103, whey_1=40, whey_2=99, whey_3=39)
    found = round_doubts(steps)
    assert [set(d.labels) for d in found] == [{"bread 1", "whey 2"}]


def test_gas_that_goes_back_or_stays_behind_is_questioned() -> None:
    steps = _round(bread_1=-5, bread_2=96, bread_3=103, whey_1=15, whey_2=42, whey_3=39)
    texts = {d.labels[0]: d.text for d in round_doubts(steps)}
    assert "less gas than before" in texts["bread 1"]
    assert "stopper" in texts["whey 1"]


def test_sparse_readings_must_be_slow_for_three_days_in_all() -> None:
    day = [10.0, 12.0, 13.0, 15.0]
    assert stopping(day, [0.95, 0.955, 0.958, 0.960]).met_on == 13.0
    assert stopping(day, [0.90, 0.95, 0.958, 0.962]).met_on == 15.0
    assert stopping(day, [0.0, 0.0, 0.0, 0.0]).met_on is None


def test_a_mixture_is_judged_against_its_parts_by_vs() -> None:
    bread, whey = Group("bread", (0.40, 0.42, 0.41)), Group("whey", (0.36, 0.35, 0.37))
    more = synergy(Group("both", (0.45, 0.46, 0.47)), [(bread, 0.5), (whey, 0.5)])
    assert more.expected == pytest.approx(0.385)
    assert more.word == "synergy"
    same = synergy(Group("both", (0.38, 0.39, 0.40)), [(bread, 0.5), (whey, 0.5)])
    assert same.word == "neither shown"
    with pytest.raises(InputError, match="shares"):
        synergy(Group("both", (0.38, 0.39)), [(bread, 0.5), (whey, 0.4)])


def test_own_results_outweigh_the_published_range_as_they_grow() -> None:
    published = Estimate(0.40, 0.05)
    one = drawn_toward(published, [OwnResult(0.46, 0.01, 3)])
    many = drawn_toward(published, [OwnResult(0.46 + d, 0.01, 3) for d in (-0.01, 0.0, 0.01, 0.0)])
    assert published.value < one.used.value < many.used.value < 0.46
    assert one.own_weight < many.own_weight
    assert many.used.u < one.used.u < published.u


def test_the_studentized_range_agrees_with_scipy() -> None:
    for q, k, df in ((2.0, 3, 2.3), (4.1, 4, 12.0), (9.0, 3, 3.5), (3.3, 6, 40.0)):
        theirs = stats.studentized_range.sf(q, k, df)
        assert range_p(q, k, df) == pytest.approx(theirs, abs=1e-7)
    assert range_quantile(0.95, 3, 12.0) == pytest.approx(3.7729, abs=6e-5)
