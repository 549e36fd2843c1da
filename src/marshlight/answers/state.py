"""State words and how urgent each is; the words themselves come from the assessment."""

from dataclasses import dataclass

UNKNOWN = "not enough known"
PENDING = "being worked out"
# Most urgent first: what can be lost soonest, then what asks for patience, then what runs.
_URGENCY = (
    "blocked",
    "leaking",
    "souring",
    "stalled",
    "cold",
    UNKNOWN,
    "starting",
    "climbing",
    "steady",
    "fading",
    "spent",
    PENDING,
    "planned",
    "ended",
)
_TROUBLE = frozenset(_URGENCY[:5])
_CALM = frozenset({"climbing", "steady"})


@dataclass(frozen=True)
class State:
    """A state word with its tone (trouble, calm or quiet), which shape and colour follow."""

    word: str

    @property
    def tone(self) -> str:
        """Give "trouble", "calm" or "quiet"."""
        if self.word in _TROUBLE:
            return "trouble"
        return "calm" if self.word in _CALM else "quiet"

    @property
    def urgency(self) -> int:
        """Rank the state: 0 is the most urgent."""
        return _URGENCY.index(self.word) if self.word in _URGENCY else len(_URGENCY)
