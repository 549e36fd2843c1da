"""The spreadsheet's own formulas give the program's result."""

import io
import math
import re
import statistics
from typing import Any

import pytest
from openpyxl import load_workbook
from scipy.special import betaincinv

from marshlight.answers.trial_report import trial_report
from marshlight.notebook.models import Person, Site
from marshlight.notebook.recording import record_reading
from marshlight.reports.trial_sheet import trial_sheet
from trial_racks import SEALED, make_bench, pressures, rack
from trial_world import make_trial

pytestmark = pytest.mark.django_db
_TOKEN = re.compile(r"(?:(\w+)!)?\$?([A-Z])\$?(\d+)(?::\$?([A-Z])\$?(\d+))?|([A-Z]+)(?=\()|\^")


@pytest.fixture
def site() -> Site:
    place = Site(name="Test yard", altitude_m=200.0, time_zone="UTC", room_temperature_c=18.0)
    place.save()
    return place


@pytest.fixture
def keeper() -> Person:
    person = Person(name="keeper", role=Person.Role.KEEPER)
    person.save()
    return person


class Sheets:
    """A spreadsheet program of few words: arithmetic and the functions our workbook uses."""

    def __init__(self, data: bytes) -> None:
        self.book = load_workbook(io.BytesIO(data))
        self.known: dict[tuple[str, str], Any] = {}
        self.functions = {
            "AVERAGE": lambda *v: statistics.fmean(_flat(v)),
            "STDEV": lambda *v: statistics.stdev(_flat(v)),
            "COUNT": lambda *v: len(_flat(v)),
            "SQRT": math.sqrt,
            "BETAINV": lambda p, a, b: float(betaincinv(a, b, p)),
        }

    def value(self, sheet: str, cell: str) -> Any:
        """Work a cell out, and all that it points to."""
        known = self.known.get((sheet, cell))
        if known is None:
            known = self.known[sheet, cell] = self._worked_out(sheet, cell)
        return known

    def _worked_out(self, sheet: str, cell: str) -> Any:
        held = self.book[sheet][cell].value
        if not isinstance(held, str) or not held.startswith("="):
            return held

        def python(match: re.Match[str]) -> str:
            where, column, row, last_column, last_row, name = match.groups()
            if name:
                return f"f[{name!r}]"
            if column is None:
                return "**"
            if last_row:
                return f"r({where or sheet!r}, {column + row!r}, {last_column + last_row!r})"
            return f"v({where or sheet!r}, {column + row!r})"

        names = {"v": self.value, "r": self._many, "f": self.functions}
        return eval(_TOKEN.sub(python, held[1:]), {"__builtins__": {}}, names)

    def _many(self, sheet: str, first: str, last: str) -> list[Any]:
        cells = (c.coordinate for row in self.book[sheet][f"{first}:{last}"] for c in row)
        return [self.value(sheet, cell) for cell in cells]

    def rows(self, sheet: str) -> dict[str, int]:
        """Give the row of each name in the first column."""
        return {str(c.value): c.row for c in self.book[sheet]["A"] if c.value}


def _flat(values: tuple[Any, ...]) -> list[float]:
    found = [x for v in values for x in (v if isinstance(v, list) else [v])]
    return [x for x in found if isinstance(x, (int, float))]


def test_the_formulas_of_the_workbook_reproduce_the_result(site: Site, keeper: Person) -> None:
    trial = make_trial(site, keeper, samples=(("bread", 0.42), ("whey", 0.36)))
    report = trial_report(trial)
    result = report.assessed.result
    assert result is not None
    sheets = Sheets(trial_sheet(report))
    rows = sheets.rows("Result")
    for p in result.result.potentials:
        row = rows[p.group]
        ours = (p.mean, p.s1, p.s2, p.s3, p.standard_error, p.s_bmp, p.df, p.low, p.high)
        for column, mine in zip("CEFGHIKLM", ours, strict=True):
            scale = 1.0 if column == "K" else 1e3
            assert sheets.value("Result", f"{column}{row}") == pytest.approx(
                mine * scale, rel=1e-9, abs=1e-9
            ), (p.group, column)
    assert len(result.result.contrasts) == 1
    for c in result.result.contrasts:
        row = rows[f"{c.a} - {c.b}"]
        ours = (c.difference * 1e3, c.standard_error * 1e3, c.df, c.low * 1e3, c.high * 1e3)
        theirs = [sheets.value("Result", f"{column}{row}") for column in "BCDEF"]
        assert theirs == pytest.approx(ours, rel=1e-9)


@pytest.mark.parametrize("way", ["as_made", "by_content"])
def test_the_formulas_follow_the_way_of_reckoning_methane_and_the_crucibles(way: str) -> None:
    keeper = make_bench()
    trial, _ = rack(keeper, SEALED, pressures)
    trial.methane_way = way
    trial.save(by=keeper, why="way")
    report = trial_report(trial)
    result = report.assessed.result
    assert result is not None
    sheets = Sheets(trial_sheet(report))
    rows = sheets.rows("Result")
    for p in result.result.potentials:
        ours = (p.mean, p.s1, p.s2, p.s3, p.low, p.high)
        theirs = [sheets.value("Result", f"{column}{rows[p.group]}") for column in "CEFGLM"]
        assert theirs == pytest.approx([x * 1e3 for x in ours], rel=1e-9), p.group
    solids = list(sheets.book["Solids"].iter_rows(min_row=2, values_only=True))
    assert len(solids) == 9
    assert sheets.value("Solids", "D2") == pytest.approx(solids[0][1] * solids[0][2])


def test_what_a_person_typed_is_never_run_by_a_spreadsheet(site: Site, keeper: Person) -> None:
    trial = make_trial(site, keeper)
    run = trial.bottles.first().run
    record_reading(run, "ph", "7.1", note="=HYPERLINK(1)", by=keeper)
    bottle = trial.bottles.get(name="bread 2")
    bottle.name, bottle.material = "=1+1", "bread"
    bottle.save(by=keeper, why="renamed")
    book = load_workbook(io.BytesIO(trial_sheet(trial_report(trial))))
    notes = [c.value for c in book["Readings"]["G"] if c.value]
    assert "'=HYPERLINK(1)" in notes
    names = [c.value for sheet in ("Gas", "Bottles", "Readings") for c in book[sheet]["A"]]
    assert "'=1+1" in names
    assert "=1+1" not in names
