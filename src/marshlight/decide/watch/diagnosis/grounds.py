"""The grounds for an explanation: what was read beside what was to be expected, in sentences."""

from collections.abc import Callable, Mapping

import numpy as np

from marshlight.decide.watch.calibration import Read
from marshlight.decide.watch.diagnosis.branches import FOOD
from marshlight.decide.watch.diagnosis.explanations import (
    ACIDS,
    ALKALINITY,
    AMMONIA,
    CARBON_DIOXIDE,
    DOSE_GAS,
    FLAME,
    GAS,
    HEALTHY,
    METHANE,
    NITROGEN,
    OXYGEN,
    PH,
    SOURING,
    SPENT,
    WARMTH,
    WEAK,
)
from marshlight.decide.watch.diagnosis.foreseen import MISFIT
from marshlight.decide.watch.diagnosis.weighing import Block, Weighed
from marshlight.decide.watch.facts import Evidence
from marshlight.decide.watch.figures import figure
from marshlight.process import temperature_factor
from marshlight.process.model.kernel import Reals

_FLAMES = {"none": "would not light", "dies": "lit and died", "holds": "held"}
# How each kind of reading is written: a word, a factor, a unit, decimals.
_WRITTEN: Mapping[str, tuple[str, float, str, int]] = {
    PH: ("pH", 1.0, "", 1),
    METHANE: ("methane", 100.0, " %", 0),
    CARBON_DIOXIDE: ("carbon dioxide", 100.0, " %", 0),
    OXYGEN: ("oxygen", 100.0, " %", 1),
    ACIDS: ("acids", 1.0, " kg/m3", 1),
    ALKALINITY: ("alkalinity", 1.0, " kg/m3", 1),
    NITROGEN: ("ammonia nitrogen", 1.0, " kg/m3", 1),
}
# Weights beyond this say no more than "very strong", and the model is not that sure: our choice.
_MOST_WEIGHT = 8.0
_MOST_SENTENCES = 6


def grounds_of(key: str, weighed: Weighed, against: str) -> tuple[Evidence, ...]:
    """Evidence for or against an explanation, strongest first.

    Parameters
    ----------
    key : str
        The explanation.
    weighed : Weighed
        All worlds.
    against : str
        The explanation it is held against: health, or for health its strongest rival.

    Returns
    -------
    tuple of Evidence
        Sentences with numbers; the weight is the log odds that kind of reading gives.
    """
    mine, rival = _mean_logs(key, weighed), _mean_logs(against, weighed)
    supposed = against if key == HEALTHY else key
    start, likely = _start_of(supposed, weighed), _life_weights(supposed, weighed)
    found = []
    for kind in sorted(weighed.seen.kinds):
        text = _sentence(kind, weighed, start, likely)
        weight = float(np.clip(mine[kind] - rival[kind], -_MOST_WEIGHT, _MOST_WEIGHT))
        found.append(Evidence(text, round(weight, 2)))
    found = sorted(found, key=lambda e: -abs(e.weight))[:_MOST_SENTENCES]
    return (*found, *(Evidence(text, 0.0) for text in _inside(key, weighed)))


def _life_weights(key: str, weighed: Weighed) -> Reals:
    """How likely each life is if the explanation holds, so that "expected" is of this digester."""
    total = np.zeros(len(weighed.base.lives))
    for block, weight in weighed.worlds(key):
        total[block.sample.kept] += weight
    if total.sum() <= 0.0:
        total[:] = 1.0
    return np.asarray(total / total.sum())


def _middle_and_spread(values: Reals, likely: Reals) -> tuple[Reals, Reals]:
    """Weighted median and standard deviation over lives, shape (reading,)."""
    order = np.argsort(values, axis=0)
    ranked = np.take_along_axis(values, order, axis=0)
    passed = np.cumsum(likely[order], axis=0) >= 0.5
    middle = np.take_along_axis(ranked, np.argmax(passed, axis=0)[None], axis=0)[0]
    mean = likely @ values
    return middle, np.sqrt(np.maximum(likely @ (values - mean) ** 2, 0.0))


def fit_of(key: str, weighed: Weighed) -> float:
    """How well an explanation's likeliest worlds foresee all readings, natural log."""
    return sum(_mean_logs(key, weighed).values())


def severity_of(key: str, weighed: Weighed) -> str:
    """How bad, in words, in the likeliest worlds of an explanation; empty where they don't say."""
    by_words: dict[str, float] = {}
    for block, weight in weighed.worlds(key):
        by_words[block.severity] = by_words.get(block.severity, 0.0) + float(weight.sum())
    return max(by_words, key=lambda words: by_words[words]) if by_words else ""


def _mean_logs(key: str, weighed: Weighed) -> Mapping[str, float]:
    """Mean log likelihood of each kind of reading over an explanation's worlds."""
    total: dict[str, float] = dict.fromkeys(weighed.seen.kinds, 0.0)
    mass = 0.0
    worlds = weighed.worlds(key)
    if not worlds:
        block = weighed.blocks[0]
        worlds = ((block, np.full(len(block.labels), 1.0 / len(block.labels))),)
    for block, weight in worlds:
        mass += float(weight.sum())
        for kind in total:
            total[kind] += float((weight * block.logs[kind]).sum())
    return {kind: value / mass for kind, value in total.items()}


def _start_of(key: str, weighed: Weighed) -> float:
    """Day the likeliest world of an explanation sets in [d]."""
    worlds = weighed.worlds(key)
    if not worlds:
        return weighed.seen.since
    best: tuple[Block, Reals] = max(worlds, key=lambda pair: float(pair[1].sum()))
    return best[0].start


def _sentence(kind: str, weighed: Weighed, start: float, likely: Reals) -> str:
    if kind == GAS:
        return _gas_sentence(weighed, start, likely)
    if kind == FLAME:
        day, outcome = weighed.seen.flame[-1]
        share = float(_middle_and_spread(weighed.shown[FLAME][:, -1:], likely)[0][0])
        return (
            f"the flame {_FLAMES[outcome]} on day {day:.0f}, "
            f"where about {100 * share:.0f} % methane was to be expected"
        )
    read = weighed.seen.reads[kind]
    if kind == WARMTH:
        return _warmth_sentence(read, weighed)
    word, factor, unit, decimals = _WRITTEN[kind]
    foreseen = weighed.shown[kind]
    middle, scatter = _middle_and_spread(foreseen, likely)
    absolute, relative = MISFIT[kind]
    own = np.sqrt(read.u**2 + read.step**2 / 12.0 + (absolute + relative * np.abs(middle)) ** 2)
    spread = np.hypot(own, scatter)
    i = int(np.argmax(np.abs(read.value - middle) / spread))
    low, high = (middle[i] + sign * 1.96 * spread[i] for sign in (-1.0, 1.0))
    low = max(low, 0.0)

    def shown(value: float) -> str:
        return f"{factor * value:.{decimals}f}"

    return (
        f"{word} read {shown(read.value[i])}{unit} on day {read.day[i]:.0f}; "
        f"{shown(middle[i])}{unit} ({shown(low)} to {shown(high)}) was to be expected"
    )


def _gas_sentence(weighed: Weighed, start: float, likely: Reals) -> str:
    gas = weighed.seen.gas
    assert gas is not None  # only asked where gas was counted
    late = np.flatnonzero(gas.end_d > start + 0.01)
    late = late if late.size else np.array([len(gas) - 1])
    span = float((gas.end_d[late] - gas.start_d[late]).sum())
    base = weighed.base
    total = weighed.shown[GAS][:, late].sum(axis=1) / span
    days = gas.end_d[late]
    # Beside the lives' own scatter they all stray for days on end.
    stray = float(np.median(base.lives.of("stray"))) * min(1.0, 2.0 / max(days.size, 1) + 0.6)
    middles, scatter = _middle_and_spread(total[:, None], likely)
    middle = float(middles[0])
    spread = float(np.hypot(scatter[0], stray * middle))
    low, high = max(middle - 1.96 * spread, 0.0), middle + 1.96 * spread
    read = float(gas.gas_m3[late].sum()) / span
    least = "at least " if bool(gas.at_least[late].any()) else ""
    return (
        f"gas from day {gas.start_d[late[0]]:.0f} to {gas.end_d[late[-1]]:.0f} was {least}"
        f"{_litres(read)} L a day; {_litres(middle)} L ({_litres(low)} to {_litres(high)} L) "
        "was to be expected were all well"
    )


def _litres(cubic_metres: float) -> str:
    return figure(1000.0 * cubic_metres)


def _warmth_sentence(read: Read, weighed: Weighed) -> str:
    aim = weighed.base.warmth.expected_c[np.searchsorted(weighed.base.run.day, read.day)]
    i = int(np.argmax(np.abs(read.value - aim)))
    now, usual = float(read.value[i]), float(aim[i])
    text = f"the slurry was at {now:.0f} degC on day {read.day[i]:.0f}"
    if abs(now - usual) < 1.5:
        return f"{text}, as before"
    pace = float(temperature_factor(now)) / max(float(temperature_factor(usual)), 0.05)
    return f"{text}, where {usual:.0f} was usual: {100 * pace:.0f} % of that pace"


def _inside(key: str, weighed: Weighed) -> list[str]:
    """What the lives themselves say of their inside under an explanation."""
    telling: dict[str, Callable[[Weighed], str]] = {
        SOURING: _acid_words,
        AMMONIA: _ammonia_words,
        SPENT: _food_words,
        DOSE_GAS: _acid_words,
        WEAK: _cell_words,
    }
    if key not in telling or not weighed.worlds(key):
        return []
    return [telling[key](weighed)]


def _weighted(key: str, weighed: Weighed, name: Callable[[Block], Reals]) -> float:
    worlds = weighed.worlds(key)
    mass = sum(float(weight.sum()) for _, weight in worlds)
    return sum(float((weight * name(block)).sum()) for block, weight in worlds) / mass


def _acid_words(weighed: Weighed) -> str:
    key = SOURING if weighed.worlds(SOURING) else DOSE_GAS
    ph = _weighted(key, weighed, lambda b: b.branch.run["pH"][:, -1])
    acids = _weighted(key, weighed, lambda b: b.branch.run.acids_kg_m3[:, -1])
    return f"the lives that fit stand at pH {ph:.1f} with {acids:.1f} kg/m3 of acids today"


def _ammonia_words(weighed: Weighed) -> str:
    pace = _weighted(AMMONIA, weighed, lambda b: b.branch.run["I_nh3"][:, -1])
    return f"free ammonia leaves the methane formers {100 * pace:.0f} % of their pace in the lives"


def _food_words(weighed: Weighed) -> str:
    def left(block: Block) -> Reals:
        run = block.branch.run
        food = np.sum([run[name][:, -1] for name in FOOD], axis=0)
        made = run["out_methane"][:, -1] + run["gas_methane"][:, -1]
        return np.asarray(food / np.maximum(food + 64.0 * made, 1e-12))

    share = _weighted(SPENT, weighed, left)
    return f"about {100 * share:.0f} % of all it could digest is left in the lives that fit"


def _cell_words(weighed: Weighed) -> str:
    words = severity_of(WEAK, weighed)
    return f"the lives that fit began with {words or 'fewer microbes than such a charge brings'}"
