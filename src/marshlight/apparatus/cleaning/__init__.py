"""Cleaning the gas: sulphide out by iron or a little air, carbon dioxide by water, and drying."""

from marshlight.apparatus.cleaning.drying import Drying, dry_gas, water_in_gas_kg_m3
from marshlight.apparatus.cleaning.iron_sponge import (
    REGENERATION_HAZARD,
    IronBed,
    bed_diameter_m,
    iron_bed,
    sulphide_kg_per_d,
)
from marshlight.apparatus.cleaning.micro_aeration import AirDose, air_dose, air_needed
from marshlight.apparatus.cleaning.scrubbing import Scrubbing, scrub

__all__ = [
    "REGENERATION_HAZARD",
    "AirDose",
    "Drying",
    "IronBed",
    "Scrubbing",
    "air_dose",
    "air_needed",
    "bed_diameter_m",
    "dry_gas",
    "iron_bed",
    "scrub",
    "sulphide_kg_per_d",
    "water_in_gas_kg_m3",
]
