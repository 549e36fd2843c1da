"""Bringing in a log from a file: choose, look, settle the bad rows, keep. All of it or nothing."""

import uuid
from typing import Any

from django.conf import settings
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST
from django_htmx.http import HttpResponseClientRedirect

from marshlight.answers.import_log import (
    first_layout,
    import_form,
    imported_before,
    layout_from,
    look,
)
from marshlight.errors import InputError
from marshlight.notebook.importing import Layout, Table, Taken, read_table, take_in
from marshlight.notebook.models import Run
from marshlight.server.drafts import Draft, drop_draft, find_draft, keep_draft, work_on
from marshlight.server.pages.runs import find_run

# Done at once below these; above them the page shows how far the work is and can stop it.
ROWS_AT_ONCE = 4000
BYTES_AT_ONCE = 400_000


def import_log(request: HttpRequest) -> HttpResponse:
    """Ask for a run and a file."""
    runs = Run.objects.in_use().select_related("site")
    chosen = request.POST.get("run") or request.GET.get("run", "")
    slips: dict[str, InputError] = {}
    if request.method == "POST":
        try:
            return redirect("import-draft", ident=_begin(request).ident)
        except InputError as error:
            slips = {error.field if error.field in ("run", "file") else "file": error}
    run = next((r for r in runs if str(r.pk) == chosen), None)
    context = {
        "runs": runs,
        "chosen": chosen,
        "slips": slips,
        "before": imported_before(run) if run is not None else (),
        "run": run,
        "most": settings.MARSHLIGHT_LARGEST_UPLOAD // 2**20,
    }
    return render(request, "server/import_log.html", context, status=422 if slips else 200)


def _begin(request: HttpRequest) -> Draft:
    """Read the chosen file and remember it as a draft."""
    sent = request.FILES.get("file")
    run = Run.objects.in_use().filter(pk=_ident(request.POST.get("run", ""))).first()
    if run is None:
        raise InputError("run", "", "one of the runs", "Choose the run it belongs to")
    if sent is None:
        raise InputError("file", "", "a CSV or XLSX file", "Choose the file")
    if sent.size > settings.MARSHLIGHT_LARGEST_UPLOAD:
        allowed = f"up to {settings.MARSHLIGHT_LARGEST_UPLOAD // 2**20} MB"
        raise InputError("file", sent.name, allowed, "Split the file, or use the terminal")
    data, draft = sent.read(), Draft(run.pk, _owner(request), sent.name)
    if len(data) <= BYTES_AT_ONCE:
        _open(draft, run, data)
        return keep_draft(draft)

    def open_and_look(draft: Draft) -> None:
        table, layout = _open(draft, run, data)
        draft.looked = look(run, table, layout, progress=draft.progress, cancelled=draft.cancelled)

    work_on(keep_draft(draft), "Reading", open_and_look, apart=True)
    return draft


def _open(draft: Draft, run: Run, data: bytes) -> tuple[Table, Layout]:
    """Read the file as a table and understand its columns."""
    draft.table = read_table(data, draft.name)
    draft.layout, draft.remembered = first_layout(run, draft.table)
    return draft.table, draft.layout


def _ident(text: str) -> uuid.UUID | None:
    try:
        return uuid.UUID(text)
    except ValueError:
        return None


def _owner(request: HttpRequest) -> Any:
    return request.person.pk if request.person is not None else None


def import_draft(request: HttpRequest, ident: uuid.UUID) -> HttpResponse:
    """Show how a file is understood and what it would keep; look again, or keep it."""
    draft = find_draft(ident, _owner(request))
    if draft is None:
        messages.warning(request, "That file is no longer here; choose it again.")
        if request.htmx:
            return HttpResponseClientRedirect(reverse("import-log"))
        return redirect("import-log")
    if draft.doing:
        return _progress(request, draft)
    if draft.taken is not None:
        return _done(request, draft, draft.taken)
    if draft.table is None or draft.layout is None:
        return _unreadable(request, draft)
    if request.htmx:
        return HttpResponseClientRedirect(request.path)
    left_out: set[int] = set()
    if request.method == "POST":
        left_out = _left_out(request, draft)
        _act(request, draft, left_out)
    elif draft.looked is None and draft.error is None:
        _look(draft)
    if draft.doing or draft.taken is not None:
        return redirect("import-draft", ident=ident)
    return _show(request, draft, left_out)


def _unreadable(request: HttpRequest, draft: Draft) -> HttpResponse:
    """Put away a file that turned out to be no table."""
    drop_draft(draft)
    messages.warning(request, f"{draft.name} cannot be brought in. {draft.error or ''}".strip())
    if request.htmx:
        return HttpResponseClientRedirect(reverse("import-log"))
    return redirect("import-log")


@require_POST
def import_stop(request: HttpRequest, ident: uuid.UUID) -> HttpResponse:
    """Stop the work on a file, or put the file away; nothing of it is kept."""
    draft = find_draft(ident, _owner(request))
    if draft is None:
        return redirect("import-log")
    if draft.doing:
        draft.stop = True
        return redirect("import-draft", ident=ident)
    drop_draft(draft)
    messages.success(request, f"{draft.name} was put away; nothing of it is kept.")
    return redirect("import-log")


def _act(request: HttpRequest, draft: Draft, left_out: set[int]) -> None:
    layout = layout_from(request.POST, draft.layout)
    changed = layout.as_data() != draft.layout.as_data()
    draft.layout, draft.remembered = layout, draft.remembered and not changed
    if "keep" not in request.POST or changed or draft.looked is None:
        if "keep" in request.POST:
            messages.info(request, "The columns were changed, so look at it once more first.")
        _look(draft)
        return
    run, by = find_run(draft.run_id), request.person

    def keep(draft: Draft) -> None:
        draft.taken = take_in(
            run,
            draft.table,
            draft.layout,
            by=by,
            leave_out=left_out,
            progress=draft.progress,
            cancelled=draft.cancelled,
        )

    work_on(draft, "Keeping", keep, apart=len(draft.table.rows) > ROWS_AT_ONCE)


def _look(draft: Draft) -> None:
    run = find_run(draft.run_id)
    draft.looked = None

    def look_at(draft: Draft) -> None:
        draft.looked = look(
            run, draft.table, draft.layout, progress=draft.progress, cancelled=draft.cancelled
        )

    work_on(draft, "Reading", look_at, apart=len(draft.table.rows) > ROWS_AT_ONCE)


def _left_out(request: HttpRequest, draft: Draft) -> set[int]:
    """Give the bad rows that were ticked one by one, or all of them by one tick."""
    if draft.looked is None:
        return set()
    bad = set(draft.looked.bad_numbers)
    if "leave-all" in request.POST:
        return bad
    return {int(n) for n in request.POST.getlist("leave") if n.isdigit()} & bad


def _show(request: HttpRequest, draft: Draft, left_out: set[int]) -> HttpResponse:
    run = find_run(draft.run_id)
    context = {
        "draft": draft,
        "run": run,
        "form": import_form(draft.table, draft.layout, remembered=draft.remembered),
        "looked": draft.looked,
        "error": draft.error,
        "left_out": left_out,
        "all_left_out": "leave-all" in request.POST,
    }
    status = 422 if draft.error is not None and request.method == "POST" else 200
    return render(request, "server/import_draft.html", context, status=status)


def _progress(request: HttpRequest, draft: Draft) -> HttpResponse:
    age = int((timezone.now() - draft.begun).total_seconds())
    context = {"draft": draft, "age": age, "run": find_run(draft.run_id)}
    page = "server/parts/import_progress.html" if request.htmx else "server/import_progress.html"
    return render(request, page, context)


def _done(request: HttpRequest, draft: Draft, taken: Taken) -> HttpResponse:
    drop_draft(draft)
    parts = [f"{taken.added:,} added"]
    if taken.already_kept:
        parts.append(f"{taken.already_kept:,} were in the notebook already")
    if taken.repeated_in_file:
        parts.append(f"{taken.repeated_in_file:,} stood in the file twice")
    if taken.left_out:
        parts.append(f"{len({c.row for c in taken.left_out}):,} rows left out as you said")
    messages.success(request, f"{draft.name}: {', '.join(parts)}.")
    if request.htmx:
        return HttpResponseClientRedirect(reverse("run", args=[draft.run_id]))
    return redirect("run", run_id=draft.run_id)
