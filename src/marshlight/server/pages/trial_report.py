"""A trial's report to take away: PDF or spreadsheet."""

import re
import uuid

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_safe

from marshlight.answers.trial_report import trial_report as report_of
from marshlight.errors import NotebookError
from marshlight.reports.trial_pdf import trial_pdf
from marshlight.reports.trial_sheet import trial_sheet
from marshlight.server.pages.trial import find_trial

_KINDS = {
    "pdf": ("application/pdf", trial_pdf),
    "xlsx": ("application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", trial_sheet),
}


@require_safe
def trial_report(request: HttpRequest, ident: uuid.UUID, form: str) -> HttpResponse:
    """Hand out the report, or say why there is none yet."""
    if form not in _KINDS:
        raise Http404(f"there is no report of the form {form}")
    trial = find_trial(ident)
    kind, make = _KINDS[form]
    try:
        whole = make(report_of(trial))
    except NotebookError as error:
        messages.warning(request, str(error))
        return redirect("trial", ident=ident)
    name = re.sub(r"[^A-Za-z0-9]+", "-", trial.name).strip("-").lower() or "trial"
    response = HttpResponse(whole, content_type=kind)
    response["Content-Disposition"] = f'attachment; filename="{name}.{form}"'
    return response
