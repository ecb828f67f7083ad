"""What came of the work: a machinist's report against the order, and two sheets of one engine compared."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from ..errors import UnexpectedAnswer
from ..quantities import Quantity, quantity_in_answer
from . import fields as f
from .limits import Interval
from .table import raw_field


@dataclass(frozen=True, slots=True)
class Figure:
    """One party's figure: a value with its doubt, or words, which are no figure."""

    value: Quantity | None = None
    standard_uncertainty: Quantity | None = None
    instrument: str = ""
    words: str = ""

    @classmethod
    def from_json(cls, value: Any) -> Figure | None:
        """From ``reported`` or ``measured`` of a line; None where nobody gave one."""
        if not isinstance(value, Mapping):
            return None
        return cls(quantity_in_answer(value.get("value")), quantity_in_answer(value.get("standard_uncertainty")), f.text(value, "instrument"),
                   f.text(value, "words"))  # fmt: skip


@dataclass(frozen=True, slots=True)
class BackLine:
    """One place of a part that came back.

    ``answer``: ``to_order``, ``not_to_order``, ``cannot_tell``, ``no_figure`` or ``no_limit``. ``agreement``: ``same``, ``differ``,
    ``only_mine``, ``only_his`` or ``nobody``; two figures that differ by less than both doubts are the same. ``both_inside``: it cannot be
    told, but both read inside the order. ``worked_out``: form, from the sizes of other lines.
    """

    part: str
    what: str
    answer: str
    agreement: str = ""
    text: str = ""
    station: str = ""
    axis: str = ""
    ordered: Interval | None = None
    reported: Figure | None = None
    measured: Figure | None = None
    chance: float | None = None
    assumed: tuple[str, ...] = ()
    both_inside: bool = False
    worked_out: bool = False
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> BackLine:
        """From one of ``lines``."""
        raw = f.an_object(value, "a line of the report")
        ordered = raw.get("ordered")
        return cls(f.text(raw, "part"), f.text(raw, "what"), f.needed(raw, "answer", "a line of the report"), f.text(raw, "agreement"),
                   f.text(raw, "text"), f.text(raw, "station"), f.text(raw, "axis"),
                   Interval.from_json(ordered) if isinstance(ordered, Mapping) else None, Figure.from_json(raw.get("reported")),
                   Figure.from_json(raw.get("measured")), f.number(raw, "chance"), f.texts(raw, "assumed"),
                   f.flag(raw, "both_inside"), f.flag(raw, "worked_out"), raw)  # fmt: skip


@dataclass(frozen=True, slots=True)
class SaidOfPlaces:
    """One sentence of a judged report, and the number of places it speaks of."""

    part: str
    answer: str
    text: str
    both_inside: bool = False
    places: int = 1

    @classmethod
    def from_json(cls, value: Any) -> SaidOfPlaces:
        """From one of ``in_words``."""
        raw = f.an_object(value, "a sentence of the report")
        return cls(f.text(raw, "part"), f.text(raw, "answer"), f.text(raw, "text"), f.flag(raw, "both_inside"), f.count(raw, "places"))


@dataclass(frozen=True, slots=True)
class PartsBack:
    """A machinist's report of finished sizes against the order, his figures and yours."""

    lines: tuple[BackLine, ...]
    text: str = ""
    before_paying: tuple[str, ...] = ()
    units: str = ""
    in_words: tuple[SaidOfPlaces, ...] = ()
    raw: Mapping[str, Any] = raw_field()

    @property
    def all_to_order(self) -> bool:
        """True where every place with an ordered limit is to the order, nobody differs, and there is at least one such place."""
        asked = [line for line in self.lines if line.answer != "no_limit"]
        return bool(asked) and all(line.answer == "to_order" for line in asked) and not any(line.agreement == "differ" for line in self.lines)

    @classmethod
    def from_json(cls, value: Any) -> PartsBack:
        """From ``POST /v1/parts-back``.

        Raises:
            UnexpectedAnswer: it has no lines.
        """
        raw = f.an_object(value, "the answer to a report")
        if not isinstance(raw.get("lines"), list):
            raise UnexpectedAnswer("the answer to a report has no 'lines'")
        return cls(tuple(BackLine.from_json(line) for line in f.parts(raw, "lines")), f.text(raw, "text"), f.texts(raw, "before_paying"),
                   f.text(raw, "units"), tuple(SaidOfPlaces.from_json(said) for said in f.parts(raw, "in_words")), raw)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Seen:
    """One sheet's reading of a place, as told, with its verdict and its doubt."""

    item: str
    told: str
    verdict: str = ""
    give_or_take: str = ""

    @classmethod
    def from_json(cls, value: Any) -> Seen | None:
        """From ``before`` or ``after`` of a row; None where that sheet did not read the place."""
        if not isinstance(value, Mapping):
            return None
        return cls(f.text(value, "item"), f.text(value, "told"), f.text(value, "verdict"), f.text(value, "give_or_take"))


@dataclass(frozen=True, slots=True)
class ComparedPlace:
    """One place before and after.

    ``change``: ``changed``, ``same`` (less than the two tools can tell), ``cannot_tell``, ``words_changed``, ``words_same``,
    ``only_before``, ``only_after``. ``better``: ``better``, ``worse`` or empty, by the verdicts.
    """

    characteristic: str
    name: str
    change: str
    place: str = ""
    assembly: str = ""
    before: Seen | None = None
    after: Seen | None = None
    better: str = ""
    difference: Quantity | None = None
    give_or_take: str = ""
    text: str = ""
    raw: Mapping[str, Any] = raw_field()

    @property
    def last(self) -> Seen | None:
        """The later reading of the place; the earlier one where it was not read again."""
        return self.after or self.before

    @classmethod
    def from_json(cls, value: Any) -> ComparedPlace:
        """From one of ``rows``."""
        raw = f.an_object(value, "a compared place")
        return cls(f.text(raw, "characteristic"), f.text(raw, "name"), f.needed(raw, "change", "a compared place"), f.text(raw, "place"),
                   f.text(raw, "assembly"), Seen.from_json(raw.get("before")), Seen.from_json(raw.get("after")), f.text(raw, "better"),
                   quantity_in_answer(raw.get("difference")), f.text(raw, "give_or_take"), f.text(raw, "text"), raw)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Comparison:
    """Two sheets of one engine, place by place in the order it comes apart."""

    rows: tuple[ComparedPlace, ...]
    text: str = ""
    counts: Mapping[str, int] = field(default_factory=dict, hash=False)
    engine_id: str = ""
    units: str = ""
    edition: str = ""
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> Comparison:
        """From ``POST /v1/comparisons``.

        Raises:
            UnexpectedAnswer: it has no rows.
        """
        raw = f.an_object(value, "the comparison")
        if not isinstance(raw.get("rows"), list):
            raise UnexpectedAnswer("the comparison has no 'rows'")
        counts = {name: number for name, number in f.part(raw, "counts").items() if isinstance(number, int)}
        return cls(tuple(ComparedPlace.from_json(row) for row in f.parts(raw, "rows")), f.text(raw, "text"), counts,
                   f.text(f.part(raw, "engine"), "id"), f.text(raw, "units"), f.text(raw, "edition"), raw)  # fmt: skip
