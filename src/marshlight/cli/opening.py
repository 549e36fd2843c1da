"""What most commands begin with: the notebook opened, the run or record found."""

from typing import Any

from marshlight.notebook.opening import open_notebook

__all__ = ["asked_about", "open_notebook", "run_named", "the_keeper", "units_shown"]


def run_named(name: str) -> Any:
    """Open the notebook and find a run by (part of) its name."""
    open_notebook()
    from marshlight.notebook.setting_up import found

    return found("run", name)


def asked_about(run: str, answer: str, *typed: Any) -> Any:
    """Ask for an answer about a run as it stands now, in its site's units.

    The name stands for the function, since answers can only be imported once a notebook is open.
    """
    found = run_named(run)
    from django.utils import timezone
    from django.utils.module_loading import import_string

    return import_string(f"marshlight.answers.{answer}")(
        *(typed or (found,)),
        **({"run": found} if typed else {}),
        now=timezone.now(),
        system=units_shown(found),
    )


def the_keeper() -> Any:
    """Give the person who writes when the terminal is used: the notebook's own keeper."""
    from marshlight.server.accounts import sole_keeper

    return sole_keeper()


def units_shown(record: Any = None) -> str:
    """Give the unit system of the record's site, or of the first site."""
    from marshlight.notebook.models import Site

    site = getattr(record, "site", None) or Site.objects.in_use().first()
    return str(site.units) if site else "metric"
