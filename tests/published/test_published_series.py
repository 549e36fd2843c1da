"""The published series, brought in as a person would, arrive whole and unchanged."""

import csv
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from benchmarks.published_batch import ledger_of, ours, split
from benchmarks.published_fed import plant
from benchmarks.published_tables import PAGE, between, tables

from marshlight.answers.analysis import analyse
from marshlight.notebook.importing import read_table, suggest_layout, take_in
from marshlight.notebook.models import Reading, Run
from marshlight.notebook.setting_up import set_up

EXAMPLES = Path(__file__).parents[2] / "examples" / "published"
BOTTLES = sorted(EXAMPLES.glob("justesen2019_*_??.csv"))
MUSCATINE_GALLONS = 858_000.0


def _rows(path: Path) -> list[dict[str, str]]:
    with path.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def _run(name: str, start: str, mode: str = "batch") -> Run:
    set_up("site", {"name": "A laboratory", "time_zone": "UTC"})
    set_up("vessel", {"name": name, "site": "A laboratory", "volume": "520 mL"})
    run = set_up("run", {"name": name, "vessel": name, "mode": mode, "started_at": start})
    assert isinstance(run, Run)
    return run


def _import(run: Run, path: Path) -> int:
    table = read_table(path.read_bytes(), path.name)
    layout = suggest_layout(table)
    assert not [q.text for q in layout.questions if q.blocks]
    return take_in(run, table, layout).added


@pytest.mark.django_db
@pytest.mark.parametrize("path", BOTTLES, ids=lambda p: p.stem.removeprefix("justesen2019_"))
def test_a_bottle_arrives_whole_without_a_column_being_explained(path: Path) -> None:
    rows = _rows(path)
    run = _run(path.stem, rows[0]["when"])
    filled = sum(bool(row[name]) for row in rows for name in list(row)[1:])
    assert _import(run, path) == filled
    kept = Reading.objects.filter(run=run, kind="collected").order_by("at")
    assert [round(r.value * 1e6, 6) for r in kept] == [float(r["biogas (mL)"]) for r in rows]
    assert [f"{r.at:%Y-%m-%d %H:%M}" for r in kept] == [row["when"] for row in rows]


@pytest.mark.django_db
@pytest.mark.parametrize("name", ["cellulose_L1", "wheat_straw_D1", "preheated_sludge_A1"])
def test_the_notebook_counts_the_gas_of_a_bottle_as_the_scored_series_does(name: str) -> None:
    path = EXAMPLES / f"justesen2019_{name}.csv"
    run = _run(name, _rows(path)[0]["when"])
    _import(run, path)
    found = analyse(run)
    assert found.ledger is not None, found.ledger_why_not
    scored = ledger_of(path)
    assert found.ledger.day == pytest.approx(scored.day)
    assert found.ledger.cumulative_m3 == pytest.approx(scored.cumulative_m3, rel=1e-9)
    assert found.ledger.u_random_m3 == pytest.approx(scored.u_random_m3, rel=1e-6)


@pytest.mark.django_db
def test_half_a_bottle_brought_in_is_forecast_as_it_is_scored(tmp_path: Path) -> None:
    whole = EXAMPLES / "justesen2019_wheat_straw_D1.csv"
    cut = split(ledger_of(whole))
    half = tmp_path / "half.csv"
    # A heading, the start, and the visits that count as known.
    lines = whole.read_text(encoding="utf-8").splitlines()[: 1 + cut.known]
    half.write_text("\n".join(lines) + "\n", encoding="utf-8")
    run = _run("half", _rows(half)[0]["when"])
    _import(run, half)
    found = analyse(run)
    assert found.forecast is not None, found.forecast_why_not
    band, day = found.forecast.cumulative, found.forecast.day
    later = cut.later_day[cut.later_day <= day[-1]]
    by_the_score = ours(cut).median[: later.size]
    # Other draws, the same curves: medians agree to a few per cent.
    assert np.interp(later, day, band.median) == pytest.approx(by_the_score, rel=0.05)


@pytest.mark.django_db
def test_bringing_a_bottle_twice_adds_nothing() -> None:
    run = _run("twice", "2018-09-27 15:35")
    assert _import(run, BOTTLES[0]) > 0
    assert _import(run, BOTTLES[0]) == 0


@pytest.mark.django_db
@pytest.mark.slow
def test_the_keepers_log_of_the_fed_plant_is_brought_in_fed_and_forecast() -> None:
    path = EXAMPLES / "schroer2024_muscatine_2020_log.csv"
    # Neither the gas's temperature nor a barometer is in the log: taken as in the scores.
    set_up("site", {"name": "A plant", "room": "35.4 degC", "barometer": "1013.25 hPa"})
    set_up("vessel", {"name": "Two tanks", "site": "A plant", "volume": "3600 m3"})
    given = {
        "name": "Plant",
        "vessel": "Two tanks",
        "mode": "fed",
        "started_at": "2020-04-01 00:00",
    }
    run = set_up("run", given)
    assert isinstance(run, Run)
    table = read_table(path.read_bytes(), path.name)
    layout = suggest_layout(table)
    materials = {"thickened": "sewage_sludge", "primary": "sewage_sludge", "hauled": "food_waste"}
    columns = [
        replace(c, detail={"feedstock": materials[word]})
        if (word := c.heading.split()[0]) in materials
        else c
        for c in layout.columns
    ]
    taken = take_in(run, table, replace(layout, columns=tuple(columns)))
    assert taken.added == 150 * 6
    found = analyse(run)
    assert found.ledger is not None, found.ledger_why_not
    # The log's cubic feet, made dry and normal, against the scored series' own reduction of them.
    assert found.ledger.total.value == pytest.approx(float(np.sum(plant().gas_m3)), rel=0.02)
    assert found.forecast is not None, found.forecast_why_not
    band = found.forecast.daily
    ahead = found.forecast.day > found.ledger.day[-1] + 1.0
    assert np.all(band.low95[ahead] <= band.median[ahead])
    assert np.all(band.median[ahead] <= band.high95[ahead])


def _muscatine() -> list[dict[str, str]]:
    return _rows(EXAMPLES / "schroer2024_muscatine_2020.csv")


def test_the_fed_plants_feeds_give_every_published_retention_time_to_its_last_digit() -> None:
    for row in _muscatine():
        fed = sum(float(row[name]) for name in row if "fed (gal)" in name)
        assert abs(MUSCATINE_GALLONS / fed - float(row["retention time (d)"])) <= 0.05 + 1e-9


def test_the_keepers_log_of_the_fed_plant_follows_from_the_published_file() -> None:
    log = _rows(EXAMPLES / "schroer2024_muscatine_2020_log.csv")
    for row, kept in zip(_muscatine(), log, strict=True):
        assert row["date"] == kept["date"]
        gas = float(row["biogas, mean of the day (ft3/min)"]) * 1440.0
        assert float(kept["biogas (ft3)"]) == pytest.approx(gas, abs=0.5)
        for gallons, kilograms in (
            ("thickened sludge fed (gal)", "thickened sludge fed (kg)"),
            ("primary sludge fed (gal)", "primary sludge fed (kg)"),
            ("high-strength waste fed (gal)", "hauled waste fed (kg)"),
        ):
            # One US gallon is 3.785411784 L by definition; 1 kg/L is our stated assumption.
            assert float(kept[kilograms]) == pytest.approx(
                float(row[gallons]) * 3.785411784, abs=0.5
            )


@pytest.mark.slow
def test_the_page_on_real_input_shows_the_scores_that_come_out() -> None:
    text = PAGE.read_text(encoding="utf-8")
    for mark, lines in tables().items():
        start, end = between(text, mark)
        shown = text[start:end].splitlines()
        assert len(shown) == len(lines)
        for written, now in zip(shown[2:], lines[2:], strict=True):
            name, *cells = (cell.strip() for cell in written.strip("|").split("|"))
            fresh, *numbers = (cell.strip() for cell in now.strip("|").split("|"))
            assert name == fresh
            for cell, number in zip(cells, numbers, strict=True):
                # Another numeric library may move a draw across a band's edge, no more.
                assert _number(number) == pytest.approx(_number(cell), rel=0.1, abs=7.0), name


def _number(cell: str) -> float:
    return 0.0 if cell == "no band" else float(cell.rstrip("%"))
