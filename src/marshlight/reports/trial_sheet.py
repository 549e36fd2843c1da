"""A trial as a spreadsheet whose own formulas work the result out from the readings."""

import io
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import zip_longest
from typing import Any

import numpy as np

from marshlight.answers.trial_bottles import ReadBottle
from marshlight.answers.trial_report import TrialReport

# Stands for no end of degrees of freedom, where the error of the VS is stated and not measured.
_KNOWN_DF = 1e30
_BOLD = "Gas and methane in NL (dry, 0 degC, 101.325 kPa), masses in g, potentials in NmL/g VS."


@dataclass
class _Places:
    """Where each figure came to stand, so that later formulas can point to it."""

    first: dict[str, int] = field(default_factory=dict)
    bottle: dict[str, int] = field(default_factory=dict)
    group: dict[str, int] = field(default_factory=dict)


def trial_sheet(report: TrialReport) -> bytes:
    """Write a trial's workbook.

    Parameters
    ----------
    report : TrialReport
        The report.

    Returns
    -------
    bytes
        An Office Open XML workbook; its sheets point to each other from raw readings to result.

    Notes
    -----
    Spreadsheets round degrees of freedom down in their Student quantile, so the quantile is
    taken from the beta distribution, which does not.
    """
    from openpyxl import Workbook

    book = Workbook()
    places = _Places()
    result, gas, bottles = book.active, book.create_sheet("Gas"), book.create_sheet("Bottles")
    result.title = "Result"
    read = [b for b in report.assessed.bottles if b.bottle is not None and not b.row.left_out]
    _gas(gas, read, report, places)
    _bottles(bottles, read, report, places)
    _result(result, report, places)
    _criteria(book.create_sheet("Criteria"), report)
    _solids(book.create_sheet("Solids"), report)
    _tables(book.create_sheet("Speed and buckets"), report)
    _raw(book.create_sheet("Readings"), report)
    _words(book.create_sheet("Method"), report)
    for sheet in book.worksheets:
        _widths(sheet)
    target = io.BytesIO()
    book.save(target)
    return target.getvalue()


def _put(sheet: Any, rows: Sequence[Sequence[Any]]) -> None:
    for row in rows:
        sheet.append(list(row))


def _widths(sheet: Any) -> None:
    for column in sheet.columns:
        longest = max((len(str(c.value or "")) for c in column if c.data_type != "f"), default=8)
        sheet.column_dimensions[column[0].column_letter].width = min(max(longest + 1, 9), 60)


def _head(sheet: Any, row: int) -> None:
    from openpyxl.styles import Font

    for cell in sheet[row]:
        cell.font = Font(bold=True)
    sheet.freeze_panes = f"B{row + 1}"


def _gas(sheet: Any, read: Sequence[ReadBottle], report: TrialReport, places: _Places) -> None:
    """What passed and was held and the shares as numbers, cumulative methane as a formula."""
    by_content = report.assessed.trial.methane_way == "by_content"
    head = [
        "bottle", "day", "gas, NL, cumulative", "methane over methane and CO2",
        "methane, NL, cumulative", "left the bottle, NL", "held in it, NL",
        "methane share, air counted in",
    ]  # fmt: skip
    _put(sheet, [head])
    _head(sheet, 1)
    row = 2
    for one in read:
        assert one.bottle is not None
        assert one.methane is not None
        found = one.methane
        skipped = found.gas_m3.size - one.bottle.day.size
        places.first[one.row.name] = row
        for i, day in enumerate(one.bottle.day):
            at = skipped + i
            before = float(one.bottle.methane_m3[0]) * 1e3
            if by_content:
                formula: Any = before if i == 0 else _by_content(row, let_off=found.gas.let_off)
            elif i == 0:
                formula = f"=C{row}*D{row}" if skipped == 0 else before
            else:
                formula = f"=E{row - 1}+(C{row}-C{row - 1})*(D{row}+D{row - 1})/2"
            share = float(found.content_share[at]) if found.content_share.size else None
            line = [
                _safe(one.row.name), float(day), float(found.gas_m3[at]) * 1e3,
                float(found.made_share[at]), formula, float(found.gas.passed_m3[at]) * 1e3,
                float(found.gas.held_m3[at]) * 1e3, share,
            ]  # fmt: skip
            _put(sheet, [line])
            row += 1


def _by_content(row: int, *, let_off: bool) -> str:
    """Balance over the gas space: what left with its share, and the change of what was held."""
    leaving = row - 1 if let_off else row
    return f"=E{row - 1}+(F{row}-F{row - 1})*H{leaving}+G{row}*H{row}-G{row - 1}*H{row - 1}"


def _bottles(sheet: Any, read: Sequence[ReadBottle], report: TrialReport, places: _Places) -> None:
    """Each bottle to the day of comparison: methane, the inoculum's part, potential."""
    result = report.assessed.result
    assert result is not None
    _put(
        sheet,
        [
            ["day of comparison", float(result.day)],
            [
                "bottle", "role", "material", "inoculum, g", "VS, g", "methane, NL",
                "NmL per g inoculum (blanks)", "inoculum's methane, NL", "net methane, NL",
                "potential B, NmL/g VS", "inoculum over VS", "relative u of VS",
            ],
        ],
    )  # fmt: skip
    _head(sheet, 2)
    blanks = [b for b in read if b.row.role == "blank"]
    ordered = [*blanks, *(b for b in read if b.row.role != "blank")]
    last_blank = 2 + len(blanks)
    mean = f"AVERAGE($G$3:$G${last_blank})"
    for row, one in enumerate(ordered, start=3):
        assert one.bottle is not None
        places.bottle[one.row.name] = row
        line: list[Any] = [
            _safe(one.row.name),
            one.row.role,
            _safe(one.row.material),
            one.bottle.inoculum_kg * 1e3,
            one.bottle.vs_kg * 1e3,
            _at_day(one, result.day, places.first[one.row.name]),
        ]
        if one.row.role == "blank":
            line += [f"=F{row}/D{row}*1000"]
        else:
            line += [
                None,
                f"={mean}*D{row}/1000",
                f"=F{row}-H{row}",
                f"=I{row}/E{row}*1000",
                f"=D{row}/E{row}",
                one.bottle.vs_relative_u,
            ]
        _put(sheet, [line])


def _at_day(one: ReadBottle, day: float, first: int) -> str:
    """Point to the two readings around a day, and draw the straight line between them."""
    assert one.bottle is not None
    days = [float(t) for t in one.bottle.day]
    after = next((i for i, t in enumerate(days) if t >= day - 1e-12), len(days) - 1)
    b = first + after
    if after == 0:
        return f"=Gas!E{b}*$B$1/Gas!B{b}"
    a = b - 1
    return f"=Gas!E{a}+(Gas!E{b}-Gas!E{a})*($B$1-Gas!B{a})/(Gas!B{b}-Gas!B{a})"


def _result(sheet: Any, report: TrialReport, places: _Places) -> None:
    """Potentials and differences, all by formula."""
    result = report.assessed.result
    assert result is not None
    found = result.result
    blank_rows = [places.bottle[label] for label in found.inoculum.labels]
    blanks = f"Bottles!G{min(blank_rows)}:G{max(blank_rows)}"
    _put(
        sheet,
        [
            [_safe(report.page.name), f"{report.site}{', invented' if report.invented else ''}"],
            [report.page.sentence],
            [report.page.standing],
            [_BOLD],
            ["blanks: mean, NmL/g", f"=AVERAGE({blanks})"],
            ["blanks: standard error", f"=STDEV({blanks})/SQRT(COUNT({blanks}))"],
            ["blanks: degrees of freedom", f"=COUNT({blanks})-1"],
            ["level", 0.95],
            [
                "material", "bottles", "potential", "sd of bottles", "s1", "s2", "s3",
                "standard error", "sd, blanks included", "relative sd", "degrees of freedom",
                "low", "high", "inoculum over VS", "degrees of freedom of s3",
                "s4: instruments, all bottles alike",
            ],
        ],
    )  # fmt: skip
    _head(sheet, 9)
    for row, p in enumerate(found.potentials, start=10):
        places.group[p.group] = row
        _put(sheet, [_potential(p, row, places)])
    _differences(sheet, report, places)


def _potential(p: Any, row: int, places: _Places) -> list[Any]:
    rows = [places.bottle[b.label] for b in p.bottles]

    def listed(column: str) -> str:
        return ",".join(f"Bottles!{column}{r}" for r in rows)

    squares = "+".join(f"(B6*Bottles!K{r})^2".replace("B6", "$B$6") for r in rows)
    vs = "+".join(f"(Bottles!L{r}*Bottles!J{r})^2" for r in rows)
    several = p.n > 1
    return [
        _safe(p.group),
        f"=COUNT({listed('J')})",
        f"=AVERAGE({listed('J')})",
        f"=STDEV({listed('J')})" if several else 0.0,
        f"=D{row}/SQRT(B{row})",
        f"=SQRT(({squares})/B{row})",
        f"=SQRT(({vs})/B{row})",
        f"=SQRT(E{row}^2+F{row}^2+G{row}^2)",
        f"=SQRT(B{row})*H{row}",
        f"=I{row}/C{row}",
        f"=H{row}^4/(E{row}^4/(B{row}-1)+F{row}^4/$B$7+G{row}^4/O{row})" if several else "",
        f"=C{row}-{_quantile(f'K{row}', '1-$B$8')}*H{row}" if several else "",
        f"=C{row}+{_quantile(f'K{row}', '1-$B$8')}*H{row}" if several else "",
        f"=AVERAGE({listed('K')})",
        p.s3_df if np.isfinite(p.s3_df) else _KNOWN_DF,
        p.s4 * 1e3,
    ]


def _quantile(df: str, both_tails: str) -> str:
    """Student's quantile for the share in both tails, at fractional degrees of freedom."""
    x = f"BETAINV({both_tails},{df}/2,0.5)"
    return f"SQRT({df}*(1-{x})/{x})"


def _differences(sheet: Any, report: TrialReport, places: _Places) -> None:
    result = report.assessed.result
    assert result is not None
    contrasts = result.result.contrasts
    if not contrasts:
        return
    first = 10 + len(result.result.potentials) + 1
    names = ["difference", "standard error", "degrees of freedom", "low", "high"]
    _put(sheet, [[], ["pair", *names]])
    # Sidak: each interval's level so that all hold together.
    tails = f"1-$B$8^(1/{len(contrasts)})"
    for row, c in enumerate(contrasts, start=first + 1):
        a, b = places.group[c.a], places.group[c.b]
        shared = f"((N{a}-N{b})*$B$6)"
        below = f"(E{a}^4/(B{a}-1)+E{b}^4/(B{b}-1)+G{a}^4/O{a}+G{b}^4/O{b}+{shared}^4/$B$7)"
        half = f"{_quantile(f'D{row}', tails)}*C{row}"
        _put(
            sheet,
            [
                [
                    _safe(f"{c.a} - {c.b}"),
                    f"=C{a}-C{b}",
                    f"=SQRT(E{a}^2+E{b}^2+G{a}^2+G{b}^2+{shared}^2)",
                    f"=C{row}^4/{below}",
                    f"=B{row}-{half}",
                    f"=B{row}+{half}",
                ]
            ],
        )


def _criteria(sheet: Any, report: TrialReport) -> None:
    _put(sheet, [["criterion", "found", "wanted", "met", "required", "what it means", "source"]])
    _head(sheet, 1)
    words = {True: "met", False: "not met", None: "not known"}
    for c in report.page.criteria:
        required = "required" if c.required else "advice"
        _put(
            sheet,
            [[c.words, _safe(c.found), c.wanted, words[c.met], required, c.meaning, c.source]],
        )
    _put(sheet, [[], ["flag", "bottles", "evidence", "what to do"]])
    for f in report.page.flags:
        _put(sheet, [[_safe(f.text), _safe(", ".join(f.labels)), f.evidence, f.todo]])


def _solids(sheet: Any, report: TrialReport) -> None:
    """TS and VS of each crucible; their product by formula."""
    _put(sheet, [["material", "TS, share of fresh", "VS, share of TS", "VS, share of fresh"]])
    _head(sheet, 1)
    row = 2
    for name, kept in report.assessed.trial.solids.items():
        for ts, vs in zip_longest(kept["ts"], kept["vs"]):
            both = ts is not None and vs is not None
            _put(sheet, [[_safe(name), ts, vs, f"=B{row}*C{row}" if both else None]])
            row += 1


def _tables(sheet: Any, report: TrialReport) -> None:
    """What the page shows beside the main result, as it shows it."""
    page = report.page
    for table in (*page.kinetics, *page.buckets, page.other_way):
        if table is not None:
            _put(sheet, [[table.caption], list(table.head)])
            _put(sheet, [[_safe(cell) for cell in line] for line in table.rows])
            _put(sheet, [[]])


def _raw(sheet: Any, report: TrialReport) -> None:
    _put(sheet, [["bottle", "when", "what", "as entered", "value in base unit", "unit", "note"]])
    _head(sheet, 1)
    for r in report.raw:
        row = [_safe(r.bottle), r.when, r.what, _safe(r.entered), r.value, r.unit, _safe(r.note)]
        _put(sheet, [row])


def _safe(text: str) -> str:
    """Keep a spreadsheet from running what somebody typed."""
    return f"'{text}" if text[:1] in "=+@\t\r" and text else text


def _words(sheet: Any, report: TrialReport) -> None:
    _put(sheet, [[text] for text in report.method])
    _put(sheet, [[], *[[_safe(note)] for note in report.page.notes], [], ["sources"]])
    _put(sheet, [[s.citation] for s in report.page.sources])
    _put(sheet, [[], [f"written by {report.version}"]])
