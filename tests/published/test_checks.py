"""Every row of every check file holds within its own tolerance."""

import json

import pytest

from published.harness import Check, all_checks
from published.report import as_row

ROWS = list(all_checks())


@pytest.mark.parametrize(
    "check", [c for _, c in ROWS], ids=[f"{stem}: {c.subject}" for stem, c in ROWS]
)
def test_our_value_agrees_with_the_outside(check: Check) -> None:
    ours, passed = check.outcome()
    assert passed, (
        f"{check.subject}: ours {ours!r}, published {check.published!r} "
        f"within {check.tolerance!r}{' relative' if check.relative else ''} ({check.source})"
    )


def test_no_two_rows_of_a_file_check_the_same_subject_against_the_same_source() -> None:
    seen = [(stem, check.subject, check.source) for stem, check in ROWS]
    assert len(seen) == len(set(seen))


def test_every_row_can_be_written_down_as_json() -> None:
    assert json.loads(json.dumps([as_row(stem, check) for stem, check in ROWS[::25]]))
