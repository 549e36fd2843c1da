"""Database triggers that keep written records as they were written.

The models refuse changes first, with a friendly sentence; these triggers refuse them again for
anything that goes round the models (raw SQL, another program, a careless migration).
"""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager

from django.db import transaction
from django.db.backends.base.base import BaseDatabaseWrapper

FIXED_TABLES = (
    "notebook_event",
    "notebook_reading",
    "notebook_setupversion",
    "notebook_importbatch",
)
KEPT_TABLES = (
    "notebook_site",
    "notebook_person",
    "notebook_feedstock",
    "notebook_lot",
    "notebook_vessel",
    "notebook_holder",
    "notebook_heater",
    "notebook_run",
    "notebook_trial",
    "notebook_trialbottle",
)
# Tables that came later get their guards from their own migration.
LATER_TABLES = ("notebook_trial", "notebook_trialbottle")
FIRST_TABLES = tuple(t for t in (*FIXED_TABLES, *KEPT_TABLES) if t not in LATER_TABLES)
_MESSAGE = "the notebook keeps what was written: add a new version instead"
_FUNCTION = f"""
    CREATE OR REPLACE FUNCTION notebook_refuse() RETURNS trigger LANGUAGE plpgsql AS $$
    BEGIN RAISE EXCEPTION '{_MESSAGE}' USING ERRCODE = 'integrity_constraint_violation'; END $$
"""


def _guarded(tables: Iterable[str] | None = None) -> Iterator[tuple[str, str, str]]:
    """Yield trigger name, table and statement kind of each guard."""
    for table in (*FIXED_TABLES, *KEPT_TABLES) if tables is None else tables:
        yield f"{table}_stays", table, "DELETE"
        if table in FIXED_TABLES:
            yield f"{table}_is_fixed", table, "UPDATE"


def put_up(connection: BaseDatabaseWrapper, tables: Iterable[str] | None = None) -> None:
    """Create the guards.

    Parameters
    ----------
    connection
        A Django connection to SQLite or PostgreSQL.
    tables
        Of these tables only; every table's if left out.

    Notes
    -----
    TRUNCATE is left alone on PostgreSQL: only the tables' owner can run it, and that is how the
    ``flush`` command empties a notebook on purpose.
    """
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute(_FUNCTION)
        for name, table, action in _guarded(tables):
            if connection.vendor == "postgresql":
                body = "FOR EACH ROW EXECUTE FUNCTION notebook_refuse()"
            else:
                body = f"BEGIN SELECT RAISE(ABORT, '{_MESSAGE}'); END"
            cursor.execute(f"CREATE TRIGGER {name} BEFORE {action} ON {table} {body}")


def take_down(connection: BaseDatabaseWrapper, tables: Iterable[str] | None = None) -> None:
    """Drop guards; only a migration or `lifted` should.

    Parameters
    ----------
    connection
        A Django connection to SQLite or PostgreSQL.
    tables
        Of these tables only; every table's if left out.
    """
    with connection.cursor() as cursor:
        for name, table, _ in _guarded(tables):
            on_table = f" ON {table}" if connection.vendor == "postgresql" else ""
            cursor.execute(f"DROP TRIGGER IF EXISTS {name}{on_table}")
        if connection.vendor == "postgresql" and tables is None:
            cursor.execute("DROP FUNCTION IF EXISTS notebook_refuse()")


def missing(connection: BaseDatabaseWrapper) -> list[str]:
    """List the guards that are not in place.

    Parameters
    ----------
    connection
        A Django connection to SQLite or PostgreSQL.

    Returns
    -------
    list of str
        Names of the missing triggers.
    """
    if connection.vendor == "postgresql":
        sql = "SELECT tgname FROM pg_trigger WHERE tgenabled <> 'D'"
    else:
        sql = "SELECT name FROM sqlite_master WHERE type = 'trigger'"
    with connection.cursor() as cursor:
        cursor.execute(sql)
        there = {row[0] for row in cursor.fetchall()}
    return [name for name, _, _ in _guarded() if name not in there]


@contextmanager
def lifted(connection: BaseDatabaseWrapper) -> Iterator[None]:
    """Lift the guards for one deliberate act, in one transaction.

    Parameters
    ----------
    connection
        A Django connection to SQLite or PostgreSQL.
    """
    with transaction.atomic(using=connection.alias):
        # PostgreSQL alters no table while links written just before still wait to be checked.
        connection.check_constraints()
        take_down(connection)
        yield
        put_up(connection)
