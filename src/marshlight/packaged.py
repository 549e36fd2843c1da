"""The one place that reads data files shipped inside the package.

The engine knows no files; its library values and sources are nevertheless data, not code. They
travel with the package, so reading them is closer to an import than to input: it happens here,
once per file, and nowhere else in the engine.
"""

import tomllib
from functools import cache
from importlib import resources
from typing import Any


@cache
def read_toml(name: str) -> dict[str, Any]:
    """Read one packaged TOML file, for example ``"sources/matter.toml"``.

    The result is shared between callers: treat it as read-only.
    """
    text = (resources.files("marshlight") / "data" / name).read_text(encoding="utf-8")
    return tomllib.loads(text)


@cache
def toml_names(folder: str) -> tuple[str, ...]:
    """Name the packaged TOML files of one folder, sorted, ready for ``read_toml``."""
    entries = (resources.files("marshlight") / "data" / folder).iterdir()
    return tuple(
        sorted(f"{folder}/{entry.name}" for entry in entries if entry.name.endswith(".toml"))
    )
