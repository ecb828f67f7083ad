"""A second opinion as plain values for JSON."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from ..bench.item import Item
from ..bench.second_opinion import Film, SecondOpinion
from ..bench.verdict import Bench
from ..calculations.frame import from_si
from . import dump_records as records

FILM = {"inch": "thou", "metric": "um"}
LOAD = {"inch": "lbf", "metric": "N"}
FIGURES = 5


def second_opinion(found: SecondOpinion, item: Item, bench: Bench) -> dict[str, Any]:
    """What the film says beside the verdict, with its limits always."""
    system = bench.rules.units or ("metric" if item.unit is not None and item.unit.system == "metric" else "inch")
    film = FILM[system]
    around = [{"clearance": _told(share, "thou/in"), "film": _told(value, film)} for share, value in zip((0.001, 0.002), found.around, strict=True)]
    return {
        "opinion": found.opinion, "text": found.text, "clearance_per_diameter": _told(found.per_inch, "thou/in"),
        "films": [_film(each, film, LOAD[system]) for each in found.films], "least_film": _told(found.least, film),
        "between": around if found.films else [], "needs": list(found.needs), "assumed": list(found.assumed),
        "flags": [{"code": flag.code, "says": flag.says} for flag in found.flags], "limits": list(found.limits), "calculation": "journal-film",
    }  # fmt: skip


def _film(each: Film, film: str, load: str) -> dict[str, Any]:
    return {"case": each.case, "load": _told(each.load, load), "film": _told(each.thickness, film), "regime": each.regime, "enough": each.thick}


def _told(value: float | None, unit: str) -> dict[str, Any] | None:
    return None if value is None else {"value": records.number(Decimal(f"{from_si(value, unit):.{FIGURES}g}")), "unit": unit}
