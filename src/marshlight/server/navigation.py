"""The few places every page leads to, in the order a day uses them."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Place:
    """One entry of the bar: a URL name, its words, and the pages that belong to it.

    On a phone only the ``everyday`` ones stand in the bar; the rest come out behind "More".
    """

    page: str
    words: str
    also: tuple[str, ...] = ()
    everyday: bool = False


PLACES = (
    Place(
        "overview",
        "Runs",
        (
            *("run", "log", "log-entry", "correct", "run-flame", "run-gas-space"),
            *("run-cleaning", "run-hygiene", "run-safety-sheet", "run-gas-train", "run-leak"),
            *("run-what-if", "run-outlook", "run-diagnosis", "run-next-step", "advice", "fleet"),
        ),
        everyday=True,
    ),
    Place("mix", "Mix", ("run-card", "start-run"), everyday=True),
    Place(
        "trials",
        "Trials",
        (
            *("trial", "trial-design", "trial-library", "trial-rack", "trial-plan"),
            *("trial-groups", "own-bottles", "own-rack"),
        ),
    ),
    Place("heat", "Heat", ("run-heat",)),
    Place(
        "set-up",
        "Set-up",
        (
            *("set-up-list", "set-up-new", "set-up-change", "people", "person"),
            *("import-log", "import-draft", "backup"),
        ),
    ),
    Place("feedstocks", "Feedstocks", ("feedstock",), everyday=True),
    Place(
        "flame",
        "Gas",
        ("gas-space", "gas-train", "leak", "cleaning", "hygiene", "safety-sheet"),
    ),
    Place("cautions", "Cautions"),
    Place("sources", "Sources", ("source",)),
)
