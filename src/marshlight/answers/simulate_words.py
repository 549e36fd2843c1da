"""What the lives of a digester say of one course of things, as figures and sentences."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from marshlight.answers.told import Figure, Section, figure
from marshlight.decide.watch.steps import SOUR_PH, Followed, span
from marshlight.units import choose_unit, show, show_range

Floats = NDArray[np.float64]
# Less acid than this no titration of a keeper tells from none: our choice [kg/m3].
SEEN_ACIDS_KG_M3 = 0.1
MODEL = "batstone_2002 rosen_jeppsson_2006"
SULPHIDE = (
    "treat raw gas as deadly to breathe whatever this says: the model can be wrong tenfold, and a"
    " stirred-up layer gives more"
)
LIGHT = "says nothing on whether it is safe to light: the model knows no leaks"


def ph_words(values: Floats) -> str:
    """Write pH with its span."""
    low, middle, high = span(values)
    return f"{middle:.1f} ({low:.1f} to {high:.1f})"


def gas_unit(courses: Sequence[Followed], system: str) -> str:
    """Choose one unit for the gas of all courses, so that they can be compared at a glance."""
    most = max(abs(end) for course in courses for end in span(course.shown_m3[:, -1]))
    return choose_unit(most, "volume", system=system)


def gas_words(values: Floats, unit: str) -> str:
    """Write an amount of gas with its span."""
    low, middle, high = span(values)
    ends = show_range(low, high, "volume", unit=unit)
    return f"{show(middle, 'volume', unit=unit, digits=2)} ({ends})"


def share_words(values: Floats) -> str:
    """Write a share in percent with its span."""
    low, middle, high = (100.0 * v for v in span(values))
    return f"{middle:.0f} % ({low:.0f} to {high:.0f} %)"


def acid_words(values: Floats) -> str:
    """Write acids with their span, no finer than a titration sees."""
    low, middle, high = (round(v, 1) for v in span(values))
    if high < SEEN_ACIDS_KG_M3:
        return f"under {SEEN_ACIDS_KG_M3:g} g/L"
    return f"{middle:.1f} g/L ({low:.1f} to {high:.1f} g/L)"


def sulphide_words(values: Floats) -> str:
    """Write hydrogen sulphide to one digit and without a span, which would look like knowledge."""
    return f"about {float(f'{span(values)[1]:.1g}'):.0f} ppm"


def course_section(title: str, course: Followed, beside: Followed | None, system: str) -> Section:
    """Tell one course; beside it, figure by figure, what comes of doing nothing."""
    unit = gas_unit([course] if beside is None else [course, beside], system)
    own, other = _rows(course, unit), None if beside is None else _rows(beside, unit)
    figures: list[Figure] = []
    for place, (name, value, note, by) in enumerate(own):
        against = "" if other is None else f"doing nothing: {other[place][1]}"
        told = "; ".join(part for part in (against, note) if part)
        figures.append(figure(name, value, told, by=by))
    return Section(title, tuple(figures))


def _rows(course: Followed, unit: str) -> list[tuple[str, str, str, str]]:
    days = course.day[-1] - course.day[0]
    run = course.run
    return [
        (
            "risk of souring",
            course.risk.words,
            f"pH below {SOUR_PH} after {days:.0f} days; in brackets what counting so few lives"
            " leaves open",
            f"{MODEL} brown_cai_dasgupta_2001",
        ),
        (
            "gas",
            gas_words(course.shown_m3[:, -1], unit),
            f"over {days:.0f} days as the holder would show it, dry normal",
            MODEL,
        ),
        ("methane in it", gas_words(course.burnable_m3[:, -1], unit), "", MODEL),
        (
            "pH at the end",
            ph_words(course.ph[:, -1]),
            "",
            f"{MODEL} hafner_bisogni_2009",
        ),
        ("lowest pH", ph_words(course.ph.min(axis=1)), "", MODEL),
        (
            "methane in the gas at the end",
            share_words(run.share("methane")[:, -1]),
            LIGHT,
            MODEL,
        ),
        ("acids at the end", acid_words(run.acids_kg_m3[:, -1]), "as acetic acid", MODEL),
        (
            "highest hydrogen sulphide",
            sulphide_words(run.hydrogen_sulfide_ppm.max(axis=1)),
            SULPHIDE,
            "batstone_2002 h2s_limits",
        ),
    ]


def change_section(course: Followed, beside: Followed, system: str) -> Section:
    """Tell what the change does within one and the same life."""
    more = course.shown_m3[:, -1] - beside.shown_m3[:, -1]
    burns = course.burnable_m3[:, -1] - beside.burnable_m3[:, -1]
    unit = gas_unit([course, beside], system)
    # Adding nothing turns a minus nought into nought.
    low, middle, high = (round(v, 1) + 0.0 for v in span(course.ph[:, -1] - beside.ph[:, -1]))
    figures = (
        figure("gas more", gas_words(more, unit), "negative: less", by=MODEL),
        figure("methane more", gas_words(burns, unit), "negative: less", by=MODEL),
        figure("rise of pH", f"{middle:+.1f} ({low:+.1f} to {high:+.1f})", by=MODEL),
        figure(
            "lives with more methane",
            f"{int(np.sum(burns > 0.0))} of {len(burns)}",
            "a dose of bicarbonate gives gas of its own: carbon dioxide",
            by=MODEL,
        ),
    )
    return Section("What it changes", figures, before=("Compared life by life.",))
