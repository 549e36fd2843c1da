"""Empty the whole notebook on purpose (Django's ``flush``, which the guards would refuse)."""

from typing import Any

from django.core.management.commands import flush
from django.db import connections

from marshlight.notebook import guards


class Command(flush.Command):
    """Django's flush with the guards lifted while it works."""

    def handle(self, **options: Any) -> None:
        """Ask as Django does, lift the guards, empty the tables, put the guards back."""
        connection = connections[options["database"]]
        if "notebook_reading" not in connection.introspection.table_names():
            super().handle(**options)
            return
        with guards.lifted(connection):
            super().handle(**options)
