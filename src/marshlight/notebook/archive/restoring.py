"""Restoring a notebook from its archive: all of it, into an empty notebook, or not at all."""

import hashlib
import json
import zipfile
from collections.abc import Callable, Iterator
from itertools import islice
from typing import Any, BinaryIO

from django.db import Error as DatabaseError
from django.db import connections, models, router, transaction

from marshlight.errors import NotebookError

from ..bulk import write_rows
from ..models import Reading
from ..plain import plain_values
from .layout import ARCHIVE_FORMAT, MANIFEST, SCHEMA, TABLES

_CHUNK = 5000
_MOST_UNPACKED = 20_000_000_000
_MOST_MANIFEST = 1_000_000
_LONGEST_LINE = 10_000_000
Progress = Callable[[int, int], None]


def restore(source: BinaryIO, *, progress: Progress | None = None) -> dict[str, Any]:
    """Restore a notebook from an archive.

    Parameters
    ----------
    source
        The archive, open for reading bytes and seekable.
    progress
        Told records done and records in all, now and then.

    Returns
    -------
    dict
        The archive's manifest.

    Raises
    ------
    NotebookError
        If the notebook is not empty, or the archive is damaged, incomplete or of another kind;
        nothing is changed then.
    """
    try:
        with zipfile.ZipFile(source) as packed:
            manifest = _manifest(packed)
            alias = router.db_for_write(Reading)
            with transaction.atomic(using=alias):
                _require_empty()
                _restore_tables(packed, manifest, progress)
                # Links are otherwise checked only when the outermost transaction ends.
                connections[alias].check_constraints()
    except (zipfile.BadZipFile, zipfile.LargeZipFile, EOFError, OSError) as error:
        raise NotebookError(f"This file is not a whole archive: {error}.") from error
    except DatabaseError as error:
        raise NotebookError(
            f"The archive contradicts itself, so nothing was restored: {error}."
        ) from error
    return manifest


def _manifest(packed: zipfile.ZipFile) -> dict[str, Any]:
    try:
        info = packed.getinfo(MANIFEST)
        if info.file_size > _MOST_MANIFEST:
            raise NotebookError("This file is not a notebook archive: its manifest is too large.")
        manifest = json.loads(packed.read(MANIFEST))
        is_ours = manifest["format"] == ARCHIVE_FORMAT
        schema, tables = manifest["schema"], [t["name"] for t in manifest["tables"]]
    except (KeyError, TypeError, ValueError) as error:
        raise NotebookError("This file is not a notebook archive: it has no manifest.") from error
    if not is_ours:
        raise NotebookError("This file is not a notebook archive.")
    if schema != SCHEMA:
        raise NotebookError(
            f"The archive follows version {schema} of the format; this program reads version "
            f"{SCHEMA}. Restore it with the program that wrote it ({manifest.get('written_by')})."
        )
    if tables != list(TABLES):
        raise NotebookError("The archive does not list the tables a notebook has.")
    if sum(item.file_size for item in packed.infolist()) > _MOST_UNPACKED:
        raise NotebookError("The archive unpacks to more than 20 GB; that is not a notebook.")
    return manifest  # type: ignore[no-any-return]


def _require_empty() -> None:
    full = [name for name, model in TABLES.items() if model._base_manager.exists()]
    if full:
        raise NotebookError(
            "This notebook is not empty, and an archive is only restored into an empty one, so "
            "that nothing is mixed up. Restore it into a new notebook "
            "(MARSHLIGHT_NOTEBOOK names its file)."
        )


def _restore_tables(
    packed: zipfile.ZipFile, manifest: dict[str, Any], progress: Progress | None
) -> None:
    done, total = 0, sum(int(table["rows"]) for table in manifest["tables"])
    for table in manifest["tables"]:
        model = TABLES[table["name"]]
        digest = hashlib.sha256()
        count = 0
        rows = _rows(packed, table["file"], model, digest)
        while chunk := list(islice(rows, _CHUNK)):
            write_rows(model, chunk, {})
            count += len(chunk)
            if progress is not None:
                progress(done + count, total)
        if digest.hexdigest() != table["sha256"] or count != table["rows"]:
            raise NotebookError(
                f"{table['file']} is not as it was written (its check sum differs), so nothing "
                "was restored. Use another copy of the archive."
            )
        done += count


def _rows(
    packed: zipfile.ZipFile, file_name: str, model: type[models.Model], digest: Any
) -> Iterator[dict[str, Any]]:
    try:
        file = packed.open(file_name)
    except KeyError as error:
        raise NotebookError(f"{file_name} is missing from the archive.") from error
    with file:
        number = 0
        while line := file.readline(_LONGEST_LINE):
            number += 1
            digest.update(line)
            try:
                values = json.loads(line, parse_constant=_refuse)
                yield plain_values(model, values)
            except (ValueError, TypeError, NotebookError) as error:
                raise NotebookError(
                    f"{file_name}, line {number}: {error} Nothing was restored."
                ) from error


def _refuse(word: str) -> float:
    raise ValueError(f"{word} is not a number.")
