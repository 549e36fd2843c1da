"""Copies of the whole notebook, restoring one, and the check that the notebook is sound."""

import tempfile

from django.conf import settings
from django.contrib import messages
from django.http import FileResponse, Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from marshlight.answers.backup import (
    check_notebook,
    copy_name,
    copy_notebook,
    holdings,
    restore_notebook,
)
from marshlight.errors import NotebookError
from marshlight.server.leads import leads_only

FORMS = ("csv", "archive")
_IN_MEMORY = 8 * 2**20


@leads_only
def backup(request: HttpRequest) -> HttpResponse:
    """Show what there is to copy, check it when asked, and restore into an empty notebook."""
    error = None
    if request.method == "POST":
        try:
            restored = _restore(request)
        except NotebookError as refused:
            error = refused
        else:
            rows = sum(restored["rows"].values())
            messages.success(request, f"Restored: {rows:,} rows, as they were written.")
            return redirect("overview")
    context = {
        "held": holdings(),
        "checked": check_notebook() if "check" in request.GET else None,
        "error": error,
        "most": settings.MARSHLIGHT_LARGEST_UPLOAD // 2**20,
    }
    return render(request, "server/backup.html", context, status=422 if error else 200)


def _restore(request: HttpRequest) -> dict[str, object]:
    sent = request.FILES.get("file")
    if sent is None:
        raise NotebookError("Choose the archive to restore.")
    return restore_notebook(sent)


@require_safe
@leads_only
def backup_copy(request: HttpRequest, form: str) -> HttpResponse:
    """Hand out a copy; it is whole before the first byte leaves."""
    if form not in FORMS:
        raise Http404(f"there is no copy of the form {form}")
    # The response closes it; small ones never touch the disk.
    copy = tempfile.SpooledTemporaryFile(max_size=_IN_MEMORY)  # noqa: SIM115
    copy_notebook(copy, form)
    copy.seek(0)
    return FileResponse(copy, as_attachment=True, filename=copy_name(form, timezone.localtime()))
