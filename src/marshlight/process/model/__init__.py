"""The process model: a mechanistic digester, written once as symbols and run as compiled code."""

from marshlight.process.model.digester import Digester, Holder
from marshlight.process.model.ensemble import Ensemble, EnsembleCancelled, ensemble
from marshlight.process.model.events import (
    Dose,
    DrawOff,
    Event,
    Feed,
    Flow,
    OpenSeal,
    SetHolder,
    SetTemperature,
    TakeGas,
    Vent,
    warming,
)
from marshlight.process.model.feed import liquid_from_feedstock
from marshlight.process.model.inoculum import INOCULA, draw_liveliness, inoculum
from marshlight.process.model.kernel import KernelMissing
from marshlight.process.model.liquid import DOSES, Liquid, dose, water
from marshlight.process.model.parameters import (
    BENCHMARK,
    SMALL_DIGESTER,
    Parameter,
    ParameterSet,
    draw_between,
)
from marshlight.process.model.published_plant import (
    published_settings,
    published_start,
    run_published_plant,
)
from marshlight.process.model.result import DigesterRun
from marshlight.process.model.sensitivity import Sensitivities, sensitivities
from marshlight.process.model.simulate import simulate
from marshlight.process.model.speciation import Speciation, equilibrium
from marshlight.process.model.trace import Trace

__all__ = [
    "BENCHMARK",
    "DOSES",
    "INOCULA",
    "SMALL_DIGESTER",
    "Digester",
    "DigesterRun",
    "Dose",
    "DrawOff",
    "Ensemble",
    "EnsembleCancelled",
    "Event",
    "Feed",
    "Flow",
    "Holder",
    "KernelMissing",
    "Liquid",
    "OpenSeal",
    "Parameter",
    "ParameterSet",
    "Sensitivities",
    "SetHolder",
    "SetTemperature",
    "Speciation",
    "TakeGas",
    "Trace",
    "Vent",
    "dose",
    "draw_between",
    "draw_liveliness",
    "ensemble",
    "equilibrium",
    "inoculum",
    "liquid_from_feedstock",
    "published_settings",
    "published_start",
    "run_published_plant",
    "sensitivities",
    "simulate",
    "warming",
    "water",
]
