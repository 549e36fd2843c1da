"""The process model: a mechanistic digester, written once as symbols and run as compiled code."""

from marshlight.process.model.parameters import (
    BENCHMARK,
    SMALL_DIGESTER,
    Parameter,
    ParameterSet,
)
from marshlight.process.model.published_plant import (
    published_settings,
    published_start,
    run_published_plant,
)
from marshlight.process.model.trace import Trace

__all__ = [
    "BENCHMARK",
    "SMALL_DIGESTER",
    "Parameter",
    "ParameterSet",
    "Trace",
    "published_settings",
    "published_start",
    "run_published_plant",
]
