"""A whole trial: an independent recomputation, what is flagged, and what is claimed."""

from dataclasses import replace

import numpy as np
import pandas as pd
import pytest
from scipy import stats

from marshlight.decide.trial import TrialFacts, assess_trial
from marshlight.errors import InputError
from trials import USUAL, exchanged, leaking, made_trial


def _trial(seed: int = 3, **more: object) -> TrialFacts:
    return TrialFacts(tuple(made_trial(np.random.default_rng(seed), **more)))  # type: ignore[arg-type]


def test_another_route_through_pandas_and_scipy_gives_the_same_figures() -> None:
    facts = _trial()
    result = assess_trial(facts)
    rows = pd.DataFrame(
        {
            "label": b.label,
            "role": b.role,
            "group": b.group,
            "inoculum": b.inoculum_kg,
            "vs": b.vs_kg,
            "day": t,
            "gas": v,
        }
        for b in facts.bottles
        for t, v in zip(b.day, b.methane_m3, strict=True)
    )
    end = rows.groupby("label").day.max().min()
    last = rows[rows.day == end].set_index("label")
    blank = last[last.role == "blank"]
    per_kg = blank.gas / blank.inoculum
    rest = last[last.role != "blank"].copy()
    rest["b"] = (rest.gas - per_kg.mean() * rest.inoculum) / rest.vs
    rest["lever"] = rest.inoculum / rest.vs
    rest["s2"] = per_kg.sem() * rest.lever
    table = rest.groupby("group").agg(
        mean=("b", "mean"), se=("b", "sem"), n=("b", "size"), lever=("lever", "mean")
    )
    table["s2"] = rest.groupby("group").s2.apply(lambda s: np.sqrt((s**2).mean()))
    table["error"] = np.hypot(table.se, table.s2)
    k = len(blank)
    table["df"] = table.error**4 / (table.se**4 / (table.n - 1) + table.s2**4 / (k - 1))
    table["half"] = stats.t.ppf(0.975, table.df) * table.error
    for p in result.result.potentials:
        row = table.loc[p.group]
        ours = (p.mean, p.standard_error, p.df, p.high - p.mean)
        assert ours == pytest.approx(tuple(row[["mean", "error", "df", "half"]]), rel=1e-9)
    pairs = len(result.result.contrasts)
    for c in result.result.contrasts:
        a, b = table.loc[c.a], table.loc[c.b]
        blank_part = ((a.lever - b.lever) * per_kg.sem()) ** 2
        variance = a.se**2 + b.se**2 + blank_part
        df = variance**2 / (a.se**4 / (a.n - 1) + b.se**4 / (b.n - 1) + blank_part**2 / (k - 1))
        quantile = stats.t.ppf(0.5 + 0.95 ** (1 / pairs) / 2, df)
        difference = a["mean"] - b["mean"]
        p = 1 - (1 - 2 * stats.t.sf(abs(difference) / np.sqrt(variance), df)) ** pairs
        theirs = (difference, difference - quantile * np.sqrt(variance), p)
        assert (c.difference, c.low, c.p) == pytest.approx(theirs, rel=1e-9, abs=1e-15)


def test_a_clean_trial_is_accepted_and_nothing_is_flagged() -> None:
    result = assess_trial(_trial(scatter=0.02))
    assert result.flags == ()
    assert result.without_flagged is None
    # Only what the notebook does not know (how often solids were measured) is left open.
    assert result.accepted
    assert [c.key for c in result.criteria if c.required and c.met is None] == ["solids"]


def test_a_leak_a_swapped_pair_and_a_failed_control_are_all_named() -> None:
    kinds = tuple(replace(k, potential=0.30) if k.role == "control" else k for k in USUAL)
    bottles = made_trial(np.random.default_rng(11), kinds=kinds, n=4, scatter=0.02)
    bottles = [leaking(b, since=7.0, keeps=0.4) if b.label == "pomace 3" else b for b in bottles]
    bottles = exchanged(bottles, "bread 1", "cellulose 2")
    result = assess_trial(TrialFacts(tuple(bottles)))
    found = {(flag.kind, frozenset(flag.labels)) for flag in result.flags}
    assert found == {
        ("swapped", frozenset({"bread 1", "cellulose 2"})),
        ("leaking", frozenset({"pomace 3"})),
    }
    assert not result.accepted
    unmet = {c.key for c in result.criteria if c.met is False}
    assert {"control_mean", "leaks"} <= unmet
    assert "provisional" in result.standing
    # Nothing is dropped: all bottles are in the result, the flagged ones out of the other one.
    assert len(result.result.labels) == len(bottles)
    assert result.without_flagged is not None
    assert len(result.without_flagged.labels) == len(bottles) - 3


def test_the_verdict_claims_a_difference_only_where_an_interval_leaves_out_zero() -> None:
    for seed in range(5):
        result = assess_trial(_trial(seed, scatter=0.08)).result
        for c in result.contrasts:
            more, less = (c.a, c.b) if c.difference > 0 else (c.b, c.a)
            claim = f"{more.capitalize()} gave more methane than {less}"
            assert (claim in result.sentence) == c.separated


def test_a_bottle_left_out_on_purpose_stays_out() -> None:
    facts = replace(_trial(), left_out={"whey 2": "dropped on the floor"})
    assert "whey 2" not in assess_trial(facts).result.labels


def test_without_blanks_there_is_no_potential() -> None:
    facts = _trial(blanks=1)
    with pytest.raises(InputError, match="blanks"):
        assess_trial(facts)


def test_degradability_is_the_potential_over_the_theory() -> None:
    result = assess_trial(replace(_trial(), theory={"cellulose": 0.41471}))
    control = result.result.of("cellulose")
    assert control is not None
    assert result.degradability == {"cellulose": pytest.approx(control.mean / 0.41471)}


def test_each_bottle_has_its_speed_and_materials_keep_their_order() -> None:
    result = assess_trial(_trial())
    assert len(result.kinetics) == 12
    rate = {g.group: g.parameters["rate"].value for g in result.group_kinetics}
    assert rate["whey"] > rate["bread"] > rate["pomace"]
    whey = next(k for k in result.kinetics if k.group == "whey")
    assert whey.half_d < whey.four_fifths_d < 6.0
