"""What a survey shows: the figures that follow from its readings, and what they cannot see."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ..errors import ProblemDocument
from ..quantities import Quantity, quantity_in_answer
from . import fields as f
from .table import raw_field
from .verdicts import Verdict, problem_in_answer


@dataclass(frozen=True, slots=True)
class SurveyFigure:
    """One derived figure, such as ``out-of-round``: its value, its standard uncertainty, where it was met."""

    name: str
    value: Quantity | None = None
    standard_uncertainty: Quantity | None = None
    where: str = ""
    characteristic: str = ""

    @classmethod
    def from_json(cls, value: Any) -> SurveyFigure:
        """From one of ``figures``."""
        raw = f.an_object(value, "a figure")
        return cls(
            f.needed(raw, "name", "a figure"),
            quantity_in_answer(raw.get("value")),
            quantity_in_answer(raw.get("standard_uncertainty")),
            f.text(raw, "where"),
            f.text(raw, "characteristic"),
        )


@dataclass(frozen=True, slots=True)
class SurveyAnswer:
    """A survey worked out: figures, verdicts on those with a limit, what the readings cannot see; or a problem."""

    id: str
    feature: str = ""
    instance: str = ""
    figures: tuple[SurveyFigure, ...] = ()
    notes: tuple[str, ...] = ()
    u_random: Quantity | None = None
    u_shared: Quantity | None = None
    items: tuple[Verdict, ...] = ()
    problem: ProblemDocument | None = None
    raw: Mapping[str, Any] = raw_field()

    def figure(self, name: str) -> SurveyFigure:
        """The first figure of that name, such as ``taper``.

        Raises:
            KeyError: the survey has no such figure.
        """
        for entry in self.figures:
            if entry.name == name:
                return entry
        raise KeyError(name)

    @classmethod
    def from_json(cls, value: Any, items: Mapping[str, Verdict] | None = None) -> SurveyAnswer:
        """From one of ``surveys``; ``items`` are those of the same answer, by id."""
        raw = f.an_object(value, "a survey")
        figures = raw.get("figures")
        known = items or {}
        return cls(
            f.needed(raw, "id", "a survey"),
            f.text(raw, "feature"),
            f.text(raw, "instance"),
            tuple(SurveyFigure.from_json(entry) for entry in figures) if isinstance(figures, list) else (),
            f.texts(raw, "notes"),
            quantity_in_answer(raw.get("u_random")),
            quantity_in_answer(raw.get("u_shared")),
            tuple(known[name] for name in f.texts(raw, "items") if name in known),
            problem_in_answer(raw.get("problem")),
            raw,
        )
