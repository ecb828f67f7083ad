"""What a reading, and a sheet of readings, means."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from ..errors import ProblemDocument, ProblemEntry, UnexpectedAnswer
from ..quantities import Quantity, quantity_in_answer
from . import fields as f
from .limits import LimitAnswer
from .remedies import Remedy
from .table import Caution, raw_field

if TYPE_CHECKING:
    from .readiness import Readiness
    from .surveys import SurveyAnswer

VERDICTS = (
    "stop",
    "beyond_limit",
    "outside_fit",
    "undecided",
    "not_judged",
    "unusual",
    "usable",
    "typical",
    "within_fit",
)
"""Every verdict word, worst first."""
PASSES = frozenset({"within_fit", "usable", "typical"})


@dataclass(frozen=True, slots=True)
class SecondOpinion:
    """The oil film beside the rule of thumb: ``supports``, ``warns`` or ``cannot_tell``. ``limits`` of the theory are always said."""

    opinion: str
    text: str = ""
    needs: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    limits: tuple[str, ...] = ()
    flags: tuple[str, ...] = ()
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> SecondOpinion | None:
        """From ``second_opinion`` of an item; None where none was asked for."""
        if not isinstance(value, Mapping):
            return None
        return cls(
            f.needed(value, "opinion", "a second opinion"),
            f.text(value, "text"),
            f.texts(value, "needs"),
            f.texts(value, "assumed"),
            f.texts(value, "limits"),
            f.texts(value, "flags"),
            value,
        )


@dataclass(frozen=True, slots=True)
class Verdict:
    """What one reading means. ``text`` is the line to read; chances are None where none was worked out.

    ``advice`` is what the table says for that side; ``remedies`` are worked out in amounts, where they were asked for.
    """

    id: str
    verdict: str
    text: str = ""
    characteristic: str = ""
    component: str = ""
    side: str = ""
    as_new: str = ""
    p_fit: float | None = None
    p_serviceable: float | None = None
    value: Quantity | None = None
    standard_uncertainty: Quantity | None = None
    degrees_of_freedom: float | None = None
    limit_id: str = ""
    limit: LimitAnswer | None = None
    assumed: tuple[str, ...] = ()
    problem: ProblemDocument | None = None
    cautions: tuple[Caution, ...] = ()
    edition: str = ""
    raw: Mapping[str, Any] = raw_field()
    second_opinion: SecondOpinion | None = None
    advice: tuple[str, ...] = ()
    remedies: tuple[Remedy, ...] = ()

    @property
    def passes(self) -> bool:
        """True for ``within_fit``, ``usable`` and ``typical``."""
        return self.verdict in PASSES

    @classmethod
    def from_json(
        cls,
        value: Any,
        limits: Mapping[str, LimitAnswer] | None = None,
        edition: str = "",
        cautions: tuple[Caution, ...] = (),
    ) -> Verdict:
        """From one of ``items``; ``limits`` are those of the same answer."""
        raw = f.an_object(value, "a verdict")
        limit_id = f.text(raw, "limit_id")
        own = raw.get("cautions")
        known = {caution.id: caution for caution in cautions}
        return cls(
            f.text(raw, "id"),
            f.needed(raw, "verdict", "a verdict"),
            f.text(raw, "text"),
            f.text(raw, "characteristic"),
            f.text(raw, "component"),
            f.text(raw, "side"),
            f.text(raw, "as_new"),
            f.number(raw, "p_fit"),
            f.number(raw, "p_serviceable"),
            quantity_in_answer(raw.get("value")),
            quantity_in_answer(raw.get("standard_uncertainty")),
            f.number(raw, "degrees_of_freedom"),
            limit_id,
            (limits or {}).get(limit_id),
            f.texts(raw, "assumed"),
            problem_in_answer(raw.get("problem")),
            tuple(_caution(entry, known) for entry in own) if isinstance(own, list) else cautions,
            edition,
            raw,
            SecondOpinion.from_json(raw.get("second_opinion")),
            f.texts(raw, "advice"),
            tuple(Remedy.from_json(entry) for entry in f.parts(raw, "remedies")),
        )


@dataclass(frozen=True, slots=True)
class MissingItem:
    """Something that applies to this engine and that nobody looked at."""

    characteristic: str
    name: str = ""
    component: str = ""
    start_critical: bool = False
    how_to_measure: str = ""
    text: str = ""
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> MissingItem:
        """From one of ``missing``."""
        if isinstance(value, str):
            return cls(value)
        raw = f.an_object(value, "a missing item")
        return cls(
            f.needed(raw, "characteristic", "a missing item"),
            f.text(raw, "name"),
            f.text(raw, "component"),
            f.flag(raw, "start_critical"),
            f.text(raw, "how_to_measure"),
            f.text(raw, "text"),
            raw,
        )


@dataclass(frozen=True, slots=True)
class Overall:
    """The sheet in short: how many of each verdict, how many stops, how much nobody looked at."""

    text: str = ""
    counts: Mapping[str, int] = field(default_factory=dict, hash=False)
    stops: int = 0
    not_looked_at: int = 0
    wrong_pass_bound: float | None = None
    raw: Mapping[str, Any] = raw_field()

    @classmethod
    def from_json(cls, value: Any) -> Overall:
        """From ``overall``."""
        raw = f.an_object(value if value is not None else {}, "overall")
        counts = {name: number for name, number in f.part(raw, "counts").items() if isinstance(number, int)}
        return cls(
            f.text(raw, "text"),
            counts,
            f.count(raw, "stops"),
            f.count(raw, "not_looked_at"),
            f.number(raw, "wrong_pass_bound"),
            raw,
        )


@dataclass(frozen=True, slots=True)
class SheetAnswer:
    """The verdicts of a whole sheet, in the order of its readings. ``readiness`` is None where no stage asked for it."""

    items: tuple[Verdict, ...]
    overall: Overall = field(default_factory=Overall)
    limits: Mapping[str, LimitAnswer] = field(default_factory=dict, hash=False)
    missing: tuple[MissingItem, ...] = ()
    contradictions: tuple[str, ...] = ()
    cautions: tuple[Caution, ...] = ()
    edition: str = ""
    raw: Mapping[str, Any] = raw_field()
    surveys: tuple[SurveyAnswer, ...] = ()
    readiness: Readiness | None = None

    def __iter__(self) -> Iterator[Verdict]:
        return iter(self.items)

    def __len__(self) -> int:
        return len(self.items)

    def item(self, reading_id: str) -> Verdict:
        """The verdict of one reading.

        Raises:
            KeyError: the sheet had no reading of that id.
        """
        for entry in self.items:
            if entry.id == reading_id:
                return entry
        raise KeyError(reading_id)

    def having(self, *verdicts: str) -> tuple[Verdict, ...]:
        """The items whose verdict is one of these words."""
        return tuple(entry for entry in self.items if entry.verdict in verdicts)

    @property
    def stops(self) -> bool:
        """True where anything says stop."""
        return bool(self.overall.stops or self.having("stop"))

    @property
    def all_pass(self) -> bool:
        """True where every reading is ``within_fit``, ``usable`` or ``typical`` and the sheet had at least one."""
        return bool(self.items) and all(entry.passes for entry in self.items) and not self.stops

    @classmethod
    def from_json(cls, value: Any) -> SheetAnswer:
        """From ``POST /v1/verdicts``.

        Raises:
            UnexpectedAnswer: no ``items``, or one of them has no verdict.
        """
        raw = f.an_object(value, "the answer")
        limits = {name: LimitAnswer.from_json(entry, name) for name, entry in f.part(raw, "limits").items()}
        edition = f.text(raw, "edition")
        cautions = raw.get("cautions")
        missing = raw.get("missing")
        told = tuple(Caution.from_json(entry) for entry in cautions) if isinstance(cautions, list) else ()
        if not isinstance(raw.get("items"), list):
            raise UnexpectedAnswer("the answer has no 'items'")
        from .readiness import Readiness
        from .surveys import SurveyAnswer

        items = tuple(Verdict.from_json(entry, limits, edition, told if _names_cautions(entry) else ()) for entry in raw["items"])
        surveys = raw.get("surveys")
        by_id = {entry.id: entry for entry in items}
        return cls(
            items,
            Overall.from_json(raw.get("overall")),
            limits,
            tuple(MissingItem.from_json(entry) for entry in missing) if isinstance(missing, list) else (),
            f.texts(raw, "contradictions"),
            told,
            edition,
            raw,
            tuple(SurveyAnswer.from_json(entry, by_id) for entry in surveys) if isinstance(surveys, list) else (),
            Readiness.from_json(raw["readiness"]) if raw.get("readiness") else None,
        )


def _names_cautions(entry: Any) -> bool:
    return isinstance(entry, Mapping) and isinstance(entry.get("cautions"), list)


def _caution(entry: Any, known: Mapping[str, Caution]) -> Caution:
    """A caution of an item, which may be no more than the id of one that the answer tells in full."""
    return known[entry] if isinstance(entry, str) and entry in known else Caution.from_json(entry)


def problem_in_answer(value: Any) -> ProblemDocument | None:
    """A problem of an item or a survey, or None."""
    if isinstance(value, str):
        return ProblemDocument("about:blank", "", 0, value)
    if not isinstance(value, Mapping):
        return None
    where = f.text(value, "pointer")
    entry = (ProblemEntry(where, f.text(value, "code"), f.text(value, "detail"), f.count(value, "line"), f.text(value, "column")),) if where else ()
    return ProblemDocument(
        f.text(value, "type") or f.text(value, "code") or "about:blank",
        f.text(value, "title"),
        f.count(value, "status"),
        f.text(value, "detail") or f.text(value, "text"),
        "",
        entry,
        f.texts(value, "near"),
        value,
    )
