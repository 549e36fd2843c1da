"""From saving a reading to the updated forecast on screen, part by part: 60 days, fed daily."""

from collections.abc import Callable, Iterator
from datetime import timedelta
from time import perf_counter
from typing import Any

import numpy as np
from benchmarks.harness import BenchRow
from benchmarks.scratch import scratch_notebook

DAYS, LOOKS_A_DAY = 60, 2
AIM = "under 2 s on one core"
_SEED = 31


def rows() -> Iterator[BenchRow]:
    """Save a reading three times and take the middle of each part."""
    with scratch_notebook():
        yield from _measured(_fed_run())


def _measured(run: Any) -> Iterator[BenchRow]:
    from django.utils import timezone

    from marshlight.answers.lives import lives_of_run

    now = timezone.now()
    first = perf_counter()
    found = lives_of_run(run, now=now)
    took = perf_counter() - first
    assert found.lives is not None
    runs = found.lives.quality.runs
    yield BenchRow(f"{DAYS} d fed daily, first fit ever ({runs} runs of the model)", took, "s")
    parts: list[dict[str, float]] = [_once(run, minutes) for minutes in (30, 20, 10)]
    for name in parts[0]:
        yield BenchRow(f"new reading: {name}", float(np.median([p[name] for p in parts])), "s")
    whole = float(np.median([sum(part.values()) for part in parts]))
    yield BenchRow("new reading: saved to outlook on screen", whole, "s", None, None, AIM)


def _once(run: Any, minutes: float) -> dict[str, float]:
    """Save one more reading and do all that follows, in turn, timing each."""
    from django.conf import settings
    from django.test import Client
    from django.utils import timezone

    from marshlight.answers.analysis import analyse
    from marshlight.answers.lives import lives_of_run
    from marshlight.answers.outlook import outlook_of
    from marshlight.notebook.recording import record_reading

    settings.MARSHLIGHT_LOOPBACK = True
    client = Client(SERVER_NAME="localhost")
    now = timezone.now()
    value = 0.31 + 0.001 * (30 - minutes) / 10

    def page() -> None:
        assert client.get(f"/runs/{run.pk}/outlook/").status_code == 200

    at = now - timedelta(minutes=minutes)
    steps: dict[str, Callable[[], object]] = {
        "saving it": lambda: record_reading(run, "counter", value, at=at, unit="m3"),
        "gas ledger and curves": lambda: analyse(run),
        "fitting the process model": lambda: lives_of_run(run, now=now),
        "looking ahead": lambda: outlook_of(run, now=now),
        "the page": page,
    }
    found = {}
    for name, step in steps.items():
        begun = perf_counter()
        step()
        found[name] = perf_counter() - begun
    return found


def _fed_run() -> Any:
    """Fill a notebook with a drum fed daily, its gas and pH from the process model, with noise."""
    from django.utils import timezone

    from marshlight.answers.analysis import analyse
    from marshlight.answers.simulate_past import past_of
    from marshlight.notebook.models import Holder, Run, Site, Vessel
    from marshlight.notebook.recording import record_event, record_reading
    from marshlight.process.model import simulate

    site = Site.objects.create(name="bench", altitude_m=640.0, room_temperature_c=18.0)
    vessel = Vessel.objects.create(name="drum", site=site, volume_m3=0.025)
    holder = Holder.objects.create(
        name="counter", site=site, kind="counter", dimensions={"per_count_m3": 1.0}
    )
    run = Run.objects.create(name="fed", site=site, vessel=vessel, holder=holder)
    start = timezone.now() - timedelta(days=DAYS, hours=2)
    charge = [
        {"feedstock": "digester_effluent", "mass": "14 kg"},
        {"feedstock": "goat_manure", "mass": "1 kg"},
    ]
    record_event(run, "charge", at=start, detail={"parts": charge, "water": "2 L"})
    for day in range(2, DAYS):
        at = start + timedelta(days=day)
        meal = {"parts": [{"feedstock": "bread_stale", "mass": "25 g"}], "water": "0.1 L"}
        record_event(run, "draw_off", "0.12 L", at=at)
        record_event(run, "feed", at=at + timedelta(minutes=5), detail=meal)
    record_reading(run, "slurry_temperature", "36 degC", at=start + timedelta(hours=1))
    run.refresh_from_db()
    past = past_of(analyse(run), float(DAYS))
    looks = np.arange(0.0, DAYS + 1e-9, 1.0 / LOOKS_A_DAY)
    truth = simulate(past.digester, past.charge, days=looks, events=past.events)
    rng = np.random.default_rng(_SEED)
    # What a counter at 18 degC and the site's pressure shows of dry normal gas; 1 % noise.
    shown = np.maximum.accumulate(
        truth.biogas_m3 * 1.17 * (1.0 + 0.003 * rng.normal(size=looks.size))
    )
    for day, value in zip(looks, shown, strict=True):
        at = start + timedelta(days=float(day))
        record_reading(run, "counter", float(value), at=at, unit="m3")
    for place in range(0, looks.size, 3 * LOOKS_A_DAY):
        at = start + timedelta(days=float(looks[place]))
        seen = round(4.0 * (float(truth["pH"][place]) + 0.08 * rng.normal())) / 4.0
        record_reading(run, "ph", seen, at=at)
    run.refresh_from_db()
    return run
