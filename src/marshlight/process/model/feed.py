"""A feedstock as the process model sees it: what digests, what does not, what dissolves."""

from marshlight.errors import require
from marshlight.matter.elements import ATOMIC_MASS
from marshlight.matter.feedstock import Feedstock
from marshlight.matter.macromolecules import OXYGEN_DEMAND
from marshlight.matter.mixing import Part, blend
from marshlight.matter.stoichiometry import METHANE_PER_COD
from marshlight.process.model.inoculum import cells
from marshlight.process.model.liquid import CACO3_KG_PER_EQUIVALENT, Liquid
from marshlight.process.model.parameters import SMALL_DIGESTER, ParameterSet

POTASSIUM = 39.098
SULFUR_IN_PROTEIN = 0.01  # kg/kg, source protein_sulfur
LABILE = ("carbohydrate", "protein", "lipid")


def liquid_from_feedstock(
    feedstock: Feedstock,
    mass_kg: float,
    *,
    parameters: ParameterSet = SMALL_DIGESTER,
    temperature_c: float = 20.0,
) -> Liquid:
    """Split a feedstock into the model's components.

    Parameters
    ----------
    feedstock : Feedstock
        With TS, VS, methane potential and the carbohydrate to lignin split.
    mass_kg : float
        Fresh mass [kg].
    parameters : ParameterSet
        Sets how many cells a methanogenic activity stands for.
    temperature_c : float
        Temperature at which the volume is reckoned [degC].

    Returns
    -------
    Liquid
        Volume [m3] and amounts [kg COD or kmol].

    Raises
    ------
    InputError
        When a needed property is not known, or the mass is negative.

    Notes
    -----
    Oxygen demand follows from the split (model compounds of ``matter.macromolecules``). The
    methane potential says how much of it can be digested: carbohydrate, protein and lipid first,
    the rest from fibre; what is left over, and all lignin, is inert. Ammonia, alkalinity and
    potassium set the ions; where alkalinity is not known, ammonia is taken to be bicarbonate.
    Carbohydrate counts as slow fibre as far as the feedstock's own first-order rate asks for.
    Cells of a feed that carries live microbes come out of its inert part. The cells that grow
    while it digests are not added to the potential: a long test counts them too.

    References
    ----------
    Sources ``angelidaki_sanders_2004``, ``protein_sulfur``.

    Examples
    --------
    >>> from marshlight.matter.library import find
    >>> liquid = liquid_from_feedstock(find("bread"), 1.0)
    >>> liquid.amounts["carbohydrate"] > liquid.amounts["protein"] > 0.0
    True
    """
    require(
        mass_kg >= 0.0,
        field="mass",
        value=mass_kg,
        allowed="zero or more kilograms",
        remedy="Give the mass weighed out",
    )
    dry_kg = mass_kg * feedstock.value("TS")
    organic_kg = dry_kg * feedstock.value("VS") if dry_kg > 0.0 else 0.0
    amounts: dict[str, float] = {}
    if organic_kg > 0.0:
        amounts = _solids(feedstock, organic_kg)
        _slow_down(amounts, feedstock, parameters)
    amounts.update(_ions(feedstock, mass_kg, dry_kg))
    activity = feedstock.get("methanogenic_activity")
    if activity is not None and activity.value > 0.0 and organic_kg > 0.0:
        live = cells(activity.value * organic_kg, parameters)
        share = min(1.0, 0.5 * amounts["particulate_inert"] / sum(live.values()))
        for name, amount in live.items():
            amounts[name] = amount * share
            amounts["particulate_inert"] -= amount * share
    volume = blend((Part(feedstock, mass_kg),), temperature_c=temperature_c).volume_m3.value
    return Liquid(volume, amounts)


def _solids(feedstock: Feedstock, organic_kg: float) -> dict[str, float]:
    """Share the oxygen demand between what digests and what does not [kg COD]."""
    demand = {
        name: OXYGEN_DEMAND[name] * organic_kg * feedstock.value(name)
        for name in (*LABILE, "fibre", "lignin")
    }
    digestible = organic_kg * feedstock.value("methane_potential") / METHANE_PER_COD
    labile = sum(demand[name] for name in LABILE)
    share = min(1.0, digestible / labile) if labile > 0.0 else 0.0
    found = {name: demand[name] * share for name in LABILE}
    found["fibre"] = min(max(digestible - labile, 0.0), demand["fibre"])
    found["particulate_inert"] = sum(demand.values()) - sum(found.values())
    protein_kg = organic_kg * feedstock.value("protein") * share
    found["organic_sulfur"] = SULFUR_IN_PROTEIN * protein_kg / ATOMIC_MASS["S"]
    return found


def _slow_down(amounts: dict[str, float], feedstock: Feedstock, parameters: ParameterSet) -> None:
    """Let carbohydrate count as fibre until the mean digestion time is the feedstock's own.

    Both digest to the same sugars, so only the pace changes.
    """
    rate = feedstock.get("rate")
    pools = {"carbohydrate": "ch", "protein": "pr", "lipid": "li", "fibre": "fi"}
    digestible = sum(amounts[name] for name in pools)
    if rate is None or rate.value <= 0.0 or digestible <= 0.0:
        return
    time = {name: 1.0 / parameters[f"k_hyd_{short}"] for name, short in pools.items()}
    # Every kilogram moved from carbohydrate to fibre adds the difference of their times.
    short_of = digestible / rate.value - sum(amounts[n] * time[n] for n in pools)
    moved = short_of / (time["fibre"] - time["carbohydrate"])
    moved = min(max(moved, 0.0), amounts["carbohydrate"])
    amounts["carbohydrate"] -= moved
    amounts["fibre"] += moved


def _ions(feedstock: Feedstock, mass_kg: float, dry_kg: float) -> dict[str, float]:
    """Reckon ammonia, inorganic carbon and strong ions [kmol]."""
    ammonia = feedstock.get("TAN")
    nitrogen = mass_kg * ammonia.value / ATOMIC_MASS["N"] if ammonia else 0.0
    known = feedstock.get("alkalinity")
    alkalinity = mass_kg * known.value / CACO3_KG_PER_EQUIVALENT if known else nitrogen
    potassium = feedstock.get("K")
    kalium = dry_kg * potassium.value / POTASSIUM if potassium else 0.0
    strong = alkalinity - nitrogen
    cations = max(strong, kalium, 0.0)
    return {
        "inorganic_nitrogen": nitrogen,
        # A little dissolved carbon dioxide beside the bicarbonate: pH about 7.5.
        "inorganic_carbon": 1.07 * alkalinity,
        "cations": cations,
        "anions": cations - strong,
    }
