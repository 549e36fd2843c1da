"""A second way to run a digester: plain Python equations inside CVODE, events by hand.

Shares the symbolic definition with the kernel, and nothing else: neither its C, its integrator,
its elimination, its handling of events nor its acid-base iteration.
"""

from functools import cache

import numpy as np
from sksundae.cvode import CVODE

from marshlight.process.model import (
    Dose,
    DrawOff,
    Feed,
    OpenSeal,
    SetTemperature,
    TakeGas,
    Vent,
    dose,
)
from marshlight.process.model.definition import SMALL, assemble, emit_python
from marshlight.process.model.kernel import LIQUID, layout
from marshlight.process.model.simulate import charged_vessel

PLACE = layout("small")
AT = PLACE.state_at
LIQUID_PLACES = [i for i, kind in enumerate(PLACE.kinds) if kind == LIQUID]
GAS_PLACES = [AT[f"gas_{gas}"] for gas in PLACE.gases]
OUT_PLACES = [AT[f"out_{gas}"] for gas in PLACE.gases]
ALGEBRAIC = [AT["ln_proton"], AT["root_ionic_strength"]]
R = 0.083145


@cache
def equations() -> dict[str, object]:
    """Compile the plain Python form."""
    scope: dict[str, object] = {}
    exec(compile(emit_python(assemble(SMALL)), "<small>", "exec"), scope)
    return scope


class Plain:
    """The small model as an ordinary differential equation, pH found inside."""

    def __init__(self, settings):
        self.p = [float(v) for v in settings]
        self.d = [0.0] * equations()["N_DERIVED"]
        self.f = [0.0] * len(PLACE.states)
        self.guess = [-16.0, 0.3]
        self.refresh()

    def set(self, name, value):
        self.p[PLACE.setting_at[name]] = float(value)
        self.refresh()

    def get(self, name):
        return self.p[PLACE.setting_at[name]]

    def refresh(self):
        equations()["derive"](self.p, self.d)

    def complete(self, y):
        """Fill in pH and ionic strength that belong to the amounts."""
        full = [float(v) for v in y]
        g, dg = [0.0, 0.0], [0.0] * 4
        for place, guess in zip(ALGEBRAIC, self.guess, strict=True):
            full[place] = guess
        for _ in range(100):
            equations()["algebra"](full, self.d, g, dg)
            step = np.linalg.solve(np.array(dg).reshape(2, 2), g)
            step = np.clip(step, [-1.0, -0.1], [1.0, 0.1])
            for place, change in zip(ALGEBRAIC, step, strict=True):
                full[place] -= change
            if np.max(np.abs(step)) < 1e-13:
                break
        self.guess = [full[place] for place in ALGEBRAIC]
        return full

    def slope(self, t, y, yp):
        equations()["slopes"](self.complete(y), self.d, self.f)
        yp[:] = self.f
        yp[ALGEBRAIC] = 0.0

    def integrate(self, start, end, y, rtol):
        if end <= start:
            return y
        volume = y[AT["volume"]]
        atol = np.full(len(y), rtol * 1e-3 * volume)
        atol[[AT["hydrogen"], AT["gas_hydrogen"]]] *= 1e-4
        solver = CVODE(self.slope, rtol=rtol, atol=atol, method="BDF", max_num_steps=200_000)
        found = solver.solve([start, end], y)
        assert found.success, found.message
        return np.array(found.y[-1])

    def gas_space(self, y):
        """Work out the gas space anew: volume, rigid part, vapour [m3, m3, bar]."""
        kelvin = self.get("temperature_c") + 273.15
        vapour = 0.0313 * np.exp(5290.0 * (1.0 / 298.15 - 1.0 / kelvin))
        rigid = self.get("vessel_m3") - y[AT["volume"]]
        moles = sum(y[i] for i in GAS_PLACES)
        free = moles * R * kelvin / (self.get("holder_bar") - vapour)
        soft = self.get("holder_softness_m3")

        def positive(x):
            return 0.5 * (x + np.hypot(x, soft))

        above = free - rigid
        return rigid + positive(above) - positive(above - self.get("holder_m3")), rigid, vapour

    def happen(self, event, y, digester):
        """Let an event happen, in the words of its documentation."""
        y = y.copy()
        kelvin = self.get("temperature_c") + 273.15
        if isinstance(event, SetTemperature):
            self.set("temperature_c", event.celsius)
            return y
        if isinstance(event, DrawOff):
            y[LIQUID_PLACES] *= 1.0 - event.volume_m3 / y[AT["volume"]]
            y[AT["volume"]] -= event.volume_m3
            return y
        if isinstance(event, Dose):
            return y + dose(event.kind, event.mass_kg).vector()
        if isinstance(event, Feed):
            return y + event.liquid.vector()
        space, rigid, vapour = self.gas_space(y)
        before = y[GAS_PLACES].copy()
        if isinstance(event, TakeGas):
            y[GAS_PLACES] *= 1.0 - event.volume_m3 / space
        elif isinstance(event, Vent):
            left = (digester.atmosphere_kpa + event.gauge_kpa) / 100.0 - vapour
            y[GAS_PLACES] *= min(1.0, left * rigid / (R * kelvin * before.sum()))
        elif isinstance(event, OpenSeal):
            air = event.share * (digester.atmosphere_kpa / 100.0 - vapour) * rigid / (R * kelvin)
            y[GAS_PLACES] *= 1.0 - event.share
            y[AT["gas_nitrogen"]] += 0.7905 * air
            y[AT["gas_oxygen"]] += 0.2095 * air
        y[OUT_PLACES] += before - y[GAS_PLACES]
        return y


def run_plain(digester, charge, *, end, events, settings, rtol=1e-10):
    """Run a digester to ``end`` and give its states, pH included."""
    plain = Plain(settings)
    y, now = charged_vessel(digester, charge), 0.0
    for event in sorted(events, key=lambda e: e.day):
        y = plain.integrate(now, event.day, y, rtol)
        now = event.day
        y = plain.happen(event, y, digester)
    y = plain.integrate(now, end, y, rtol)
    return np.array(plain.complete(y))
