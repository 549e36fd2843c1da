"""What people build: vessels and the holders, bottles, meters and scales that measure gas."""

from collections.abc import Mapping
from types import MappingProxyType

from marshlight.apparatus.bag import Bag
from marshlight.apparatus.bottle import SealedBottle
from marshlight.apparatus.counter import Counter
from marshlight.apparatus.displacement import DisplacementColumn
from marshlight.apparatus.floating import FloatingCylinder
from marshlight.apparatus.held import HeldGas
from marshlight.apparatus.scale import MassLoss
from marshlight.apparatus.vessel import SHAPES, Vessel

VolumeHolder = FloatingCylinder | DisplacementColumn | Bag
Holder = VolumeHolder | Counter | SealedBottle | MassLoss

HOLDER_KINDS: Mapping[str, type[Holder]] = MappingProxyType(
    {
        "floating_cylinder": FloatingCylinder,
        "displacement": DisplacementColumn,
        "bag": Bag,
        "counter": Counter,
        "sealed_bottle": SealedBottle,
        "mass_loss": MassLoss,
    }
)

__all__ = [
    "HOLDER_KINDS",
    "SHAPES",
    "Bag",
    "Counter",
    "DisplacementColumn",
    "FloatingCylinder",
    "HeldGas",
    "Holder",
    "MassLoss",
    "SealedBottle",
    "Vessel",
    "VolumeHolder",
]
