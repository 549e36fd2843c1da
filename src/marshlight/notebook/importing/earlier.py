"""A logger's file looks the same every week: how its columns were understood last time."""

from marshlight.errors import InputError

from ..models import Run
from .columns import Layout
from .table import Table

_LOOK_BACK = 20


def earlier_layout(run: Run, table: Table) -> Layout | None:
    """Find how the last file with the same headings was understood for this run.

    Parameters
    ----------
    run
        The run the file belongs to.
    table
        The file.

    Returns
    -------
    Layout or None
        Ready for `take_in`; None when no file with these headings was taken in before.
    """
    batches = run.imports.order_by("-at").values_list("columns", flat=True)
    for data in batches[:_LOOK_BACK]:
        headings = tuple(column.get("heading") for column in data.get("columns", ()))
        if headings == table.headings:
            try:
                return Layout.from_data(data)
            except InputError:
                continue  # a kind or a use that this version no longer knows
    return None
