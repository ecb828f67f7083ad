"""A small table made for tests: one engine class, three instruments, and whatever characteristics and limits a case needs.

Figures here are invented for the cases; none is a figure of the trade.
"""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from functools import cache
from typing import Any

from halfthou_service.bench.item import Item
from halfthou_service.bench.readings import InlineLimit, Reading, Rules
from halfthou_service.bench.verdict import Bench
from halfthou_specdb.facts import Engine
from halfthou_specdb.load import RawRecord, read_text
from halfthou_specdb.quantity import Quantity, parse_quantity
from halfthou_specdb.resolve import Interval
from halfthou_specdb.rules import NONE_ON_FILE, UNBOUNDED, Value
from halfthou_specdb.table import Table
from halfthou_specdb.units import UNITS

NONE, FREE = "none_on_file", "unbounded"

BASE = """
[[class]]
id = "slow-open-crank"
kind = "class"
name = "Slow engine, open crank"
description = "for tests"
implies = ["drip-oiled"]

[[class]]
id = "slow-enclosed-crank"
kind = "class"
name = "Slow engine, enclosed crank"
description = "for tests"

[[class]]
id = "general-machinery"
kind = "kin"
name = "General machinery"
description = "for tests"

[[dimension]]
id = "crankpin"
name = "Crankpin"
unit = "in"
[[dimension]]
id = "flywheel"
name = "Flywheel"
unit = "in"
[[dimension]]
id = "rated-speed"
name = "Rated speed"
unit = "rpm"

[[feature]]
id = "drip-oiled"
group = "oiling"
says = "drip"
[[feature]]
id = "splash"
group = "oiling"
says = "splash"
[[feature]]
id = "fuel-pump"
group = ""
says = "pump"

[[instrument]]
id = "rule"
name = "steel rule"
measures = "length"
cost_class = 1
default_variant = "plain"
[[instrument.variant]]
id = "plain"
name = "64ths"
parts = [{ name = "scale step", kind = "constant", value = 1, unit = "thou", grade = "from-memory" }]

[[instrument]]
id = "micrometer"
name = "micrometer"
measures = "length"
cost_class = 2
default_variant = "one-inch"
[[instrument.variant]]
id = "one-inch"
name = "0-1 in"
reads = { from = 0, to = 1, unit = "in" }
parts = [
  { name = "screw", kind = "constant", value = 0.06, unit = "thou", grade = "from-memory" },
  { name = "feel", kind = "constant", value = 0.08, unit = "thou", grade = "from-memory", random = true },
]
[[instrument.variant]]
id = "two-inch"
name = "1-2 in"
reads = { from = 1, to = 2, unit = "in" }
parts = [{ name = "screw", kind = "constant", value = 0.15, unit = "thou", grade = "from-memory" }]

[[instrument]]
id = "feeler"
name = "feeler"
measures = "length"
cost_class = 1
default_variant = "leaves"
[[instrument.variant]]
id = "leaves"
name = "leaves"
parts = [
  { name = "step between leaves", kind = "constant", value = 0.29, unit = "thou", grade = "from-memory" },
  { name = "feel", kind = "constant", value = 0.3, unit = "thou", grade = "from-memory", random = true },
]

[[instrument]]
id = "degree-wheel"
name = "degree wheel"
measures = "angle"
cost_class = 1
default_variant = "paper"
[[instrument.variant]]
id = "paper"
name = "paper"
parts = [{ name = "edge", kind = "constant", value = 0.5, unit = "deg", grade = "from-memory" }]

[[instrument]]
id = "share-meter"
name = "meter good to a share of its reading"
measures = "ratio"
cost_class = 2
default_variant = "one"
[[instrument.variant]]
id = "one"
name = "one"
parts = [{ name = "share", kind = "percent", value = 5, grade = "from-memory" }]

[[instrument]]
id = "thermometer"
name = "thermometer"
measures = "temperature"
cost_class = 1
default_variant = "one"
[[instrument.variant]]
id = "one"
name = "one"
parts = [{ name = "read", kind = "constant", value = 0.01, unit = "degC", grade = "from-memory", random = true }]

[[caution]]
id = "C900"
hazard = "wheels"
when = "running"
says = "keep clear"
grade = "common-practice"
"""


def _toml(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, Decimal)):
        return f"{value:f}" if isinstance(value, Decimal) else str(value)
    if isinstance(value, str):
        return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'
    if isinstance(value, dict):
        return "{ " + ", ".join(f"{k} = {_toml(v)}" for k, v in value.items()) + " }"
    return "[" + ", ".join(_toml(v) for v in value) + "]"


def record(kind_of_record: str, /, **fields: Any) -> str:
    """One record as TOML."""
    return "\n".join([f"[[{kind_of_record}]]", *(f"{k} = {_toml(v)}" for k, v in fields.items())])


def characteristic(name: str = "gap", low: str = "too-tight", high: str = "worn", **more: Any) -> str:
    """A characteristic with the meanings of its two sides."""
    fields: dict[str, Any] = {
        "id": name, "name": name.replace("-", " ").capitalize(), "component": "connecting-rod", "definition": "for tests",
        "how_to_measure": "measure it", "value_kind": "quantity", "unit": "in", "basis": "plain", "non_negative": True,
        "instruments": [], "usual_instrument": "micrometer", "scales_with": [], "consequence": "none", "stage": "assembly",
        "start_critical": False, "grade": "common-practice",
        "low_side": {"meaning": low, "says": f"the low side of {name} is {low}"},
        "high_side": {"meaning": high, "says": f"the high side of {name} is {high}"},
    }  # fmt: skip
    return record("characteristic", **(fields | more))


def finding(name: str, words: dict[str, str], **more: Any) -> str:
    """A finding: word -> verdict; a ``stop`` vetoes the engine unless the verdict is written ``stop/part``."""
    plain = characteristic(name, "harmless", "stop", value_kind="finding", **more)
    lines = [line for line in plain.splitlines() if not line.startswith(("unit =", "usual_instrument =", "non_negative ="))]
    for word, verdict in words.items():
        verdict, _, part = verdict.partition("/")
        veto = "none" if verdict != "stop" else "stops-part" if part else "stops-engine"
        lines += ["[[characteristic.words]]", f"word = {_toml(word)}", f"aliases = [{_toml(word + ' too')}]",
                  f"meaning = {_toml(f'it means {word}')}", f"verdict = {_toml(verdict)}", f"veto = {_toml(veto)}",
                  f"remedy = {_toml(f'mend the {word}')}"]  # fmt: skip
    return "\n".join(lines)


def limit(name: str, fit: tuple[Any, Any], wear: tuple[Any, Any] = (NONE, NONE), kind: str = "limit", **more: Any) -> str:
    """A limit on ``name``: every numeric end is our judgement between two statements of one made-up rule of the trade."""
    ends = {"fit_low": fit[0], "fit_high": fit[1], "wear_low": wear[0], "wear_high": wear[1]}
    numeric = [end for end, v in ends.items() if not isinstance(v, str)]
    limit_id = more.pop("limit_id", f"{name}-limit")
    fields: dict[str, Any] = {
        "id": limit_id, "kind": kind, "characteristic": name, "classes": ["slow-open-crank"], "use": "work", "unit": "in",
        "basis": "plain", "fit": {"low": fit[0], "high": fit[1]}, "wear": {"low": wear[0], "high": wear[1]}, "reasoning": "for tests",
    }  # fmt: skip
    fields |= more
    if kind == "safety":
        fields |= {"classes": ["any"], "use": "any"}
    fields["derivation"] = {
        end: {"op": "judgement", "between": [f"{limit_id}-told.low"], "outside": "made for tests"} for end in numeric
    }
    told = record("evidence", id=f"{limit_id}-told", characteristics=[name], kin="general-machinery", written_for="tests",
                  says="told", kind="typical", basis="plain", unit=fields["unit"], low=1, high=2, grade="common-practice")  # fmt: skip
    return f"{told}\n\n{record('limit', **fields)}"


def evidence(name: str, characteristic_id: str, kind: str, low: Any, high: Any, kin: str = "slow-open-crank", **more: Any) -> str:
    """One statement."""
    fields: dict[str, Any] = {
        "id": name, "characteristics": [characteristic_id], "kin": kin, "written_for": f"written for {name}", "says": "told",
        "kind": kind, "basis": "plain", "unit": "in", "low": low, "high": high, "grade": "common-practice",
    }  # fmt: skip
    return record("evidence", **(fields | more))


@cache
def table_of(*parts: str) -> Table:
    """A table from record texts; a bad record fails the test at once."""
    records = []
    for part in (BASE, *parts):
        for item in read_text(part, "made"):
            if not isinstance(item, RawRecord):
                raise AssertionError(str(item))
            records.append(item)
    return Table(records, "test")


def bench(*parts: str, engine_class: str = "slow-open-crank", rules: Rules | None = None, **engine: Any) -> Bench:
    """A bench over a made table."""
    table = table_of(*parts)
    return Bench(table, Engine(table.classes[engine_class], **engine), rules or Rules())


def dec(text: str) -> Decimal:
    """A decimal with its digits."""
    return Decimal(text)


def q(text: str) -> Quantity:
    """``3.8 thou``."""
    return parse_quantity(text)


def read(name: str, *values: str, u: str = "", **more: Any) -> Reading:
    """A reading of ``name``; ``u`` its standard uncertainty in words."""
    given = {"standard_uncertainty": q(u)} if u else {}
    return Reading(more.pop("id", "r1"), name, values=tuple(q(v) for v in values), **given, **more)


def _side(value: str | None) -> Value:
    if value in (NONE, FREE):
        return NONE_ON_FILE if value == NONE else UNBOUNDED
    assert value is not None
    return Fraction(Decimal(value))


def inline(unit: str, fit: tuple[str, str] = (NONE, NONE), wear: tuple[str, str] = (NONE, NONE)) -> InlineLimit:
    """The caller's own limit, in ``unit``."""
    token = UNITS[unit]
    return InlineLimit(Interval(_side(fit[0]), _side(fit[1]), token), Interval(_side(wear[0]), _side(wear[1]), token))


def judge(reading: Reading, *parts: str, rules: Rules | None = None, **engine: Any) -> Item:
    """One reading on a made table."""
    return bench(*parts, rules=rules, **engine).judge(reading)
