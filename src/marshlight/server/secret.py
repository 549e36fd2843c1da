"""The key that signs sessions and forms: kept beside the notebook, made on first use."""

import os
import secrets
from collections.abc import Mapping
from pathlib import Path

from marshlight.notebook.store import notebook_path


def secret_key(environ: Mapping[str, str]) -> str:
    """Find the signing key, or make one that only the owner can read.

    Parameters
    ----------
    environ : mapping
        ``MARSHLIGHT_SECRET_KEY`` gives the key itself; else it is kept in a file beside the
        notebook.

    Returns
    -------
    str
        At least 50 characters when we made it.
    """
    given = environ.get("MARSHLIGHT_SECRET_KEY", "").strip()
    if given:
        return given
    path = notebook_path(environ).with_name("signing-key")
    if not path.exists():
        _make(path)
    return path.read_text(encoding="ascii").strip()


def _make(path: Path) -> None:
    # Written whole beside it and linked into place: two servers that start at once agree on
    # one key, and a reader never sees half of it.
    draft = path.with_name(f"{path.name}.{os.getpid()}")
    handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(handle, "w", encoding="ascii") as file:
        file.write(secrets.token_urlsafe(64))
    try:
        os.link(draft, path)
    except FileExistsError:
        pass
    except OSError:  # a file system without links: the last one wins
        draft.replace(path)
        return
    draft.unlink()
