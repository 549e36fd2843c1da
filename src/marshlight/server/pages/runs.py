"""Finding the run or record that an address names."""

from django.http import Http404
from django.shortcuts import get_object_or_404

from marshlight.notebook.kinds import EVENTS, READINGS, Kind
from marshlight.notebook.models import Event, LogRecord, Reading, Run

MODELS: dict[str, type[LogRecord]] = {"event": Event, "reading": Reading}


def find_run(run_id: object) -> Run:
    """Find a run with all that a page needs beside it, or say that there is none."""
    whole = Run.objects.select_related("site", "vessel", "holder", "heater")
    return get_object_or_404(whole, pk=run_id)


def find_kind(family: str, key: str) -> Kind:
    """Find the description of a kind, or say that there is no such page."""
    kinds = EVENTS if family == "event" else READINGS
    if key not in kinds:
        raise Http404(f"no kind of {family} is called {key}")
    return kinds[key]


def find_record(family: str, record_id: object) -> LogRecord:
    """Find one version of a record with its run."""
    model = MODELS[family]
    whole = model._base_manager.select_related("run__site", "run__holder", "entered_by")
    return get_object_or_404(whole, pk=record_id)
