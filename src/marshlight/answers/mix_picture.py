"""The drawing on a run card: the vessel with the slurry it will hold."""

from marshlight.answers.drawn import form_of, section
from marshlight.answers.mix import MixAnswer
from marshlight.answers.picture import VesselPicture
from marshlight.errors import InputError
from marshlight.notebook.bridge.apparatus import vessel_of
from marshlight.notebook.models import Vessel
from marshlight.units import show


def mix_picture(
    answer: MixAnswer, vessel: Vessel | None, *, system: str = "metric"
) -> tuple[VesselPicture, bool]:
    """Draw the charge in its vessel.

    Parameters
    ----------
    answer : MixAnswer
        The mix.
    vessel : Vessel or None
        The vessel that is set up; None where only a volume was given.
    system : str
        "metric" or "us".

    Returns
    -------
    VesselPicture
        At the vessel's proportions, slurry to its level.
    bool
        Whether the proportions are the vessel's own; if not, no dimension may be drawn.
    """
    row = vessel or Vessel(name="vessel", shape="given", volume_m3=answer.vessel_m3)
    own_shape = row.shape != "given"
    width, height = section(row)
    level = answer.slurry_m3 / answer.vessel_m3 * height
    if own_shape:
        try:
            level = float(vessel_of(row).level_at(answer.slurry_m3))
        except InputError:
            own_shape = False
    size = show(answer.vessel_m3, "volume", system=system)
    picture = VesselPicture(
        name=row.name,
        kind="tank" if row.shape in ("box", "lying_cylinder", "sphere", "dome") else "drum",
        form=form_of(row),
        width_m=width,
        height_m=height,
        slurry_m=level,
        insulation_m=row.insulation_m or 0.0,
        size_text=f"of {size}" if own_shape else f"of {size}, shape not known",
        slurry_text=show(answer.slurry_m3, "volume", system=system),
    )
    return picture, own_shape
