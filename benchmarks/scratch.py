"""A notebook file of its own for a benchmark that needs one, thrown away afterwards."""

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


@contextmanager
def scratch_notebook() -> Iterator[None]:
    """Open an empty notebook; nothing of marshlight that knows records is to be imported before."""
    with tempfile.TemporaryDirectory() as folder:
        os.environ["MARSHLIGHT_NOTEBOOK"] = str(Path(folder) / "notebook.sqlite3")
        os.environ.pop("MARSHLIGHT_DATABASE_URL", None)
        import django
        from django.core.management import call_command
        from django.db import connections

        django.setup()
        # Another benchmark of the same process may have settled on a file of its own.
        connections["default"].close()
        connections["default"].settings_dict["NAME"] = os.environ["MARSHLIGHT_NOTEBOOK"]
        call_command("migrate", verbosity=0)
        try:
            yield
        finally:
            connections.close_all()
