"""Where each page lives: a page's view, template, address and test share one stem."""

from django.urls import path

from marshlight.server import preferences
from marshlight.server.pages import log_in

urlpatterns = [
    path("log-in/", log_in.log_in, name="log-in"),
    path("log-out/", log_in.log_out, name="log-out"),
    path("look/", preferences.look, name="look"),
    path("units/<uuid:site_id>/", preferences.units, name="units"),
]

handler404 = "marshlight.server.troubles.not_found"
handler500 = "marshlight.server.troubles.failed"
