"""A made-up shop for surveys: a bore, a shaft and their clearance, with limits as a case needs them. Every figure is invented."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from tests.bench.made import FREE, NONE, bench, characteristic, limit, q, record

from halfthou_service.bench.item import Item
from halfthou_service.bench.readings import Rules
from halfthou_service.bench.sheet import judge_sheet
from halfthou_service.bench.surveys.records import Figure
from halfthou_service.bench.surveys.survey import Survey, SurveyAnswer, work_out
from halfthou_service.bench.verdict import Bench

U = {"random": "0.1 thou", "shared": "0.15 thou"}


def survey_kind(name: str, inside: bool, **more: Any) -> str:
    fields: dict[str, Any] = {"id": name, "name": name, "inside": inside, "new": "crankpin", "stations": ["top", "middle", "bottom"],
                              "axes": ["A", "B", "C"]}  # fmt: skip
    return record("survey", **(fields | more))


TOOLS = """
[[instrument]]
id = "mike"
name = "mike"
measures = "length"
cost_class = 2
default_variant = "one"
[[instrument.variant]]
id = "one"
name = "one"
shared_error = "micrometer"
parts = [
  { name = "screw", kind = "constant", value = 0.12, unit = "thou", grade = "from-memory" },
  { name = "zero", kind = "constant", value = 0.09, unit = "thou", grade = "from-memory" },
  { name = "feel", kind = "constant", value = 0.1, unit = "thou", grade = "from-memory", random = true },
]

[[instrument]]
id = "swing"
name = "swing gauge"
measures = "length"
cost_class = 1
default_variant = "one"
[[instrument.variant]]
id = "one"
name = "one"
shared_error = "micrometer"
parts = [
  { name = "micrometer", kind = "constant", value = 0.15, unit = "thou", grade = "from-memory" },
  { name = "tilt", kind = "constant", value = 0.3, unit = "thou", grade = "from-memory", random = true },
]

[[instrument]]
id = "lump"
name = "tool whose parts nobody told apart"
measures = "length"
cost_class = 5
default_variant = "one"
[[instrument.variant]]
id = "one"
name = "one"
parts = [{ name = "all together", kind = "constant", value = 0.2, unit = "thou", grade = "from-memory" }]
"""

METALS = """
[[material]]
id = "grey-cast-iron"
name = "iron"
expansion = { value = 11, low = 11, high = 11 }
grade = "from-memory"
[[material]]
id = "carbon-steel"
name = "steel"
expansion = { value = 12, low = 12, high = 12 }
grade = "from-memory"
[[material]]
id = "brass"
name = "brass"
expansion = { value = 20, low = 20, high = 20 }
grade = "from-memory"
"""

KINDS = (
    TOOLS, METALS,
    characteristic("oval", "harmless", "worn", usual_instrument="mike", instruments=["mike", "swing"], component="crankshaft"),
    characteristic("bore-oval", "harmless", "worn", usual_instrument="swing", component="cylinder"),
    characteristic("cone", "harmless", "worn", usual_instrument="mike", component="crankshaft"),
    characteristic("bore-cone", "harmless", "worn", usual_instrument="swing", component="cylinder"),
    characteristic("loss", "harmless", "worn", usual_instrument="mike", component="crankshaft"),
    characteristic("bore-loss", "harmless", "worn", usual_instrument="swing", component="cylinder"),
    characteristic("shaft-size", "worn", "harmless", usual_instrument="mike", component="crankshaft"),
    characteristic("bore-size", "too-tight", "worn", usual_instrument="swing", component="cylinder"),
    characteristic("play", "too-tight", "worn", usual_instrument="swing", component="main-bearing", basis="diametral"),
    survey_kind("shaft", False, diameter="shaft-size", out_of_round="oval", taper="cone", wear="loss", taper_between="ends",
                unworn=["collar"]),
    survey_kind("hole", True, diameter="bore-size", out_of_round="bore-oval", taper="bore-cone", wear="bore-loss", unworn=["bottom"]),
    record("pair", clearance="play", bore="hole", shaft="shaft", judged="both"),
)  # fmt: skip


def limits(**bounds: tuple[Any, Any, Any, Any]) -> tuple[str, ...]:
    """Limits in thousandths by characteristic (dashes as underscores): fit low, fit high, wear low, wear high."""
    basis = {"play": "diametral"}
    return tuple(limit(name.replace("_", "-"), ends[:2], ends[2:], unit="thou", basis=basis.get(name, "plain")) for name, ends in bounds.items())


def up_to(fit: Any, wear: Any) -> tuple[Any, Any, Any, Any]:
    """A limit with nothing bad below: up to ``fit`` when new, up to ``wear`` when worn."""
    return (FREE, fit, NONE, wear)


def survey(kind: str, sizes: Mapping[tuple[str, str], float | Sequence[float] | str], unit: str = "in", **more: Any) -> Survey:
    """A survey; sizes as numbers in ``unit``, or text with its own unit. ``u``, ``shared``: stated uncertainties in words."""
    cells = {}
    for spot, given in sizes.items():
        values = given if isinstance(given, (list, tuple)) else [given]
        cells[spot] = tuple(q(v) if isinstance(v, str) else q(f"{v:.7f} {unit}") for v in values)
    for mine, theirs in (("u", "standard_uncertainty"), ("shared", "shared_uncertainty")):
        if mine in more:
            more[theirs] = q(more.pop(mine))
    for name in ("new", "new_uncertainty", "temperature", "instrument_temperature"):
        if isinstance(more.get(name), str):
            more[name] = q(more[name])
    return Survey(more.pop("id", kind[0]), kind, cells, **more)


def answer(kind: str, sizes: Mapping[tuple[str, str], Any], **more: Any) -> SurveyAnswer:
    """A survey worked out, without any limit."""
    return work_out(shop().table, survey(kind, sizes, **more))


def figure(found: SurveyAnswer, name: str) -> Figure:
    return next(f for f in found.figures if f.name == name)


def shop(*parts: str, rules: Rules | None = None, **engine: Any) -> Bench:
    return bench(*KINDS, *parts, rules=rules, **engine)


def judged(parts: tuple[str, ...], *surveys: Survey, rules: Rules | None = None, **engine: Any) -> dict[str, Item]:
    """The items of the surveys, by id."""
    return {item.id: item for item in judge_sheet(shop(*parts, rules=rules, **engine), [], surveys).items}


def grid(
    values: Sequence[Sequence[float]], stations: Sequence[str] = ("top", "middle", "bottom"), axes: str = "ABCDEF"
) -> dict[tuple[str, str], float]:
    """Rows are stations, columns axes."""
    return {(station, axes[k]): v for station, row in zip(stations, values, strict=False) for k, v in enumerate(row)}
