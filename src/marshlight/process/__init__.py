"""How digestion goes: gas curves, their fit, forecasts, fed runs, temperature."""

from marshlight.process.bands import Band
from marshlight.process.curves import CURVES, Curve, curve
from marshlight.process.fed import FedFit, fit_fed, forecast_fed
from marshlight.process.fed_curve import DrawOff, Feed
from marshlight.process.fit import Fit, Prediction, fit_curve
from marshlight.process.forecast import Forecast, forecast
from marshlight.process.prior import CurvePrior
from marshlight.process.temperature import temperature_factor, thermal_days

__all__ = [
    "CURVES",
    "Band",
    "Curve",
    "CurvePrior",
    "DrawOff",
    "FedFit",
    "Feed",
    "Fit",
    "Forecast",
    "Prediction",
    "curve",
    "fit_curve",
    "fit_fed",
    "forecast",
    "forecast_fed",
    "temperature_factor",
    "thermal_days",
]
