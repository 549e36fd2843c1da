"""The published benchmark model in its published form: 35 ordinary differential equations.

Written by hand in plain Python from Rosen & Jeppsson (2006), sharing no line with the definition
behind the kernel: the four acids' ions, bicarbonate and free ammonia are states, relaxing at
1e10 m3/(kmol d), and pH follows from the ions' charges. Concentrations: kg COD/m3 and kmol/m3.
"""

from collections.abc import Callable
from math import exp, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from marshlight.packaged import read_toml
from marshlight.process.model import published_settings
from marshlight.process.model.kernel import layout
from marshlight.process.model.parameters import BENCHMARK

Reals = NDArray[np.float64]
LIQUID = layout("benchmark").liquid
IONS = ("valerate", "butyrate", "propionate", "acetate", "bicarbonate", "ammonia")
GASES = ("hydrogen", "methane", "carbon_dioxide")
K_AB = 1e10
R = 0.083145


class Equilibria(NamedTuple):
    """Constants at the plant's temperature; acids in the order of ``IONS``."""

    water: float
    acids: tuple[float, ...]
    solubility: tuple[float, ...]
    vapour: float
    thermal: float


def equilibria(celsius: float) -> Equilibria:
    """Bring the published constants from 25 degC to the plant's temperature."""
    kelvin = celsius + 273.15
    apart = 1.0 / 298.15 - 1.0 / kelvin
    d = apart / (100.0 * R)
    acids = tuple(10.0 ** -BENCHMARK[f"pKa_{name}"] for name in IONS[:4])
    carbonic = 10.0**-6.35 * exp(7646.0 * d)
    ammonium = 10.0 ** -BENCHMARK["pKa_nh4"] * exp(51965.0 * d)
    henry = (7.8e-4 * exp(-4180.0 * d), 0.0014 * exp(-14240.0 * d), 0.035 * exp(-19410.0 * d))
    vapour = 0.0313 * exp(5290.0 * apart)
    constants = (*acids, carbonic, ammonium)
    return Equilibria(1e-14 * exp(55900.0 * d), constants, henry, vapour, R * kelvin)


def stoichiometry() -> Reals:
    """Tabulate the nineteen processes, rows, over the liquid's states, columns."""
    p = BENCHMARK
    table = np.zeros((19, len(LIQUID)))
    at = {name: i for i, name in enumerate(LIQUID)}

    def put(row: int, **amounts: float) -> None:
        for name, amount in amounts.items():
            table[row, at[name]] += amount

    li = 1.0 - p["f_sI"] - p["f_xI"] - p["f_ch"] - p["f_pr"]
    put(0, composite=-1.0, soluble_inert=p["f_sI"], particulate_inert=p["f_xI"])
    put(0, carbohydrate=p["f_ch"], protein=p["f_pr"], lipid=li)
    put(1, carbohydrate=-1.0, sugars=1.0)
    put(2, protein=-1.0, amino_acids=1.0)
    put(3, lipid=-1.0, sugars=1.0 - p["f_fa_li"], lcfa=p["f_fa_li"])
    ac_su = 1.0 - p["f_bu_su"] - p["f_pro_su"] - p["f_h2_su"]
    ac_aa = 1.0 - p["f_va_aa"] - p["f_bu_aa"] - p["f_pro_aa"] - p["f_h2_aa"]
    eaten = (
        ("sugars", "su", "x_sugar", (0, p["f_bu_su"], p["f_pro_su"], ac_su, p["f_h2_su"], 0)),
        ("amino_acids", "aa", "x_amino",
         (p["f_va_aa"], p["f_bu_aa"], p["f_pro_aa"], ac_aa, p["f_h2_aa"], 0)),
        ("lcfa", "fa", "x_lcfa", (0, 0, 0, 0.7, 0.3, 0)),
        ("valerate", "c4", "x_c4", (0, 0, 0.54, 0.31, 0.15, 0)),
        ("butyrate", "c4", "x_c4", (0, 0, 0, 0.8, 0.2, 0)),
        ("propionate", "pro", "x_propionate", (0, 0, 0, 0.57, 0.43, 0)),
        ("acetate", "ac", "x_acetate", (0, 0, 0, 0, 0, 1)),
        ("hydrogen", "h2", "x_hydrogen", (0, 0, 0, 0, 0, 1)),
    )  # fmt: skip
    made = ("valerate", "butyrate", "propionate", "acetate", "hydrogen", "methane")
    for row, (food, short, cells, shares) in enumerate(eaten, 4):
        growth = p[f"Y_{short}"]
        put(row, **{food: -1.0, cells: growth})
        put(row, **{n: (1.0 - growth) * share for n, share in zip(made, shares, strict=True)})
    for row, cells in enumerate((n for n in LIQUID if n.startswith("x_")), 12):
        put(row, **{cells: -1.0, "composite": 1.0})
    for pool, contents in (("inorganic_carbon", _carbon()), ("inorganic_nitrogen", _nitrogen())):
        table[:, at[pool]] = -(table @ np.array([contents.get(name, 0.0) for name in LIQUID]))
    return table


def _carbon() -> dict[str, float]:
    short = {
        "sugars": "su", "amino_acids": "aa", "lcfa": "fa", "valerate": "va", "butyrate": "bu",
        "propionate": "pro", "acetate": "ac", "methane": "ch4", "soluble_inert": "sI",
        "composite": "xc", "carbohydrate": "ch", "protein": "pr", "lipid": "li",
        "particulate_inert": "xI",
    }  # fmt: skip
    cells = {name: BENCHMARK["C_bac"] for name in LIQUID if name.startswith("x_")}
    return {**cells, **{name: BENCHMARK[f"C_{key}"] for name, key in short.items()}}


def _nitrogen() -> dict[str, float]:
    inert, amino = BENCHMARK["N_I"], BENCHMARK["N_aa"]
    cells = {name: BENCHMARK["N_bac"] for name in LIQUID if name.startswith("x_")}
    return {
        **cells, "amino_acids": amino, "protein": amino, "composite": BENCHMARK["N_xc"],
        "soluble_inert": inert, "particulate_inert": inert,
    }  # fmt: skip


def hill(group: str) -> tuple[float, float]:
    """Give half-way proton and steepness of a group's pH inhibition."""
    upper, lower = BENCHMARK[f"pH_UL_{group}"], BENCHMARK[f"pH_LL_{group}"]
    return 10.0 ** (-(upper + lower) / 2.0), 3.0 / (upper - lower)


def rates() -> Callable[[list[float], float, float], list[float]]:
    """Make the nineteen rates of concentrations, proton and free ammonia [kg COD/(m3 d)]."""
    p = {name: held.value for name, held in BENCHMARK.parameters.items()}
    (k_aa, n_aa), (k_ac, n_ac), (k_h2, n_h2) = hill("aa"), hill("ac"), hill("h2")
    k_aa, k_ac, k_h2 = k_aa**n_aa, k_ac**n_ac, k_h2**n_h2

    def found(y: list[float], proton: float, ammonia: float) -> list[float]:
        su, aa, fa, va, bu, pro, ac, h2, _, _, nitrogen, _, xc, ch, pr, li = y[:16]
        x_su, x_aa, x_fa, x_c4, x_pro, x_ac, x_h2 = y[16:23]
        spare = nitrogen / (nitrogen + p["K_S_IN"])
        acid = spare * k_aa / (k_aa + proton**n_aa)
        both = va + bu + 1e-6
        c4 = p["k_m_c4"] * x_c4 * acid / (1.0 + h2 / p["K_Ih2_c4"]) / both
        methane_ac = spare * k_ac / (k_ac + proton**n_ac) / (1.0 + ammonia / p["K_I_nh3"])
        decay = p["k_dec"]
        return [
            p["k_dis"] * xc, p["k_hyd_ch"] * ch, p["k_hyd_pr"] * pr, p["k_hyd_li"] * li,
            p["k_m_su"] * su / (p["K_S_su"] + su) * x_su * acid,
            p["k_m_aa"] * aa / (p["K_S_aa"] + aa) * x_aa * acid,
            p["k_m_fa"] * fa / (p["K_S_fa"] + fa) * x_fa * acid / (1.0 + h2 / p["K_Ih2_fa"]),
            c4 * va * va / (p["K_S_c4"] + va), c4 * bu * bu / (p["K_S_c4"] + bu),
            p["k_m_pro"] * pro / (p["K_S_pro"] + pro) * x_pro * acid / (1.0 + h2 / p["K_Ih2_pro"]),
            p["k_m_ac"] * ac / (p["K_S_ac"] + ac) * x_ac * methane_ac,
            p["k_m_h2"] * h2 / (p["K_S_h2"] + h2) * x_h2 * spare * k_h2 / (k_h2 + proton**n_h2),
            decay * x_su, decay * x_aa, decay * x_fa, decay * x_c4, decay * x_pro, decay * x_ac,
            decay * x_h2,
        ]  # fmt: skip

    return found


def slopes() -> Callable[[float, Reals], Reals]:
    """Make the right-hand side: 26 of the liquid, six ions, three gases."""
    raw = read_toml("process_model/benchmark.toml")
    plant, settings = raw["plant"], published_settings()
    place = layout("benchmark")
    feed = np.array([settings[place.setting_at[f"feed_{name}"]] for name in LIQUID])
    turnover = plant["flow_in"] / plant["volume"]
    table, rate, held = stoichiometry(), rates(), equilibria(plant["temperature_c"])
    transfer, ratio = BENCHMARK["kLa"], plant["volume"] / plant["gas_volume"]
    weights = (16.0, 64.0, 1.0)

    def found(_day: float, states: Reals) -> Reals:
        y = states.tolist()
        va, bu, pro, ac, bicarbonate, ammonia = y[26:32]
        nitrogen, carbon = y[10], y[9]
        charge = y[24] + (nitrogen - ammonia) - bicarbonate - y[25]
        charge -= ac / 64.0 + pro / 112.0 + bu / 160.0 + va / 208.0
        proton = 0.5 * (sqrt(charge * charge + 4.0 * held.water) - charge)
        out = np.empty(35)
        liquid = turnover * (feed - states[:26]) + rate(y, proton, ammonia) @ table
        whole = (y[3], y[4], y[5], y[6], carbon, nitrogen)
        for i, constant in enumerate(held.acids):
            ion = y[26 + i]
            out[26 + i] = -K_AB * (ion * (constant + proton) - constant * whole[i])
        dissolved = (y[7], y[8], carbon - bicarbonate)
        partial = [y[32 + i] * held.thermal / weights[i] for i in range(3)]
        pressure = sum(partial) + held.vapour
        flow = plant["outlet_m3_per_d_bar"] * (pressure - plant["outlet_bar"])
        for i, at in enumerate((7, 8, 9)):
            saturated = weights[i] * held.solubility[i] * partial[i]
            moved = transfer * (dissolved[i] - saturated)
            liquid[at] -= moved
            out[32 + i] = moved * ratio - y[32 + i] * flow / plant["gas_volume"]
        out[:26] = liquid
        return out

    return found


def from_kernel(states: Reals) -> Reals:
    """Turn the kernel's states into these: concentrations, and ions in equilibrium with its pH."""
    place, plant = layout("benchmark"), read_toml("process_model/benchmark.toml")["plant"]
    held = equilibria(plant["temperature_c"])
    liquid = [states[place.state_at[name]] / plant["volume"] for name in LIQUID]
    proton = exp(states[place.state_at["ln_proton"]])
    y = dict(zip(LIQUID, liquid, strict=True))
    whole = [y[name] for name in IONS[:4]] + [y["inorganic_carbon"], y["inorganic_nitrogen"]]
    ions = [w * k / (k + proton) for w, k in zip(whole, held.acids, strict=True)]
    amounts = [states[place.state_at[f"gas_{gas}"]] / plant["gas_volume"] for gas in GASES]
    return np.array([*liquid, *ions, amounts[0] * 16.0, amounts[1] * 64.0, amounts[2]])
