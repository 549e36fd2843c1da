"""Copies of the notebook, and whether it is sound: for page and terminal."""

import hashlib
from dataclasses import dataclass
from datetime import datetime
from typing import Any, BinaryIO

from marshlight.notebook.archive import TABLES, export_csv, restore, write_archive
from marshlight.notebook.archive.writing import Progress
from marshlight.notebook.health import troubles

_WORDS = {
    "site": "sites",
    "person": "people",
    "feedstock": "materials of one's own",
    "lot": "lots",
    "vessel": "vessels",
    "holder": "gas holders",
    "heater": "heaters",
    "run": "runs",
    "trial": "trials",
    "trial_bottle": "bottles of trials",
    "import_batch": "files brought in",
    "event": "events, with their versions",
    "reading": "readings, with their versions",
    "setup_version": "states of set-up records",
}


@dataclass(frozen=True)
class Counted:
    """How many rows of one kind there are."""

    name: str
    words: str
    count: int


@dataclass(frozen=True)
class Holdings:
    """What the notebook holds."""

    counts: tuple[Counted, ...]
    total: int

    @property
    def empty(self) -> bool:
        """Say whether an archive could be restored into it."""
        return self.total == 0


@dataclass(frozen=True)
class Soundness:
    """What a check of the notebook found."""

    sound: bool
    sentence: str
    troubles: tuple[str, ...]


@dataclass(frozen=True)
class Copied:
    """A copy that was written: what is in it and how to recognise it."""

    form: str
    files: tuple[str, ...]
    rows: int
    sha256: str


def holdings() -> Holdings:
    """Count what the notebook holds."""
    counts = tuple(
        Counted(name, _WORDS[name], model._base_manager.count()) for name, model in TABLES.items()
    )
    return Holdings(counts, sum(counted.count for counted in counts))


def check_notebook() -> Soundness:
    """Check the notebook from end to end."""
    found = tuple(troubles())
    if not found:
        return Soundness(True, "The notebook is sound: file, links and locks are whole.", ())
    return Soundness(False, "The notebook is not sound. Do not write in it; keep a copy.", found)


def copy_notebook(target: BinaryIO, form: str, *, progress: Progress | None = None) -> Copied:
    """Write the whole notebook into an open file.

    Parameters
    ----------
    target : BinaryIO
        Open for writing and reading bytes, seekable.
    form : str
        "csv" for tables that a spreadsheet opens, "archive" for the copy that restores exactly.
    progress : callable, optional
        Told rows done and rows in all; the tables have no progress of their own.

    Returns
    -------
    Copied
        What is in it.
    """
    if form == "csv":
        files, rows = tuple(export_csv(target)), holdings().total
    else:
        manifest = write_archive(target, progress=progress)
        files = tuple(str(table["file"]) for table in manifest["tables"])
        rows = sum(int(table["rows"]) for table in manifest["tables"])
    target.seek(0)
    return Copied(form, files, rows, hashlib.file_digest(target, "sha256").hexdigest())


def restore_notebook(source: BinaryIO, *, progress: Progress | None = None) -> dict[str, Any]:
    """Restore an archive into this notebook, which must be empty.

    Parameters
    ----------
    source : BinaryIO
        The archive.
    progress : callable, optional
        Told rows done and rows in all.

    Returns
    -------
    dict
        When it was written, by what, and the rows of each table.

    Raises
    ------
    NotebookError
        If the notebook is not empty or the archive is not whole; nothing is changed then.
    """
    manifest = restore(source, progress=progress)
    return {
        "written_at": manifest.get("written_at"),
        "written_by": manifest.get("written_by"),
        "rows": {table["name"]: table["rows"] for table in manifest["tables"]},
        "left_out": manifest.get("left_out", []),
    }


def copy_name(form: str, now: datetime) -> str:
    """Name the file of a copy by the day it was made.

    Parameters
    ----------
    form : str
        "csv" or "archive".
    now : datetime
        The moment of asking.
    """
    kind = "tables" if form == "csv" else "notebook"
    return f"marshlight-{kind}-{now:%Y-%m-%d}.zip"
