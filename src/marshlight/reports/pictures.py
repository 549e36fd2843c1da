"""Plain SVG pictures for paper: intervals on one axis, and curves of bottles."""

from collections.abc import Mapping, Sequence
from xml.sax.saxutils import escape

from marshlight.answers.trial_axis import Axis
from marshlight.decide.trial import TrialResult

_INK, _SOFT, _LINE, _REED = "#2b221a", "#5a4d40", "#d3c8b3", "#47591f"
# Told apart by stroke as well as by shade, so that a black-and-white print still reads.
_STROKES = (
    (_REED, ""), ("#a1380f", "7 3"), ("#33506f", "2 3"), (_INK, "9 3 2 3"),
    ("#857562", "4 4"), ("#5d4a30", "12 3"),
)  # fmt: skip
_W, _H, _L, _R, _T, _B = 720.0, 320.0, 56.0, 110.0, 12.0, 40.0


def _text(x: float, y: float, words: str, more: str = "") -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="14" fill="{_INK}" {more}>{escape(words)}</text>'
    )


def _line(ends: tuple[float, float, float, float], colour: str, width: float) -> str:
    x1, y1, x2, y2 = ends
    return (
        f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" '
        f'stroke="{colour}" stroke-width="{width}"/>'
    )


def _svg(width: float, height: float, parts: Sequence[str]) -> str:
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.0f} {height:.0f}">'
    return head + "".join(parts) + "</svg>"


def intervals(axis: Axis) -> str:
    """Draw the intervals of all materials on one axis [NmL/g VS]."""
    parts = []
    for tick in axis.ticks:
        parts.append(_line((tick.x, 8.0, tick.x, axis.foot), _LINE, 1.0))
        parts.append(_text(tick.x, axis.tick_y, tick.text, 'text-anchor="middle"'))
    for row in axis.rows:
        parts.append(_text(axis.left, row.text_y, row.name))
        parts.append(_line((row.low_x, row.y, row.high_x, row.y), "#a3ad8e", 10.0))
        parts += [
            f'<circle cx="{x}" cy="{row.y}" r="4.5" fill="#fff" stroke="{_REED}" '
            'stroke-width="1.8"/>'
            for x in row.dots
        ]
        parts.append(_line((row.mean_x, row.top_y, row.mean_x, row.foot_y), _INK, 2.5))
    return _svg(axis.width, axis.height, parts)


def curves(result: TrialResult) -> str:
    """Draw every bottle's net methane over the days [NmL/g VS]."""
    lines = _net_lines(result)
    most_day = max((t for rows in lines.values() for row in rows for t, _ in row), default=1.0)
    most = max((v for rows in lines.values() for row in rows for _, v in row), default=1.0) * 1.05
    step = next(s for s in (10, 20, 50, 100, 200, 500, 1000) if most / s <= 7)

    def x_at(day: float) -> float:
        return _L + day / most_day * (_W - _L - _R)

    def y_at(value: float) -> float:
        return _H - _B - max(value, 0.0) / most * (_H - _B - _T)

    parts = []
    for value in range(0, int(most) + 1, step):
        parts.append(_line((_L, y_at(value), _W - _R, y_at(value)), _LINE, 1.0))
        parts.append(_text(_L - 6.0, y_at(value) + 5.0, str(value), 'text-anchor="end"'))
    parts += [
        _text(x_at(day), _H - 20.0, str(day), 'text-anchor="middle"')
        for day in range(0, int(most_day) + 1, 5)
    ]
    parts.append(_text(_W - _R, _H - 4.0, "day", 'text-anchor="end"'))
    names = []
    for (name, rows), (colour, dash) in zip(lines.items(), _STROKES * 5, strict=False):
        for row in rows:
            points = " ".join(f"{x_at(t):.1f},{y_at(v):.1f}" for t, v in [(0.0, 0.0), *row])
            dashes = f' stroke-dasharray="{dash}"' if dash else ""
            parts.append(
                f'<polyline points="{points}" fill="none" stroke="{colour}" '
                f'stroke-width="1.6"{dashes}/>'
            )
        names.append((y_at(max(row[-1][1] for row in rows)), name, colour))
    parts += _names(names)
    return _svg(_W, _H, parts)


def _names(names: list[tuple[float, str, str]]) -> list[str]:
    """Write each name beside its curve's end, moved apart where they would overlap."""
    parts, last = [], -1e9
    for y, name, colour in sorted(names):
        last = max(y + 4.0, last + 17.0)
        parts.append(
            f'<text x="{_W - _R + 6:.1f}" y="{last:.1f}" font-size="14" fill="{colour}" '
            f'font-weight="bold">{escape(name)}</text>'
        )
    return parts


def _net_lines(result: TrialResult) -> Mapping[str, list[list[tuple[float, float]]]]:
    found: dict[str, list[list[tuple[float, float]]]] = {}
    for p in result.result.potentials:
        found[p.group] = [
            [(t, v / b.vs_kg * 1e3) for t, v in result.net[b.label]] for b in p.bottles
        ]
    return found
