"""Climbing to the likeliest lives: several starts at once, every trial a lane of the kernel."""

from dataclasses import dataclass

import numpy as np

from marshlight.decide.watch.calibration.log import Floats
from marshlight.decide.watch.calibration.posterior import IMPOSSIBLE, Posterior, Runs

# Steps of the slopes, in standard deviations of the belief: far above the integration's own
# noise, small beside what curves; wider where the ground is rough. Our choice.
_STEP, _WIDE_STEP = 0.05, 0.2
# Dampings tried side by side, relative to the last that served.
_DAMPINGS = (0.1, 1.0, 10.0, 100.0)
# No step goes further than this many standard deviations of the belief.
_FARTHEST = 2.5
# A climb ends when a round gains less than this in log-probability.
_GAIN = 0.02
# Damping above which no shorter step is tried.
_SHORT = 1e3
# After these rounds a climb is given up that lies so far below the highest (log-probability) that
# it would not reach it in as many more rounds at its last gain. Our choice.
_TRUSTING, _HOPELESS, _IN_TIME = 2, 12.0, 8.0


@dataclass(frozen=True)
class Peak:
    """A likeliest life: its scores, log-probability, and the curvature there (parameter, ...)."""

    scores: Floats
    log_posterior: float
    curvature: Floats


@dataclass
class _Climb:
    scores: Floats
    log_posterior: float
    damping: float = 1.0
    curvature: Floats | None = None
    gained: float = np.inf
    step: float = _STEP
    done: bool = False


def climb(posterior: Posterior, starts: Floats, *, rounds: int = 16) -> list[Peak]:
    """Climb from each start to the likeliest life near it.

    Parameters
    ----------
    posterior : Posterior
        What is climbed.
    starts : array, shape (start, parameter)
        Scores to start from.
    rounds : int
        The most rounds.

    Returns
    -------
    list of Peak
        The likeliest first; those that met are one.

    Notes
    -----
    Levenberg's damped Gauss-Newton steps. The curvature is that of the square form of the
    likelihood (its rows), the slope that of the likelihood itself, both by differences; a round
    costs a run for each parameter of the course and one for each damping tried.

    References
    ----------
    levenberg_1944.
    """
    runs = posterior.run(starts)
    scored = posterior.score(starts, runs.shown, runs.fine)
    climbs = [_Climb(z.copy(), float(f)) for z, f in zip(starts, scored.log_posterior, strict=True)]
    shown = [_one(runs, i) for i in range(len(starts))]
    for round_ in range(rounds):
        going = [i for i, one in enumerate(climbs) if not one.done]
        if not going:
            break
        slopes = _slopes(posterior, [climbs[i] for i in going], [shown[i] for i in going])
        _step(posterior, climbs, shown, going, slopes)
        _meet(climbs)
        if round_ >= _TRUSTING:
            _give_up(climbs)
    found = [
        Peak(one.scores, one.log_posterior, one.curvature)
        for one in climbs
        if one.curvature is not None and one.log_posterior > 0.5 * IMPOSSIBLE
    ]
    return apart(found)


def _one(runs: Runs, i: int) -> dict[str, Floats]:
    return {name: values[i : i + 1] for name, values in runs.shown.items()}


def _slopes(
    posterior: Posterior, climbs: list[_Climb], shown: list[dict[str, Floats]]
) -> list[Floats]:
    """Set each climb's curvature and give its slope, by steps toward the belief's middle."""
    count = len(posterior.names)
    course, seen = posterior.course, posterior.seen
    signs = [np.where(one.scores > 0.0, -1.0, 1.0) for one in climbs]
    moved = np.concatenate(
        [one.scores + one.step * np.diag(sign) for one, sign in zip(climbs, signs, strict=True)]
    ).reshape(len(climbs), count, count)
    runs = posterior.run(moved[:, course].reshape(-1, count))
    names = list(runs.shown)
    found = []
    for i, (one, sign) in enumerate(zip(climbs, signs, strict=True)):
        own = slice(i * len(course), (i + 1) * len(course))
        scores = np.concatenate([one.scores[None], moved[i, course], moved[i, seen]])
        whole = {
            name: np.concatenate(
                [
                    shown[i][name],
                    runs.shown[name][own],
                    np.repeat(shown[i][name], len(seen), axis=0),
                ]
            )
            for name in names
        }
        fine = np.concatenate([[True], runs.fine[own], np.ones(len(seen), dtype=np.bool_)])
        scored = posterior.score(scores, whole, fine)
        order = [*course, *seen]
        step = one.step * sign[order]
        rise = np.where(fine[1:], scored.log_likelihood[1:] - scored.log_likelihood[0], 0.0)
        turn = np.where(fine[1:, None], scored.rows[1:] - scored.rows[:1], 0.0) / step[:, None]
        slope, rows = np.zeros(count), np.zeros((count, turn.shape[1]))
        slope[order], rows[order] = rise / step, turn
        bent = rows @ rows.T
        one.curvature = bent + np.eye(count)
        # A difference to one side is the slope half a step away: the curvature brings it back.
        back = np.zeros(count)
        back[order] = 0.5 * step * np.diag(bent)[order]
        found.append(slope + back - one.scores)
    return found


def _step(
    posterior: Posterior,
    climbs: list[_Climb],
    shown: list[dict[str, Floats]],
    going: list[int],
    slopes: list[Floats],
) -> None:
    """Try all dampings of all climbs at once and keep what serves best."""
    trials = []
    for i, slope in zip(going, slopes, strict=True):
        one = climbs[i]
        assert one.curvature is not None
        for factor in _DAMPINGS:
            damped = one.curvature + one.damping * factor * np.eye(len(slope))
            move = np.linalg.solve(damped, slope)
            far = float(np.abs(move).max())
            trials.append(one.scores + move * min(1.0, _FARTHEST / max(far, 1e-12)))
    scores = np.array(trials)
    runs = posterior.run(scores)
    scored = posterior.score(scores, runs.shown, runs.fine)
    for row, i in enumerate(going):
        one = climbs[i]
        own = np.arange(row * len(_DAMPINGS), (row + 1) * len(_DAMPINGS))
        best = int(own[np.argmax(scored.log_posterior[own])])
        gain = float(scored.log_posterior[best]) - one.log_posterior
        if gain <= 0.0:
            _take_care(one)
            continue
        one.scores, one.log_posterior = scores[best].copy(), float(scored.log_posterior[best])
        one.damping = float(np.clip(one.damping * _DAMPINGS[best - own[0]], 1e-3, 1e4))
        one.done = gain < _GAIN
        one.gained = gain
        shown[i] = _one(runs, best)


def _take_care(one: _Climb) -> None:
    """After a round without gain: shorter steps, then a look further around, then the end."""
    if one.damping < _SHORT:
        one.damping = max(100.0 * one.damping, _SHORT)
    elif one.step < _WIDE_STEP:
        one.step, one.damping = _WIDE_STEP, 1.0
    else:
        one.done = True


def _give_up(climbs: list[_Climb]) -> None:
    """End the climbs that at their pace would not come near the highest in time."""
    best = max(one.log_posterior for one in climbs)
    for one in climbs:
        behind = best - one.log_posterior - _HOPELESS
        one.done = one.done or behind > _IN_TIME * one.gained


def _meet(climbs: list[_Climb]) -> None:
    """Stop a climb that has come near a higher one."""
    for one in climbs:
        for other in climbs:
            higher = other is not one and other.log_posterior >= one.log_posterior
            if not one.done and higher and _near(one.scores, other.scores, one.curvature):
                one.done = not (one.log_posterior == other.log_posterior and not other.done)


def _near(a: Floats, b: Floats, curvature: Floats | None) -> bool:
    if curvature is None:
        return False
    off = a - b
    return bool(off @ curvature @ off < len(off))


def apart(peaks: list[Peak]) -> list[Peak]:
    """Give peaks, the likeliest first, those near a higher one left out."""
    kept: list[Peak] = []
    for peak in sorted(peaks, key=lambda peak: -peak.log_posterior):
        if not any(_near(peak.scores, other.scores, other.curvature) for other in kept):
            kept.append(peak)
    return kept
