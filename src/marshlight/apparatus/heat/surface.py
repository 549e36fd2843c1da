"""One surface of a vessel: what passes from the slurry through wall, insulation and air film."""

from dataclasses import dataclass

from marshlight.apparatus.heat.air import STANDARD_KPA, film_air
from marshlight.apparatus.heat.films import FORMS, film, radiating
from marshlight.errors import require

_CLOSE_K = 1e-7
_MOST_ROUNDS = 80


@dataclass(frozen=True)
class Passage:
    """Heat passing one surface: flow [W], conductance [W/K] and outer temperature [degC]."""

    heat_w: float
    conductance_w_k: float
    outer_c: float


@dataclass(frozen=True)
class Surface:
    """A surface that faces air, by natural convection and radiation or by a given film.

    Parameters
    ----------
    name : str
        Such as "side" or "lid".
    form : str
        A key of ``FORMS``.
    area_m2 : float
        Outside area, above zero [m2].
    length_m : float
        Characteristic length of the form, above zero [m].
    resistance_kw : float
        From the slurry to the outside of the insulation, zero or more [K/W].
    emissivity : float
        Of the outside, 0 to 1 [-].
    film_w_m2k : float or None
        A given outer film, as in wind, in place of still air [W/(m2 K)].
    heated_after_kw : float
        Part of the resistance that lies between slurry and a heater in this surface [K/W].

    Raises
    ------
    InputError
        If a number is impossible.
    """

    name: str
    form: str
    area_m2: float
    length_m: float
    resistance_kw: float
    emissivity: float = 0.9
    film_w_m2k: float | None = None
    heated_after_kw: float = 0.0

    def __post_init__(self) -> None:
        """Refuse an impossible surface.

        Raises
        ------
        InputError
            If the form is unknown or a number out of range.
        """
        require(
            self.form in FORMS,
            field="form of the surface",
            value=self.form,
            allowed=", ".join(FORMS),
            remedy="Choose the nearest form",
        )
        for field, low in (("area_m2", 1e-9), ("length_m", 1e-9), ("resistance_kw", 0.0)):
            require(
                getattr(self, field) >= low,
                field=f"{self.name}, {field}",
                value=getattr(self, field),
                allowed="zero or more" if low == 0.0 else "above zero",
                remedy="Check the sizes of the vessel",
            )

    @property
    def faces(self) -> str:
        """Say what lies outside: air."""
        return "air"

    def outer_film_w_m2k(self, outer_c: float, air_c: float, pressure_kpa: float) -> float:
        """Give convection and radiation together [W/(m2 K)]."""
        if self.film_w_m2k is not None:
            return self.film_w_m2k
        air = film_air(0.5 * (outer_c + air_c), pressure_kpa)
        moving = film(self.form, air, outer_c - air_c, self.length_m)
        return moving + radiating(outer_c, air_c, self.emissivity)

    def passage(
        self,
        inside_c: float,
        outside_c: float,
        *,
        pressure_kpa: float = STANDARD_KPA,
    ) -> Passage:
        """Return the steady heat flow from inside to outside.

        Parameters
        ----------
        inside_c, outside_c : float
            Temperature of slurry and air [degC].
        pressure_kpa : float
            Air pressure [kPa].

        Returns
        -------
        Passage
            Flow, conductance and outer temperature.

        Notes
        -----
        The outer temperature is the one at which as much heat leaves by the film as
        comes through the wall. The film grows slowly with the difference, so repeated
        insertion converges; halving the step guards the rest.
        """
        if self.resistance_kw == 0.0:
            film_w_k = self.area_m2 * self.outer_film_w_m2k(inside_c, outside_c, pressure_kpa)
            return Passage(film_w_k * (inside_c - outside_c), film_w_k, inside_c)
        through = 1.0 / self.resistance_kw
        outer = outside_c + 0.2 * (inside_c - outside_c)
        film_w_k = through
        for turn in range(_MOST_ROUNDS):
            film_w_k = self.area_m2 * self.outer_film_w_m2k(outer, outside_c, pressure_kpa)
            found = (through * inside_c + film_w_k * outside_c) / (through + film_w_k)
            if abs(found - outer) < _CLOSE_K:
                outer = found
                break
            outer = found if turn < 20 else 0.5 * (outer + found)
        conductance = through * film_w_k / (through + film_w_k)
        return Passage(conductance * (inside_c - outside_c), conductance, outer)


@dataclass(frozen=True)
class Through:
    """A way for heat with a given conductance [W/K] to "air" or "ground".

    ``heated_after_kw`` is the part of its resistance between slurry and a heater in it [K/W].
    """

    name: str
    conductance_w_k: float
    faces: str = "air"
    heated_after_kw: float = 0.0

    def __post_init__(self) -> None:
        """Refuse a negative conductance or an unknown outside.

        Raises
        ------
        InputError
            If it is negative, or faces neither air nor ground.
        """
        require(
            self.conductance_w_k >= 0.0,
            field=f"{self.name}, conductance",
            value=self.conductance_w_k,
            allowed="zero or more",
            remedy="Give it in W/K",
        )
        require(
            self.faces in ("air", "ground"),
            field=f"{self.name}, faces",
            value=self.faces,
            allowed="air, ground",
            remedy="Choose one",
        )

    def passage(
        self,
        inside_c: float,
        outside_c: float,
        *,
        pressure_kpa: float = STANDARD_KPA,
    ) -> Passage:
        """Return the heat flow from inside to outside, as ``Surface.passage`` does.

        Parameters
        ----------
        inside_c, outside_c : float
            Temperature of slurry and of what lies outside [degC].
        pressure_kpa : float
            Not needed here.

        Returns
        -------
        Passage
            Flow, conductance and the outside's temperature.
        """
        flow = self.conductance_w_k * (inside_c - outside_c)
        return Passage(flow, self.conductance_w_k, outside_c)


Way = Surface | Through
