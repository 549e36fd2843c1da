"""Where each page lives: a page's view, template, address and test share one stem."""

from django.urls import path

from marshlight.server import preferences
from marshlight.server.pages import (
    backup,
    cautions,
    correct,
    feedstock,
    import_log,
    log,
    log_in,
    mix,
    overview,
    people,
    run,
    run_card,
    set_up,
    source,
    start_run,
    trial,
    trial_design,
    trial_library,
    trial_rack,
    trial_report,
)

RECORD = "<str:family>/<uuid:ident>"

urlpatterns = [
    path("", overview.overview, name="overview"),
    path("runs/<uuid:run_id>/", run.run, name="run"),
    path("runs/<uuid:run_id>/log/", log.log, name="log"),
    path("runs/<uuid:run_id>/log/<str:family>/<str:kind>/", log.log_entry, name="log-entry"),
    path(f"records/{RECORD}/correct/", correct.correct, name="correct"),
    path("mix/", mix.mix, name="mix"),
    path("mix/card/", run_card.run_card, name="run-card"),
    path("mix/start/", start_run.start_run, name="start-run"),
    path("trials/", trial.trials, name="trials"),
    path("trials/design/", trial_design.trial_design, name="trial-design"),
    path("trials/library/", trial_library.trial_library, name="trial-library"),
    path("trials/<uuid:ident>/", trial.trial, name="trial"),
    path("trials/<uuid:ident>/rack/", trial_rack.trial_rack, name="trial-rack"),
    path("trials/<uuid:ident>/plan/", trial.trial_plan, name="trial-plan"),
    path("trials/<uuid:ident>/report/<str:form>/", trial_report.trial_report, name="trial-report"),
    path("set-up/", set_up.set_up, name="set-up"),
    path("set-up/<str:kind>/", set_up.set_up_list, name="set-up-list"),
    path("set-up/<str:kind>/new/", set_up.set_up_new, name="set-up-new"),
    path("set-up/<str:kind>/<uuid:ident>/", set_up.set_up_change, name="set-up-change"),
    path("people/", people.people, name="people"),
    path("people/<uuid:ident>/", people.person, name="person"),
    path("import/", import_log.import_log, name="import-log"),
    path("import/<uuid:ident>/", import_log.import_draft, name="import-draft"),
    path("import/<uuid:ident>/stop/", import_log.import_stop, name="import-stop"),
    path("backup/", backup.backup, name="backup"),
    path("backup/<str:form>/", backup.backup_copy, name="backup-copy"),
    path("feedstocks/", feedstock.feedstocks, name="feedstocks"),
    path("feedstocks/<str:key>/", feedstock.feedstock, name="feedstock"),
    path("cautions/", cautions.cautions, name="cautions"),
    path("sources/", source.sources, name="sources"),
    path("sources/<str:key>/", source.source, name="source"),
    path("log-in/", log_in.log_in, name="log-in"),
    path("log-out/", log_in.log_out, name="log-out"),
    path("look/", preferences.look, name="look"),
    path("units/<uuid:site_id>/", preferences.units, name="units"),
]

handler404 = "marshlight.server.troubles.not_found"
handler500 = "marshlight.server.troubles.failed"
