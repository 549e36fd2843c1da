"""What the sketch of a gas train shows, and the same in words."""

from dataclasses import dataclass

from marshlight.apparatus.gas_train import GasTrain
from marshlight.units import show


@dataclass(frozen=True)
class Depth:
    """One tube in water: how deep [m], in the reader's unit, and whether it is only advised."""

    metres: float
    text: str
    advised: bool = False


@dataclass(frozen=True)
class GasTrainSketch:
    """Depths between vessel and burner; None for what is not there.

    ``fill`` is how full the vessel is of its whole volume [-].
    """

    fill: float
    relief: Depth | None
    trap: Depth
    seals: Depth | None
    vessel_text: str
    holder_text: str

    @property
    def in_words(self) -> str:
        """Say what the sketch shows."""
        said = [f"From the vessel, which feels {self.vessel_text}, a pipe leads the gas off."]
        if self.relief is None:
            said.append("It has no water seal: the vessel is a bag that gives way.")
        elif self.relief.advised:
            said.append(
                "What relief there is was not said; a water seal belongs right behind the vessel,"
                f" before any valve, {self.relief.text} deep or more, and leads outdoors."
            )
        else:
            said.append(
                "Right behind it, before any valve, the relief's tube dips"
                f" {self.relief.text} into water and leads outdoors."
            )
        leg = f"{self.trap.text} or more" if self.trap.advised else self.trap.text
        missing = ", which is not there yet," if self.trap.advised else ""
        said.append(
            "The pipe falls to the condensate trap at its lowest point, whose leg"
            f"{missing} stands {leg} in water."
        )
        if self.seals is not None:
            said.append(f"Then the gas bubbles through seals {self.seals.text} deep in all.")
        said.append(
            f"Then come the holder, at {self.holder_text}, and on the way to the burner, close to"
            " it, a flame trap."
        )
        return " ".join(said)


def sketch_of(train: GasTrain, *, relief: str, fill: float, system: str) -> GasTrainSketch:
    """Take the sketch's numbers from a gas train.

    Parameters
    ----------
    train : GasTrain
        The train.
    relief : str
        What relief is on the vessel: "seal", "soft" or "unknown".
    fill : float
        How full of slurry the vessel is [-].
    system : str
        "metric" or "us".

    Returns
    -------
    GasTrainSketch
        What is missing is shown as advised.
    """

    def depth(metres: float, *, advised: bool = False) -> Depth:
        return Depth(metres, show(metres, "length", system=system), advised)

    seal = None
    if train.relief_m is not None:
        seal = depth(train.relief_m)
    elif relief != "soft":
        seal = depth(train.relief_depth_advised_m, advised=True)
    leg = train.trap_leg_m
    dips = sum(train.dips_m)
    return GasTrainSketch(
        fill=fill,
        relief=seal,
        trap=depth(train.trap_leg_advised_m, advised=True) if leg is None else depth(leg),
        seals=depth(dips) if dips > 0.0 else None,
        vessel_text=show(train.vessel_kpa, "gauge_pressure", system=system),
        holder_text=show(train.holder_kpa, "gauge_pressure", system=system),
    )
