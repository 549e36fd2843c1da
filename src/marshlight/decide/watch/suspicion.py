"""What the diagnosis by the process model suspects, as the assessment takes it up."""

from dataclasses import dataclass

from marshlight.decide.watch.facts import Advice
from marshlight.errors import require

# What the diagnosis calls a trouble, and the state word that the signs would give it.
STATE_WORDS = {
    "leak": "leaking",
    "cold": "cold",
    "souring": "souring",
    "stuck": "blocked",
    "weak": "stalled",
}
# Key of the piece of advice that a suspicion brings.
SETTLE = "settle_suspicion"


@dataclass(frozen=True)
class Suspicion:
    """A trouble that is likely enough for a visit, and the cheapest test for it.

    ``key`` and ``words`` name it, ``chance`` is its probability (0-1); ``test`` is empty where no
    cheap one tells; ``never`` is an act to leave; ``caution`` are caution keys. ``shared`` says
    that the readings fit another trouble as well, which ``words`` and ``chance`` include.
    """

    key: str
    words: str
    chance: float
    why: str
    test: str = ""
    takes: str = ""
    never: str = ""
    by_when: str = ""
    caution: tuple[str, ...] = ()
    shared: bool = False

    def __post_init__(self) -> None:
        """Refuse a chance that is none.

        Raises
        ------
        InputError
            When the chance is not from 0 to 1.
        """
        require(
            0.0 <= self.chance <= 1.0,
            field="chance",
            value=self.chance,
            allowed="0 to 1",
            remedy="Give a probability",
        )

    @property
    def state_word(self) -> str:
        """Give the state word of the same trouble; empty where the states have none."""
        return STATE_WORDS.get(self.key, "")

    @property
    def sentence(self) -> str:
        """Say what is suspected and how sure."""
        # Nothing is certain by a log.
        chance = f"{100.0 * self.chance:.0f} %" if self.chance < 0.995 else "over 99 %"
        return f"By the process model, {self.words} ({chance})."


def settle(suspicion: Suspicion) -> Advice:
    """Advise the test that settles a suspicion.

    Parameters
    ----------
    suspicion : Suspicion
        What is suspected.

    Returns
    -------
    Advice
        Urgent: an alarm is a visit.

    References
    ----------
    trouble_rates

    Examples
    --------
    >>> settle(Suspicion("leak", "gas is being lost", 0.7, "gas fell")).how_sure
    'likely'
    """
    sure = "almost certain" if suspicion.chance >= 0.9 else "likely"
    never = f" {suspicion.never}." if suspicion.never else ""
    return Advice(
        key=SETTLE,
        what=suspicion.test or "Look it over, and read gas, pH and temperature",
        why=f"{suspicion.sentence} {suspicion.why}{never}",
        how_sure=sure if suspicion.chance >= 0.6 else "possible",
        how_much=suspicion.takes,
        by_when=suspicion.by_when,
        caution=suspicion.caution,
        source="trouble_rates",
        urgent=True,
    )
