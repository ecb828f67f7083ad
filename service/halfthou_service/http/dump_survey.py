"""Surveys as plain values for JSON: the figures that follow from each, and what its readings cannot see."""

from __future__ import annotations

from typing import Any

from halfthou_specdb.quantity import decimal_of

from ..bench.speak import unit_for
from ..bench.surveys.survey import Figure
from ..bench.surveys.verdict import JudgedSurvey
from .dump_values import told_u, told_value
from .parse_survey import RefusedSurvey
from .state import Shop


def survey(judged: JudgedSurvey, units: str, problem: dict[str, Any] | None) -> dict[str, Any]:
    """One survey. Sizes are told in the unit of its readings, or in the system asked for."""
    found: dict[str, Any] = {
        "id": judged.survey.id, "feature": judged.survey.kind, "instance": judged.survey.instance or None,
        "figures": [_figure(figure, units) for figure in judged.figures], "notes": [], "u_random": None, "u_shared": None,
        "items": [item.id for item in judged.items],
    }  # fmt: skip
    if judged.answer is not None:
        answer = judged.answer
        told = unit_for(answer.unit, units)
        scale = float(answer.unit.factor / told.factor)
        found |= {"notes": list(answer.notes), "u_random": told_u(answer.u_random, scale, told), "u_shared": told_u(answer.u_shared, scale, told)}
    return found | ({"problem": problem} if problem else {})


def refused(entry: RefusedSurvey, problem: dict[str, Any]) -> dict[str, Any]:
    """A survey that could not be read."""
    return {"id": entry.id, "feature": entry.feature or None, "instance": entry.instance or None, "figures": [], "notes": [], "u_random": None,
            "u_shared": None, "items": [entry.id], "problem": problem}  # fmt: skip


def _figure(figure: Figure, units: str) -> dict[str, Any]:
    told = unit_for(figure.unit, units)
    scale = float(figure.unit.factor / told.factor)
    return {"name": figure.name, "characteristic": figure.characteristic or None, "value": told_value(decimal_of(figure.value), figure.unit, told),
            "standard_uncertainty": told_u(figure.u, scale, told), "where": figure.where or None}  # fmt: skip


def diameter_of(shop: Shop, feature: str) -> str:
    """The characteristic that a survey of a feature reads, or the empty string."""
    kind = shop.table.surveys.get(feature)
    return kind.diameter if kind else ""
