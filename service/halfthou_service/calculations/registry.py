"""Every calculation by id. Each module of this package that declares ``CALCULATION`` (or ``CALCULATIONS``) is found by itself."""

from __future__ import annotations

from collections.abc import Iterator
from importlib import import_module
from pkgutil import iter_modules

from .frame import Calculation

FRAME = frozenset({"frame", "registry"})


def _found() -> Iterator[Calculation]:
    package = __name__.rpartition(".")[0]
    module = import_module(package)
    for info in sorted(iter_modules(module.__path__), key=lambda i: i.name):
        if info.name in FRAME or info.name.startswith("_"):
            continue
        part = import_module(f"{package}.{info.name}")
        yield from getattr(part, "CALCULATIONS", ()) or (part.CALCULATION,)


CALCULATIONS: dict[str, Calculation] = {}
for _calculation in _found():
    if _calculation.id in CALCULATIONS:
        raise RuntimeError(f"two calculations are called {_calculation.id}")
    CALCULATIONS[_calculation.id] = _calculation
CALCULATIONS = dict(sorted(CALCULATIONS.items()))
