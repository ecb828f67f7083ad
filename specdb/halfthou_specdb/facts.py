"""The engine a question is about, and conditions on it that are true, false or not known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from .quantity import Quantity
from .records import Characteristic, EngineClass, Feature
from .units import UNITS

RPM = UNITS["rpm"]
SLOW_LIMIT = 600
NOT = "not "


@dataclass(frozen=True, slots=True)
class Engine:
    """An engine as the asker states it. Dimensions by id; ``features`` it has, ``absent`` it is known not to have."""

    engine_class: EngineClass
    use: str = "work"
    id: str = ""
    features: frozenset[str] = frozenset()
    absent: frozenset[str] = frozenset()
    dimensions: Mapping[str, Quantity] = field(default_factory=dict)


def truth(condition: str, engine: Engine, what: Characteristic, features: Mapping[str, Feature]) -> bool | None:
    """True, False, or None where it is not known.

    A feature is true when named or implied by the class (a named feature of the same group outranks what the class
    implies); false when stated absent or when another of its group is true; otherwise unknown.
    """
    if condition.startswith(NOT):
        inner = truth(condition.removeprefix(NOT), engine, what, features)
        return None if inner is None else not inner
    if condition == "bearing-longer-than-bore":
        return _longer(engine, what)
    if condition in ("speed-600-or-less", "speed-over-600"):
        slow = _slow(engine)
        return slow if slow is None or condition == "speed-600-or-less" else not slow
    if condition in engine.features:
        return True
    if condition in engine.absent:
        return False
    group = features[condition].group
    stated = any(features[f].group == group for f in engine.features if group and f in features)
    if stated:
        return False
    implied = tuple(f for f in engine.engine_class.implies if f not in engine.absent)
    if condition in implied:
        return True
    return False if group and any(features[f].group == group for f in implied if f in features) else None


def _longer(engine: Engine, what: Characteristic) -> bool | None:
    if len(what.scales_with) < 2:
        return None
    bore, length = (engine.dimensions.get(name) for name in what.scales_with[:2])
    return None if bore is None or length is None else length.canonical > bore.canonical


def _slow(engine: Engine) -> bool | None:
    speed = engine.dimensions.get("rated-speed")
    if speed is not None:
        return speed.to(RPM) <= SLOW_LIMIT
    top, bottom = engine.engine_class.max_rated_speed, engine.engine_class.min_rated_speed
    if top is not None and top.to(RPM) <= SLOW_LIMIT:
        return True
    return False if bottom is not None and bottom.to(RPM) > SLOW_LIMIT else None


def all_known(conditions: tuple[str, ...], engine: Engine, what: Characteristic, features: Mapping[str, Feature]) -> bool | None:
    """The conjunction, three-valued: False beats unknown, unknown beats True."""
    values = [truth(c, engine, what, features) for c in conditions]
    return False if False in values else None if None in values else True


def asks_for(condition: str, what: Characteristic) -> str:
    """The fact a person would have to state to settle a condition."""
    condition = condition.removeprefix(NOT)
    if condition == "bearing-longer-than-bore":
        return what.scales_with[1] if len(what.scales_with) > 1 else "bearing length"
    return "rated-speed" if condition.startswith("speed-") else condition
