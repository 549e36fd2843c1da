"""Which need a visit first? Many digesters, one line each, from what was kept of them."""

import uuid
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db.models import Count, F, Max, Min, Q, QuerySet
from django.db.models.functions import Coalesce

from marshlight.answers.fleet_finding import (
    FIRST_VISITS,
    NOT_WORKED_OUT,
    RANK_NOT_WORKED_OUT,
)
from marshlight.answers.lately import Lately
from marshlight.answers.nightly import going_runs
from marshlight.answers.reader import in_reader_units
from marshlight.answers.state import State
from marshlight.answers.words import ago, days_since
from marshlight.estimate import Estimate
from marshlight.notebook.models import Finding, Person, Run, Site

LINES_A_PAGE = 50
# A night was missed: the weather, the holder and the next look have moved on. Our choice.
_OLD = timedelta(hours=36)
_LONGEST_SEARCH = 80


@dataclass(frozen=True)
class FleetLine:
    """One digester: how it is, what to do next, and how old that is."""

    ident: str
    name: str
    state: State
    next_step: str
    ahead: str
    feared: str
    urgent: bool
    first: bool
    where: str
    keeper: str
    day: int | None
    gas: str
    expected: str
    read: str
    worked: str
    stale: str
    trouble: str


@dataclass(frozen=True)
class Choice:
    """One entry of a filter: its value, its words, and whether it is chosen."""

    value: str
    words: str
    chosen: bool = False


@dataclass(frozen=True)
class Asked:
    """What was asked for: text, a site, a state, a keeper, a page."""

    search: str = ""
    site: str = ""
    state: str = ""
    keeper: str = ""
    page: int = 1

    @classmethod
    def read(cls, typed: Mapping[str, str]) -> "Asked":
        """Read what was typed; a page that is no number is the first."""
        page = typed.get("page", "1")
        return cls(
            search=" ".join(typed.get("search", "").split())[:_LONGEST_SEARCH],
            site=typed.get("site", ""),
            state=typed.get("state", ""),
            keeper=typed.get("keeper", ""),
            page=int(page) if page.isdecimal() and len(page) < 7 else 1,
        )

    @property
    def narrowed(self) -> bool:
        """Whether anything but the page was asked for."""
        return bool(self.search or self.site or self.state or self.keeper)


@dataclass(frozen=True)
class Fleet:
    """A page of the list, with what there is to choose from."""

    sentence: str
    hint: str
    asked: Asked
    lines: tuple[FleetLine, ...]
    sites: tuple[Choice, ...]
    states: tuple[Choice, ...]
    keepers: tuple[Choice, ...]
    found: int
    going: int
    page: int
    pages: int

    @property
    def first_number(self) -> int:
        """Give the place of the page's first line in the whole list."""
        return (self.page - 1) * LINES_A_PAGE + 1


def fleet(now: datetime, asked: Asked) -> Fleet:
    """List the digesters that go on, the most urgent first.

    Parameters
    ----------
    now : datetime
        The moment of asking.
    asked : Asked
        Which of them, and which page.

    Returns
    -------
    Fleet
        Nothing is worked out for it: each line says how old its result is, and whether the log
        has moved on since.
    """
    everything = going_runs()
    chosen = _narrowed(everything, asked)
    found = chosen.count()
    pages = max((found + LINES_A_PAGE - 1) // LINES_A_PAGE, 1)
    page = min(max(asked.page, 1), pages)
    rank = Coalesce(F("finding__rank"), RANK_NOT_WORKED_OUT)
    rows = chosen.select_related("site", "vessel", "finding__keeper").order_by(rank, "name", "pk")
    shown = rows[(page - 1) * LINES_A_PAGE : page * LINES_A_PAGE]
    counts = _counts(everything, now)
    return Fleet(
        sentence=_sentence(counts),
        hint=_hint(counts, now),
        asked=asked,
        lines=tuple(_line(run, now) for run in shown),
        sites=_sites(asked.site),
        states=_states(everything, asked.state),
        keepers=_keepers(everything, asked.keeper),
        found=found,
        going=counts["going"],
        page=page,
        pages=pages,
    )


def _narrowed(runs: QuerySet[Run], asked: Asked) -> QuerySet[Run]:
    for word in asked.search.split():
        runs = runs.filter(
            Q(name__icontains=word)
            | Q(vessel__name__icontains=word)
            | Q(site__name__icontains=word)
        )
    if asked.state == NOT_WORKED_OUT:
        runs = runs.filter(finding__isnull=True)
    elif asked.state:
        runs = runs.filter(finding__state=asked.state)
    for name, value in (("site", asked.site), ("finding__keeper", asked.keeper)):
        if value:
            # An address that names nobody finds nothing.
            runs = runs.filter(**{name: _ident(value)})
    return runs


def _ident(text: str) -> uuid.UUID:
    try:
        return uuid.UUID(text)
    except ValueError:
        return uuid.UUID(int=0)


def _counts(runs: QuerySet[Run], now: datetime) -> dict[str, Any]:
    return runs.order_by().aggregate(
        going=Count("pk"),
        known=Count("finding"),
        first=Count("pk", filter=Q(finding__rank__lt=FIRST_VISITS)),
        failed=Count("pk", filter=~Q(finding__trouble="") & Q(finding__isnull=False)),
        stale=Count("pk", filter=Q(finding__rests_on="") | Q(finding__worked_at__lt=now - _OLD)),
        oldest=Min("finding__worked_at"),
        newest=Max("finding__worked_at"),
    )


def _sentence(counts: Mapping[str, Any]) -> str:
    if not counts["going"]:
        return "No runs yet"
    if not counts["known"]:
        return "Nothing is worked out yet"
    if not counts["first"]:
        return "None needs a visit first"
    one = counts["first"] == 1
    return f"{counts['first']} need{'s' * one} a visit first"


def _hint(counts: Mapping[str, Any], now: datetime) -> str:
    if not counts["going"]:
        return ""
    parts = [f"{counts['going']:,} going"]
    missing = counts["going"] - counts["known"]
    if missing:
        parts.append(f"{missing:,} not worked out yet")
    if counts["known"]:
        newest, oldest = ago(counts["newest"], now), ago(counts["oldest"], now)
        age = newest if newest == oldest else f"{newest} to {oldest}"
        parts.append(f"worked out {age}")
    if counts["stale"]:
        parts.append(f"{counts['stale']:,} marked stale")
    if counts["failed"]:
        parts.append(f"{counts['failed']:,} could not be worked out")
    return f"{'; '.join(parts)}."


def _line(run: Run, now: datetime) -> FleetLine:
    found: Finding | None = getattr(run, "finding", None)
    said = {} if found is None else found.said
    system = run.site.units
    lately = _lately(said)
    step = said.get("next_step", "Start “marshlight nightly”, or open its page.")
    return FleetLine(
        ident=str(run.pk),
        name=run.name,
        state=State(NOT_WORKED_OUT if found is None else found.state),
        next_step=in_reader_units(str(step), system) if found is None or said else "",
        ahead=str(said.get("ahead", "")),
        feared=str(said.get("feared", "")),
        urgent=bool(said.get("urgent")),
        first=found is not None and found.rank < FIRST_VISITS,
        where=f"{run.vessel.name}, {run.site.name}",
        keeper=found.keeper.name if found is not None and found.keeper is not None else "",
        day=int(days_since(run.started_at, now)) if run.started_at else None,
        gas=lately.words(system) if lately is not None else "",
        expected=lately.expected_words(system) if lately is not None else "",
        read=f"read {ago(found.read_at, now)}" if found is not None and found.read_at else "",
        worked=f"worked out {ago(found.worked_at, now)}" if found is not None and said else "",
        stale=_stale(found, now),
        trouble="" if found is None else found.trouble,
    )


def _stale(found: Finding | None, now: datetime) -> str:
    if found is None or not found.said:
        return ""
    if not found.rests_on:
        return "stale: its log or set-up has changed since"
    return "stale: more than 36 hours old" if found.worked_at < now - _OLD else ""


def _lately(said: Mapping[str, Any]) -> Lately | None:
    if said.get("rate_m3_per_d") is None:
        return None
    rate = Estimate(float(said["rate_m3_per_d"]), 0.0)
    low, high = said.get("low_m3_per_d"), said.get("high_m3_per_d")
    return Lately(rate, 0.0, 0.0, bool(said.get("at_least")), low, high)


def _sites(chosen: str) -> tuple[Choice, ...]:
    rows = Site.objects.in_use().order_by("name").values_list("pk", "name")
    return tuple(Choice(str(pk), name, str(pk) == chosen) for pk, name in rows)


def _states(runs: QuerySet[Run], chosen: str) -> tuple[Choice, ...]:
    """List the states that there are, the most urgent first, each with how many."""
    rows = runs.order_by().values_list("finding__state").annotate(n=Count("pk"))
    found = [(state or NOT_WORKED_OUT, n) for state, n in rows]
    found.sort(key=lambda pair: (State(pair[0]).urgency, pair[0]))
    return tuple(Choice(word, f"{word} ({n:,})", word == chosen) for word, n in found)


def _keepers(runs: QuerySet[Run], chosen: str) -> tuple[Choice, ...]:
    ids = runs.order_by().values_list("finding__keeper", flat=True).distinct()
    rows = Person.objects.filter(pk__in=ids).order_by("name").values_list("pk", "name")
    return tuple(Choice(str(pk), name, str(pk) == chosen) for pk, name in rows)
