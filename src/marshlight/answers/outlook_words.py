"""The outlook of a run in words: its days, its doubts, and what its readings say of it."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from marshlight.decide.watch.calibration import Lives, Prior
from marshlight.decide.watch.outlook import Outlook, Share, Worth
from marshlight.estimate import Range
from marshlight.process.bands import quantile_range
from marshlight.units import choose_unit, in_unit, number, show_range, shown_unit

_SHOWN_DAYS, _HOURS = 7, 24.0
# Lighting a flame is worth trying from about here; our words for a chance.
_SURE, _LIKELY, _UNSURE = 0.9, 0.6, 0.3
# A flame test that is misread now and then never makes a chance of 1.
_PARAMETERS = {
    "food": "what digests of the feed",
    "rate": "pace of breakdown",
    "cells": "live microbes in the charge",
    "vigour": "appetite of the acid eaters",
    "buffer": "buffer (alkalinity) brought in",
    "tolerance": "ammonia the microbes bear",
    "warmth_k": "warmer inside than logged",
    "leak": "gas lost before the holder",
    "gas_scale": "what the holder shows",
    "ph_bias": "pH shown above the truth",
    "ph_model": "pH above what the model gives",
    "methane_model": "methane above what the model gives",
    "methane_bias": "methane shown above the truth",
    "stray": "how far gas strays from day to day",
    "by the day": "chance, from day to day",
}
# What to do, and what is then known.
_READINGS = {
    "gas": ("read the gas holder", "the holder"),
    "ph": ("read the pH", "the pH"),
    "methane": (
        "measure the methane share, by a carbon dioxide test or an analyser",
        "the methane share",
    ),
    "acids": ("titrate the volatile acids", "the acids"),
    "alkalinity": ("titrate the alkalinity", "the alkalinity"),
    "temperature": ("read the slurry's temperature", "the slurry's temperature"),
}
# Less than this is not worth a walk to the vessel; our choice.
_WORTH_SAYING = 0.05


@dataclass(frozen=True)
class DayLine:
    """One day ahead: gas, flame, pH and cooking in words."""

    day: str
    gas: str
    burns: str
    ph: str
    cooking: str


@dataclass(frozen=True)
class BeliefLine:
    """One parameter: before any reading, and now."""

    name: str
    before: str
    now: str


def day_lines(seen: Outlook, system: str) -> tuple[str, tuple[DayLine, ...]]:
    """Write the coming week day by day, all in one unit, which is given first.

    Every figure goes to the place at which the largest has two digits: a finer low end would say
    more than is known.
    """
    last = min(_SHOWN_DAYS, seen.day.size - 1)
    daily, ph = seen.daily_m3, seen.ph
    most = max(float(np.max(daily.high95[1 : last + 1], initial=0.0)), 1e-9)
    unit = choose_unit(most, "flow", system=system)
    most_shown, per = in_unit(most, unit, "flow"), in_unit(1.0, unit, "flow")
    places = max(1 - math.floor(math.log10(most_shown)), 0)
    lines = tuple(
        DayLine(
            day=f"{seen.day[i]:.0f}",
            gas=f"{per * daily.low95[i]:.{places}f} to {per * daily.high95[i]:.{places}f}",
            burns=burn_words(float(seen.burns[i])),
            ph=f"{ph.low95[i]:.1f} to {ph.high95[i]:.1f}",
            cooking=_cooking(seen, i),
        )
        for i in range(1, last + 1)
    )
    return shown_unit(unit).replace("/d", " a day"), lines


def burn_words(chance: float) -> str:
    """Say a chance that the flame holds.

    Examples
    --------
    >>> burn_words(0.95), burn_words(0.1)
    ('should burn', 'will hardly burn')
    """
    if chance >= _SURE:
        return "should burn"
    if chance >= _LIKELY:
        return "likely burns"
    return "may burn" if chance >= _UNSURE else "will hardly burn"


def _cooking(seen: Outlook, i: int) -> str:
    if seen.cooking_h is None:
        return ""
    low, high = (60.0 * float(v[i]) for v in (seen.cooking_h.low95, seen.cooking_h.high95))
    if high < 1.0:
        return "under 1 min"
    return f"{low:.0f} to {high:.0f} min"


def outlook_sentence(seen: Outlook, *, fed: bool, system: str) -> str:
    """Say in one sentence or two what the coming days bring."""
    low, high = float(seen.gas_m3.low95[-1]), float(seen.gas_m3.high95[-1])
    middle = float(seen.gas_m3.median[-1])
    span = show_range(low, high, "volume", system=system)
    as_before = " if it is fed as before" if fed else ""
    text = f"{span} of gas in the next {seen.ahead_d:.0f} days{as_before} (19 in 20)"
    if middle <= 0.0:
        text = f"Hardly any gas in the next {seen.ahead_d:.0f} days{as_before}"
    burns = burn_words(float(seen.burns[min(1, seen.burns.size - 1)]))
    sentence = f"{text}; tomorrow's gas {burns}."
    sour = float(seen.sour[-1])
    if sour >= 0.05:
        sentence += (
            f" In about {number(100.0 * sour, 1)} of 100 of its possible lives it is sour by then."
        )
    return sentence


def holder_words(seen: Outlook) -> str:
    """Say when the holder will be full if no gas is used."""
    if seen.full_day is None:
        return ""
    low, high = (max(v - float(seen.day[0]), 0.0) for v in (seen.full_day.low, seen.full_day.high))
    chance = "" if seen.full_chance > 0.95 else f", if at all ({100 * seen.full_chance:.0f} %)"
    if high < 0.1:
        return f"Holder: full now{chance}."
    if high < 3.0:
        hours = f"{_HOURS * low:.0f} to {_HOURS * high:.0f} hours"
        return f"Holder: full in {hours} if no gas is used{chance}."
    return f"Holder: full in {low:.0f} to {high:.0f} days if no gas is used{chance}."


def driver_words(found: Sequence[Share]) -> str:
    """Say what the doubt comes from, most of it first."""
    named = [s for s in found if s.share >= _WORTH_SAYING][:4]
    parts = [f"{_PARAMETERS.get(s.name, s.name)} ({100 * s.share:.0f} %)" for s in named]
    return f"The doubt comes from: {', '.join(parts)}." if parts else ""


def worth_words(found: Sequence[Worth]) -> str:
    """Say what to read tomorrow, and by how much that narrows the gas range after it."""
    best = [w for w in found if w.narrower >= _WORTH_SAYING][:3]
    if not best:
        return "No single reading tomorrow would narrow the range of gas after it much."
    act, _ = _READINGS[best[0].reading]
    said = (
        f"What would tell most tomorrow: {act}. The range of the gas after it"
        f" {_narrower(best[0].narrower)} by that, on average."
    )
    others = [(_READINGS[w.reading][1], _narrower(w.narrower)) for w in best[1:]]
    if not others:
        return said
    instead = f"With {others[0][0]} alone it {others[0][1]}"
    return f"{said} {', '.join((instead, *(f'with {n} it {by}' for n, by in others[1:])))}."


def _narrower(share: float) -> str:
    """Say by how much a range narrows, to five in a hundred: it is a mean of many outcomes."""
    if 0.45 <= share <= 0.55:
        return "halves"
    return f"narrows by {5.0 * round(20.0 * share):.0f} %"


def belief_lines(lives: Lives) -> tuple[BeliefLine, ...]:
    """Set what was believed of each parameter beside what the readings leave of it."""
    lines = []
    for name, prior in lives.priors.items():
        now = quantile_range(lives.of(name))
        before = Range(prior.low, prior.middle, prior.high, 0.95)
        lines.append(
            BeliefLine(_PARAMETERS.get(name, name), _span(before, prior), _span(now, prior))
        )
    return tuple(lines)


def _span(found: Range, prior: Prior) -> str:
    values = np.array([found.low, found.value, found.high])
    if prior.shape == "offset":
        # Adding nothing turns a minus nought into nought.
        if prior.unit == "1":
            low, middle, high = (f"{round(100.0 * v) + 0:+d}" for v in values)
            return f"{middle} % ({low} to {high} %)"
        low, middle, high = (f"{round(v, 1) + 0.0:+.1f}" for v in values)
        unit = "" if prior.unit == "pH" else f" {prior.unit}"
        return f"{middle}{unit} ({low} to {high})"
    low, middle, high = (number(100.0 * float(v), 2) for v in values)
    return f"{middle} % ({low} to {high} %)"
