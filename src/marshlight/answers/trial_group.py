"""A class: what one group sees of a trial, and who looks after which bottle."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from marshlight.answers.series import Table
from marshlight.answers.trial_axis import Axis, axis_of
from marshlight.answers.trial_result import Assessed, bottles_of, trial_result
from marshlight.answers.trial_tables import nml, potentials_table
from marshlight.answers.words import ago
from marshlight.decide.trial import standing_sentence
from marshlight.errors import InputError
from marshlight.notebook.models import Person, Reading, Trial, TrialBottle

_LONGEST = 60


@dataclass(frozen=True)
class GroupPage:
    """One group's own bottles, and what all bottles together say."""

    ident: str
    trial: str
    team: str
    sentence: str
    standing: str
    own: Table
    pooled: Table | None
    axis: Axis | None
    flags: tuple[str, ...]


@dataclass(frozen=True)
class Seat:
    """One bottle and the group that looks after it."""

    ident: str
    label: str
    words: str
    team: str


@dataclass(frozen=True)
class GroupsPage:
    """All bottles with their groups, and which groups can log in."""

    ident: str
    trial: str
    class_mode: bool
    seats: tuple[Seat, ...]
    teams: tuple[tuple[str, bool], ...]


def teams_of(trial: Trial) -> tuple[str, ...]:
    """List the groups that look after a bottle of a trial."""
    return tuple(sorted({row.team for row in bottles_of(trial) if row.team}))


def trials_of(team: str) -> tuple[Trial, ...]:
    """List the trials in which a group has bottles, newest first."""
    rows = TrialBottle.objects.in_use().filter(team=team, trial__retired=False)
    ids = rows.filter(trial__class_mode=True).values_list("trial", flat=True)
    return tuple(Trial.objects.filter(pk__in=set(ids)).select_related("site").order_by("-pk"))


def group_page(trial: Trial, team: str, *, now: datetime) -> GroupPage:
    """Gather what one group sees: its own bottles singly, all others only in the means.

    Parameters
    ----------
    trial : Trial
        A trial whose groups own bottles.
    team : str
        The group's name.
    now : datetime
        The moment of asking.

    Raises
    ------
    InputError
        If the group has no bottle in the trial, or groups own none in it.
    """
    if not trial.class_mode or team not in teams_of(trial):
        raise InputError(
            "group", team, "a group with bottles in this trial", "Ask who leads the trial"
        )
    assessed = trial_result(trial)
    result = assessed.result
    own = _own(assessed, team, now)
    mine = {row.name for row in assessed.rows if row.team == team}
    flags = [f for f in (result.flags if result else ()) if set(f.labels) <= mine]
    return GroupPage(
        str(trial.pk),
        trial.name,
        team,
        result.verdict if result else "Nothing can be said yet.",
        # Only its own bottles are named to a group, and none where all can't be reckoned yet.
        standing_sentence(result.criteria, flags) if result else "Not every bottle is read yet.",
        own,
        potentials_table(result.result, result) if result else None,
        axis_of(result, only=mine) if result else None,
        tuple(f"{flag.text} {flag.evidence} {flag.todo}" for flag in flags),
    )


def _own(assessed: Assessed, team: str, now: datetime) -> Table:
    result = assessed.result
    potentials = result.result.potentials if result else ()
    own = {b.label: b.value for p in potentials for b in p.bottles}
    whole = {p.group: p for p in potentials}
    rows = []
    for read in assessed.bottles:
        row = read.row
        if row.team != team:
            continue
        last = Reading.objects.current().filter(run=row.run).order_by("-at").first()
        all_bottles = whole.get(row.material)
        rows.append(
            (
                row.name,
                row.material or "blank",
                f"{row.block}/{row.position}",
                f"{read.biogas_m3[-1] * 1e3:.2f}" if read.biogas_m3.size else "–",
                nml(own[row.name]) if row.name in own else "–",
                "–" if all_bottles is None else f"{nml(all_bottles.mean)} of {all_bottles.n}",
                f"left out: {row.left_out}"
                if row.left_out
                else (ago(last.at, now) if last else "not read yet"),
            )
        )
    head = (
        "bottle", "material", "block/place", "gas, NL", "own, NmL/g VS", "mean of all bottles",
        "last read",
    )  # fmt: skip
    return Table(f"Bottles of {team}", head, tuple(rows))


def groups_page(trial: Trial) -> GroupsPage:
    """List every bottle with its group, and the groups with whether they can log in."""
    seats = tuple(
        Seat(str(row.pk), row.name, f"block {row.block}, place {row.position}", row.team)
        for row in bottles_of(trial)
    )
    can = set(
        Person.objects.in_use()
        .filter(role=Person.Role.GROUP, user__is_active=True)
        .values_list("name", flat=True)
    )
    teams = tuple((team, team in can) for team in teams_of(trial))
    return GroupsPage(str(trial.pk), trial.name, trial.class_mode, seats, teams)


def keep_groups(trial: Trial, given: Mapping[str, str], *, by: Person | None) -> str:
    """Keep which group looks after which bottle.

    Parameters
    ----------
    trial : Trial
        The trial.
    given : mapping
        A group's name under each bottle's id; empty for none.
    by : Person or None
        Who says so.

    Returns
    -------
    str
        What changed, in words.

    Raises
    ------
    InputError
        If a name is too long.
    """
    changed = 0
    with transaction.atomic():
        for row in bottles_of(trial):
            team = " ".join(given.get(str(row.pk), row.team).split())
            if len(team) > _LONGEST:
                raise InputError("group", team, f"up to {_LONGEST} letters", "Shorten the name")
            if team != row.team:
                row.team = team
                row.save(by=by, why="group that looks after it")
                changed += 1
        if not trial.class_mode:
            trial.class_mode = True
            trial.save(by=by, why="groups own bottles")
    return f"{changed} bottles changed hands." if changed else "Nothing changed."
