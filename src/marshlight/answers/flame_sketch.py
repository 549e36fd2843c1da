"""What the sketch of a new burner shows, and the same in words."""

from dataclasses import dataclass

from marshlight.apparatus.burner import BurnerDesign


@dataclass(frozen=True)
class BurnerSketch:
    """A burner's bores [m], its air and its ports by both rules."""

    jet_m: float
    throat_m: float
    port_m: float
    primary_air: float
    ports_by_speed: float
    ports_by_throat: tuple[float, float]

    @property
    def jet_text(self) -> str:
        """Write the injector's hole."""
        return bore_words(self.jet_m)

    @property
    def throat_text(self) -> str:
        """Write the throat's bore."""
        return bore_words(self.throat_m)

    @property
    def port_text(self) -> str:
        """Write one port's bore."""
        return bore_words(self.port_m)

    @property
    def air_text(self) -> str:
        """Write the primary air."""
        return f"{self.primary_air:.1f} m³/m³"

    @property
    def counts_text(self) -> str:
        """Write how many ports each rule asks for."""
        few, many = (f"{end:.0f}" for end in self.ports_by_throat)
        throat = few if few == many else f"{few} to {many}"
        return f"{self.ports_by_speed:.0f} by burning velocity, {throat} by throat"

    @property
    def in_words(self) -> str:
        """Say what the sketch shows."""
        return (
            f"Gas leaves the injector through a hole of {self.jet_text} and draws in primary air,"
            f" {self.air_text} of gas; both mix in a tube whose throat is {self.throat_text} wide,"
            f" and burn above ports of {self.port_text}: {self.counts_text}."
        )


def burner_sketch(made: BurnerDesign) -> BurnerSketch:
    """Take the sketch's numbers from a design.

    Parameters
    ----------
    made : BurnerDesign
        The design.
    """
    return BurnerSketch(
        jet_m=made.jet_m,
        throat_m=made.throat_m,
        port_m=made.port_m,
        primary_air=made.primary_air,
        ports_by_speed=made.ports_by_speed,
        ports_by_throat=made.ports_by_throat,
    )


def bore_words(metres: float) -> str:
    """Write a bore in millimetres, as drills are sold.

    Examples
    --------
    >>> bore_words(0.002044)
    '2.04 mm'
    """
    return f"{1e3 * metres:.2f} mm"
