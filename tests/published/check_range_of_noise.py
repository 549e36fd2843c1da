"""How far noise alone spreads readings: the studentized range, asked from SciPy."""

from scipy.stats import studentized_range

from marshlight.measure.walk import fall_that_is_no_noise
from published.harness import Check

KNOWN_SPREAD = 1e6

CHECKS = [
    Check(
        f"1 % point of the range of {count} normal values, over the root of two",
        "studentized range as computed by SciPy 1.17.1",
        float(studentized_range.ppf(0.99, count, KNOWN_SPREAD)) / 2.0**0.5,
        lambda n=count: fall_that_is_no_noise(n),
        0.025,
        relative=True,
        status="computed with reference library",
    )
    for count in (2, 5, 10, 20, 50, 100)
]
