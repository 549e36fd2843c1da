"""Time and temperature by 40 CFR 503.32, and the fall of germs by Olsen & Larsen 1987.

Out of scope: Y-04, Y-06 and Kearney et al. are lab criteria, not reckoned here; composting times of
the organic rules are no digester's; the food safety rule (Y-09) gives no number of days; tenfold
times at 55 and 70 degC would stretch two measurements beyond their range, which the tool refuses.
"""

from marshlight.decide.safety import crop_rules, germs, hold_time, log_reduction, treatments
from published.harness import Check

RULE = "40 CFR 503.32(a)(3), D = factor / 10^(0.14 t)"
OLSEN = "Olsen & Larsen 1987, Biological Wastes 21: 153"
THICK, THIN = 0.08, 0.05
KNOWN = germs()


def tenfold(key: str, temperature_c: float) -> float:
    found = KNOWN[key].tenfold_d(temperature_c)
    return float("nan") if found is None else found


CHECKS = [
    *(
        Check(
            f"{t:g} degC, solids 7 % and more, {unit}",
            RULE,
            value,
            lambda t=t, k=k: k * hold_time(t, solids=THICK).by_equation_d,
            tolerance,
        )
        for t, unit, k, value, tolerance in (
            (50.0, "d", 1.0, 13.170, 5e-4),
            (55.0, "d", 1.0, 2.6278, 5e-5),
            (60.0, "h", 24.0, 12.583, 5e-4),
            (65.0, "h", 24.0, 2.5107, 5e-5),
            (70.0, "min", 1440.0, 30.06, 5e-3),
        )
    ),
    *(
        Check(
            f"{t:g} degC, thin slurry, {unit}",
            RULE,
            value,
            lambda t=t, k=k: k * hold_time(t, solids=THIN).by_equation_d,
            tolerance,
        )
        for t, unit, k, value, tolerance in (
            (50.0, "d", 1.0, 5.007, 5e-4),
            (55.0, "d", 1.0, 0.99903, 5e-6),
            (60.0, "h", 24.0, 4.784, 5e-4),
            (65.0, "min", 1440.0, 57.27, 5e-3),
            (70.0, "min", 1440.0, 11.43, 5e-3),
        )
    ),
    Check(
        "70 degC, thin slurry, with the rule's 30 minutes, min",
        RULE,
        30.0,
        lambda: 1440 * hold_time(70.0, solids=THIN).asked_d,
        1e-6,
    ),
    Check(
        "75 degC, thin slurry, under 30 minutes by the longer equation, min",
        RULE,
        1440 * 131.7e6 / 10**10.5,
        lambda: 1440 * hold_time(75.0, solids=THIN).asked_d,
        1e-9,
        relative=True,
    ),
    Check(
        "80 degC, thick slurry, with the rule's 20 minutes, min",
        RULE,
        20.0,
        lambda: 1440 * hold_time(80.0, solids=THICK).asked_d,
        1e-6,
    ),
    *(
        Check(
            f"{name}, {kind}",
            "Regulation (EU) 142/2011, Annex V; UK national rules as quoted",
            value,
            ours,
            1e-9,
        )
        for name, kind, value, ours in (
            ("EU standard", "degC", 70.0, treatments()[0].celsius),
            ("EU standard", "h", 1.0, treatments()[0].hours),
            ("EU standard", "mm", 12.0, treatments()[0].piece_m * 1e3),
            ("UK catering, longer", "degC", 57.0, treatments()[2].celsius),
            ("UK catering, longer", "h", 5.0, treatments()[2].hours),
            ("UK catering, longer", "cm", 5.0, treatments()[2].piece_m * 1e2),
            ("UK catering, hotter", "degC", 70.0, treatments()[1].celsius),
            ("UK catering, hotter", "h", 1.0, treatments()[1].hours),
            ("UK catering, hotter", "cm", 6.0, treatments()[1].piece_m * 1e2),
        )
    ),
    Check("raw manure, crop touches soil, d", "7 CFR 205.203(c)(1)", 120, crop_rules()[0].days, 0),
    Check(
        "raw manure, crop doesn't touch soil, d", "7 CFR 205.203(c)(1)", 90, crop_rules()[1].days, 0
    ),
    *(
        Check(f"{KNOWN[key].name}, tenfold at 35 degC, d", OLSEN, value, KNOWN[key].at_35_d, 0)
        for key, value in (
            ("salmonella_typhimurium", 2.4),
            ("salmonella_dublin", 2.0),
            ("escherichia_coli", 1.8),
            ("streptococcus_faecalis", 2.0),
            ("erysipelothrix", 1.8),
            ("staphylococcus_aureus", 0.9),
            ("faecal_coliforms", 3.2),
            ("group_d_streptococci", 7.1),
            ("total_coliforms", 3.1),
        )
    ),
    *(
        Check(
            f"{KNOWN[key].name}, tenfold at 53 degC, h",
            OLSEN,
            value,
            lambda key=key: 24 * tenfold(key, 53.0),
            1e-9,
        )
        for key, value in (
            ("salmonella_typhimurium", 0.7),
            ("salmonella_dublin", 0.6),
            ("escherichia_coli", 0.4),
            ("streptococcus_faecalis", 1.0),
            ("erysipelothrix", 1.2),
            ("staphylococcus_aureus", 0.5),
        )
    ),
    *(
        Check(
            f"{KNOWN[key].name}, tenfold at 50 degC between the two, h",
            "log-linear between Olsen & Larsen's 35 and 53 degC",
            value,
            lambda key=key: 24 * tenfold(key, 50.0),
            0.006,
        )
        for key, value in (
            ("salmonella_typhimurium", 1.46),
            ("escherichia_coli", 0.87),
            ("streptococcus_faecalis", 1.91),
        )
    ),
    *(
        Check(
            f"{KNOWN[key].name}, z, K",
            "log-linear between Olsen & Larsen's 35 and 53 degC",
            value,
            lambda key=key: KNOWN[key].z_k or 0.0,
            tolerance,
        )
        for key, value, tolerance in (
            ("salmonella_typhimurium", 9.40, 0.006),
            ("escherichia_coli", 8.85, 0.006),
            ("streptococcus_faecalis", 10.7, 0.06),
        )
    ),
    *(
        Check(
            f"{name}, {days:g} d, {kind}, log10",
            "Olsen & Larsen 1987 with first-order decay",
            value,
            lambda d=days, t=t90, m=mixed: log_reduction(d, t, mixed=m),
            tolerance,
        )
        for name, days, t90, stirred, batch in (
            ("S. typhimurium", 20.0, 2.4, 1.305, 8.33),
            ("E. coli", 20.0, 1.8, 1.425, 11.1),
            ("native faecal coliforms", 20.0, 3.2, 1.187, 6.25),
            ("group D streptococci", 30.0, 7.1, 1.031, 4.23),
        )
        for kind, mixed, value, tolerance in (
            ("stirred", True, stirred, 5e-4),
            ("batch", False, batch, 0.05 if batch > 10 else 6e-3),
        )
    ),
]
