"""What can be chosen of a vessel's surroundings and fittings; pages and records offer the same."""

from collections.abc import Mapping
from types import MappingProxyType

WRAPPED: Mapping[str, str] = MappingProxyType(
    {"all": "all round, base too", "sides_and_lid": "sides and lid", "sides": "sides only"}
)
AROUND: Mapping[str, str] = MappingProxyType(
    {"still": "still air, a room or shed", "wind": "outdoors in wind"}
)
RELIEFS: Mapping[str, str] = MappingProxyType(
    {
        "unknown": "not looked at yet",
        "seal": "water seal",
        "none": "none",
        "soft": "none needed: a bag that gives way",
    }
)
OUTLETS: Mapping[str, str] = MappingProxyType(
    {
        "unknown": "not looked at yet",
        "outdoors": "outdoors",
        "indoors": "into a room, shed or cellar",
    }
)
YES_NO: Mapping[str, str] = MappingProxyType({"yes": "yes", "no": "no, improvised"})


def told(choices: Mapping[str, str]) -> Mapping[str, str]:
    """Leave out what a record says by staying empty: that it is not known."""
    return {key: words for key, words in choices.items() if key != "unknown"}
