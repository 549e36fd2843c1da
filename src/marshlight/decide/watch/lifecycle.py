"""Advice that was answered: out of sight while put off, or while the effect of what was done shows.

An urgent piece cannot be put off: what can burst or poison does not wait until it suits.
"""

from collections.abc import Iterable, Sequence

from marshlight.decide.watch.advised import Answered
from marshlight.decide.watch.facts import Advice, SetAside


def in_sight(
    found: Sequence[Advice], answered: Iterable[Answered], *, day: float
) -> tuple[tuple[Advice, ...], tuple[SetAside, ...]]:
    """Part advice into what stands and what was answered.

    Parameters
    ----------
    found : sequence of Advice
        All that could be said today, in any order.
    answered : iterable of Answered
        What was said to earlier advice; the newest answer to a key counts.
    day : float
        Today [d].

    Returns
    -------
    tuple
        What stands, in its order, and what is out of sight with the answer that put it there.

    Notes
    -----
    Out of sight until its day comes; but one that was not urgent when it was answered stands
    again as soon as it is, and an urgent one is only ever put out of sight by being done.

    Examples
    --------
    >>> less = Advice(key="feed_less", what="Feed less", why="", how_sure="likely", how_much="",
    ...               by_when="", caution=(), source="")
    >>> stands, aside = in_sight([less], [Answered("feed_less", 3.0)], day=5.0)
    >>> stands, aside[0].answered.back_day
    ((), 10.0)
    """
    newest: dict[str, Answered] = {}
    for answer in sorted(answered, key=lambda a: a.day):
        if answer.day <= day:
            newest[answer.key] = answer
    stands: list[Advice] = []
    aside: list[SetAside] = []
    for advice in found:
        held = newest.get(advice.key)
        if held is None or not _hides(held, advice, day):
            stands.append(advice)
        else:
            aside.append(SetAside(advice, held))
    return tuple(stands), tuple(aside)


def _hides(answer: Answered, advice: Advice, day: float) -> bool:
    if day >= answer.back_day:
        return False
    if not advice.urgent:
        return True
    return answer.until is None and answer.urgent
