"""Loading the demonstration world into an empty notebook; the seed is kept with it."""

from collections.abc import Callable, Iterable, Sequence
from datetime import datetime, timedelta
from typing import Any

import numpy as np
from django.db import transaction
from django.utils import timezone

from marshlight.answers.simulate_past import DOSED, liquid_of
from marshlight.demo.bottles import BATH_C, bag_log, fed_chemistry, gas_log, pressure_log
from marshlight.demo.course import Course, Portion, Script, course
from marshlight.demo.keeper import Bench, Entry, chemistry_log, cylinder_log, visits
from marshlight.demo.played import Bend, Play, bent, played
from marshlight.demo.stories import (
    DRUMS,
    LIVE,
    TRIAL,
    TRIAL_DAYS,
    TRIAL_INOCULUM_KG,
    TRIAL_LEAK,
    TRIAL_WATER_L,
    Feed,
    Story,
    barrel,
)
from marshlight.demo.trial import burn_crucibles, enlist, set_up_trial
from marshlight.demo.world import SITE, set_up_lots, set_up_place
from marshlight.errors import NotebookError
from marshlight.matter.mixing import Part, blend
from marshlight.notebook.bridge.apparatus import holder_of
from marshlight.notebook.bridge.feedstocks import feedstock_of
from marshlight.notebook.bulk import insert_many
from marshlight.notebook.content import fingerprint, understand
from marshlight.notebook.kinds import reading_kind
from marshlight.notebook.models import Holder, Lot, Person, Reading, Run, Site, Trial
from marshlight.notebook.recording import record_event
from marshlight.notebook.setting_up import set_up
from marshlight.process.model import Dose, DrawOff, Event, KernelMissing, Liquid
from marshlight.process.model.kernel import library

DEMO_SITE = SITE
SEED = 20260501
AIR_KPA = 93.9
_STEPS = len(DRUMS) + 1 + len(TRIAL)
MODEL = "Its readings are made by the process model, plus the keeper's reading errors."
CURVES = "Its readings are made by gas curves, plus the keeper's reading errors."
NO_MODEL = f"{CURVES} The process model is not compiled in this installation."
Progress = Callable[[int, int, str], None]


def demo_is_loaded() -> bool:
    """Say whether the notebook holds the demonstration world."""
    return Site.objects.filter(name=DEMO_SITE, invented=True).exists()


def model_is_compiled() -> bool:
    """Say whether the process model can play the drums and the barrel."""
    try:
        library()
    except KernelMissing:
        return False
    return True


def load_demo(*, now: datetime | None = None, progress: Progress | None = None) -> None:
    """Fill an empty notebook with the invented world; all of it or nothing.

    Parameters
    ----------
    now : datetime, optional
        The stories end here; the current time if left out.
    progress : callable, optional
        Called with (done, of, what) as it goes.

    Raises
    ------
    NotebookError
        If the notebook holds anything already: invented data never mixes with real data.
    """
    if Site.objects.exists():
        raise NotebookError(
            "The demonstration goes into an empty notebook only; give another with "
            "--notebook FILE, or MARSHLIGHT_NOTEBOOK"
        )
    moment = now or timezone.now()
    tell = progress or (lambda done, of, what: None)
    with transaction.atomic():
        keeper = set_up_place()
        set_up_lots(moment, keeper)
        world = _World(moment, keeper)
        for i, story in enumerate(DRUMS):
            tell(i, _STEPS, story.name)
            world.drum(i, story)
        tell(len(DRUMS), _STEPS, "a year of the barrel")
        world.barrel(len(DRUMS))
        world.trial = set_up_trial(keeper)
        for i, bottle in enumerate(TRIAL, start=len(DRUMS) + 1):
            tell(i, _STEPS, f"trial bottle, {bottle[0]}")
            world.bottle(i, *bottle)
        burn_crucibles(world.trial, keeper)
    tell(_STEPS, _STEPS, "done")


class _World:
    """Writes stories into the notebook; each has its own random stream from the one seed."""

    trial: Trial

    def __init__(self, now: datetime, keeper: Person) -> None:
        self.now = now.replace(second=0, microsecond=0)
        self.keeper = keeper
        self.lots = {lot.name: lot for lot in Lot.objects.all()}
        self.compiled = model_is_compiled()
        self.how = MODEL if self.compiled else NO_MODEL

    def drum(self, index: int, story: Story) -> None:
        """Tell one drum's story."""
        rng = np.random.default_rng((SEED, index))
        number = index + 1
        run = self._run(
            story.name, f"Drum {number}", f"Cylinder {number}", story.began_days_ago,
            how=self.how,
        )  # fmt: skip
        vessel_m3: float = run.vessel.volume_m3
        true = self._true(story, vessel_m3, rng)
        holder = holder_of(Holder.objects.get(name=f"Cylinder {number}"))
        charge_m3 = self._poured(story.feeds[0]).volume_m3
        bench = Bench(holder, vessel_m3 - charge_m3)  # type: ignore[arg-type]
        entries = [*self._fed(story.feeds), *self._dosed(story), *story.done]
        entries += chemistry_log(true, rng)
        seen = visits(float(true.day[-1]), rng, busy=(3.0, 25.0))
        entries += cylinder_log(true, bench, seen, rng)
        self._write(run, entries)

    def barrel(self, index: int) -> None:
        """Tell a year of feeding at uneven intervals."""
        rng = np.random.default_rng((SEED, index))
        story = barrel(rng)
        run = self._run(
            story.name, "Barrel", "Gas bag", story.began_days_ago, mode="fed", how=self.how
        )
        vessel_m3: float = run.vessel.volume_m3
        drawn = [
            (feed.day - 0.01, round(self._poured(feed).volume_m3, 4)) for feed in story.feeds[1:]
        ]
        true = self._true(story, vessel_m3, rng, [DrawOff(day, m3) for day, m3 in drawn])
        entries = [*self._fed(story.feeds)]
        entries += [Entry(day, "event", "draw_off", f"{m3 * 1e3:.1f} L") for day, m3 in drawn]
        entries += [*bag_log(true, rng, capacity_m3=0.3), *fed_chemistry(true, rng)]
        self._write(run, entries)

    def _true(
        self,
        story: Story,
        vessel_m3: float,
        rng: np.random.Generator,
        drawn: Sequence[Event] = (),
    ) -> Course:
        """Let the process model play a story, or tell it by curves where it is not compiled."""
        days = story.ended_day or story.began_days_ago
        if not self.compiled:
            script = Script(
                days,
                self._portions(story.feeds),
                story.slurry_c,
                vigour=story.vigour,
                ph=story.ph,
                methane=story.methane,
                escaping=story.escaping,
            )
            return course(script, rng, air_kpa=AIR_KPA)
        doses = [Dose(day, DOSED["bicarbonate"], grams / 1e3) for day, grams, _ in story.doses]
        play = Play(
            days,
            vessel_m3,
            tuple((f.day, bent(self._poured(f), Bend(food=f.better))) for f in story.feeds),
            story.slurry_c,
            done=(*drawn, *doses),
            bend=story.bend,
            escaping=story.escaping,
        )
        return played(play, rng, air_kpa=AIR_KPA)

    def _poured(self, feed: Feed) -> Liquid:
        return liquid_of(self._listed(feed.parts), feed.water_l)

    def _dosed(self, story: Story) -> Iterable[Entry]:
        for day, grams, note in story.doses:
            stirred_in = {"substance": "bicarbonate"}
            yield Entry(day, "event", "dose", f"{grams:g} g", stirred_in, note)

    def bottle(self, index: int, label: str, lot: str, grams: float) -> None:
        """Tell one bottle of the trial."""
        rng = np.random.default_rng((SEED, index))
        set_up(
            "vessel", {"name": f"Bottle {label}", "volume": "1 L", "tall": "22 cm"}, by=self.keeper
        )
        run = self._run(
            f"Trial, {label}",
            f"Bottle {label}",
            "Bottle gas space",
            TRIAL_DAYS,
            heater="Water bath",
        )
        parts = {LIVE: TRIAL_INOCULUM_KG} | ({lot: grams / 1e3} if lot else {})
        enlist(self.trial, run, label=label, parts=self._listed(parts), by=self.keeper)
        feeds = (Feed(0.0, parts, TRIAL_WATER_L),)
        better = float(rng.normal(1.0, 0.02))
        # Each on its own: the inoculum's slow rest does not hurry because of what is beside it.
        alone = [Feed(0.0, {name: kg}, 0.0, better, 0.3) for name, kg in parts.items()]
        leak = (
            ((0.0, 0.0), (6.0, 0.0), (6.2, 0.5), (60.0, 0.5))
            if label == TRIAL_LEAK
            else ((0.0, 0.0),)
        )
        script = Script(
            TRIAL_DAYS, self._portions(alone), ((0.0, BATH_C),), escaping=leak, swing_c=0.05
        )
        true = course(script, rng, air_kpa=AIR_KPA)
        whole = np.array([*range(1, 12), 13, 15, 17, 20, 23, 27], dtype=float)
        times = whole + np.round(rng.normal(0.0, 0.01, whole.size), 4)
        mixed = blend(self._listed(parts), 0.0)
        assert mixed.methane_share is not None
        told = gas_log(true, times, mixed.methane_share.value, rng)
        self._write(run, [*self._fed(feeds), *pressure_log(true, times, rng), *told])

    def _run(
        self, name: str, vessel: str, holder: str, days_ago: float,
        *, mode: str = "batch", heater: str = "", how: str = CURVES,
    ) -> Run:  # fmt: skip
        warm = heater or ("" if mode == "fed" else "Heating cable in the cupboard")
        given = {"name": name, "vessel": vessel, "holder": holder, "heater": warm, "mode": mode}
        began = self._morning(days_ago)
        run: Any = set_up("run", given | {"started_at": began.isoformat()}, by=self.keeper)
        run.notes = f"Invented for the demonstration, seed {SEED}. {how}"
        run.save(by=self.keeper, why="marked as invented")
        return run  # type: ignore[no-any-return]

    def _morning(self, days_ago: float) -> datetime:
        """Begin at eight, when charges are mixed; a charge of today began when it began."""
        began = self.now - timedelta(days=days_ago)
        eight = began.replace(hour=8, minute=0)
        return began if days_ago < 1.0 else eight - timedelta(days=int(eight > began))

    def _portions(self, feeds: Sequence[Feed]) -> tuple[Portion, ...]:
        """Let the engine say how much gas each feed holds and how fast it comes."""
        portions = []
        for feed in feeds:
            mixed = blend(self._listed(feed.parts), feed.water_l)
            if mixed.methane_m3 is None or mixed.rate is None or mixed.methane_share is None:
                raise NotebookError("a demonstration lot lacks its potential or rate")
            gas = mixed.methane_m3.value / mixed.methane_share.value * feed.better
            portions.append(Portion(feed.day, gas, mixed.rate.value, feed.lag_d))
        return tuple(portions)

    def _fed(self, feeds: Iterable[Feed]) -> Iterable[Entry]:
        for i, feed in enumerate(feeds):
            parts = [
                {"lot": str(self.lots[n].pk), "mass": f"{kg:g} kg"} for n, kg in feed.parts.items()
            ]
            detail = {"parts": parts} | ({"water": f"{feed.water_l:g} L"} if feed.water_l else {})
            yield Entry(feed.day, "event", "charge" if i == 0 else "feed", detail=detail)

    def _listed(self, parts: dict[str, float]) -> tuple[Part, ...]:
        return tuple(Part(feedstock_of(self.lots[n]), kg) for n, kg in parts.items())

    def _write(self, run: Run, entries: Iterable[Entry]) -> None:
        began = run.started_at
        assert began is not None
        due = sorted(
            (e for e in entries if began + timedelta(days=e.day) <= self.now), key=lambda e: e.day
        )
        rows = []
        for entry in due:
            at = began + timedelta(minutes=round(entry.day * 1440))
            if entry.family == "event":
                record_event(
                    run,
                    entry.kind,
                    entry.value or None,
                    at=at,
                    detail=entry.detail,
                    note=entry.note,
                    by=self.keeper,
                )
                continue
            content = understand(
                reading_kind(entry.kind), entry.value or None, unit=None, detail=entry.detail
            )
            rows.append({
                "at": at, "kind": entry.kind, "value": content.value, "unit": content.unit,
                "entered": content.entered, "detail": content.detail, "note": entry.note,
                "fingerprint": fingerprint(entry.kind, at, content, entry.note), "entered_at": at,
            })  # fmt: skip
        same = {"run": run.pk, "entered_by": self.keeper.pk, "batch": None}
        insert_many(Reading, rows, same)
