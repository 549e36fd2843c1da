"""How small is small: the size below which an error in a state no longer matters.

A step's error is judged against rtol * (floor + |y|), with the floor as a concentration times the
liquid volume. Hydrogen lives three to five decades below the rest, and so does its floor.
"""

from .assemble import Model
from .species import COUNTED_IN_KMOL

FLOORS = {
    "hydrogen": 1e-6,
    "oxygen": 1e-5,
    "sulfide": 1e-5,
    "sulfate": 1e-5,
    "gas_hydrogen": 1e-6,
    "gas_sulfide": 1e-6,
    "gas_oxygen": 2e-5,
}


def floors(model: Model) -> tuple[list[float], list[float]]:
    """Give for each state the floor and whether the error is judged relative to its size."""
    floor, relative = [], []
    for name, is_algebraic in zip(model.states, model.algebraic, strict=True):
        if is_algebraic:
            # ln of the proton activity, root of the ionic strength: absolute errors count.
            floor.append(1.0 if name == "ln_proton" else 0.1)
        elif name in FLOORS:
            floor.append(FLOORS[name])
        elif name == "volume":
            floor.append(1.0)
        elif name in COUNTED_IN_KMOL:
            floor.append(1e-3)
        elif name.startswith(("gas_", "out_")):
            floor.append(2e-4)
        else:
            floor.append(1e-2)
        relative.append(0.0 if is_algebraic else 1.0)
    return floor, relative
