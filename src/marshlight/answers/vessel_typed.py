"""A vessel as typed on a form: a volume, or the name of one that is set up."""

from marshlight.errors import InputError
from marshlight.notebook.models import Vessel
from marshlight.notebook.setting_up import found
from marshlight.units import parse


def vessel_typed(text: str) -> float | Vessel:
    """Read "25 L" as a volume [m3], anything else as a vessel's name.

    Raises
    ------
    InputError
        If it is neither, or more than one vessel goes by that name.
    """
    try:
        return parse(text, "volume", field="vessel", unit="L", minimum=1e-4)
    except InputError as not_a_volume:
        if not Vessel.objects.in_use().filter(name__icontains=text.strip() or "?").exists():
            raise InputError(
                "vessel",
                text,
                "a volume such as 25 L, or the name of a vessel that is set up",
                "Give one of these",
            ) from not_a_volume
    row: Vessel = found("vessel", text)
    return row
