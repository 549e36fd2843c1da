"""Keeping a vessel warm: losses, heaters, weather, and what is dangerous about it."""

from marshlight.apparatus.heat.air import Air, air_at
from marshlight.apparatus.heat.balance import (
    Flows,
    Losses,
    Outside,
    Settled,
    evaporation_heat_kj_kg,
    losses,
    settle,
    vapour_loss_w,
)
from marshlight.apparatus.heat.body import PLACES, STANDS, Body, Stand, Wrap, body_of
from marshlight.apparatus.heat.danger import (
    HOTTEST_SAFE_C,
    SAFEGUARDS,
    Danger,
    dangers_of,
    dangers_of_supply,
)
from marshlight.apparatus.heat.films import FORMS, convection_w_m2k, is_slender, radiation_w_m2k
from marshlight.apparatus.heat.ground import (
    buried_sphere_conductance_w_k,
    disc_conductance_w_k,
    slab_transmittance_w_m2k,
)
from marshlight.apparatus.heat.heater import KINDS, Heater, coil
from marshlight.apparatus.heat.layers import (
    Layer,
    Material,
    find_material,
    flat_resistance_m2kw,
    layer_of,
    materials,
    round_resistance_kw,
    transmittance_w_m2k,
)
from marshlight.apparatus.heat.lumped import warm_up_s, warming_energy_kwh
from marshlight.apparatus.heat.sizing import (
    MonthHeat,
    insulation_needed_m,
    monthly_heat,
    power_needed_w,
)
from marshlight.apparatus.heat.surface import Passage, Surface, Through
from marshlight.apparatus.heat.transient import Course, GasMaker, HeatBook, warm_course
from marshlight.apparatus.heat.weather import Weather
from marshlight.apparatus.heat.worth import Worth, worth
from marshlight.apparatus.heat.wrapping import WIND_W_M2K, usual_stand, usual_wrap

__all__ = [
    "FORMS",
    "HOTTEST_SAFE_C",
    "KINDS",
    "PLACES",
    "SAFEGUARDS",
    "STANDS",
    "WIND_W_M2K",
    "Air",
    "Body",
    "Course",
    "Danger",
    "Flows",
    "GasMaker",
    "HeatBook",
    "Heater",
    "Layer",
    "Losses",
    "Material",
    "MonthHeat",
    "Outside",
    "Passage",
    "Settled",
    "Stand",
    "Surface",
    "Through",
    "Weather",
    "Worth",
    "Wrap",
    "air_at",
    "body_of",
    "buried_sphere_conductance_w_k",
    "coil",
    "convection_w_m2k",
    "dangers_of",
    "dangers_of_supply",
    "disc_conductance_w_k",
    "evaporation_heat_kj_kg",
    "find_material",
    "flat_resistance_m2kw",
    "insulation_needed_m",
    "is_slender",
    "layer_of",
    "losses",
    "materials",
    "monthly_heat",
    "power_needed_w",
    "radiation_w_m2k",
    "round_resistance_kw",
    "settle",
    "slab_transmittance_w_m2k",
    "transmittance_w_m2k",
    "usual_stand",
    "usual_wrap",
    "vapour_loss_w",
    "warm_course",
    "warm_up_s",
    "warming_energy_kwh",
    "worth",
]
