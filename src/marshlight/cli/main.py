"""The `marshlight` command: errors that help, exit codes that scripts can use.

Exit codes: 0 done; 1 the question has no good answer (infeasible mix, a fit that fails);
2 something given cannot be used; 3 the notebook refuses or cannot be read; 70 a defect of
marshlight itself; 130 cancelled.
"""

import json
import os
import sys

import typer

from marshlight import __version__
from marshlight.errors import InputError, InputErrors, MarshlightError, NotebookError

app = typer.Typer(
    name="marshlight",
    help="Plan, log and understand small biogas digesters.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)


def _version(wanted: bool) -> None:
    if wanted:
        print(f"marshlight {__version__}")
        raise typer.Exit


@app.callback()
def _root(
    version: bool = typer.Option(
        False, "--version", callback=_version, is_eager=True, help="Print the version."
    ),
    notebook: str = typer.Option(
        "",
        "--notebook",
        metavar="FILE",
        help="The notebook file to work in (default: the user's own).",
    ),
) -> None:
    """Plan, log and understand small biogas digesters."""
    if notebook:
        os.environ["MARSHLIGHT_NOTEBOOK"] = notebook


def exit_code(error: MarshlightError) -> int:
    """Choose the exit code for an error."""
    if isinstance(error, (InputError, InputErrors)):
        return 2
    return 3 if isinstance(error, NotebookError) else 1


def error_as_data(error: MarshlightError) -> dict[str, object]:
    """Give an error's fields for ``--json``."""
    data: dict[str, object] = {"error": type(error).__name__, "message": str(error)}
    for name in ("field", "value", "allowed", "remedy", "conflicts"):
        if hasattr(error, name):
            data[name] = getattr(error, name)
    return data


def _report(error: MarshlightError) -> None:
    if "--json" in sys.argv:
        print(json.dumps(error_as_data(error), default=str, ensure_ascii=False))
    else:
        print(str(error), file=sys.stderr)


def main() -> None:
    """Run the command line; users never see a traceback for an error we know."""
    # Matrices here are small: threads of the linear algebra library only fight each other.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from marshlight.cli import commands  # noqa: F401  (registers the commands on `app`)

    try:
        app()
    except MarshlightError as error:
        if os.environ.get("MARSHLIGHT_TRACEBACK"):
            raise
        _report(error)
        sys.exit(exit_code(error))
    except KeyboardInterrupt:
        print("Cancelled; nothing half done is kept.", file=sys.stderr)
        sys.exit(130)
    except Exception as error:  # a defect of ours: say so, without a screenful of frames
        if os.environ.get("MARSHLIGHT_TRACEBACK"):
            raise
        print(
            f"This is a defect of marshlight, not of what you gave: {error!r}.\n"
            "Set MARSHLIGHT_TRACEBACK=1 and run it again to see where, and please report it.",
            file=sys.stderr,
        )
        sys.exit(70)
