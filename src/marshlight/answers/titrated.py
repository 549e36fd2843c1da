"""A titration as it was written down, worked out."""

from marshlight.errors import MarshlightError
from marshlight.measure import two_point_titration
from marshlight.measure.titration import Buffer
from marshlight.notebook.bridge.series import DetailedReading


def titrated(reading: DetailedReading) -> Buffer | None:
    """Work out a titration; None where a volume is missing or they contradict each other."""
    detail = reading.detail
    try:
        return two_point_titration(
            float(detail["acid_to_5_0"]),
            float(detail["acid_to_4_4"]),
            sample_m3=float(detail["sample"]),
            acid_mol_m3=float(detail["acid_normality"]) * 1000.0,
        )
    except (KeyError, TypeError, ValueError, MarshlightError):
        return None
