"""How a run answers to its parameters: exact derivatives of the integration itself."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from marshlight.errors import require
from marshlight.process.model.digester import Digester
from marshlight.process.model.events import Event
from marshlight.process.model.kernel import TANGENT, Reals, layout, run
from marshlight.process.model.liquid import MODEL, Liquid
from marshlight.process.model.parameters import SMALL_DIGESTER, ParameterSet
from marshlight.process.model.simulate import prepare

# Far below rounding: its square vanishes, so the imaginary part is the derivative alone.
STEP = 1e-40
CELLS = "cells"


@dataclass(frozen=True)
class Sensitivities:
    """Curves and their derivatives.

    ``values`` has shape (time, name); ``derivatives`` (parameter, time, name), each in the
    curve's unit per unit of the parameter. ``"cells"`` stands for the charge's live cells, as a
    factor on all of them.
    """

    day: Reals
    names: tuple[str, ...]
    wanted: tuple[str, ...]
    values: Reals
    derivatives: Reals

    def of(self, name: str, parameter: str) -> Reals:
        """Give the derivative of one curve by one parameter, over time."""
        row = self.derivatives[self.wanted.index(parameter)]
        return np.asarray(row[:, self.names.index(name)], dtype=np.float64)


def sensitivities(
    digester: Digester,
    charge: Liquid,
    *,
    days: Sequence[float] | Reals,
    wanted: Sequence[str],
    watch: Sequence[str],
    events: Sequence[Event] = (),
    parameters: ParameterSet = SMALL_DIGESTER,
    rtol: float = 1e-5,
) -> Sensitivities:
    """Differentiate a run with respect to parameters.

    Parameters
    ----------
    digester, charge, days, events, parameters, rtol
        As for ``simulate``.
    wanted : sequence of str
        Parameters or settings of the model, or ``"cells"``.
    watch : sequence of str
        Curves to differentiate.

    Returns
    -------
    Sensitivities
        Curves and derivatives, exact for the steps that were taken.

    Raises
    ------
    InputError
        When a name is unknown.
    FitError
        When the integration does not succeed.

    Notes
    -----
    The whole integration runs in complex arithmetic with an imaginary step of 1e-40 in one
    parameter at a time: no difference is formed, so no digit is lost.
    """
    place = layout(MODEL)
    for name in wanted:
        require(
            name == CELLS or name in place.setting_at,
            field="parameter",
            value=name,
            allowed="a parameter or setting of the model, or 'cells'",
            remedy="Look at the parameter set",
        )
    ready = prepare(
        digester,
        charge,
        days=days,
        events=events,
        parameters=parameters,
        watch=watch,
        rtol=rtol,
    )
    members = len(wanted)
    settings = np.tile(ready.settings.astype(np.complex128), (members, 1))
    states = np.tile(ready.start.astype(np.complex128), (members, 1))
    live = [place.state_at[n] for n in place.liquid if n.startswith("x_")]
    for row, name in enumerate(wanted):
        if name == CELLS:
            states[row, live] *= 1.0 + 1j * STEP
        else:
            settings[row, place.setting_at[name]] += 1j * STEP
    outcome = run(ready.program, settings, states, ready.vectors, form=TANGENT)
    outcome.require_success(np.array(ready.schedule.days()))
    return Sensitivities(
        ready.program.t_out,
        ready.names,
        tuple(wanted),
        outcome.out[0].real.copy(),
        outcome.out.imag / STEP,
    )
