"""A limit's bar: the mark stands where the words say."""

import re
from dataclasses import replace

from marshlight.answers.mix_lines import LimitLine
from marshlight.server.drawing.limit import WIDTH, draw_limit

SOLIDS = LimitLine(
    key="solids",
    name="solids (TS)",
    meaning="dry matter over slurry mass",
    value="8 %",
    allowed="3 % to 10 %",
    state="kept",
    headroom="20 %",
    at=0.6,
    low_at=0.2,
    high_at=0.75,
    sentence="",
    source_low="",
    source_high="",
)


def _box(drawn: str, kind: str) -> tuple[float, float]:
    found = re.search(rf'class="[^"]*{kind}[^"]*" x="([\d.]+)" y="[\d.]+" width="([\d.]+)"', drawn)
    assert found is not None
    return float(found.group(1)), float(found.group(2))


def test_the_allowed_part_and_the_mark_stand_to_scale() -> None:
    drawn = draw_limit(SOLIDS)
    assert _box(drawn, "limit-allowed") == (0.2 * WIDTH, 0.55 * WIDTH)
    left, width = _box(drawn, "limit-mark-kept")
    assert left + width / 2 == 0.6 * WIDTH
    assert 'aria-hidden="true"' in drawn


def test_a_mark_at_the_end_stays_on_the_bar_and_an_exact_limit_can_be_seen() -> None:
    left, width = _box(draw_limit(replace(SOLIDS, at=1.0, state="missed")), "limit-mark-missed")
    assert left + width == WIDTH
    assert _box(draw_limit(replace(SOLIDS, low_at=0.5, high_at=0.5)), "limit-allowed")[1] > 0.0
