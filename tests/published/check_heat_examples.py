"""Whole heat balances: a worked example in print, and a monthly balance frozen by ourselves.

The printed example rounds its areas, so the tolerance is 0.2 %. Its sludge volume (9,630 ft3
printed for 9,618) and gas (8,100 ft3/d) are inputs here: they follow from the plant's own
yields.
"""

import math
from functools import cache

from marshlight.apparatus.heat import (
    Body,
    Flows,
    Losses,
    MonthHeat,
    Outside,
    Through,
    losses,
    monthly_heat,
)
from published.harness import Check

TM = "US Army/Air Force TM 5-814-3, worked example C-14"
FT, BTU_W, BTU_U, POUND_KG = 0.3048, 0.29307107, 5.678263, 0.45359237
FAHRENHEIT = 5.0 / 9.0
OWN = "sums done apart from this program with the same U, areas and months"


def _c(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) * FAHRENHEIT


@cache
def _army() -> Losses:
    """Give the example: 20 x 26 ft, digester 80 F, air 40 F, ground 50 F, feed 45 F."""
    deep, wide = 20.0 * FT, 26.0 * FT
    disc = math.pi / 4.0 * wide**2
    ways = (
        Through("wall", 0.14 * BTU_U * math.pi * wide * deep),
        Through("floor", 0.12 * BTU_U * disc, "ground"),
        Through("roof", 0.16 * BTU_U * disc),
    )
    feed = 1200.0 / 0.03 * POUND_KG
    return losses(Body(ways, 1.0), _c(80.0), Outside(_c(40.0), _c(50.0)), Flows(feed, _c(45.0)))


def _btu_h(name: str) -> float:
    return _army().passages[name].heat_w / BTU_W


def _walls_btu_d() -> float:
    return _army().ways_w / BTU_W * 24.0


def _gas_btu_d() -> float:
    return 1200.0 * 0.75 * 0.60 * 15.0 * 600.0


AIR = (2, 3, 6, 9, 13, 16, 18, 18, 15, 11, 6, 3)
GROUND = (7, 6, 6, 7, 9, 11, 13, 14, 14, 13, 11, 9)
FEED = (5, 5, 7, 9, 12, 14, 16, 16, 14, 11, 8, 6)


@cache
def _year() -> tuple[MonthHeat, ...]:
    """Give 10 m3, U 0.343586 and 0.5, 38 degC, 400 kg/d, 8 m3/d of 60 % methane, boiler 85 %."""
    ways = (
        Through("wall and lid", 0.343586 * (16.667 + 4.524)),
        Through("floor", 0.5 * 4.524, "ground"),
    )
    return monthly_heat(
        Body(ways, 10_000.0),
        38.0,
        air_c=AIR,
        ground_c=GROUND,
        feed_c=FEED,
        feed_kg_per_d=400.0,
        gas_kwh_per_d=8.0 * 20.3676 / 3.6 * 0.85,
        boiler=1.0,
    )


def _army_row(subject: str, published: float, ours: object) -> Check:
    return Check(subject, TM, published, ours, 0.002, relative=True)  # type: ignore[arg-type]


def _own(subject: str, published: float, ours: object, tolerance: float) -> Check:
    return Check(
        subject,
        OWN,
        published,
        ours,  # type: ignore[arg-type]
        tolerance,
        relative=True,
        status="computed with reference library",
    )


MONTHS = [
    (0, "January", 247.2, 475.8, 0.606),
    (3, "April", 202.5, 404.6, 0.526),
    (6, "July", 150.4, 317.2, 0.392),
    (7, "August", 148.7, 317.2, 0.391),
    (11, "December", 238.4, 461.4, 0.587),
]

CHECKS = [
    _army_row("wall, Btu/h", 9150.0, lambda: _btu_h("wall")),
    _army_row("floor, Btu/h", 1908.0, lambda: _btu_h("floor")),
    _army_row("roof, Btu/h", 3392.0, lambda: _btu_h("roof")),
    _army_row("all losses, Btu/h", 14_450.0, lambda: _army().ways_w / BTU_W),
    _army_row("all losses, Btu/d", 346_800.0, _walls_btu_d),
    _army_row("feed heat, Btu/d", 1_400_000.0, lambda: _army().feed_w / BTU_W * 24.0),
    _army_row("losses and feed, Btu/d", 1_746_800.0, lambda: _army().total_w / BTU_W * 24.0),
    _army_row("losses and feed, kW", 21.3, lambda: _army().total_w / 1e3),
    _army_row("gas energy, Btu/d", 4_860_000.0, _gas_btu_d),
    _army_row(
        "heat as share of the gas, %",
        35.9,
        lambda: 100.0 * _army().total_w / BTU_W * 24.0 / _gas_btu_d(),
    ),
    *(
        _own(f"{name}: {what}", published, ours, tolerance)
        for month, name, loss, feed, share in MONTHS
        for what, published, ours, tolerance in (
            ("loss, kWh", loss, lambda m=month: _year()[m].loss_kwh, 5e-4),
            ("feed, kWh", feed, lambda m=month: _year()[m].feed_kwh, 5e-4),
            ("share of the gas by boiler", share, lambda m=month: _year()[m].gas_share, 2e-3),
        )
    ),
    _own("January: loss, W", 332.2, lambda: _year()[0].loss_kwh / 31 / 0.024, 5e-4),
    _own("August: loss, W", 199.9, lambda: _year()[7].loss_kwh / 31 / 0.024, 5e-4),
    _own("year: loss, kWh", 2337.5, lambda: sum(m.loss_kwh for m in _year()), 5e-4),
    _own("year: feed, kWh", 4705.5, lambda: sum(m.feed_kwh for m in _year()), 5e-4),
    _own(
        "year: share of the gas",
        0.502,
        lambda: sum(m.gas_share * m.days for m in _year()) / 365.0,
        2e-3,
    ),
]
