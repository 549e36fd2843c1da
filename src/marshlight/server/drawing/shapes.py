"""Small SVG words: one function per element, colours by class so that themes can change them."""

from html import escape


def number(value: float) -> str:
    """Write a coordinate with one decimal at most, so that drawings stay small.

    Examples
    --------
    >>> number(12.0), number(3.14159), number(-0.01)
    ('12', '3.1', '0')
    """
    text = f"{value:.1f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def element(tag: str, kind: str = "", body: str = "", **attributes: float | str) -> str:
    """Write one element; ``kind`` is its class, underscores in names become hyphens."""
    parts = [tag]
    if kind:
        parts.append(f'class="{escape(kind)}"')
    for name, value in attributes.items():
        text = number(value) if isinstance(value, (int, float)) else escape(value)
        parts.append(f'{name.replace("_", "-")}="{text}"')
    head = " ".join(parts)
    return f"<{head}>{body}</{tag}>" if body else f"<{head}/>"


def box(kind: str, x: float, y: float, width: float, height: float, **more: float | str) -> str:
    """Draw a rectangle; a negative size is drawn as nothing high or wide."""
    return element("rect", kind, x=x, y=y, width=max(width, 0.0), height=max(height, 0.0), **more)


def line(kind: str, x1: float, y1: float, x2: float, y2: float) -> str:
    """Draw a straight line."""
    return element("line", kind, x1=x1, y1=y1, x2=x2, y2=y2)


def path(kind: str, *steps: str | float) -> str:
    """Draw a path from letters and numbers."""
    return element("path", kind, d=" ".join(s if isinstance(s, str) else number(s) for s in steps))


def words(kind: str, x: float, y: float, text: str, *, anchor: str = "start") -> str:
    """Write text; ``anchor`` is start, middle or end."""
    return element("text", kind, escape(text), x=x, y=y, text_anchor=anchor)


def dimension(x1: float, y1: float, x2: float, y2: float, text: str) -> str:
    """Draw a dimension line with end ticks and its words, upright or level."""
    if abs(x2 - x1) >= abs(y2 - y1):
        ticks = line("dim", x1, y1 - 4, x1, y1 + 4) + line("dim", x2, y2 - 4, x2, y2 + 4)
        label = words("dim-text", (x1 + x2) / 2, y1 + 16, text, anchor="middle")
    else:
        ticks = line("dim", x1 - 4, y1, x1 + 4, y1) + line("dim", x2 - 4, y2, x2 + 4, y2)
        middle = (y1 + y2) / 2
        label = element(
            "text",
            "dim-text",
            escape(text),
            x=x1 - 8,
            y=middle,
            text_anchor="middle",
            transform=f"rotate(-90 {number(x1 - 8)} {number(middle)})",
        )
    return line("dim", x1, y1, x2, y2) + ticks + label
