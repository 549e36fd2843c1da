"""The whole notebook in one file: an archive that restores it exactly, or CSV tables."""

from .layout import ARCHIVE_FORMAT, SCHEMA, TABLES
from .restoring import restore
from .tables import export_csv
from .writing import write_archive

__all__ = ["ARCHIVE_FORMAT", "SCHEMA", "TABLES", "export_csv", "restore", "write_archive"]
