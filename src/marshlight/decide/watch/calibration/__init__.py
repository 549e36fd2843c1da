"""Calibration of the process model to one digester: from its log to equally likely lives."""

from marshlight.decide.watch.calibration.calibrating import calibrate
from marshlight.decide.watch.calibration.learning import priors_from
from marshlight.decide.watch.calibration.lives import (
    WATCH,
    Lives,
    Mode,
    Quality,
    ahead,
    dry_gas,
    lives_from_prior,
    past,
)
from marshlight.decide.watch.calibration.log import STRAY_D, Counted, Read, RunLog
from marshlight.decide.watch.calibration.priors import Prior, priors_of
from marshlight.decide.watch.calibration.showing import observed_gas

__all__ = [
    "STRAY_D",
    "WATCH",
    "Counted",
    "Lives",
    "Mode",
    "Prior",
    "Quality",
    "Read",
    "RunLog",
    "ahead",
    "calibrate",
    "dry_gas",
    "lives_from_prior",
    "observed_gas",
    "past",
    "priors_from",
    "priors_of",
]
