"""A small invented trial in a notebook, for pages, reports and terminal."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any

from django.utils import timezone

from marshlight.notebook.models import Person, Site, Trial
from marshlight.notebook.recording import record_event, record_reading
from marshlight.notebook.setting_up import set_up

LOTS = {"bread": "bread_stale", "whey": "whey_sweet"}


def make_trial(
    site: Site,
    keeper: Person,
    *,
    days: int = 8,
    samples: Sequence[tuple[str, float]] = (("bread", 0.42),),
    control: float = 0.37,
    leaking: str = "",
    exchanged: tuple[str, str] = ("", ""),
) -> Trial:
    """Make a trial read by counter: blanks, control and samples, three bottles each.

    One bottle may lose half its gas from day 2 on, and two may be read under each other's label.
    """
    trial: Any = set_up("trial", {"name": "Crusts", "ratio": "2"}, by=keeper)
    set_up("lot", {"name": "Cellulose", "feedstock": "cellulose"}, by=keeper)
    for name, key in LOTS.items():
        set_up("lot", {"name": f"Lot of {name}", "feedstock": key}, by=keeper)
    holder = {"name": "Counter", "kind": "counter", "per_count": "1 mL"}
    set_up("holder", holder, by=keeper)
    kinds = (("", "blank", 0.0), ("cellulose", "control", control))
    kinds += tuple((m, "sample", y) for m, y in samples)
    true = {f"{m or 'blank'} {i}": y for m, _, y in kinds for i in (1, 2, 3)}
    one, two = exchanged
    if one:
        true[one], true[two] = true[two], true[one]
    start = timezone.now() - timedelta(days=days, hours=2)
    for material, role, _ in kinds:
        for i in (1, 2, 3):
            label = f"{material or 'blank'} {i}"
            set_up("vessel", {"name": label, "volume": "1 L"}, by=keeper)
            run = set_up(
                "run",
                {
                    "name": label,
                    "vessel": label,
                    "holder": "Counter",
                    "started_at": start.isoformat(),
                },
                by=keeper,
            )
            more = {"substrate": "2 g", "substrate_vs": "95 %", "material": material}
            more |= {"lot": f"Lot of {material}"} if material in LOTS else {}
            set_up(
                "trialbottle",
                {
                    "name": label,
                    "trial": "Crusts",
                    "run": str(run.pk),
                    "role": role,
                    "inoculum": "250 g",
                    "inoculum_vs": "2 %",
                    "position": str(i),
                }
                | (more if material else {}),
                by=keeper,
            )
            gas = _gas(true[label], i, days, leaks=label == leaking)
            _read(run, gas, keeper=keeper, start=start)
    return trial  # type: ignore[no-any-return]


def _gas(yields: float, i: int, days: int, *, leaks: bool) -> list[float]:
    """Give what a counter shows each day [mL]."""
    whole = 300.0 + yields * 1.9e3 / 0.5 * (1.0 + 0.01 * i)
    shown = [0.0]
    for day in range(1, days + 1):
        step = whole * (0.6 ** (day - 1) - 0.6**day)
        shown.append(shown[-1] + step * (0.5 if leaks and day > 2 else 1.0))
    return shown


def _read(run: Any, gas: Sequence[float], *, keeper: Person, start: datetime) -> None:
    parts = [{"feedstock": "digester_effluent", "mass": "250 g"}]
    record_event(run, "charge", at=start, detail={"parts": parts}, by=keeper)
    share = {"carbon_dioxide": "45 %"}
    record_reading(run, "analyser", "55 %", at=start + timedelta(days=1), detail=share, by=keeper)
    for day, shown in enumerate(gas):
        record_reading(run, "counter", f"{shown:.1f} mL", at=start + timedelta(days=day), by=keeper)
    record_reading(run, "gas_temperature", "20", at=start + timedelta(days=1), by=keeper)
