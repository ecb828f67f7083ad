from __future__ import annotations

import pytest

from halfthou_specdb.table import Table


@pytest.fixture(scope="session")
def shop_table() -> Table:
    """The real table."""
    return Table.from_files()
