"""What one's own trials say of each material, beside the published range."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render

from marshlight.answers.trial_library import keep_own, own_results
from marshlight.errors import InputError
from marshlight.notebook.models import Trial
from marshlight.server.pages.trial_wait import at_hand
from marshlight.server.pages.typed import writer


def trial_library(request: HttpRequest) -> HttpResponse:
    """List own results, and let a lot use one."""
    if request.method == "POST":
        by = writer(request.POST, request.person, alone=request.alone)
        try:
            messages.success(request, keep_own(request.POST.get("lot", ""), by=by))
        except InputError as error:
            messages.warning(request, str(error))
        return redirect("trial-library")
    if not at_hand(Trial.objects.in_use().select_related("site")):
        return render(request, "server/trial_wait.html", {"name": "What your trials found"})
    return render(request, "server/trial_library.html", {"lines": own_results()})
