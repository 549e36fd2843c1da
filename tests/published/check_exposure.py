"""Exposure limits with authority and date; older pages' 10 and 15 ppm for H2S are outdated.

Out of scope: ERPG 0.1, 30 and 100 ppm (planning for the public, not listed by the tool); effects by
concentration and 7 to 10 % carbon dioxide, which are words and not reckoned with; carbon monoxide
limits other than ACGIH's (from memory).
"""

from marshlight.decide.safety import ExposureLimit, exposure_limits
from marshlight.decide.safety.exposure import LEAST_OXYGEN_BREATHED, MOST_OXYGEN_BREATHED
from published.harness import Check

H2S = "PMC5777517, table 3"
PRINTED = {
    ("H2S", "ACGIH", "threshold"): 1.0,
    ("H2S", "ACGIH", "short-term"): 5.0,
    ("H2S", "US OSHA", "ceiling"): 20.0,
    ("H2S", "US OSHA", "peak"): 50.0,
    ("H2S", "US OSHA, construction", "permissible"): 10.0,
    ("H2S", "US NIOSH", "recommended"): 10.0,
    ("H2S", "US NIOSH", "immediately"): 100.0,
    ("H2S", "US AEGL-3", "life in danger after ten"): 76.0,
    ("H2S", "US AEGL-3", "life in danger after an"): 50.0,
    ("CO2", "ACGIH and US OSHA", "mean"): 5000.0,
    ("CO2", "ACGIH", "short-term"): 30000.0,
    ("CO2", "US NIOSH", "immediately"): 40000.0,
    ("CO", "ACGIH", "mean"): 25.0,
    ("CH4", "US OSHA, confined spaces", "hazardous"): 5000.0,
    ("CH4", "US OSHA, confined spaces", "half"): 2500.0,
}


def held(gas: str, authority: str, kind: str) -> ExposureLimit:
    found = [
        limit
        for limit in exposure_limits(gas)
        if limit.authority == authority and limit.kind.startswith(kind)
    ]
    assert len(found) == 1, (gas, authority, kind)
    return found[0]


CHECKS = [
    *(
        Check(
            f"{gas}, {authority}, {kind}, ppm",
            H2S if gas == "H2S" else "the authority's own limit, as read",
            ppm,
            lambda key=(gas, authority, kind): held(*key).ppm,
            0,
        )
        for (gas, authority, kind), ppm in PRINTED.items()
    ),
    Check("oxygen, hazardous below, %", "29 CFR 1910.146", 19.5, 100 * LEAST_OXYGEN_BREATHED, 1e-9),
    Check("oxygen, hazardous above, %", "29 CFR 1910.146", 23.5, 100 * MOST_OXYGEN_BREATHED, 1e-9),
]
