"""Random digesters with random lives, for tests that must hold for any of them."""

import numpy as np

from marshlight.process.model import (
    Digester,
    Dose,
    DrawOff,
    Feed,
    Holder,
    Liquid,
    OpenSeal,
    SetTemperature,
    TakeGas,
    Vent,
    inoculum,
    water,
)


def random_feed(rng, volume):
    """Make up a feed of a volume [m3]: 20 to 100 kg COD/m3 of solids."""
    strength = rng.uniform(20.0, 100.0) * volume
    shares = rng.dirichlet([3.0, 1.5, 0.7, 3.0, 3.0]) * strength
    names = ("carbohydrate", "protein", "lipid", "fibre", "particulate_inert")
    amounts = dict(zip(names, (float(s) for s in shares), strict=True))
    amounts |= {
        "inorganic_nitrogen": rng.uniform(0.01, 0.08) * volume,
        "inorganic_carbon": rng.uniform(0.02, 0.1) * volume,
        "cations": rng.uniform(0.01, 0.08) * volume,
        "sulfate": rng.uniform(0.0, 0.004) * volume,
        "organic_sulfur": rng.uniform(0.0, 0.002) * volume,
    }
    return Liquid(volume, amounts)


def random_holder(rng, vessel):
    """Pick a holder."""
    kind = rng.choice(["floating", "bag", "sealed", "open"])
    if kind == "sealed":
        return Holder("sealed")
    if kind == "open":
        return Holder("open", air_m3_per_d=rng.choice([0.0, 0.05 * vessel]))
    return Holder(
        str(kind), capacity_m3=rng.uniform(0.3, 5.0) * vessel, gauge_kpa=rng.uniform(0, 2)
    )


def random_life(seed, days=20.0):
    """Make a digester, its charge and its events, all from a seed."""
    rng = np.random.default_rng(seed)
    vessel = float(10.0 ** rng.uniform(-2.3, 1.0))
    digester = Digester(vessel, random_holder(rng, vessel), rng.uniform(15.0, 42.0))
    liquid = 0.6 * vessel
    charge = inoculum("digested cattle manure", 0.6 * liquid) + water(0.1 * liquid)
    charge = charge + random_feed(rng, 0.3 * liquid)
    events, kept = [], charge.volume_m3
    for day in np.sort(rng.uniform(0.2, days - 0.2, 10)):
        kind = rng.integers(7)
        portion = rng.uniform(0.01, 0.08) * kept
        if kind == 0:
            # Draw off before feeding, so that the vessel never overflows.
            events += [DrawOff(day, portion), Feed(day, random_feed(rng, portion))]
        elif kind == 1:
            events.append(SetTemperature(day, rng.uniform(15.0, 45.0)))
        elif kind == 2:
            events.append(Dose(day, "sodium bicarbonate", rng.uniform(0.5, 3.0) * kept))
        elif kind == 3:
            events.append(TakeGas(day, rng.uniform(0.01, 0.1) * vessel))
        elif kind == 4:
            events.append(Vent(day, rng.uniform(0.0, 1.0)))
        elif kind == 5:
            events.append(OpenSeal(day, rng.uniform(0.1, 1.0)))
        else:
            events.append(DrawOff(day, portion))
            kept -= portion
    return digester, charge, events, days
