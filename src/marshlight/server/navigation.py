"""The few places every page leads to, in the order a day uses them."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Place:
    """One entry of the bar: a URL name, its words, and the pages that belong to it."""

    page: str
    words: str
    also: tuple[str, ...] = ()


PLACES = (
    Place("overview", "Runs", ("run", "log", "log-entry", "correct")),
    Place("mix", "Mix", ("run-card", "start-run")),
    Place("feedstocks", "Feedstocks", ("feedstock",)),
    Place("cautions", "Cautions"),
    Place("sources", "Sources", ("source",)),
)
