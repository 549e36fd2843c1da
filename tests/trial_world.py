"""A small invented trial in a notebook, for pages, reports and terminal."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Any

from django.utils import timezone

from marshlight.notebook.models import Person, Site, Trial
from marshlight.notebook.recording import record_event, record_reading
from marshlight.notebook.setting_up import set_up

LOTS = {"bread": "bread_stale", "whey": "whey_sweet"}
FIXED = (("", "blank", 0.0), ("cellulose", "control", 0.37))


def make_trial(
    site: Site,
    keeper: Person,
    *,
    days: int = 8,
    samples: Sequence[tuple[str, float]] = (("bread", 0.42),),
) -> Trial:
    """Make a trial read by counter: blanks, control and samples, three bottles each."""
    trial: Any = set_up("trial", {"name": "Crusts", "ratio": "2"}, by=keeper)
    set_up("lot", {"name": "Cellulose", "feedstock": "cellulose"}, by=keeper)
    for name, key in LOTS.items():
        set_up("lot", {"name": f"Lot of {name}", "feedstock": key}, by=keeper)
    holder = {"name": "Counter", "kind": "counter", "per_count": "1 mL"}
    set_up("holder", holder, by=keeper)
    start = timezone.now() - timedelta(days=days, hours=2)
    for material, role, yields in (*FIXED, *((m, "sample", y) for m, y in samples)):
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
            _read(run, yields, i, days=days, keeper=keeper, start=start)
    return trial  # type: ignore[no-any-return]


def _read(run: Any, yields: float, i: int, *, days: int, keeper: Person, start: datetime) -> None:
    parts = [{"feedstock": "digester_effluent", "mass": "250 g"}]
    record_event(run, "charge", at=start, detail={"parts": parts}, by=keeper)
    share = {"carbon_dioxide": "45 %"}
    record_reading(run, "analyser", "55 %", at=start + timedelta(days=1), detail=share, by=keeper)
    record_reading(run, "counter", "0 mL", at=start, by=keeper)
    for day in range(1, days + 1):
        grown = 1.0 - 0.6**day
        total = (300.0 + yields * 1.9e3 / 0.5 * (1.0 + 0.01 * i)) * grown
        at = start + timedelta(days=day)
        record_reading(run, "counter", f"{total:.1f} mL", at=at, by=keeper)
    record_reading(run, "gas_temperature", "20", at=start + timedelta(days=1), by=keeper)
