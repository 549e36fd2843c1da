"""From methane in bottles to methane potential: inoculum taken off, doubt carried along."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import stdtrit

from marshlight.decide.trial.bottles import Bottle
from marshlight.errors import require


@dataclass(frozen=True)
class InoculumGas:
    """Methane of the inoculum alone, per kg of it [m3/kg], from the blanks."""

    labels: tuple[str, ...]
    values: tuple[float, ...]
    mean: float
    sd: float
    standard_error: float

    @property
    def n(self) -> int:
        """Number of blanks."""
        return len(self.values)


@dataclass(frozen=True)
class BottlePotential:
    """One bottle's figures [m3] and its potential [m3/kg VS]; ``u_blank`` is its share of s2."""

    label: str
    gross_m3: float
    inoculum_m3: float
    net_m3: float
    vs_kg: float
    value: float
    u_blank: float


@dataclass(frozen=True)
class Potential:
    """Methane potential of one material [m3/kg VS] with the parts of its doubt.

    ``s1`` is from the bottles' scatter, ``s2`` from the blanks, ``s3`` from the VS content with
    ``s3_df`` degrees of freedom; ``s_bmp`` is the standard deviation that the acceptance rule
    looks at, ``low`` to ``high`` the interval of the mean at ``level``.  ``s4`` is from gas
    volume, gas make-up and scale, which act on all bottles of the trial alike: it matters when
    the figure is held against other laboratories, and hardly between materials of one trial.
    """

    group: str
    role: str
    bottles: tuple[BottlePotential, ...]
    mean: float
    sd: float
    s1: float
    s2: float
    s3: float
    s3_df: float
    s4: float
    standard_error: float
    s_bmp: float
    df: float
    low: float
    high: float
    level: float
    inoculum_ratio: float
    vs_per_fresh: float
    per_fresh: float
    u_per_fresh: float

    @property
    def n(self) -> int:
        """Number of bottles."""
        return len(self.bottles)

    @property
    def rsd(self) -> float:
        """Relative standard deviation, blanks included [1]."""
        return self.s_bmp / self.mean if self.mean > 0.0 else float("inf")

    @property
    def values(self) -> tuple[float, ...]:
        """Potential of each bottle [m3/kg VS]."""
        return tuple(b.value for b in self.bottles)


def _sd(values: Sequence[float]) -> float:
    return float(np.std(values, ddof=1)) if len(values) > 1 else 0.0


def inoculum_gas(blanks: Sequence[Bottle], day: float) -> InoculumGas:
    """Find what a kilogram of inoculum gives alone, up to a day.

    Parameters
    ----------
    blanks : sequence of Bottle
        Bottles with inoculum only, at least two.
    day : float
        The same day as for the substrates [d].

    Returns
    -------
    InoculumGas
        Mean and standard error [m3/kg inoculum].

    Raises
    ------
    InputError
        If there are fewer than two blanks: their scatter is then not known.

    Notes
    -----
    Equations 1 and 2 of the reference; any measure of inoculum would serve, mass is used.

    References
    ----------
    hafner_2020_calculation
    """
    require(
        len(blanks) >= 2,
        field="blanks",
        value=len(blanks),
        allowed="two or more; three to be accepted",
        remedy="Run blanks: without them the inoculum's own gas cannot be taken off",
    )
    values = tuple(b.methane_at(day) / b.inoculum_kg for b in blanks)
    sd = _sd(values)
    mean = float(np.mean(values))
    return InoculumGas(
        tuple(b.label for b in blanks), values, mean, sd, sd / float(np.sqrt(len(values)))
    )


def potential(
    bottles: Sequence[Bottle], inoculum: InoculumGas, day: float, *, level: float = 0.95
) -> Potential:
    """Work out the methane potential of one material.

    Parameters
    ----------
    bottles : sequence of Bottle
        Its replicates; one alone gives a value without a standard deviation of its own.
    inoculum : InoculumGas
        From the blanks at the same day.
    day : float
        Day up to which methane counts [d].
    level : float
        Of the interval, 0 to 1 [1].

    Returns
    -------
    Potential
        Mean [m3/kg VS] and its doubt.

    Raises
    ------
    InputError
        If there is no bottle.

    Notes
    -----
    Equations 3 to 5 and the three-part standard deviation of the reference: bottles, blanks,
    VS content.  Degrees of freedom after Welch and Satterthwaite; the VS part counts as known
    where it is not from replicates.  ``s4`` is kept apart: the reference has no such part, and
    it is no scatter.

    References
    ----------
    hafner_2020_calculation, satterthwaite_1946
    """
    require(
        bool(bottles),
        field="bottles",
        value=0,
        allowed="one or more",
        remedy="Give the bottles of this material",
    )
    single = tuple(_one(b, inoculum, day) for b in bottles)
    n = len(single)
    values = np.array([b.value for b in single])
    relative = np.array([b.vs_relative_u for b in bottles])
    mean, sd = float(values.mean()), _sd(list(values))
    s1 = sd / float(np.sqrt(n))
    s2 = float(np.sqrt(np.mean([b.u_blank**2 for b in single])))
    s3 = float(np.sqrt(np.mean((relative * values) ** 2)))
    error = float(np.sqrt(s1**2 + s2**2 + s3**2))
    vs_df = float(np.mean([b.vs_df for b in bottles]))
    df = _degrees(error, (s1, n - 1), (s2, inoculum.n - 1), (s3, vs_df))
    half = float(stdtrit(df, 0.5 + level / 2.0)) * error if df > 0.0 else float("inf")
    known = [b.vs_kg / b.fresh_kg for b in bottles if b.fresh_kg > 0.0]
    share = float(np.mean(known)) if known else float("nan")
    return Potential(
        group=bottles[0].group,
        role=bottles[0].role,
        bottles=single,
        mean=mean,
        sd=sd,
        s1=s1,
        s2=s2,
        s3=s3,
        s3_df=vs_df,
        s4=float(np.mean([_instruments(b, inoculum, day) for b in bottles])),
        standard_error=error,
        s_bmp=float(np.sqrt(n)) * error,
        df=df,
        low=mean - half,
        high=mean + half,
        level=level,
        inoculum_ratio=float(np.mean([b.inoculum_kg / b.vs_kg for b in bottles])),
        vs_per_fresh=share,
        per_fresh=mean * share,
        # Gas per fresh mass does not ask for the VS content, so its doubt drops out.
        u_per_fresh=float(np.hypot(s1, s2)) * share,
    )


def _one(bottle: Bottle, inoculum: InoculumGas, day: float) -> BottlePotential:
    gross = bottle.methane_at(day)
    from_inoculum = inoculum.mean * bottle.inoculum_kg
    net = gross - from_inoculum
    ratio = bottle.inoculum_kg / bottle.vs_kg
    return BottlePotential(
        bottle.label,
        gross,
        from_inoculum,
        net,
        bottle.vs_kg,
        net / bottle.vs_kg,
        inoculum.standard_error * ratio,
    )


def _instruments(bottle: Bottle, inoculum: InoculumGas, day: float) -> float:
    """Doubt of one bottle's potential that all bottles share [m3/kg VS].

    Volume and make-up of the gas err in blanks and bottle alike, so their part of the inoculum's
    gas goes with it; the scale errs in the substrate and in the inoculum weighed in.
    """
    one = _one(bottle, inoculum, day)
    gas = bottle.u_shared_at(day) / one.gross_m3 * abs(one.value) if one.gross_m3 > 0.0 else 0.0
    weighed = bottle.fresh_kg or bottle.vs_kg
    substrate = bottle.u_scale_kg / weighed * one.value
    seeded = inoculum.mean * bottle.u_scale_kg / bottle.vs_kg
    return float(np.sqrt(gas**2 + substrate**2 + seeded**2))


def _degrees(error: float, *parts: tuple[float, float]) -> float:
    """Satterthwaite's degrees of freedom; a part without any leaves only what the rest gives."""
    below = sum(s**4 / df for s, df in parts if df > 0 and s > 0.0)
    if any(df < 1 for _, df in parts):
        return 0.0
    return error**4 / below if below > 0.0 else float(sum(df for _, df in parts[:2]))
