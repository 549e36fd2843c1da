"""Sources are data with unique keys, and an unknown key is refused in words."""

import pytest

from marshlight.errors import InputError
from marshlight.sources import HOW_SEEN, all_sources, source


def test_every_source_record_is_whole() -> None:
    records = all_sources()
    assert records
    for key, record in records.items():
        assert record.key == key
        assert key == key.lower()
        assert record.how in HOW_SEEN
        assert len(record.citation) > 10


def test_an_unknown_key_is_refused() -> None:
    with pytest.raises(InputError, match="sources page"):
        source("nobody_1900")
