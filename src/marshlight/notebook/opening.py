"""Opening the notebook outside the web server: settings, database file, schema up to date."""

import os

import django

from marshlight.errors import NotebookError


def open_notebook() -> None:
    """Make the notebook ready for use in this process.

    Raises
    ------
    NotebookError
        If the database cannot be reached, or was made by a newer marshlight.

    Notes
    -----
    Safe to call more than once. The schema is brought up to date without asking: a migration
    only ever adds, and the archive (see `docs/notebook-archive.md`) is the way back.
    """
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "marshlight.server.settings")
    django.setup()
    from django.core.management import call_command
    from django.db import OperationalError, connection
    from django.db.migrations.executor import MigrationExecutor

    try:
        executor = MigrationExecutor(connection)
        _refuse_newer(executor)
        if executor.migration_plan(executor.loader.graph.leaf_nodes()):
            call_command("migrate", verbosity=0, interactive=False)
    except OperationalError as error:
        raise NotebookError(
            f"The notebook cannot be opened: {error}. Check MARSHLIGHT_NOTEBOOK or "
            "MARSHLIGHT_DATABASE_URL, and that its folder can be written"
        ) from error


def _refuse_newer(executor: object) -> None:
    """Refuse a notebook with migrations this version does not know."""
    loader = executor.loader  # type: ignore[attr-defined]
    unknown = {
        name
        for app, name in loader.applied_migrations
        if app == "notebook" and (app, name) not in loader.disk_migrations
    }
    if unknown:
        raise NotebookError(
            "This notebook was written by a newer marshlight "
            f"({', '.join(sorted(unknown))}); update marshlight to open it"
        )
