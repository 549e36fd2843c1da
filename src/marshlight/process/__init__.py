"""How digestion goes: gas curves, their fit, forecasts, fed runs, temperature."""

from marshlight.process.curves import CURVES, Curve, curve
from marshlight.process.fit import Fit, Prediction, fit_curve
from marshlight.process.prior import CurvePrior

__all__ = ["CURVES", "Curve", "CurvePrior", "Fit", "Prediction", "curve", "fit_curve"]
