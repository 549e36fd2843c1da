"""Kinds of event that answer a piece of advice: it was followed, or put off."""

from marshlight.decide.watch import PIECES

from .shape import Kind, choice

UNTIL = {"tomorrow": "until tomorrow", "three_days": "for three days"}
URGENCY = {"urgent": "urgent", "calm": "not urgent"}
_WHICH = choice(
    "advice", "which advice", {key: piece.words for key, piece in PIECES.items()}, required=True
)

ADVICE_KINDS = (
    Kind(
        "advice_done",
        "did as advised",
        "Which advice was followed?",
        details=(_WHICH, choice("urgency", "how pressing it was", URGENCY)),
    ),
    Kind(
        "advice_put_off",
        "put advice off",
        "Which advice was put off, and until when?",
        details=(_WHICH, choice("until", "until when", UNTIL, required=True)),
    ),
)
# They answer the program and say nothing of the digester: what is worked out does not rest on them.
ADVICE_EVENTS = tuple(kind.key for kind in ADVICE_KINDS)
