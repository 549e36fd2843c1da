"""Printing an answer: words for a person by default, the same content as JSON on request."""

import dataclasses
import datetime as dt
import json
import math
import sys
import uuid
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Annotated, Any

import typer
from rich.console import Console
from rich.table import Table

AsJson = Annotated[
    bool, typer.Option("--json", help="Print the same content as JSON, for other programs.")
]

_WIDE = 120


def console() -> Console:
    """Make the console that words go to; piped output keeps a width that tables fit in."""
    return Console(width=None if sys.stdout.isatty() else _WIDE, highlight=False)


def plain(value: Any) -> Any:
    """Turn an answer into what JSON can hold; arrays become lists, NaN becomes null."""
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        return {f.name: plain(getattr(value, f.name)) for f in dataclasses.fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, (list, tuple, set, frozenset)):
        return [plain(item) for item in value]
    if hasattr(value, "tolist"):
        return plain(value.tolist())
    if isinstance(value, float):
        return value if math.isfinite(value) else None
    if isinstance(value, (dt.datetime, dt.date)):
        return value.isoformat()
    if isinstance(value, (uuid.UUID, Path)):
        return str(value)
    return value


def emit(answer: Any, as_json: bool, words: Callable[[Any, Console], None]) -> None:
    """Print an answer as JSON or hand it to the function that puts it in words."""
    if as_json:
        print(json.dumps(plain(answer), ensure_ascii=False, indent=1))
    else:
        words(answer, console())


def table(headings: list[str], rows: list[list[str]], *, title: str | None = None) -> Table:
    """Lay rows out under headings, without lines that a narrow terminal would break."""
    made = Table(
        *headings,
        title=title,
        show_header=any(headings),
        box=None,
        pad_edge=False,
        title_justify="left",
        title_style="bold",
    )
    for row in rows:
        made.add_row(*row)
    return made
