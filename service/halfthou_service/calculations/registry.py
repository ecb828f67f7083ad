"""Every calculation by id. Each module of this package that declares ``CALCULATION`` (or ``CALCULATIONS``) is found by itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cached_property
from importlib import import_module
from pkgutil import iter_modules

from .frame import Calculation

FRAME = frozenset({"frame", "registry"})


class Registry(Mapping[str, Calculation]):
    """Calculations by id, in order of id. Their modules are imported at the first look, so that a limit need not wait for them."""

    @cached_property
    def _found(self) -> dict[str, Calculation]:
        found: dict[str, Calculation] = {}
        for calculation in _declared():
            if calculation.id in found:
                raise RuntimeError(f"two calculations are called {calculation.id}")
            found[calculation.id] = calculation
        return dict(sorted(found.items()))

    def __getitem__(self, name: str) -> Calculation:
        return self._found[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._found)

    def __len__(self) -> int:
        return len(self._found)


def _declared() -> Iterator[Calculation]:
    package = __name__.rpartition(".")[0]
    module = import_module(package)
    for info in sorted(iter_modules(module.__path__), key=lambda i: i.name):
        if info.name in FRAME or info.name.startswith("_"):
            continue
        part = import_module(f"{package}.{info.name}")
        yield from getattr(part, "CALCULATIONS", ()) or (part.CALCULATION,)


CALCULATIONS: Mapping[str, Calculation] = Registry()
