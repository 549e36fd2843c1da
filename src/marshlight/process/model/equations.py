"""The model's equations alone, compiled, for whoever brings an integrator of their own."""

import ctypes

import numpy as np

from marshlight.errors import FitError
from marshlight.process.model.kernel import Reals, layout, library


class Equations:
    """The right-hand side of one model with fixed settings; pH is found anew at every call.

    The algebraic states of what is passed in are ignored, and their slopes are zero: an ordinary
    differential equation, for comparing integrators. One object serves one thread.
    """

    def __init__(self, model: str, settings: Reals) -> None:
        place = layout(model)
        self._model = place.model
        self._size = len(place.states)
        self._slopes = library().marshlight_slopes
        held = np.ascontiguousarray(settings, dtype=np.float64)
        if held.shape != (len(place.settings),):
            raise ValueError(f"settings of shape {held.shape}, expected ({len(place.settings)},)")
        self._room = ctypes.create_string_buffer(library().marshlight_room(self._model) + 64)
        # Rooms hold vector types in some builds: start them on a cache line.
        self._at = ctypes.c_void_p((ctypes.addressof(self._room) + 63) & ~63)
        library().marshlight_begin(self._model, ctypes.c_void_p(held.ctypes.data), self._at)

    def slopes(self, states: Reals, out: Reals) -> None:
        """Write d(states)/d(day) into ``out``.

        Raises
        ------
        FitError
            When no acid-base equilibrium is found for the states.
        """
        if states.shape != (self._size,) or out.shape != (self._size,):
            raise ValueError(f"{self._size} states and slopes expected")
        status = self._slopes(
            self._model,
            self._at,
            ctypes.c_void_p(states.ctypes.data),
            ctypes.c_void_p(out.ctypes.data),
        )
        if status:
            raise FitError("No acid-base equilibrium was found for these states.")
