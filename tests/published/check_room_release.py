"""Gas let out into a room of 30 m3 with half an air change an hour."""

from marshlight.decide.safety import Room, steady_share
from published.harness import Check

ROOM = Room(30.0, 0.5)
DILUTION = "well-mixed room, C = q/(q+Q), worked by hand"
JUG = 0.010 / 24.0

CHECKS = [
    Check(
        "10 L/d of 60/40: methane, ppm",
        DILUTION,
        16.7,
        steady_share(ROOM, JUG, 0.6) * 1e6,
        0.01,
        relative=True,
    ),
    Check(
        "10 L/d with 2000 ppm: hydrogen sulphide, ppb",
        DILUTION,
        55.6,
        steady_share(ROOM, JUG, 2000e-6) * 1e9,
        0.01,
        relative=True,
    ),
]
