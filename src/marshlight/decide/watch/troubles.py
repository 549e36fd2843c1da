"""Troubles weighed: each sign shifts the odds, the likeliest trouble is named.

A sign's weight is the natural logarithm of how many times likelier it is in
that trouble than in health; the start is odds of about one to twenty. Source
of the weights: `watch_weights`, our judgement.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from marshlight.decide.watch.facts import HOTTEST_C, Evidence, RunFacts, Track
from marshlight.decide.watch.fall import Fall, sudden_fall
from marshlight.decide.watch.figures import figure
from marshlight.decide.watch.gas import Stretch
from marshlight.process import temperature_factor

_START = -3.0
LIKELY, POSSIBLE = 0.6, 0.25
FEED_SHARE_PER_DAY = 1.0 / 40.0  # source `feed_limit_practice`
PH_STOPS, PH_LOW, PH_GOOD = 6.2, 6.6, 6.8  # source `gerardi_2003`
_LATELY_D = 4.0
_YOUNG_D = 5.0
# Healthy invented runs hardly ever show a fall this clear (the benchmark of sudden falls counts
# them); above the second the record can't be surer than our model of it.
CLEAR_FALL, _MOST_FOR_A_FALL = 3.0, 4.0


@dataclass(frozen=True)
class Trouble:
    """A state word of trouble, its chance (0-1), and the evidence for it."""

    word: str
    chance: float
    evidence: tuple[Evidence, ...]

    @property
    def how_sure(self) -> str:
        """The chance in words."""
        return sure_words(self.chance)


def sure_words(chance: float) -> str:
    """A chance in words.

    Examples
    --------
    >>> sure_words(0.93)
    'almost certain'
    """
    for floor, words in ((0.9, "almost certain"), (LIKELY, "likely"), (POSSIBLE, "possible")):
        if chance >= floor:
            return words
    return "unlikely"


def weigh_troubles(facts: RunFacts, stretches: Sequence[Stretch]) -> tuple[Trouble, ...]:
    """All troubles with their chance, likeliest first.

    Parameters
    ----------
    facts : RunFacts
        What is known.
    stretches : sequence of Stretch
        Newest gas against the expectation, oldest first.

    Returns
    -------
    tuple of Trouble
        Souring, cold, leaking, blocked, stalled.

    References
    ----------
    watch_weights, gerardi_2003, feed_limit_practice, leak_signs_practice, rosso_1993
    """
    signs: dict[str, Callable[[RunFacts, Sequence[Stretch]], list[Evidence]]] = {
        "souring": _souring,
        "cold": _cold,
        "leaking": _leaking,
        "blocked": _blocked,
        "stalled": _stalled,
    }
    found = []
    for word, look in signs.items():
        evidence = [e for e in look(facts, stretches) if e.weight != 0]
        odds = np.exp(_START + sum(e.weight for e in evidence))
        found.append(Trouble(word, float(odds / (1 + odds)), tuple(evidence)))
    return tuple(sorted(found, key=lambda t: -t.chance))


def ph_change_per_day(ph: Track, today: float) -> float | None:
    """Slope of the pH over the last days [1/d]; None with fewer than two readings."""
    lately = ph.since(today - _LATELY_D)
    if len(lately) < 2 or lately.day[-1] - lately.day[0] < 0.25:
        return None
    return float(np.polyfit(lately.day, lately.value, 1)[0])


def fed_per_day(facts: RunFacts) -> float:
    """Volume fed a day over the last days, the first week's days at least [m3/d]."""
    span = min(max(facts.day, 1.0), 7.0)
    return sum(f.amount for f in facts.feeds_m3 if f.day > facts.day - span) / span


def shortfall(stretches: Sequence[Stretch]) -> int:
    """How many of the newest stretches, counted back from the last, lie under the band."""
    count = 0
    for stretch in reversed(stretches):
        if not stretch.below:
            break
        count += 1
    return count


def _low_gas(stretches: Sequence[Stretch], one: float, two: float) -> list[Evidence]:
    count = shortfall(stretches)
    if not stretches:
        return []
    last = stretches[-1]
    if count == 0:
        calm = -1.0 if not last.at_least and last.rate >= last.expected * 0.8 else 0.0
        return [Evidence("gas is as expected", calm)]
    share = 100 * max(last.rate, 0.0) / max(last.expected, 1e-12)
    often = "twice running" if count > 1 else "once"
    return [
        Evidence(
            f"gas was under its 95 % band {often}: {share:.0f} % of what was expected",
            two if count > 1 else one,
        )
    ]


def _souring(facts: RunFacts, stretches: Sequence[Stretch]) -> list[Evidence]:
    found = _low_gas(stretches, 0.7, 1.5)
    found += _acid_signs(facts)
    outcomes = [outcome for _, outcome in facts.flame]
    if len(outcomes) > 1 and "holds" in outcomes[:-1] and outcomes[-1] != "holds":
        found.append(Evidence("the flame no longer holds", 1.0))
    if facts.methane is not None and facts.methane.high < 0.5 and facts.day > _YOUNG_D:
        found.append(Evidence(f"methane is at most {100 * facts.methane.high:.0f} %", 1.0))
    if facts.liquid_m3 and fed_per_day(facts) > FEED_SHARE_PER_DAY * facts.liquid_m3:
        share = facts.liquid_m3 / max(fed_per_day(facts), 1e-12)
        found.append(Evidence(f"it was fed a {share:.0f}th of its liquid a day", 1.0))
    return found


def _acid_signs(facts: RunFacts) -> list[Evidence]:
    ph, slope = facts.ph.latest, ph_change_per_day(facts.ph, facts.day)
    if ph is None or facts.ph.age(facts.day) > _LATELY_D:
        return []
    found = []
    if ph < PH_STOPS:
        found.append(Evidence(f"pH {ph:.1f} is below {PH_STOPS}, where methane stops", 4.0))
    elif ph < PH_LOW:
        found.append(Evidence(f"pH {ph:.1f} is low", 2.5))
    elif ph < PH_GOOD:
        found.append(Evidence(f"pH {ph:.1f} is a little low", 1.0))
    else:
        found.append(Evidence(f"pH {ph:.1f} is good", -2.0))
    if slope is not None and slope < -0.07:
        # A start-up dips before the methane formers catch up: common, and it comes back.
        weight = 0.7 if facts.day < _YOUNG_D else 2.0
        found.append(Evidence(f"pH falls by {-slope:.2f} a day", weight))
    elif slope is not None and slope > 0.05:
        found.append(Evidence(f"pH rises by {slope:.2f} a day", -1.5))
    return found


def _cold(facts: RunFacts, stretches: Sequence[Stretch]) -> list[Evidence]:
    del stretches
    lately = facts.slurry_c.since(facts.day - 1.25)
    trusted = [v for v in lately.value if v <= HOTTEST_C]
    if not trusted:
        return []
    now = float(np.mean(trusted))
    aim = 37.0 if facts.set_point_c is None else facts.set_point_c
    if now > aim - 1.5:
        return [Evidence(f"slurry is at {now:.0f} degC", -2.0)]
    factor = float(temperature_factor(now) / temperature_factor(aim))
    weight = float(np.interp(factor, [0.5, 0.75, 0.92], [5.0, 3.5, -1.0]))
    words = f"slurry at {now:.0f} degC works at {100 * factor:.0f} % of its pace at {aim:.0f} degC"
    return [Evidence(words, weight)]


def _leaking(facts: RunFacts, stretches: Sequence[Stretch]) -> list[Evidence]:
    found = _low_gas(stretches, 0.7, 1.8)
    fall = _fall_without_acid(facts)
    if fall is not None:
        # The curve has bent to it since: that gas is as expected now says nothing.
        found = [e for e in found if e.weight > 0]
        words = (
            f"gas fell by {100 * fall.share:.0f} % between day {fall.start:.0f} and day "
            f"{fall.end:.0f} and stayed low, which no cold and no smooth course explains"
        )
        found.append(Evidence(words, min(fall.log_odds, _MOST_FOR_A_FALL)))
    if facts.holder_fell_m3 > 0:
        litres = 1000 * facts.holder_fell_m3
        found.append(
            Evidence(f"the holder lost {figure(litres)} L that no logged use explains", 3.5)
        )
    if fall is None and not shortfall(stretches):
        return found
    ph, slope = facts.ph.latest, ph_change_per_day(facts.ph, facts.day)
    if ph is not None and ph >= PH_GOOD and (slope is None or slope > -0.05):
        found.append(Evidence(f"pH holds at {ph:.1f}", 1.2))
    found += _warm(facts, 0.5)
    if facts.flame_now == "holds":
        found.append(Evidence("what comes still holds a flame", 0.7))
    return found


def _fall_without_acid(facts: RunFacts) -> Fall | None:
    """A clear sudden fall of the gas that no sign of acid explains as well."""
    fall = sudden_fall(facts)
    if fall is None or fall.log_odds < CLEAR_FALL:
        return None
    about = facts.ph.since(fall.start - 2.0)
    ph = [v for d, v in zip(about.day, about.value, strict=True) if d < fall.end + 3.0]
    if any(value < PH_LOW for value in ph) or facts.flame_now in ("none", "dies"):
        return None
    # A fall with no pH beside it may be acid as well as a leak: half of what it would say.
    return fall if ph else replace(fall, log_odds=0.5 * fall.log_odds)


def _blocked(facts: RunFacts, stretches: Sequence[Stretch]) -> list[Evidence]:
    found = []
    if facts.pressure_rose:
        found.append(Evidence("pressure rises while the holder stands still", 4.5))
    if stretches and not stretches[-1].at_least:
        last = stretches[-1]
        stopped = last.rate < 0.05 * last.expected and last.below
        flowed = len(stretches) > 1 and stretches[-2].rate > 0.4 * stretches[-2].expected
        if stopped and flowed:
            found.append(Evidence("gas stopped from one reading to the next", 2.8))
        elif last.rate > 0.3 * last.expected:
            found.append(Evidence("gas still comes", -2.0))
    return found


def _stalled(facts: RunFacts, stretches: Sequence[Stretch]) -> list[Evidence]:
    gas, seen = facts.gas, facts.expected or facts.forecast
    if gas is None or seen is None or gas.day.size == 0 or facts.fed:
        return []
    total, day = float(gas.total_m3[-1]), float(gas.day[-1])
    low = float(np.interp(day, seen.day, seen.cumulative.low95))
    expected = float(np.interp(day, seen.day, seen.cumulative.median))
    if day < 3.0 or total + 2 * float(gas.u_m3[-1]) >= low or total > 0.3 * expected:
        return []
    words = f"after {day:.0f} d there is {100 * total / max(expected, 1e-12):.0f} % of the gas due"
    found = [Evidence(words, 2.8), *_warm(facts, 0.7)]
    if shortfall(stretches) > 1:
        found.append(Evidence("and it does not pick up", 0.7))
    if facts.ph.latest is not None and facts.ph.latest >= PH_GOOD:
        found.append(Evidence(f"pH {facts.ph.latest:.1f} is good: not acid, asleep", 0.7))
    return found


def _warm(facts: RunFacts, weight: float) -> list[Evidence]:
    now = facts.slurry_c.latest
    aim = 37.0 if facts.set_point_c is None else facts.set_point_c
    if now is None or now > HOTTEST_C or now < aim - 1.5:
        return []
    return [Evidence("temperature holds", weight)]
