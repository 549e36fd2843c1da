"""What to distrust in a fitted curve, in words."""

from collections.abc import Sequence

import numpy as np

from marshlight.process.candidate import Candidate

# BoxBOD and Misra1a, certified and right, reach 1.0 and 2.9 times their last
# reading: from here on the total is the curve's opinion more than the data's.
FAR_BEYOND = 1.5
_LOOSE = 0.5
_SCATTER = 1.5
_RESTLESS = 0.5


def doubts(fit: Candidate, *, failures: Sequence[str] = ()) -> tuple[str, ...]:
    """Warnings about a fit: a curve that suits badly, or numbers the data don't hold.

    Parameters
    ----------
    fit : Candidate
        The chosen curve.
    failures : sequence of str
        Curves that could not be fitted, with the reason.

    Returns
    -------
    tuple of str
        Sentences, most serious first; empty if there is nothing to say.
    """
    found = [*_about_the_total(fit), *_about_the_lag(fit), *_about_the_noise(fit)]
    for parameter, stuck in zip(fit.model.parameters, fit.solution.at_bound, strict=True):
        if stuck and not (parameter.name == "lag" and parameter.low == 0.0):
            found.append(
                f"The {parameter.name.replace('_', ' ')} ran to the end of its allowed range: "
                "these readings do not determine it, and the curve probably does not suit them."
            )
    if fit.solution.starts_tried > 1 and fit.solution.starts_agreeing == 0:
        found.append("The search ended in different places from different starts.")
    found += [f"A curve could not be fitted. {failure}" for failure in failures]
    return tuple(found)


def _about_the_total(fit: Candidate) -> list[str]:
    names = [p.name for p in fit.model.parameters]
    if "ultimate" not in names or fit.observed.total <= 0:
        return []
    i = names.index("ultimate")
    ultimate = float(fit.parameters[i])
    last = fit.observed.total
    spread = float(np.sqrt(max(fit.covariance[i, i], 0.0)))
    if ultimate > FAR_BEYOND * last:
        return [
            f"The final gas of this curve is {ultimate / last:.1f} times what has come so far: "
            "it lies far beyond the readings and can change much with the next ones."
        ]
    if spread > _LOOSE * ultimate:
        return ["The final gas is hardly determined by these readings."]
    return []


def _about_the_lag(fit: Candidate) -> list[str]:
    names = [p.name for p in fit.model.parameters]
    if "lag" not in names:
        return []
    i = names.index("lag")
    lag = float(fit.parameters[i])
    if lag < 0:
        return [
            f"The fitted lag is {lag:.1f} d, which has no meaning: read it as 0. The gas came "
            "faster at the start than this curve allows; first order or cone suit it better."
        ]
    if fit.solution.at_bound[i] and lag < 1e-3:
        return ["The lag ran to 0: there is none to be seen in these readings."]
    if lag > fit.observed.last_day:
        return [f"The lag of {lag:.1f} d lies beyond the last reading: it is only expected."]
    return []


def _about_the_noise(fit: Candidate) -> list[str]:
    found = []
    stated = fit.observed.interval_sd() * (1.0 if fit.observed.scaled else fit.scale)
    if np.any(fit.observed.gas < -3.0 * stated):
        found.append(
            "The gas total falls somewhere by more than its uncertainty: look for a slip or a leak."
        )
    if fit.observed.scaled and fit.scale > _SCATTER:
        found.append(
            f"The readings scatter {fit.scale:.1f} times more than their stated uncertainty; "
            "all bands were widened by that."
        )
    if fit.noise.daily > _RESTLESS:
        found.append(
            f"Gas from day to day wanders by {100 * fit.noise.daily:.0f} % about the curve: look "
            "at temperature, feeding and leaks before trusting a forecast."
        )
    return found
