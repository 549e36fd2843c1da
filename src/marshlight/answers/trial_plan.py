"""The plan of a trial on paper: what to weigh in, where each bottle stands, and labels."""

from dataclasses import dataclass

from marshlight.answers.series import Table
from marshlight.answers.trial_result import bottles_of
from marshlight.decide.safety import Caution, cautions_at
from marshlight.notebook.models import Trial, TrialBottle


@dataclass(frozen=True)
class Label:
    """One bottle's label."""

    label: str
    trial: str
    place: str
    words: str


@dataclass(frozen=True)
class Shelf:
    """One block with its bottles from left to right."""

    block: int
    labels: tuple[Label, ...]


@dataclass(frozen=True)
class TrialPlan:
    """Everything the printed plan says."""

    ident: str
    name: str
    weighing: Table
    shelves: tuple[Shelf, ...]
    waiting: int
    cautions: tuple[Caution, ...]


def trial_plan(trial: Trial) -> TrialPlan:
    """Gather a trial's plan from its bottles.

    Parameters
    ----------
    trial : Trial
        The trial.
    """
    rows = bottles_of(trial)
    weighing = Table(
        "Weigh in, write down what the scale showed, and seal",
        ("bottle", "inoculum, g", "material", "material, g", "besides", "weighed, g"),
        tuple(
            (
                r.name,
                f"{r.inoculum_kg * 1e3:.1f}",
                r.material or "–",
                f"{r.substrate_kg * 1e3:.2f}" if r.substrate_kg else "–",
                r.notes,
                "",
            )
            for r in rows
        ),
    )
    waiting = sum(1 for r in rows if r.run.started_at is None)
    blocks = sorted({r.block for r in rows})
    shelves = tuple(Shelf(b, tuple(_label(trial, r) for r in rows if r.block == b)) for b in blocks)
    cautions = (*cautions_at("log:pressure"), *cautions_at("plan:seal"))
    unique = tuple({c.key: c for c in cautions}.values())
    return TrialPlan(str(trial.pk), trial.name, weighing, shelves, waiting, unique)


def _label(trial: Trial, row: TrialBottle) -> Label:
    inside = row.material or "inoculum only"
    team = f", {row.team}" if row.team else ""
    return Label(
        row.name, trial.name, f"block {row.block}, place {row.position}", f"{inside}{team}"
    )
