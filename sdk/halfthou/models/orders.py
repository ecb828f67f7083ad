"""The work order: what each machinist is told of each part, and what the owner must still decide."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from ..errors import UnexpectedAnswer
from . import fields as f
from .limits import Interval
from .table import Caution, raw_field


@dataclass(frozen=True, slots=True)
class Note:
    """One sentence of an order; ``grade`` is whose it is, empty where it needs none."""

    says: str
    grade: str = ""


@dataclass(frozen=True, slots=True)
class Target:
    """A size to finish to: as told on the paper, and as an interval."""

    what: str
    told: str
    interval: Interval
    grade: str = ""
    how: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Mate:
    """A part it must match, and its size; ``measured`` is false where that size is only ordered or to suit."""

    part: str
    size: str
    measured: bool = False


@dataclass(frozen=True, slots=True)
class SizeFound:
    """A size as found, as told on the paper."""

    what: str
    place: str
    value: str
    give_or_take: str = ""
    tool: str = ""
    temperature: str = ""


@dataclass(frozen=True, slots=True)
class PartOrder:
    """What one machinist is told of one part; lists of what else is told are in ``raw``.

    ``check_when_back``, ``decide_first``, ``proposals`` and ``cannot_prove`` are the owner's own; they are not on the machinist's copy.
    """

    id: str
    name: str
    trade: str = ""
    quantity: int = 1
    identify: str = ""
    why: tuple[str, ...] = ()
    as_found: tuple[SizeFound, ...] = ()
    finish_to: tuple[Target, ...] = ()
    mates_with: tuple[Mate, ...] = ()
    form: tuple[Note, ...] = ()
    finish: tuple[Note, ...] = ()
    work: tuple[Note, ...] = ()
    datum: str = ""
    fillet: str = ""
    do_not_cut: tuple[str, ...] = ()
    do_first: tuple[Note, ...] = ()
    do_after: tuple[Note, ...] = ()
    measure_at: str = ""
    report: tuple[Note, ...] = ()
    send_back: tuple[Note, ...] = ()
    stop_and_ring_if: tuple[Note, ...] = ()
    cautions: tuple[Caution, ...] = ()
    notes: tuple[str, ...] = ()
    check_when_back: tuple[str, ...] = ()
    decide_first: tuple[str, ...] = ()
    proposals: tuple[str, ...] = ()
    undecided: bool = False
    cannot_prove: tuple[str, ...] = ()
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> PartOrder:
        """From one of ``parts``."""
        raw = f.an_object(value, "a part of the order")
        found = tuple(SizeFound(f.text(a, "what"), f.text(a, "place"), f.text(a, "value"), f.text(a, "give_or_take"), f.text(a, "tool"),
                                f.text(a, "temperature")) for a in f.parts(raw, "as_found"))  # fmt: skip
        targets = tuple(Target(f.text(t, "what"), f.text(t, "told"), Interval.from_json(t), f.text(t, "grade"), f.text(t, "how"), f.text(t, "note"))
                        for t in f.parts(raw, "finish_to"))  # fmt: skip
        mates = tuple(Mate(f.text(m, "part"), f.text(m, "size"), f.flag(m, "measured")) for m in f.parts(raw, "mates_with"))
        return cls(
            f.needed(raw, "id", "a part of the order"),
            f.text(raw, "name"),
            f.text(raw, "trade"),
            f.count(raw, "quantity"),
            f.text(raw, "identify"),
            f.texts(raw, "why"),
            found,
            targets,
            mates,
            _notes(raw, "form"),
            _notes(raw, "finish"),
            _notes(raw, "work"),
            f.text(f.part(raw, "datum"), "says"),
            f.text(f.part(raw, "fillet"), "says"),
            f.texts(raw, "do_not_cut"),
            _notes(raw, "do_first"),
            _notes(raw, "do_after"),
            f.text(raw, "measure_at"),
            _notes(raw, "report"),
            _notes(raw, "return"),
            _notes(raw, "stop_and_ring_if"),
            tuple(Caution.from_json(caution) for caution in f.parts(raw, "cautions")),
            f.texts(raw, "notes"),
            f.texts(raw, "check_when_back"),
            f.texts(raw, "decide_first"),
            f.texts(raw, "proposals"),
            f.flag(raw, "undecided"),
            f.texts(raw, "cannot_prove"),
            raw,
        )


def _notes(raw: Mapping[str, Any], key: str) -> tuple[Note, ...]:
    return tuple(Note(f.text(note, "says"), f.text(note, "grade")) for note in f.parts(raw, key))


@dataclass(frozen=True, slots=True)
class Withheld:
    """A part that is not sent, and why."""

    name: str
    why: str


@dataclass(frozen=True, slots=True)
class WorkOrder:
    """All parts that go out, in the order of the work. ``report``: blank lines for :meth:`Client.parts_back`, one a place to measure."""

    parts: tuple[PartOrder, ...]
    withheld: tuple[Withheld, ...] = ()
    report: tuple[Mapping[str, Any], ...] = field(default=(), hash=False)
    engine_id: str = ""
    engine_class: str = ""
    date: str = ""
    owner: str = ""
    ring: str = ""
    machinist: str = ""
    units: str = ""
    edition: str = ""
    raw: Mapping[str, Any] = raw_field()

    def part(self, part_id: str) -> PartOrder:
        """The part of that id, such as ``crankshaft``.

        Raises:
            KeyError: no such part on the order.
        """
        for entry in self.parts:
            if entry.id == part_id:
                return entry
        raise KeyError(part_id)

    @classmethod
    def from_json(cls, value: Any) -> WorkOrder:
        """From ``POST /v1/work-orders``.

        Raises:
            UnexpectedAnswer: it has no parts.
        """
        raw = f.an_object(value, "the work order")
        if not isinstance(raw.get("parts"), list):
            raise UnexpectedAnswer("the work order has no 'parts'")
        engine = f.part(raw, "engine")
        return cls(tuple(PartOrder.from_json(part) for part in f.parts(raw, "parts")),
                   tuple(Withheld(f.text(w, "name"), f.text(w, "why")) for w in f.parts(raw, "withheld")), f.parts(raw, "report"),
                   f.text(engine, "id"), f.text(engine, "name"), f.text(raw, "date"), f.text(raw, "owner"), f.text(raw, "ring"),
                   f.text(raw, "machinist"), f.text(raw, "units"), f.text(raw, "edition"), raw)  # fmt: skip
