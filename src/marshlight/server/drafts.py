"""Files that were chosen but not yet kept, and the long work on them, in this process's memory."""

import logging
import threading
import uuid
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import timedelta
from typing import Any

from django.db import connections
from django.utils import timezone

from marshlight.answers.import_log import Looked
from marshlight.errors import MarshlightError, NotebookError
from marshlight.notebook.importing import Layout, Table, Taken

# Each holds a whole file; an older one is forgotten first, and none lies about for long.
MOST_DRAFTS = 5
FORGOTTEN_AFTER = timedelta(hours=2)
Work = Callable[["Draft"], None]
log = logging.getLogger("marshlight.server")


@dataclass
class Draft:
    """A file on its way into a run: how it is understood, and how far the work on it is."""

    run_id: Any
    owner: Any
    name: str
    table: Table | None = None
    layout: Layout | None = None
    remembered: bool = False
    ident: uuid.UUID = field(default_factory=uuid.uuid4)
    begun: Any = field(default_factory=timezone.now)
    doing: str = ""
    done: int = 0
    total: int = 0
    stop: bool = False
    looked: Looked | None = None
    taken: Taken | None = None
    error: MarshlightError | None = None

    def progress(self, done: int, total: int) -> None:
        """Note how far the work is."""
        self.done, self.total = done, total

    def cancelled(self) -> bool:
        """Say whether somebody asked to stop."""
        return self.stop


_drafts: dict[uuid.UUID, Draft] = {}
_lock = threading.Lock()


def keep_draft(draft: Draft) -> Draft:
    """Remember a draft; the oldest that nothing works on makes room."""
    with _lock:
        for old in [d for d in _drafts.values() if draft.begun - d.begun > FORGOTTEN_AFTER]:
            if not old.doing:
                del _drafts[old.ident]
        while len(_drafts) >= MOST_DRAFTS:
            idle = next((d for d in _drafts.values() if not d.doing), None)
            if idle is None:
                raise NotebookError("Too many files are being brought in at once; wait a little.")
            del _drafts[idle.ident]
        _drafts[draft.ident] = draft
    return draft


def find_draft(ident: uuid.UUID, owner: Any) -> Draft | None:
    """Find a draft of one's own; None once it was kept, forgotten, or the server started anew."""
    draft = _drafts.get(ident)
    return draft if draft is not None and draft.owner == owner else None


def drop_draft(draft: Draft) -> None:
    """Forget a draft."""
    with _lock:
        _drafts.pop(draft.ident, None)


def work_on(draft: Draft, doing: str, work: Work, *, apart: bool) -> None:
    """Do a piece of work on a draft, here or in a thread of its own.

    Parameters
    ----------
    draft : Draft
        Its ``error`` is set if the work fails, its ``done`` and ``total`` meanwhile.
    doing : str
        What is being done, in words.
    work : callable
        Given the draft; sets ``looked`` or ``taken``.
    apart : bool
        Whether it may take long, and is done in a thread while the page shows how far it is.
    """
    with _lock:
        if draft.doing:
            return
        draft.doing, draft.stop, draft.begun = doing, False, timezone.now()
        draft.done, draft.total = 0, 0
    draft.error = None
    if not apart:
        _do(draft, work)
        return

    def in_thread() -> None:
        try:
            _do(draft, work)
        finally:
            connections.close_all()

    threading.Thread(target=in_thread, name=f"import {draft.ident}", daemon=True).start()


def _do(draft: Draft, work: Work) -> None:
    try:
        work(draft)
    except MarshlightError as error:
        draft.error = error
    except Exception:
        # In a thread of its own nobody else would ever hear of it.
        log.exception("work on a file failed")
        draft.error = NotebookError(
            "The fault is ours, and it is written in the server's own log; nothing was kept."
        )
    finally:
        draft.doing = ""
