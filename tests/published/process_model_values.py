"""The benchmark's published steady state and what follows from the same equations."""

# Rosen & Jeppsson 2006, steady state of the digester; kg COD/m3, kmol/m3.
STEADY_STATE = {
    "sugars": 0.011954829717,
    "amino_acids": 0.0053147401716,
    "lcfa": 0.0986214009308,
    "valerate": 0.0116250064639,
    "butyrate": 0.0132507296663,
    "propionate": 0.0157836662845,
    "acetate": 0.1976297169375,
    "hydrogen": 2.359451e-07,
    "methane": 0.055088776446,
    "inorganic_carbon": 0.1526778706263,
    "inorganic_nitrogen": 0.1302298158037,
    "soluble_inert": 0.3286976637215,
    "composite": 0.3086976637215,
    "carbohydrate": 0.027947240435,
    "protein": 0.1025741061067,
    "lipid": 0.0294830497073,
    "x_sugar": 0.4201659824546,
    "x_amino": 1.179171798924,
    "x_lcfa": 0.2430353447194,
    "x_c4": 0.431921105636,
    "x_propionate": 0.137305908934,
    "x_acetate": 0.7605626583132,
    "x_hydrogen": 0.3170229533613,
    "particulate_inert": 25.61739532744,
    "cations": 0.04,
    "anions": 0.02,
    "valerate_ion_cod": 0.0115962470726,
    "butyrate_ion_cod": 0.0132208262485,
    "propionate_ion_cod": 0.0157427831916,
    "acetate_ion_cod": 0.1972411554365,
    "bicarbonate": 0.1427774793921,
    "ammonia": 0.0040909284584,
}
# Gas space in the units of the publication: hydrogen and methane in kg COD/m3, CO2 in kmol/m3.
GAS_SPACE = {
    "gas_hydrogen": (16.0, 1.02410356e-05),
    "gas_methane": (64.0, 1.625607209981),
    "gas_carbon_dioxide": (1.0, 0.0141505346784),
}
PH = 7.4655377
GAS_PRESSURE_BAR = 1.0690164
GAS_FLOW_REPORTED = 2955.70345  # m3/d, raw flow times P/P_atm
FACTORS = {
    "I_pH_aa": 0.99999630,
    "I_pH_ac": 0.99873283,
    "I_pH_h2": 0.99999873,
    "I_IN": 0.99923272,
    "I_h2_fa": 0.95493745,
    "I_h2_c4": 0.97694936,
    "I_h2_pro": 0.93684461,
    "I_nh3": 0.30555455,
}
# Further points of the same equations: changes to the plant or feed, then pH, acetate, propionate,
# inorganic nitrogen, acetate degraders, p CH4, p CO2, P [bar], raw gas flow, CH4 [m3/d].
POINTS = {
    "340 m3/d (10 d)": (
        {"flow_in": 340.0, "flow_out": 340.0},
        {},
        (7.39341, 0.93536298, 0.032367943, 0.12747533, 0.83342619),
        (0.674807, 0.384713, 1.115213, 5110.6305, 3404.431),
    ),
    "ammonia-rich feed": (
        {},
        {"inorganic_nitrogen": 0.15},
        (7.46363, 11.07672, 0.015773267, 0.27273427, 0.36969215),
        (0.704600, 0.284317, 1.044603, 1580.1309, 1099.072),
    ),
    "25 degC, equilibria only": (
        {"temperature_c": 25.0},
        {},
        (7.40968, 0.081783904, 0.015783718, 0.13020314, 0.76472485),
        (0.670546, 0.363934, 1.065796, 2639.7969, 1747.390),
    ),
    "1000 m3/d (washed out, sour)": (
        {"flow_in": 1000.0, "flow_out": 1000.0},
        {},
        (5.18699, 9.2016903, 2.1991672, 0.1358993, 0.0093646),
        (0.024638, 0.581313, 1.124930, 5596.48, 136.1),
    ),
}
POINT_NAMES = (
    *("pH", "acetate", "propionate", "inorganic_nitrogen", "x_acetate"),
    *("p_methane_bar", "p_carbon_dioxide_bar", "gas_pressure_bar", "gas_out_m3_per_d"),
    "methane_m3_per_d",
)
