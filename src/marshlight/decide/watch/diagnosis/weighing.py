"""Bayes' rule over everything supposed: each life under each supposition is one world."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from marshlight.decide.watch.calibration import Lives, RunLog
from marshlight.decide.watch.diagnosis.branches import Branch, as_logged, without_doses
from marshlight.decide.watch.diagnosis.explanations import (
    CAUSES,
    GAS,
    HEALTHY,
    LAYER,
    MISREAD_SHARE,
    PH,
    RULER,
    WEAK,
    WEAK_SHARE,
)
from marshlight.decide.watch.diagnosis.foreseen import (
    Shown,
    begun_within_log,
    logs_of,
    shown_in,
)
from marshlight.decide.watch.diagnosis.instruments import instrument_suppositions
from marshlight.decide.watch.diagnosis.newest import Newest, newest
from marshlight.decide.watch.diagnosis.sampling import Sample, everyone, sample
from marshlight.decide.watch.diagnosis.states import Labels, labels_of
from marshlight.decide.watch.diagnosis.suppositions import Supposition, suppositions
from marshlight.process.model.kernel import Reals

# Which part of the wrong instruments shows a wrong volume, pH or warmth: our choice.
_RULER_SHARES: Mapping[str, float] = {GAS: 0.4, PH: 0.4}
_THERMOMETER_SHARE = 0.2
# Lives a trouble is tried with at first, and those it is run with where it comes to this much.
_GLANCE, _LOOK, _WORTH_A_RUN = 8, 40, 0.002
# So many lives must have a say; the shares of the readings' weight that are tried.
_HAVE_A_SAY = 6.0
_COUNTED = (1.0, 0.7, 0.5, 0.35, 0.25, 0.17, 0.12, 0.08, 0.05)
# However many troubles are listed, health keeps this much of the prior.
_LEAST_HEALTHY = 0.2


@dataclass(frozen=True)
class Block:
    """Worlds that share one supposition: a label, a weight and log likelihoods for each life.

    ``sample`` tells which of the base's lives they are.
    """

    labels: Labels
    start: float
    severity: str
    branch: Branch
    sample: Sample
    logs: Mapping[str, Reals]
    weight: Reals


@dataclass(frozen=True)
class Weighed:
    """All worlds, their weights adding to 1; ``prior`` is what each explanation began with.

    ``counted`` is the share of their weight that the readings were given.
    """

    seen: Newest
    base: Branch
    shown: Shown
    blocks: tuple[Block, ...]
    prior: Mapping[str, float]
    counted: float

    def probability(self, key: str) -> float:
        """Probability of one explanation."""
        return sum(float(weight.sum()) for _, weight in self.worlds(key))

    def worlds(self, key: str) -> tuple[tuple[Block, Reals], ...]:
        """Blocks that hold an explanation, with the weights of its worlds."""
        return self._by_key.get(key, ())

    @cached_property
    def _by_key(self) -> Mapping[str, tuple[tuple[Block, Reals], ...]]:
        found: dict[str, list[tuple[Block, Reals]]] = {}
        for block in self.blocks:
            keys = _named(block.labels)
            for key in keys:
                alone = len(keys) == 1
                weight = block.weight if alone else np.where(block.labels == key, block.weight, 0.0)
                if weight.any():
                    found.setdefault(key, []).append((block, weight))
        return {key: tuple(blocks) for key, blocks in found.items()}


def _named(labels: Labels) -> tuple[str, ...]:
    """Which explanations there are among some worlds: mostly one."""
    if np.all(labels == labels[0]):
        return (str(labels[0]),)
    return tuple(map(str, np.unique(labels)))


def weigh(lives: Lives, log: RunLog) -> Weighed:
    """Weigh every supposition by how well it foresees the newest stretch.

    Parameters
    ----------
    lives : Lives
        Calibrated without the newest stretch.
    log : RunLog
        The whole log.

    Returns
    -------
    Weighed
        Worlds and their weights.

    Notes
    -----
    Troubles that need a run are tried with a few lives first; those that come to anything are run
    again with more. Lives that come near the readings as logged, or with some gas lost or misread,
    are more often among the few, and count for less then.
    """
    seen = newest(log, lives.day)
    base = as_logged(lives, log, seen)
    shown = shown_in(base, seen)
    labels = labels_of(base, log, seen, without_doses(base, log, seen))
    known = _Known(seen, base, shown, labels, logs_of(base, shown, seen))
    instruments = list(_instrument_parts(known))
    near = _near(_weighed(known, instruments))
    few, more = sample(near, _GLANCE), sample(near, _LOOK)
    tried = [
        (one, part)
        for one in suppositions(base, log, seen)
        if (part := _part(one, few, known)) is not None
    ]
    weighed = _weighed(known, [*instruments, *(part for _, part in tried)])
    weights = [float(block.weight.sum()) for block in weighed.blocks[1 + len(instruments) :]]
    again = [
        (_part(one, more, known) or part) if weight > _WORTH_A_RUN else part
        for (one, part), weight in zip(tried, weights, strict=True)
    ]
    return _weighed(known, [*instruments, *again])


@dataclass(frozen=True)
class _Known:
    seen: Newest
    base: Branch
    shown: Shown
    labels: Labels
    logs: Mapping[str, Reals]


@dataclass(frozen=True)
class _Part:
    """A block before it is weighed; ``chance`` is what it has of the prior."""

    labels: Labels
    start: float
    severity: str
    branch: Branch
    sample: Sample
    logs: Mapping[str, Reals]
    chance: float


def _near(weighed: Weighed) -> Reals:
    """How much each of the base's lives weighs in all worlds."""
    total = np.zeros(len(weighed.base.lives))
    for block in weighed.blocks:
        total[block.sample.kept] += block.weight
    return np.asarray(total / total.sum())


def _part(one: Supposition, some: Sample, known: _Known) -> _Part | None:
    seen = known.seen
    branch = one.follow(some.kept)
    if branch is None:
        return None
    share = one.share * (_THERMOMETER_SHARE if one.key == RULER else 1.0)
    chance = share * onset_chance(one.key, seen.today - seen.since)
    shown = shown_in(branch, seen)
    logs = logs_of(branch, shown, seen)
    if one.key == LAYER and GAS in shown:
        before = known.shown[GAS][some.kept]
        logs[GAS] = begun_within_log(branch, shown[GAS], before, seen, one.start)
    return _Part(one.label(branch), one.start, one.severity, branch, some, logs, chance)


def _instrument_parts(known: _Known) -> Iterable[_Part]:
    labels, span = known.labels, known.seen.today - known.seen.since
    whole = everyone(len(labels))
    for wrong in instrument_suppositions(known.base, known.shown, known.seen):
        # A reading that has been put right since leaves the digester as it is.
        same = labels if wrong.key == HEALTHY else np.full(labels.shape, wrong.key, dtype="<U16")
        share = _RULER_SHARES[wrong.kind] if wrong.key == RULER else 1.0
        chance = MISREAD_SHARE
        if not wrong.once:
            chance = wrong.share * share * onset_chance(wrong.key, span)
        logs = {**known.logs, wrong.kind: wrong.log}
        yield _Part(same, wrong.start, wrong.severity, known.base, whole, logs, chance)


def onset_chance(key: str, span_d: float) -> float:
    """Chance that a trouble set in within so many days [d], from how often it does."""
    if key == WEAK:
        return WEAK_SHARE
    return float(-np.expm1(-CAUSES[key].per_day * span_d))


def _weighed(known: _Known, parts: Sequence[_Part]) -> Weighed:
    """Bayes' rule; what no trouble takes of the prior is left to the lives as logged."""
    rest = max(1.0 - sum(part.chance for part in parts), _LEAST_HEALTHY)
    whole = everyone(len(known.labels))
    as_it_is = _Part(known.labels, known.seen.since, "", known.base, whole, known.logs, rest)
    every = [as_it_is, *parts]
    begun = [np.log(p.chance * p.sample.share) for p in every]
    read = [sum(p.logs.values(), np.zeros(len(p.labels))) for p in every]
    counted = _counted_for(begun, read, [p.sample.kept for p in every])
    weights = _normed([b + counted * r for b, r in zip(begun, read, strict=True)])
    blocks = tuple(
        Block(p.labels, p.start, p.severity, p.branch, p.sample, p.logs, weight)
        for p, weight in zip(every, weights, strict=True)
    )
    prior = dict.fromkeys(CAUSES, 0.0)
    for part in every:
        for key in _named(part.labels):
            prior[key] += part.chance * float(part.sample.share[part.labels == key].sum())
    total = sum(prior.values())
    prior = {key: chance / total for key, chance in prior.items()}
    return Weighed(known.seen, known.base, known.shown, blocks, prior, counted)


def _normed(logs: Sequence[Reals]) -> list[Reals]:
    top = max(float(log.max()) for log in logs)
    found = [np.exp(log - top) for log in logs]
    total = sum(float(weight.sum()) for weight in found)
    return [weight / total for weight in found]


def _counted_for(
    begun: Sequence[Reals], read: Sequence[Reals], kept: Sequence[NDArray[np.intp]]
) -> float:
    """How much of their weight the readings may have, 0 to 1.

    A handful of lives cannot follow dense readings closely: the one that happens to lie nearest
    would decide, and any trouble that moves it a little nearer would look proven. Then all
    readings count for less, until several lives have a say.
    """

    def say(counted: float) -> float:
        total = np.zeros(max(len(r) for r in read))
        logs = [b + counted * r for b, r in zip(begun, read, strict=True)]
        for weight, at in zip(_normed(logs), kept, strict=True):
            total[at] += weight
        return float(1.0 / np.sum(total**2))

    for counted in _COUNTED:
        if say(counted) >= _HAVE_A_SAY:
            return counted
    return _COUNTED[-1]
