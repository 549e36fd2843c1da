"""The pages on gas and safety: each of a run, or with one's own figures."""

import uuid
from typing import Any

from django.urls import reverse

from marshlight.notebook.models import Run
from marshlight.server.pages.runs import find_run

PAGES = (
    ("flame", "Flame"),
    ("gas-space", "Inside the gas space"),
    ("gas-train", "Gas train"),
    ("leak", "Leak test"),
    ("cleaning", "Gas cleaning"),
    ("hygiene", "Hygiene"),
    ("safety-sheet", "Safety sheet"),
)


def asked_run(run_id: uuid.UUID | None) -> Run | None:
    """Find the run that an address names, if it names one."""
    return None if run_id is None else find_run(run_id)


def gas_places(run: Run | None) -> list[dict[str, Any]]:
    """Give the sister pages of a run, or those with one's own figures."""
    return [
        {
            "key": key,
            "words": words,
            "url": reverse(key) if run is None else reverse(f"run-{key}", args=[run.pk]),
        }
        for key, words in PAGES
    ]
