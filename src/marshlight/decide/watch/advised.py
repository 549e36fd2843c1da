"""What may be advised, by key: its name in the log, and how long its effect is awaited once done.

A key stays the same from day to day while words and amounts follow the readings; the log keeps it.
"""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Piece:
    """A piece of advice by its short words; once done it stays away for ``awaits_d`` [d].

    ``because`` says why that long. The waits are our choice: each is the soonest at which looking
    again can tell whether it helped.
    """

    words: str
    awaits_d: float
    because: str


_HOUR = 1.0 / 24.0
_READ = "once it is logged, the reading itself settles it"

PIECES: Mapping[str, Piece] = {
    "heater_off": Piece("switch the heater off", _HOUR, "a heater that cools shows it in an hour"),
    "free_outlet": Piece("free the outlet", 3 * _HOUR, "gas finds a free way within hours"),
    "find_leak": Piece("look for a leak", 1.0, "the next night's gas tells whether it was found"),
    "watch_overnight": Piece("watch the holder overnight", 1.0, "it takes a night"),
    "stop_feeding": Piece("stop feeding", 2.0, "acids are used up over days, not hours"),
    "read_ph_first": Piece("read the pH before dosing", 6 * _HOUR, _READ),
    "dose": Piece("stir in bicarbonate", 1.0, "doses go a day apart, the pH read before each"),
    "swap_slurry": Piece("swap slurry for active slurry", 3.0, "new slurry takes days to tell"),
    "leave_bottle": Piece("leave the bottle as it is", 3.0, "it counts at the end, as it stands"),
    "warm_up": Piece("find out why it is cold", 1.0, "it warms by a degree or two a day"),
    "add_live_slurry": Piece("stir in live slurry", 5.0, "methane formers need days to multiply"),
    "empty_holder": Piece("empty the holder", 6 * _HOUR, "the next look at the holder shows it"),
    "doubt_the_jump": Piece("check a jump after a dose", 2.0, "its own gas is gone after two days"),
    "feed_less": Piece("feed less", 7.0, "what is fed counts as the mean of a week"),
    "let_first_gas_out": Piece("let the first gas out", 1.0, "the holder has to fill again"),
    "renew": Piece("renew a part of the charge", 3.0, "fresh charge takes days to show"),
    "read_gas": Piece("read the gas", 12 * _HOUR, _READ),
    "read_ph": Piece("read the pH", 12 * _HOUR, _READ),
    "read_warmth": Piece("read the slurry temperature", 12 * _HOUR, _READ),
    "read_ph_again": Piece("read the pH again", 12 * _HOUR, _READ),
    "read_warmth_again": Piece("read the slurry temperature again", 12 * _HOUR, _READ),
    "look_for_leak": Piece("look over the joints", 1.0, "the next night's gas tells"),
    "look_at_outlet": Piece("look at the outlet", 12 * _HOUR, "the next look at the holder tells"),
    "settle_suspicion": Piece("test for what may be wrong", 1.0, "the next readings weigh it anew"),
    "give_it_time": Piece("give it two more days", 2.0, "two days were advised"),
}


@dataclass(frozen=True)
class Answered:
    """What was said to a piece of advice: done, or put off until a day [d].

    ``until`` is None for one that was done; ``urgent`` says whether it was urgent at that moment.
    """

    key: str
    day: float
    until: float | None = None
    urgent: bool = False

    @property
    def back_day(self) -> float:
        """Day it is looked at again [d]; a key no longer in use waits for a day."""
        if self.until is not None:
            return self.until
        piece = PIECES.get(self.key)
        return self.day + (1.0 if piece is None else piece.awaits_d)
