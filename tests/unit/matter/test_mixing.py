"""A blend weighs what it should, takes the room it should, and knows how sure it is."""

from collections.abc import Callable

import numpy as np
import pytest

from marshlight.errors import InputError
from marshlight.estimate import Estimate
from marshlight.matter import Feedstock, Part, Property, blend, find, library
from marshlight.matter.content import content
from marshlight.matter.macromolecules import MACROMOLECULES
from marshlight.matter.propagation import Inputs

Make = Callable[..., Feedstock]

MANURE = {
    "TS": (0.20, 0.16, 0.24),
    "VS": (0.80, 0.74, 0.86),
    "methane_potential": (0.20, 0.15, 0.25),
    "rate": (0.08, 0.05, 0.11),
    "carbohydrate": 0.15,
    "protein": 0.15,
    "lipid": 0.05,
    "fibre": 0.45,
    "lignin": 0.20,
    "easily_degraded": (0.10, 0.06, 0.14),
    "C_to_N": (16.0, 12.0, 20.0),
    "TKN": (0.03, 0.024, 0.036),
    "TAN": (0.001, 0.0006, 0.0014),
    "alkalinity": (0.008, 0.005, 0.011),
    "methanogenic_activity": (0.004, 0.003, 0.005),
    "P": 0.007,
    "K": 0.02,
    "bulk_density": (800.0, 700.0, 900.0),
}
BREAD = {
    "TS": (0.65, 0.60, 0.70),
    "VS": (0.98, 0.97, 0.99),
    "methane_potential": (0.38, 0.34, 0.42),
    "rate": (0.45, 0.35, 0.55),
    "carbohydrate": 0.80,
    "protein": 0.14,
    "lipid": 0.02,
    "fibre": 0.035,
    "lignin": 0.005,
    "easily_degraded": (0.85, 0.80, 0.90),
    "C_to_N": (19.0, 16.0, 22.0),
    "TKN": (0.0235, 0.021, 0.026),
    "TAN": 0.0,
    "P": 0.0015,
    "K": 0.002,
    "bulk_density": (250.0, 200.0, 300.0),
}


def test_solids_methane_and_ratios_are_the_sums_one_does_by_hand(make: Make) -> None:
    mix = blend([Part(make("manure", **MANURE), 10.0), Part(make("bread", **BREAD), 1.0)], 9.0)
    assert mix.mass_kg.value == pytest.approx(20.0)
    assert mix.TS.value == pytest.approx((10 * 0.2 + 0.65) / 20)
    vs = 10 * 0.2 * 0.8 + 0.65 * 0.98
    assert mix.vs_kg.value == pytest.approx(vs)
    methane = 1.6 * 0.20 + 0.637 * 0.38
    assert mix.methane_m3 is not None
    assert mix.methane_m3.value == pytest.approx(methane)
    assert mix.rate is not None
    assert mix.rate.value == pytest.approx((1.6 * 0.2 * 0.08 + 0.637 * 0.38 * 0.45) / methane)


def test_carbon_to_nitrogen_weighs_carbon_and_nitrogen_not_ratios(make: Make) -> None:
    mix = blend([Part(make("manure", **MANURE), 1.0), Part(make("bread", **BREAD), 1.0)])
    nitrogen = 0.2 * 0.03 + 0.65 * 0.0235
    carbon = 0.2 * 0.03 * 16.0 + 0.65 * 0.0235 * 19.0
    assert mix.C_to_N is not None
    assert mix.C_to_N.value == pytest.approx(carbon / nitrogen)
    # Weighing the ratios by fresh mass, as some handbooks do, would give 17.5.
    assert mix.C_to_N.value > 18.0


def test_slurry_volume_is_water_plus_dry_matter_at_its_own_density(make: Make) -> None:
    dry = make("starch", TS=1.0, VS=1.0, carbohydrate=1, protein=0, lipid=0, fibre=0, lignin=0)
    mix = blend([Part(dry, 1.0)], 9.0, temperature_c=20.0)
    starch = 1.0 / MACROMOLECULES["carbohydrate"].density(20.0)
    assert mix.volume_m3.value == pytest.approx(9.0 / 998.2 + starch, rel=1e-4)
    assert 1030.0 < mix.density.value < 1040.0


def test_ash_takes_less_room_than_organic_matter(make: Make) -> None:
    split = {"carbohydrate": 0.2, "protein": 0.2, "lipid": 0.0, "fibre": 0.6, "lignin": 0.0}
    sandy = blend([Part(make("sandy", TS=0.3, VS=0.4, **split), 1.0)])
    clean = blend([Part(make("clean", TS=0.3, VS=0.9, **split), 1.0)])
    assert sandy.volume_m3.value < clean.volume_m3.value


def test_buckets_go_by_heaped_density_not_by_slurry_density(make: Make) -> None:
    mix = blend([Part(make("bread", **BREAD), 1.0)], 1.0)
    (bulk,) = mix.bulk_m3
    assert bulk is not None
    assert bulk.value == pytest.approx(1.0 / 250.0)
    assert bulk.u / bulk.value == pytest.approx(25.0 / 250.0)
    assert bulk.value > mix.volume_m3.value


def test_first_order_uncertainty_agrees_with_monte_carlo(make: Make) -> None:
    """1500 blends of sampled lots, total and volatile solids of a lot correlated at 0.6."""
    rng = np.random.default_rng(20240229)
    lots = [make("manure", **MANURE), make("bread", **BREAD)]
    masses, scale_u = (10.0, 1.0), 0.05
    correlation = 0.6

    def sampled(lot: Feedstock) -> Feedstock:
        ts, vs = rng.multivariate_normal([0.0, 0.0], [[1.0, correlation], [correlation, 1.0]])
        special = {"TS": ts, "VS": vs}

        def draw(name: str, held: Property) -> Property:
            z = special.get(name, rng.standard_normal())
            value = held.value + z * held.estimate.u
            return Property(value, value, value, "blended")

        held = {n: p if p.estimate.u == 0 else draw(n, p) for n, p in lot.properties.items()}
        return Feedstock(lot.key, lot.name, lot.group, held)

    names = ("volume_m3", "TS", "VS", "vs_kg", "methane_m3", "rate", "C_to_N", "TKN", "alkalinity")
    rows = []
    for _ in range(1500):
        weighed = [m + scale_u * rng.standard_normal() for m in masses]
        mix = blend([Part(sampled(lot), m) for lot, m in zip(lots, weighed, strict=True)], 9.0)
        rows.append([getattr(mix, name).value for name in names])
    spread = np.array(rows).std(axis=0, ddof=1)
    mix = blend(
        [Part(lot, m, scale_u) for lot, m in zip(lots, masses, strict=True)],
        9.0,
        correlations={("VS", "TS"): correlation},
    )
    ours = np.array([getattr(mix, name).u for name in names])
    # 1500 draws know a standard deviation to 1.8 %; second-order terms add a few per cent.
    np.testing.assert_allclose(ours, spread, rtol=0.08)


def test_solids_that_go_up_together_make_organic_matter_less_sure(make: Make) -> None:
    part = [Part(make("manure", **MANURE), 1.0)]
    apart = blend(part).vs_kg.u
    together = blend(part, correlations={("TS", "VS"): 0.9}).vs_kg.u
    opposed = blend(part, correlations={("TS", "VS"): -0.9}).vs_kg.u
    assert opposed < apart < together


def test_the_volatile_share_of_one_lot_owes_nothing_to_its_total_solids(make: Make) -> None:
    mix = blend([Part(make("manure", **MANURE), 3.0)], 5.0)
    assert mix.VS is not None
    assert mix.VS.u == pytest.approx(0.03)  # that of the lot's own VS: TS cancels


def test_one_lot_in_two_buckets_is_no_surer_than_in_one(make: Make) -> None:
    lot = make("manure", **MANURE)
    one, two = blend([Part(lot, 4.0)]), blend([Part(lot, 1.0), Part(lot, 3.0)])
    assert two.ts_kg.u == pytest.approx(one.ts_kg.u)


def test_two_equal_parts_are_still_two_weighings(make: Make) -> None:
    lot = make("manure", **MANURE)
    mix = blend([Part(lot, 1.0, 0.1), Part(lot, 1.0, 0.1)])
    assert mix.mass_kg.u == pytest.approx(0.1 * 2**0.5)


def test_make_up_given_in_shares_is_made_whole(make: Make) -> None:
    lot = make(
        "short", TS=0.5, VS=1.0, carbohydrate=0.59, protein=0.2, lipid=0.1, fibre=0.1, lignin=0.0
    )
    mix = blend([Part(lot, 1.0)])
    assert mix.split is not None
    assert sum(share.value for share in mix.split.values()) == pytest.approx(1.0)


def test_what_a_lot_does_not_say_is_not_made_up(make: Make) -> None:
    bare = make("bare", TS=0.2, VS=0.8)
    mix = blend([Part(bare, 1.0), Part(make("manure", **MANURE), 1.0)], 2.0)
    assert mix.methane_m3 is None
    assert mix.unknown["methane potential"] == ("bare",)
    assert mix.taken_as_none["alkalinity"] == ("bare",)
    assert mix.volume_m3.u > 0.0


def test_a_lot_left_out_does_not_hide_what_is_known(make: Make) -> None:
    mix = blend([Part(make("bare", TS=0.2, VS=0.8), 0.0), Part(make("manure", **MANURE), 1.0)])
    assert mix.methane_m3 is not None
    assert mix.unknown == {}


def test_a_lot_without_solids_is_asked_for_them(make: Make) -> None:
    with pytest.raises(InputError, match="VS"):
        blend([Part(make("odd", TS=0.2), 1.0)])


def test_nitrogen_not_stated_is_that_of_the_protein(make: Make) -> None:
    lot = make(
        "bean", TS=0.9, VS=0.95, carbohydrate=0.6, protein=0.3, lipid=0.02, fibre=0.06, lignin=0.02
    )
    mix = blend([Part(lot, 1.0)])
    assert mix.nitrogen_kg is not None
    # 14.007 of 113.12 in C5H7NO2.
    assert mix.nitrogen_kg.value == pytest.approx(0.9 * 0.95 * 0.3 * 14.007 / 113.12, rel=1e-4)


def test_ammonia_in_the_end_is_what_digestion_sets_free(make: Make) -> None:
    mix = blend([Part(make("manure", **MANURE), 1.0)])
    assert mix.ammonia_in_the_end is not None
    assert mix.digestible_share is not None
    bound = 0.2 * 0.03 - 0.001
    assert mix.ammonia_in_the_end.value == pytest.approx(0.001 + bound * mix.digestible_share.value)
    assert mix.TAN.value < mix.ammonia_in_the_end.value < 0.2 * 0.03


def test_water_alone_is_a_blend_of_nothing() -> None:
    mix = blend([], 5.0, temperature_c=38.0)
    assert mix.TS.value == 0.0
    assert mix.VS is None
    assert mix.density.value == pytest.approx(992.97, abs=0.05)
    with pytest.raises(InputError, match="dry matter"):
        mix.as_feedstock("water", "water")


def test_nothing_at_all_is_refused() -> None:
    with pytest.raises(InputError, match="something altogether"):
        blend([])
    with pytest.raises(InputError, match="zero or more"):
        Part(find("stale bread"), -1.0)


def test_a_blend_can_be_kept_as_a_feedstock(make: Make) -> None:
    first = blend([Part(make("manure", **MANURE), 3.0), Part(make("bread", **BREAD), 1.0)], 6.0)
    stock = first.as_feedstock("premix", "premix")
    again = blend([Part(stock, first.mass_kg.value)])
    assert again.TS.value == pytest.approx(first.TS.value)
    assert again.vs_kg.u == pytest.approx(first.vs_kg.u, rel=0.15)


def test_every_material_of_the_library_can_be_blended() -> None:
    for stock in library().values():
        mix = blend([Part(stock, 1.0)], 1.0)
        assert 900.0 < mix.density.value < 1500.0, stock.key
        assert mix.mass_kg.value == pytest.approx(2.0)


def test_no_material_of_the_library_gives_more_methane_than_its_make_up_can() -> None:
    over = {}
    for stock in library().values():
        mix = blend([Part(stock, 1.0)])
        if mix.digestible_share is not None and mix.digestible_share.value > 1.02:
            over[stock.key] = round(mix.digestible_share.value, 2)
    assert over == {}


def test_correlations_that_cannot_hold_together_are_refused() -> None:
    estimates = {(0, name): Estimate(1.0, 0.1) for name in "abc"}
    wild = {("a", "b"): 0.9, ("b", "c"): 0.9, ("a", "c"): -0.9}
    with pytest.raises(InputError, match="correlations"):
        Inputs(estimates, wild)


def test_plain_and_uncertain_numbers_give_the_same_content(make: Make) -> None:
    stock = make("manure", **MANURE)
    inputs = Inputs({(0, n): p.estimate for n, p in stock.properties.items()}, {})
    sure = content(lambda n: p.value if (p := stock.properties.get(n)) else None, 0.0, 37.0)
    doubtful = content(lambda n: inputs.get((0, n)), inputs.constant(0.0), 37.0)
    for name in ("ts", "vs", "volume", "methane", "carbon", "ammonia_in_the_end", "activity"):
        assert getattr(doubtful, name).value == pytest.approx(getattr(sure, name)), name
