"""A run's own way through the triangle: by the process model where it can, else by tests."""

from dataclasses import dataclass

from marshlight.answers.gas_space_model import HYDROGEN_TOLD, ModelGas, model_gas, model_section
from marshlight.answers.gas_space_path import Gas, RunPaths, gas_of, run_paths
from marshlight.answers.reader import in_reader_units
from marshlight.answers.run_gas import RunGas
from marshlight.answers.told import Section
from marshlight.errors import MarshlightError

BY_MODEL, BY_TESTS = "model", "tests"
BY = ((BY_MODEL, "the process model"), (BY_TESTS, "tests of the gas"))
# How far the model looks where neither gas was counted nor a forecast made: our choice.
_AHEAD_D = 14.0


@dataclass(frozen=True)
class OwnWay:
    """A run's paths, what the model says of the gas, and why it was not asked or not believed."""

    seen: RunPaths | None
    model: ModelGas | None
    why_not: str

    def sections(self, own: RunGas, system: str) -> tuple[Section, ...]:
        """Say what the make-up of the gas rests on."""
        return () if self.model is None else (model_section(self.model, own, system),)

    def notes(self, system: str) -> tuple[str, ...]:
        """Say where the make-up comes from, and what had to be taken for granted."""
        if self.model is None:
            why = f" {in_reader_units(self.why_not, system)}" if self.why_not else ""
            return (f"The make-up of its gas comes from tests, not from the process model.{why}",)
        notes = [
            "The make-up of its gas comes from the process model: poor, likely and rich are the 5,"
            f" 50 and 95 % points over {self.model.lives} lives.",
            *(in_reader_units(note, system) for note in self.model.notes),
        ]
        if self.model.hydrogen > HYDROGEN_TOLD:
            notes.append(
                f"By the model the gas at times holds up to {100 * self.model.hydrogen:.0f} %"
                " hydrogen. Hydrogen burns from 4 to 75 % in air: what can explode then reaches"
                " far beyond the limits drawn."
            )
        return tuple(notes)


def sulphide_by_model(own: RunGas) -> tuple[float, float, float] | None:
    """Give the hydrogen sulphide in a run's gas by the process model: low, middle, high [-].

    Parameters
    ----------
    own : RunGas
        The run's gas.

    Returns
    -------
    tuple of float or None
        None where the model cannot follow the run.
    """
    model = own_way(own, BY_MODEL).model
    return None if model is None else model.sulphide


def own_way(own: RunGas, by: str) -> OwnWay:
    """Follow a run's gas space.

    Parameters
    ----------
    own : RunGas
        The run's gas.
    by : str
        "model" or "tests".

    Returns
    -------
    OwnWay
        By tests, with the reason, where the model cannot follow the log or disagrees with it.
    """
    gas = gas_of(own)
    if by == BY_TESTS:
        return OwnWay(run_paths(own, gas=gas), None, "")
    if own.gas_space_m3 is None:
        return OwnWay(None, None, "")
    until = _AHEAD_D if gas is None else float(gas.day[-1])
    try:
        made = model_gas(own, until)
    except MarshlightError as problem:
        return OwnWay(run_paths(own, gas=gas), None, str(problem))
    gas = gas or Gas(made.day, made.middle_m3, foreseen=True)
    return OwnWay(run_paths(own, composition=made.over_time, gas=gas), made, "")
