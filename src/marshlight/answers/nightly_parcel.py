"""What a worker does of the nightly update: no database, no settings, only the log it was handed.

Imports nothing of the notebook before it is asked to work: a worker may be a bare process on
another machine, where Django has yet to be told what a run is.
"""

import pickle
import threading
from dataclasses import dataclass
from time import perf_counter

_lock = threading.Lock()


@dataclass(frozen=True)
class Parcel:
    """One run's log on its way to a worker."""

    seed: str
    records: bytes


@dataclass(frozen=True)
class Returned:
    """What came back: what was worked out, or why it could not be."""

    worked: bytes = b""
    why_not: str = ""
    took_s: float = 0.0


def work_out_parcel(parcel: Parcel) -> Returned:
    """Work out the engine's part of one run's analysis.

    Parameters
    ----------
    parcel : Parcel
        The log.

    Returns
    -------
    Returned
        A failure comes back as words: raised, it would be taken for a worker's and tried again.
    """
    began = perf_counter()
    try:
        _know_the_notebook()
        from marshlight.answers.analysis import work_out

        worked = work_out(pickle.loads(parcel.records), seed=parcel.seed)
        return Returned(pickle.dumps(worked), took_s=perf_counter() - began)
    except Exception as error:
        from marshlight.errors import MarshlightError

        known = isinstance(error, MarshlightError)
        why = str(error) if known else f"a defect of marshlight: {error!r}"
        return Returned(why_not=why, took_s=perf_counter() - began)


def _know_the_notebook() -> None:
    """Tell Django what a record is, in a process that has not been told; it gets no database."""
    from django.apps import apps
    from django.conf import settings

    with _lock:
        if apps.ready:
            return
        if not settings.configured:
            settings.configure(
                INSTALLED_APPS=[
                    "django.contrib.contenttypes",
                    "django.contrib.auth",
                    "marshlight.notebook",
                ],
                DEFAULT_AUTO_FIELD="django.db.models.BigAutoField",
                USE_TZ=True,
            )
        import django

        django.setup()
