"""Whether an engine has what a characteristic belongs to. What it is stated not to have is not judged, save where the rule protects people.

A figure for a spark plug says nothing of an engine with an igniter: either the reading or the engine's features are wrong, and a verdict would
hide which. What only the class suggests (a splash engine has no drip oiler, as a rule) is judged all the same, and said. A safety limit and
a finding that stops the engine hold whatever was stated: a wrong word under features may not silence them.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from halfthou_specdb.facts import NOT, Engine, all_known, truth
from halfthou_specdb.records import Characteristic
from halfthou_specdb.table import Table


@dataclass(frozen=True, slots=True)
class Fitted:
    """``stated``: the engine is stated not to have it. ``says``: what is told of that; empty where nothing speaks against it."""

    stated: bool = False
    says: str = ""


FITTED = Fitted()


def fitted(table: Table, what: Characteristic, engine: Engine) -> Fitted:
    """Whether the engine has what the characteristic belongs to, as far as it is known."""
    if not what.applies_if or all_known(what.applies_if, engine, what, table.features) is not False:
        return FITTED
    against = [c for c in what.applies_if if truth(c, engine, what, table.features) is False]
    bare = replace(engine, engine_class=replace(engine.engine_class, implies=()))
    stated = all_known(what.applies_if, bare, what, table.features) is False
    needs = " and ".join(f"without the feature {c.removeprefix(NOT)}" if c.startswith(NOT) else f"with the feature {c}" for c in against)
    named = sorted(engine.features) + [f"not {f}" for f in sorted(engine.absent)]
    why = f"this one is stated to have: {', '.join(named)}" if stated else f"a {engine.engine_class.name.lower()} is taken to have none"
    return Fitted(stated, f"{what.name.lower()} belongs to engines {needs}, and {why}; look which is wrong, the reading or the engine's features")


__all__ = ["Fitted", "fitted"]
