"""What a run's own records say of its gas train, as its form takes it."""

import numpy as np

from marshlight.answers.run_gas import RunGas
from marshlight.notebook.models import Run
from marshlight.units import show


def known_of(run: Run, gas: RunGas, system: str) -> dict[str, str]:
    """Give the fields that a run's records fill in.

    Parameters
    ----------
    run : Run
        The run.
    gas : RunGas
        Its gas.
    system : str
        "metric" or "us".

    Returns
    -------
    dict of str
        Field name to text.
    """
    known = {"vessel": run.vessel.name}
    kept = {"relief": run.vessel.relief, "outlet": run.site.gas_let_out}
    known |= {name: text for name, text in kept.items() if text}
    lengths = {"relief_depth": run.vessel.relief_depth_m}
    if run.holder is not None:
        lengths |= {"dips": run.holder.dips_m, "trap": run.holder.trap_leg_m}
    known |= {
        name: show(length, "length", system=system)
        for name, length in lengths.items()
        if length is not None
    }
    if gas.analysis.slurry_m3:
        known["slurry"] = show(gas.analysis.slurry_m3, "volume", system=system)
    if run.holder is not None and gas.holder_m3 is not None:
        known["holder"] = run.holder.name
    if gas.held_m3 is not None:
        known["held"] = show(gas.held_m3, "volume", system=system)
    if gas.gas_m3_d:
        known["gas"] = show(gas.gas_m3_d, "flow", system=system)
    if gas.slurry_c is not None:
        known["slurry_c"] = show(gas.slurry_c, "temperature", system=system)
    known["pipe_c"] = show(float(np.clip(gas.gas_c, -30.0, 60.0)), "temperature", system=system)
    return known
