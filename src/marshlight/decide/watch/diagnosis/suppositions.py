"""Troubles of digestion supposed: what each changes in the lives, and running them on with it."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from marshlight.decide.watch.calibration import RunLog
from marshlight.decide.watch.diagnosis.branches import (
    FOOD,
    KEPT_K,
    LAYER_STARTS,
    MOST_STARTS,
    Branch,
    Warmth,
    branch_of,
    newest_events,
    run_on,
    some_of,
    starts_in,
    warmth,
)
from marshlight.decide.watch.diagnosis.explanations import (
    AIR,
    AMMONIA,
    COLD,
    HEALTHY,
    LAYER,
    RULER,
    SOURING,
    SPENT,
    WEAK,
    WEAK_BELOW,
)
from marshlight.decide.watch.diagnosis.newest import Newest
from marshlight.decide.watch.diagnosis.states import Labels, cold_as_read, labels_under
from marshlight.errors import FitError
from marshlight.process.model import Event, SetTemperature
from marshlight.process.model.kernel import Reals, layout
from marshlight.process.model.liquid import MODEL
from marshlight.process.model.result import NITROGEN_KG_PER_KMOL

_UPTAKE = ("k_m_ac", "k_m_pro", "k_m_c4", "k_m_fa", "k_m_h2")
# What each trouble changes, mild to severe: our choice, source `diagnosis_grid`. The values are
# spread over what keepers meet, not fitted to anything.
_COOLED_K = (5.0, 12.0)
_COOLING_D = 1.5
_REACHED = (0.8, 0.6, 0.45, 0.3, 0.15)  # share of the solids still reached under a layer
_RELEASE = 0.2  # gas leaves an unmixed liquid this much more slowly
_AIR_OF_LIQUID = (0.03, 0.08, 0.2, 0.5)  # air drawn in a day, of the liquid's volume
_UNLOGGED_FEED = 12.0  # easy food nobody wrote down [kg COD/m3]
_VIGOUR_LEFT = 0.25  # of the acid eaters' pace, after something they do not bear
_NITROGEN = 2.5  # ammonia nitrogen nobody wrote down [kg N/m3]
_FOOD_LEFT = (0.5, 0.2)  # of the food thought to be there
_LIVE_CELLS = (0.3, 0.1, 0.03)  # of the microbes thought to be in the charge
_START_D = 4.0  # lives calibrated later than this know how many microbes there were
# A thermometer that is off may show anything within some ten kelvin; less than the second of
# these does not call for one.
_OFF_K, _LEAST_OFF_K = 12.0, 2.0
_AS_READ = 6.0  # weight of cold as read beside each guessed cooling

Change = Callable[[Reals, Reals], None]
Follow = Callable[[NDArray[np.intp]], "Branch | None"]


@dataclass(frozen=True)
class Supposition:
    """A trouble to be tried: its explanation, start [d], words, and how to run lives with it.

    ``share`` is its part of the prior; ``follow`` takes the places in the base of the lives to run,
    None where they cannot be run; ``label`` names what a life comes to under it.
    """

    key: str
    start: float
    severity: str
    share: float
    follow: Follow
    label: Callable[[Branch], Labels]


def suppositions(base: Branch, log: RunLog, seen: Newest) -> list[Supposition]:
    """List every trouble of digestion that may have set in over the newest stretch.

    Parameters
    ----------
    base : Branch
        The lives as logged.
    log : RunLog
        The whole log.
    seen : Newest
        The newest stretch.

    Returns
    -------
    list of Supposition
        Not yet run; shares of one explanation add to 1.
    """
    found = [*_other_warmth(base, log, seen)]
    for key, severity, change, start in [*_layers(seen), *_changes(seen)]:
        follow = _changed(base, log, key=key, change=change, start=start)
        found.append(Supposition(key, start, severity, 1.0, follow, labels_under))
    if seen.since <= _START_D:
        found += _few_microbes(base, log, seen.since)
    whole: dict[str, float] = {}
    for one in found:
        whole[one.key] = whole.get(one.key, 0.0) + one.share
    return [replace(one, share=one.share / whole[one.key]) for one in found]


def _weak_enough(log: RunLog, alive: float) -> Callable[[Branch], Labels]:
    """Few microbes within what the record allows for are no trouble."""

    def label(branch: Branch) -> Labels:
        weak = alive * branch.lives.of("cells") < WEAK_BELOW * log.lively[0]
        return np.where(weak, WEAK, HEALTHY).astype("<U16")

    return label


def _other_warmth(base: Branch, log: RunLog, seen: Newest) -> Iterable[Supposition]:
    """Warm as before whatever the thermometer shows; and colder, from some day on."""
    others = tuple(
        e for e in newest_events(log, seen.since) if not isinstance(e, SetTemperature)
    )  # fmt: skip
    days = base.run.day
    before = warmth(log, days, until=seen.since)
    off = float(np.max(np.abs(base.warmth.celsius - before), initial=0.0))
    if off > _LEAST_OFF_K:
        words = f"the thermometer is off by {off:.0f} K"
        begins = int(np.argmax(np.abs(base.warmth.celsius - before) > _LEAST_OFF_K))
        shown = np.where(np.arange(days.size) >= begins, _OFF_K, base.warmth.kept_k)
        held = _warmed(RULER, base, log, events=others, warm=Warmth(before, before, shown))
        yield Supposition(RULER, float(days[begins]), words, 1.0, held, labels_under)
        if float(np.mean(base.warmth.celsius[begins:] - before[begins:])) < 0.0:
            # As cold as the thermometer shows: as likely as all the guessed coolings together.
            read = Warmth(base.warmth.celsius, before, shown)
            events = _half_a_reading_earlier(log, seen)
            follow = _warmed(COLD, base, log, events=events, warm=read)
            words = f"up to {off:.0f} K colder than before, as read"
            yield Supposition(COLD, float(days[begins]), words, _AS_READ, follow, cold_as_read)
    now = float(before[0])
    room = now - _COOLED_K[0] if log.room_c is None else log.room_c
    for start in starts_in(seen, MOST_STARTS):
        for fall in _COOLED_K:
            if now - fall < min(room, now - _COOLED_K[0]) - 1.0:
                continue
            ends = np.arange(start, seen.today, 0.5)
            falling = now - _cooled(ends + 0.25 - start, fall)
            steps = tuple(map(SetTemperature, ends.tolist(), falling.tolist()))
            celsius = before - _cooled(np.maximum(days - start, 0.0), fall)
            warm = Warmth(celsius, celsius, np.full(days.shape, KEPT_K))
            follow = _warmed(COLD, base, log, events=(*others, *steps), warm=warm)
            words = f"{fall:.0f} K colder than before"
            yield Supposition(COLD, float(start), words, 1.0, follow, labels_under)


def _half_a_reading_earlier(log: RunLog, seen: Newest) -> tuple[Event, ...]:
    """The log's events with each change of warmth set midway to the reading before it."""
    read = [] if log.slurry_c is None else sorted(log.slurry_c.day.tolist())
    found: list[Event] = []
    for event in newest_events(log, seen.since):
        if isinstance(event, SetTemperature):
            before = max((day for day in read if day < event.day - 1e-9), default=event.day)
            midway = max(0.5 * (before + event.day), seen.since)
            found.append(SetTemperature(midway, event.celsius))
        else:
            found.append(event)
    return tuple(found)


def _cooled(after: Reals, fall: float) -> Reals:
    return fall * (1.0 - np.exp(-after / _COOLING_D))


def _warmed(
    key: str, base: Branch, log: RunLog, *, events: tuple[Event, ...], warm: Warmth
) -> Follow:
    def follow(kept: NDArray[np.intp]) -> Branch | None:
        few = some_of(base.lives, kept)
        try:
            return branch_of(key, few, run_on(few, log, base.run.day, events), warm)
        except FitError:
            return None

    return follow


def _changed(base: Branch, log: RunLog, *, key: str, change: Change, start: float) -> Follow:
    """Change the lives on a day and run them on; before it they are as in the base."""
    days = base.run.day
    at = int(np.searchsorted(days, start - 1e-9))

    def follow(kept: NDArray[np.intp]) -> Branch | None:
        few = some_of(base.lives, kept)
        states = np.stack([base.run[n][kept, at] for n in layout(MODEL).states], axis=1)
        settings = few.settings.copy()
        change(settings, states)
        begun = replace(few, states=states, settings=settings, day=float(days[at]))
        try:
            later = run_on(begun, log, days[at:], newest_events(log, float(days[at])))
        except FitError:
            return None
        values = {
            name: np.concatenate([curve[kept, :at], later[name]], axis=1)
            for name, curve in base.run.values.items()
        }
        first = base.run.start[:, kept]
        run = replace(base.run, values=values, start=first, settings=settings)
        return branch_of(key, few, run, base.warmth)

    return follow


def _layers(seen: Newest) -> Iterable[tuple[str, str, Change, float]]:
    """As finely as a leak: from each of the days gas was counted on, in as many degrees."""
    for start in starts_in(seen, LAYER_STARTS).tolist():
        for reached in _REACHED:
            yield LAYER, f"about {100 * reached:.0f} % of solids reached", _layer(reached), start


def _changes(seen: Newest) -> Iterable[tuple[str, str, Change, float]]:
    """Each trouble: its explanation, how bad, what it does to settings and states, when."""
    for start in starts_in(seen, MOST_STARTS).tolist():
        for share in _AIR_OF_LIQUID:
            yield AIR, f"air of about {100 * share:.0f} % of the liquid a day", _air(share), start
        words = f"as after {_UNLOGGED_FEED:.0f} kg/m3 of easy food that nobody wrote down"
        yield SOURING, words, _more(("carbohydrate",), _UNLOGGED_FEED), start
        words = f"the acid eaters work at {100 * _VIGOUR_LEFT:.0f} % of their pace"
        yield SOURING, words, _slowed, start
        words = f"about {_NITROGEN:g} kg/m3 of ammonia nitrogen more than is logged"
        kmol = _NITROGEN / NITROGEN_KG_PER_KMOL
        yield AMMONIA, words, _more(("inorganic_nitrogen", "inorganic_carbon"), kmol), start
    # Food does not vanish on a day: there was less of it all along than the lives have it.
    for left in _FOOD_LEFT:
        words = f"about {100 * left:.0f} % of the food left that was thought to be there"
        yield SPENT, words, _less(FOOD, left), seen.since


def _few_microbes(base: Branch, log: RunLog, since: float) -> Iterable[Supposition]:
    """Fewer live microbes all along than the lives have it."""
    cells = [name for name in layout(MODEL).liquid if name.startswith("x_")]
    for alive in _LIVE_CELLS:
        words = f"about {100 * alive:.0f} % of the microbes it should have had"
        follow = _changed(base, log, key=WEAK, change=_less(cells, alive), start=since)
        yield Supposition(WEAK, since, words, 1.0, follow, _weak_enough(log, alive))


def _layer(reached: float) -> Change:
    place = layout(MODEL).setting_at

    def change(settings: Reals, states: Reals) -> None:
        settings[:, place["access"]] *= reached
        settings[:, place["kLa"]] *= _RELEASE

    return change


def _air(share: float) -> Change:
    place = layout(MODEL)

    def change(settings: Reals, states: Reals) -> None:
        volume = states[:, place.state_at["volume"]]
        settings[:, place.setting_at["air_exchange_m3_per_d"]] += share * volume

    return change


def _slowed(settings: Reals, states: Reals) -> None:
    for name in _UPTAKE:
        settings[:, layout(MODEL).setting_at[name]] *= _VIGOUR_LEFT


def _more(names: Sequence[str], per_m3: float) -> Change:
    place = layout(MODEL).state_at

    def change(settings: Reals, states: Reals) -> None:
        for name in names:
            states[:, place[name]] += per_m3 * states[:, place["volume"]]

    return change


def _less(names: Sequence[str], share: float) -> Change:
    place = layout(MODEL).state_at

    def change(settings: Reals, states: Reals) -> None:
        for name in names:
            states[:, place[name]] *= share

    return change
