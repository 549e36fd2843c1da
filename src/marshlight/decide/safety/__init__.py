"""Cautions, each with its reason, its place and its source."""

from marshlight.decide.safety.cautions import Caution, all_cautions, cautions_at, cautions_for

__all__ = ["Caution", "all_cautions", "cautions_at", "cautions_for"]
