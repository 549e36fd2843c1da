"""What people build: vessels, gas holders, meters, seals and relief; ``heat`` is a room beside."""

from collections.abc import Mapping
from types import MappingProxyType

from marshlight.apparatus.bag import Bag
from marshlight.apparatus.bottle import SealedBottle
from marshlight.apparatus.counter import Counter
from marshlight.apparatus.displacement import DisplacementColumn
from marshlight.apparatus.floating import FloatingCylinder
from marshlight.apparatus.gas_train import (
    DipTube,
    GasTrain,
    closed_rise_kpa_per_d,
    condensate_kg_per_m3,
    seal_depth_m,
    seal_pressure_kpa,
)
from marshlight.apparatus.held import HeldGas
from marshlight.apparatus.leak import LeakTest, leak_at_pressure, level_decay, pressure_decay
from marshlight.apparatus.scale import MassLoss
from marshlight.apparatus.storage import Fill, Storage, fill_of, full_day, storage_needed
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
    "DipTube",
    "DisplacementColumn",
    "Fill",
    "FloatingCylinder",
    "GasTrain",
    "HeldGas",
    "Holder",
    "LeakTest",
    "MassLoss",
    "SealedBottle",
    "Storage",
    "Vessel",
    "VolumeHolder",
    "closed_rise_kpa_per_d",
    "condensate_kg_per_m3",
    "fill_of",
    "full_day",
    "leak_at_pressure",
    "level_decay",
    "pressure_decay",
    "seal_depth_m",
    "seal_pressure_kpa",
    "storage_needed",
]
