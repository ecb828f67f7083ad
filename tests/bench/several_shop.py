"""A made-up shop where several things of one kind are read one by one. Every figure is invented."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from tests.bench.made import FREE, NONE, bench, characteristic, limit, q, record
from tests.bench.survey_shop import KINDS

from halfthou_service.bench.readings import Rules
from halfthou_service.bench.sheet import SheetAnswer, judge_sheet
from halfthou_service.bench.surveys.survey import Survey, SurveyAnswer, work_out
from halfthou_service.bench.verdict import Bench

TOOLS = """
[[instrument]]
id = "leaves"
name = "loose leaves"
measures = "length"
cost_class = 1
default_variant = "one"
[[instrument.variant]]
id = "one"
name = "one"
shared_error = "feeler"
parts = [
  { name = "leaf", kind = "constant", value = 0.4, unit = "thou", grade = "from-memory" },
  { name = "feel", kind = "constant", value = 0.3, unit = "thou", grade = "from-memory", random = true },
]

[[instrument]]
id = "pull"
name = "pull scale"
measures = "force"
cost_class = 1
default_variant = "one"
[[instrument.variant]]
id = "one"
name = "one"
shared_error = "pull scale"
parts = [
  { name = "scale", kind = "constant", value = 0.3, unit = "lbf", grade = "from-memory" },
  { name = "hook", kind = "constant", value = 0.1, unit = "lbf", grade = "from-memory", random = true },
]
"""
RINGS = ["ring 1", "ring 2", "ring 3"]


def kind(name: str, reads: str, **more: Any) -> str:
    return record("several", **({"id": name, "name": name, "reads": reads, "each": "instance", "judged": "both"} | more))


SEVERAL = (
    TOOLS,
    characteristic("gap", component="piston-ring", usual_instrument="mike", instruments=["leaves", "mike"], instances=RINGS),
    limit("gap", (10, 20), (NONE, 30), unit="thou"),
    characteristic("pull", "poor", "poor", unit="lbf", usual_instrument="pull", instruments=["pull"], instances=["inlet", "exhaust"]),
    limit("pull", (4, 6), kind="guide", unit="lbf"),
    characteristic("rim", "worn", "harmless", usual_instrument="mike", instances=["inlet", "exhaust"]),
    limit("rim", (30, FREE), (15, FREE), unit="thou"),
    characteristic("apart", "harmless", "poor", usual_instrument="mike"), limit("apart", (FREE, 1), unit="thou"),
    characteristic("main", usual_instrument="mike", component="main-bearing", basis="diametral", instances=["left", "right"]),
    limit("main", (2, 4), (NONE, 6), unit="thou", basis="diametral"),
    characteristic("joint", usual_instrument="swing", non_negative=False, instances=["left", "right"], component="main-bearing"),
    kind("gaps", "gap"), kind("pulls", "pull"), kind("rims", "rim", each="station", judged="smallest"), kind("mains", "main", difference="apart"),
    record("survey", id="split", name="split bearing", inside=True, new="crankpin", stations=["inner", "middle", "outer"], axes=["up", "level"],
           joint="joint", across_joint=[["across load", "loaded line"], ["level", "up"]]),
)  # fmt: skip


def shop(*parts: str, rules: Rules | None = None, **engine: Any) -> Bench:
    return bench(*KINDS, *SEVERAL, *parts, rules=rules, **engine)


def several(kind_id: str, readings: Mapping[Any, str | Sequence[str]], **more: Any) -> Survey:
    """A survey; readings by instance (or station), or by (instance, station)."""
    cells = {}
    for place, given in readings.items():
        spot = place if isinstance(place, tuple) else (place, "")
        cells[spot] = tuple(q(v) for v in ([given] if isinstance(given, str) else given))
    for mine, theirs in (("u", "standard_uncertainty"), ("shared", "shared_uncertainty")):
        if mine in more:
            more[theirs] = q(more.pop(mine))
    return Survey(more.pop("id", "s"), kind_id, cells, **more)


def gaps(*sizes: float, unit: str = "thou", **more: Any) -> Survey:
    """End gaps of ring 1, ring 2 ..."""
    return several("gaps", {f"ring {k}": f"{size:.6f} {unit}" for k, size in enumerate(sizes, 1)}, **more)


def answer(survey: Survey) -> SurveyAnswer:
    return work_out(shop().table, survey)


def judged(*surveys: Survey, rules: Rules | None = None, parts: tuple[str, ...] = ()) -> SheetAnswer:
    return judge_sheet(shop(*parts, rules=rules), [], surveys)
