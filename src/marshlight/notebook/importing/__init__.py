"""Logs from files: read a table, see how it is understood, then take it in whole or not at all."""

from .columns import Column, Layout, Question
from .earlier import earlier_layout
from .suggest import suggest_layout
from .table import Table, read_table
from .taking import ImportCancelledError, ImportRefusedError, Taken, take_in
from .understanding import BadCell, NewRecord, Understood, preview, understand_table

__all__ = [
    "BadCell",
    "Column",
    "ImportCancelledError",
    "ImportRefusedError",
    "Layout",
    "NewRecord",
    "Question",
    "Table",
    "Taken",
    "Understood",
    "earlier_layout",
    "preview",
    "read_table",
    "suggest_layout",
    "take_in",
    "understand_table",
]
