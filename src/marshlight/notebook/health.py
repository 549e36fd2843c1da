"""Whether the notebook's file is sound."""

from django.db import connections
from django.db.backends.base.base import BaseDatabaseWrapper

from . import guards


def troubles(alias: str = "default") -> list[str]:
    """Check the database from end to end.

    Parameters
    ----------
    alias
        Which of Django's databases.

    Returns
    -------
    list of str
        What is wrong, in plain sentences; empty when all is well.

    Notes
    -----
    SQLite: its own integrity check and its check of every link.  Both: that the triggers which
    keep records as they were written are in place.
    """
    connection = connections[alias]
    found = _sqlite_troubles(connection) if connection.vendor == "sqlite" else []
    missing = guards.missing(connection)
    if missing:
        found.append(
            f"{len(missing)} of the locks that keep records unchanged are missing "
            f"({', '.join(missing[:3])} ...); run the migrations again, or restore a backup."
        )
    return found


def _sqlite_troubles(connection: BaseDatabaseWrapper) -> list[str]:
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA integrity_check(20)")
        report = [row[0] for row in cursor.fetchall()]
        cursor.execute("PRAGMA foreign_key_check")
        loose = cursor.fetchall()
    found = [f"The file is damaged: {line}." for line in report if line != "ok"]
    if loose:
        found.append(f"{len(loose)} records point to something that is not there.")
    return found
