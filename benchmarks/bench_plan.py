"""How long a plan and a blend take; the mixing page is to update in 0.3 s."""

from collections.abc import Iterable

from benchmarks.harness import BenchRow, against, seconds

from marshlight.decide.plan import ChargeRequest, LotAtHand, plan_charge, run_card, run_card_text
from marshlight.matter import Part, blend, library

KEYS = (
    "goat_manure_straw",
    "whey_sweet",
    "bread_stale",
    "apple_pomace",
    "kitchen_peelings",
    "spent_yeast",
    "digester_effluent",
)


def _request(**more: object) -> ChargeRequest:
    lots = tuple(LotAtHand(library()[key], 5.0) for key in KEYS)
    return ChargeRequest(0.025, lots, slurry_c=37.0, **more)  # type: ignore[arg-type]


def _clashing() -> ChargeRequest:
    lots = tuple(
        LotAtHand(library()[key], 5.0, fixed_kg=3.0 if key == "bread_stale" else None)
        for key in KEYS
    )
    return ChargeRequest(0.025, lots, slurry_c=37.0)


def rows() -> Iterable[BenchRow]:
    """Time plans of seven lots, against one bare linear programme of their size."""
    from scipy.optimize import linprog

    def factor(_: float) -> float:
        return 1.0

    request, clashing = _request(), _clashing()
    parts = [Part(library()[key], 1.0) for key in KEYS]

    def bare() -> object:
        return linprog([-1.0] * 8, A_ub=[[1.0] * 8] * 30, b_ub=[1.0] * 30, method="highs")

    yield against(
        "plan a charge of seven lots",
        lambda: plan_charge(request, temperature_factor=factor),
        bare,
        target="below 50 ms; baseline one bare linear programme",
    )
    yield against(
        "plan a charge whose limits clash, with the nearest mix",
        lambda: plan_charge(clashing, temperature_factor=factor),
        bare,
        target="below 150 ms; baseline one bare linear programme",
    )
    plan = plan_charge(request, temperature_factor=factor)
    yield BenchRow(
        "print a run card",
        seconds(lambda: run_card_text(run_card(plan))) * 1e3,
        "ms",
        target="below 10 ms",
    )
    yield against(
        "blend seven lots with uncertainty",
        lambda: blend(parts, 5.0),
        lambda: [blend([part]) for part in parts[:1]],
        target="below 10 ms; baseline a blend of one lot",
    )
