"""The two forms in which the model is built, and the names of what each of them keeps track of."""

from dataclasses import dataclass

# Acids and their COD [kg COD/kmol].
ACIDS = {"valerate": 208.0, "butyrate": 160.0, "propionate": 112.0, "acetate": 64.0}

SOLUBLE = (
    "sugars",
    "amino_acids",
    "lcfa",
    "valerate",
    "butyrate",
    "propionate",
    "acetate",
    "hydrogen",
    "methane",
    "inorganic_carbon",
    "inorganic_nitrogen",
    "soluble_inert",
)
BIOMASS = (
    "x_sugar",
    "x_amino",
    "x_lcfa",
    "x_c4",
    "x_propionate",
    "x_acetate",
    "x_hydrogen",
)
GASES = {"hydrogen": 16.0, "methane": 64.0, "carbon_dioxide": 0.0}
EXTRA_GASES = {"nitrogen": 0.0, "oxygen": -32.0, "sulfide": 64.0}


@dataclass(frozen=True)
class Variant:
    """What a form of the model contains.

    ``small`` adds to the published benchmark: fibre instead of lumped composites, activities,
    sulfur, sodium, air in the gas space, temperature response of rates, a holder and a liquid
    volume that changes.
    """

    name: str
    small: bool

    @property
    def liquid(self) -> tuple[str, ...]:
        """Name what is dissolved or suspended, in order."""
        solids = ("carbohydrate", "protein", "lipid")
        if not self.small:
            return (
                *SOLUBLE,
                "composite",
                *solids,
                *BIOMASS,
                "particulate_inert",
                "cations",
                "anions",
            )
        return (
            *SOLUBLE,
            *solids,
            "fibre",
            *BIOMASS,
            "x_sulfate",
            "particulate_inert",
            "cations",
            "anions",
            "sodium",
            "organic_sulfur",
            "sulfate",
            "sulfide",
            "oxygen",
            "nitrogen",
        )

    @property
    def gases(self) -> dict[str, float]:
        """Name the gases with their COD [kg COD/kmol]."""
        return {**GASES, **EXTRA_GASES} if self.small else dict(GASES)

    @property
    def elements(self) -> tuple[str, ...]:
        """Name what is conserved by construction; ``inert_gas`` is the nitrogen of air."""
        benchmark = ("cod", "carbon", "nitrogen")
        return (*benchmark, "sulfur", "inert_gas") if self.small else benchmark


BENCHMARK = Variant("benchmark", small=False)
SMALL = Variant("small", small=True)
