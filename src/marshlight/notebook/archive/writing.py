"""Writing the open archive."""

import hashlib
import json
import zipfile
from collections.abc import Callable, Iterator
from typing import Any, BinaryIO

from django.db import connections, models, router, transaction
from django.utils import timezone

from marshlight import __version__

from ..models import LogRecord, Reading
from ..plain import plain_rows
from .layout import ARCHIVE_FORMAT, BASE_UNITS, LEFT_OUT, MANIFEST, SCHEMA, TABLES

# The same notebook gives the same bytes, whenever it is written.
_STAMP = (1980, 1, 1, 0, 0, 0)
_CHUNK = 5000
Progress = Callable[[int, int], None]


def write_archive(target: BinaryIO, *, progress: Progress | None = None) -> dict[str, Any]:
    """Write the whole notebook into one file.

    Parameters
    ----------
    target
        Open for writing bytes; it need not be seekable.
    progress
        Told records done and records in all, now and then.

    Returns
    -------
    dict
        The manifest, with the rows and the SHA-256 of each table.

    Notes
    -----
    The format is described in docs/notebook-archive.md.
    """
    connection = connections[router.db_for_read(Reading)]
    with transaction.atomic(using=connection.alias):
        if connection.vendor == "postgresql" and not connection.savepoint_ids:
            # One moment for all tables; SQLite's transaction is one already.
            connection.cursor().execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ")
        total = sum(model._base_manager.count() for model in TABLES.values())
        done = 0
        tables = []
        with zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as packed:
            for name, model in TABLES.items():
                rows, digest = _write_table(packed, name, model)
                tables.append(
                    {"name": name, "file": f"{name}.jsonl", "rows": rows, "sha256": digest}
                )
                done += rows
                if progress is not None:
                    progress(done, total)
            manifest = _manifest(tables)
            text = json.dumps(manifest, indent=2, ensure_ascii=False) + "\n"
            packed.writestr(_entry(MANIFEST), text)
    return manifest


def _manifest(tables: list[dict[str, Any]]) -> dict[str, Any]:
    return {
        "format": ARCHIVE_FORMAT,
        "schema": SCHEMA,
        "written_by": f"marshlight {__version__}",
        "written_at": timezone.now().isoformat().replace("+00:00", "Z"),
        "units": BASE_UNITS,
        "left_out": LEFT_OUT,
        "tables": tables,
    }


def _entry(name: str) -> zipfile.ZipInfo:
    entry = zipfile.ZipInfo(name, _STAMP)
    entry.compress_type = zipfile.ZIP_DEFLATED
    entry.external_attr = 0o600 << 16
    return entry


def _write_table(packed: zipfile.ZipFile, name: str, model: type[models.Model]) -> tuple[int, str]:
    digest, count = hashlib.sha256(), 0
    with packed.open(_entry(f"{name}.jsonl"), "w", force_zip64=True) as file:
        for row in _rows(model):
            text = json.dumps(row, ensure_ascii=False, sort_keys=True, allow_nan=False)
            line = text.encode() + b"\n"
            digest.update(line)
            file.write(line)
            count += 1
    return count, digest.hexdigest()


def _rows(model: type[models.Model]) -> Iterator[dict[str, Any]]:
    order = ("version", "id") if issubclass(model, LogRecord) else ("id",)
    return plain_rows(model._base_manager.order_by(*order), chunk=_CHUNK)
