"""Setting up: sites, vessels, holders, heaters, lots, own feedstocks and runs, from what was typed.

Pages and terminal read the same descriptions, so that they ask and refuse alike.
"""

from .describe import Field, SetupKind
from .kinds import SETUPS, setup_kind
from .making import change, found, set_up
from .showing import shown

__all__ = ["SETUPS", "Field", "SetupKind", "change", "found", "set_up", "setup_kind", "shown"]
