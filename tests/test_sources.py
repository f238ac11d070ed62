"""No published table may stand here without saying where it comes from."""

from __future__ import annotations

import pytest

from tests.sources import HERE, STATUSES, citation, table

FILES = sorted(file.name for file in HERE.glob("*.csv"))


@pytest.mark.parametrize("name", FILES)
def test_a_table_names_its_source_and_how_it_was_got(name):
    said = citation(name)
    assert said.get("source"), f"{name} needs a first line '# source: author, title, year, page'"
    assert said.get("status", "").startswith(STATUSES), f"{name}: '# status:' must be one of {STATUSES}"


@pytest.mark.parametrize("name", FILES)
def test_a_table_has_rows_and_every_row_has_every_column(name):
    rows = table(name)
    assert rows
    for row in rows:
        # csv puts surplus cells under None and fills missing ones with None.
        assert None not in row, f"{name}: too many cells in {row}"
        assert None not in row.values(), f"{name}: too few cells in {row}"
