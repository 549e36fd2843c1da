"""How digestion goes: gas curves, their fit, forecasts, fed runs, temperature."""

from marshlight.process.bands import Band
from marshlight.process.curves import CURVES, Curve, curve
from marshlight.process.fit import Fit, Prediction, fit_curve
from marshlight.process.forecast import Forecast, forecast
from marshlight.process.prior import CurvePrior
from marshlight.process.temperature import temperature_factor, thermal_days

__all__ = [
    "CURVES",
    "Band",
    "Curve",
    "CurvePrior",
    "Fit",
    "Forecast",
    "Prediction",
    "curve",
    "fit_curve",
    "forecast",
    "temperature_factor",
    "thermal_days",
]
