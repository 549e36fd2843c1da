"""A limit as a bar: what is allowed, and where the mix stands; the words beside it say the same."""

from marshlight.answers.mix_lines import LimitLine
from marshlight.server.drawing.shapes import box, element

WIDTH, HEIGHT = 300.0, 18.0
_MARK = 5.0


def draw_limit(limit: LimitLine) -> str:
    """Draw one limit.

    Parameters
    ----------
    limit : LimitLine
        With the places of both ends and of the mix along the bar, 0 to 1.

    Returns
    -------
    str
        An SVG element, hidden from those who are read to: the sentence tells them.
    """
    low, high = limit.low_at * WIDTH, limit.high_at * WIDTH
    at = min(max(limit.at * WIDTH - _MARK / 2, 0.0), WIDTH - _MARK)
    bars = (
        box("limit-track", 0, 6, WIDTH, 6)
        + box("limit-allowed", low, 4, max(high - low, 2.0), 10)
        + box(f"limit-mark limit-mark-{limit.state}", at, 0, _MARK, HEIGHT)
    )
    return element(
        "svg",
        "limit-bar",
        bars,
        viewBox=f"0 0 {WIDTH:.0f} {HEIGHT:.0f}",
        preserveAspectRatio="none",
        aria_hidden="true",
        focusable="false",
    )
