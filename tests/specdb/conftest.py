"""The table, read once from the data files and once from the file built of them, and engines to ask it about."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

from halfthou_specdb.build import build
from halfthou_specdb.facts import Engine
from halfthou_specdb.quantity import parse_quantity
from halfthou_specdb.resolve import Resolved, resolve
from halfthou_specdb.table import Table

MakeEngine = Callable[..., Engine]

# A slow machine is no fault, and many engines drawn at random lack the size a limit asks for.
settings.register_profile("specdb", deadline=None, suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow])
settings.load_profile("specdb")


@pytest.fixture(scope="session")
def table() -> Table:
    return Table.from_files()


@pytest.fixture(scope="session")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("built") / "specdb.sqlite"
    build(path)
    return path


@pytest.fixture(scope="session")
def opened(built: Path) -> Table:
    return Table.open(built)


@pytest.fixture(scope="session")
def make_engine(table: Table) -> MakeEngine:
    """An engine from plain words: class id, dimension -> text, features, use."""

    def make(
        engine_class: str = "slow-open-crank",
        sizes: Mapping[str, str] | None = None,
        features: Iterable[str] = (),
        use: str = "work",
        absent: Iterable[str] = (),
    ) -> Engine:
        dimensions = {name: parse_quantity(text) for name, text in (sizes or {}).items()}
        return Engine(table.engine_class(engine_class), use, "", frozenset(features), frozenset(absent), dimensions)

    return make


@pytest.fixture(scope="session")
def ask(table: Table, make_engine: MakeEngine) -> Callable[..., Resolved]:
    """The limit for a characteristic of an engine told in plain words."""

    def asked(characteristic: str, engine_class: str = "slow-open-crank", overlay: tuple = (), **engine: object) -> Resolved:
        return resolve(table, table.characteristic(characteristic), make_engine(engine_class, **engine), overlay)

    return asked
