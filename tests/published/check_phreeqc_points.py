"""The model's acid-base chemistry against a reference speciation program, run once for this."""

from functools import cache

from marshlight.process.model.liquid import Liquid, dose
from marshlight.process.model.speciation import Speciation, equilibrium
from published.harness import Check

SOURCE = "PHREEQC (phreeqc.dat through phreeqpython 1.6.2), water at fixed CO2 pressure"
STATUS = "computed with reference library"
# degC, CO2 [bar], NaHCO3 [g/L], ammonia [g N/L], acetic acid [g/L]: pH.
PLAIN = {
    (35, 0.35, 0.5, 0, 0): 6.0878,
    (35, 0.35, 1, 0, 0): 6.3756,
    (35, 0.35, 5, 0, 0): 7.0269,
    (35, 0.35, 20, 0, 0): 7.5583,
    (35, 0.30, 2, 0, 0): 6.7261,
    (35, 0.30, 5, 0, 0): 7.0934,
    (35, 0.45, 2, 0, 0): 6.5506,
    (35, 0.45, 5, 0, 0): 6.9183,
    (37, 0.40, 2, 0, 0): 6.6154,
    (37, 0.40, 5, 0, 0): 6.9829,
    (25, 0.35, 2, 0, 0): 6.5935,
    (25, 0.35, 5, 0, 0): 6.9616,
    (20, 0.35, 2, 0, 0): 6.5629,
    (20, 0.35, 5, 0, 0): 6.9312,
    (55, 0.35, 2, 0, 0): 6.8046,
    (55, 0.35, 5, 0, 0): 7.1695,
    (35, 0.35, 5, 2, 2): 7.4337,
    (35, 0.35, 0, 3, 1): 7.5043,
    (35, 0.40, 0, 1, 5): 5.3705,
    (35, 0.40, 5, 1, 5): 6.8496,
}
# Free share of ammonia; ideal chemistry doubles it, Davies for ammonium shows it 10 to 15 % high.
FREE = {(35, 0.35, 5, 2, 2): 0.01909, (35, 0.35, 0, 3, 1): 0.02211, (35, 0.40, 5, 1, 5): 0.00542}
STRENGTH = {(35, 0.35, 5, 2, 2): 0.1977, (35, 0.35, 0, 3, 1): 0.2110, (35, 0.40, 0, 1, 5): 0.0714}


@cache
def mixed(case: tuple[float, float, float, float, float]) -> Speciation:
    """Make up one liquor and bring it to equilibrium."""
    celsius, bar, soda, nitrogen, acid = case
    liquor = Liquid(
        1.0, {"inorganic_nitrogen": nitrogen / 14.007, "acetate": acid / 60.052 * 64.0}
    ) + dose("sodium bicarbonate", soda)
    return equilibrium(liquor, temperature_c=celsius, carbon_dioxide_kpa=100.0 * bar)


def _named(case: tuple[float, float, float, float, float]) -> str:
    celsius, bar, soda, nitrogen, acid = case
    return f"{celsius} degC, {bar} bar CO2, {soda} g soda, {nitrogen} g TAN, {acid} g acid"


CHECKS = [
    *(
        Check(f"pH, {_named(c)}", SOURCE, v, lambda c=c: mixed(c).ph, 0.03, status=STATUS)
        for c, v in PLAIN.items()
    ),
    *(
        Check(
            f"free share of ammonia, {_named(c)}",
            SOURCE,
            v,
            lambda c=c: mixed(c).free_ammonia_share,
            0.06,
            True,
            STATUS,
        )
        for c, v in FREE.items()
    ),
    *(
        Check(
            f"ionic strength, {_named(c)}",
            SOURCE,
            v,
            lambda c=c: mixed(c).ionic_strength,
            0.05,
            True,
            STATUS,
        )
        for c, v in STRENGTH.items()
    ),
]
