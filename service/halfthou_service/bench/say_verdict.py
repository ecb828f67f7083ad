"""Fill the templates: the thing, its reading and tool, the edge in question and whose line it is."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import partial

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.resolve import Interval, Resolved
from halfthou_specdb.rules import UNBOUNDED, Open, Value
from halfthou_specdb.table import Table
from halfthou_specdb.units import Unit

from . import texts
from .decide import Decision, hard_interval
from .observed import Observed
from .readings import Reading, Rules
from .settle import Settles
from .speak import convert, figures_to_part, say, say_doubt, say_value, unit_for
from .uncertainty import Budget
from .wording import with_article

NEARBY, MOST_FIGURES, EXACT = 100, 6, 12
"""A bound within a hundredth of the reading is told with up to six figures; one that the reading is exactly on, with all it has."""
MOST_KEPT = 1024
_FIGURES: dict[int, tuple[Resolved, int]] = {}
"""How many figures tell the bounds of a limit apart, by the limit's identity, which each entry keeps alive: many readings share one."""


class _Pieces(dict[str, Callable[[], str]]):
    """The pieces of a template; only those it asks for are worked out."""

    def __getitem__(self, name: str) -> str:  # type: ignore[override]
        return super().__getitem__(name)()


@dataclass(frozen=True, slots=True)
class Sayer:
    """Tells one decision in one line."""

    table: Table
    resolved: Resolved
    reading: Reading
    observed: Observed
    budget: Budget
    rules: Rules

    @property
    def unit(self) -> Unit:
        """The unit bounds are told in: the reader's own, or degrees where an angle was read on the rim."""
        own = self.observed.shown.unit
        limit_unit = self.resolved.fit.unit if self.resolved.fit else own
        return unit_for(own, self.rules.units) if own.dimension == limit_unit.dimension else limit_unit

    def say(self, decision: Decision, settles: Settles | None, u: float) -> str:
        """The line. ``u`` is in the limit's unit."""
        key = self._key(decision, settles)
        side = decision.side or _reads(decision)
        manner = texts.manner(self.resolved.characteristic)
        return texts.TEMPLATES[key].format_map(_Pieces({word: partial(str, said) for word, said in manner.items()} | {
            "head": self.head, "fit": lambda: self.span(self.resolved.fit), "edge": lambda: self._edge(decision)[0],
            "whose": lambda: self._edge(decision)[1], "says": lambda: self._meaning(side).rstrip("."), "Past": lambda: self._past(side),
            "fit_edge": lambda: self._bound(self.resolved.fit, side), "short_of": lambda: self._short_of(side),
            "and_short_of": lambda: self._short_of(side).replace(", ", "; ", 1), "up_to": lambda: self._up_to(side), "rule": self._rule,
            "why": self._why, "within": lambda: self._within(side), "near": lambda: self._near(decision),
            "over": lambda: self._over(side), "Over": lambda: texts.capital(self._over(side)), "odds": lambda: self._odds(decision),
            "settle": lambda: self._settle(settles), "doubt": lambda: self._doubt(u), "ratio": lambda: f"{self.rules.ratio:g}",
        }))  # fmt: skip

    @staticmethod
    def said_value(value: Quantity, how: str, system: str = "") -> str:
        """A worked-out figure and how it was found: ``3.7 thou (out of round of 6 readings)``."""
        return f"{say_value(value.exact, value.unit, system)} ({how})"

    def head(self) -> str:
        """``Rod clearance (rod, middle) 3.8 thou by plastic gauge strip``."""
        known = self.resolved.characteristic
        place = f" ({self.reading.place})" if str(self.reading.place) else ""
        tool_id = self.budget.instrument.partition("/")[0]
        tool = f" by {self.table.instruments[tool_id].name}" if tool_id in self.table.instruments else ""
        return f"{known.name}{place} {self.observed.said}{tool}"

    def span(self, interval: Interval | None) -> str:
        """``2.3 to 3.9 thou``, ``up to 0.5 thou``, ``none known``."""
        if interval is None:
            return "none known"
        low, high = interval.low, interval.high
        if isinstance(low, Open):
            return "none known" if isinstance(high, Open) else f"up to {self._say(high, 'high')}"
        if isinstance(high, Open):
            return f"{self._say(low, 'low')} or more"
        if low == high:
            return self._say(low, "")
        first, second = self._say(low, "low"), self._say(high, "high")
        tail = first.rpartition(" ")[2]
        return f"{first.removesuffix(' ' + tail)} to {second}" if second.endswith(f" {tail}") else f"{first} to {second}"

    # -- pieces ------------------------------------------------------------------------------------------------

    def _key(self, decision: Decision, settles: Settles | None) -> str:
        verdict, limit = decision.verdict, self.resolved.limit
        assert limit is not None
        if limit.kind == "safety" and verdict != "stop":
            return "safe_side" if verdict == "within_fit" else "safe_side.warn"
        made = self.reading.state == "as_made"
        if verdict == "within_fit":
            past = ".past" if _reads(decision) else ""
            return f"within_fit{past}.as_made" if made else f"within_fit{past}"
        if verdict == "usable":
            if decision.fit is None:
                return "usable.no_fit"
            if made:
                return "usable.as_made" if decision.as_new == "no" else "usable.as_made.cannot_tell"
            inside = decision.as_new == "cannot_tell" and decision.fit.reads == "inside"
            return f"usable.{decision.as_new}{'.inside' if inside else ''}"
        if verdict == "beyond_limit":
            return "beyond_limit.fit" if self._wear_open(decision.side) else "beyond_limit.wear"
        if verdict == "undecided":
            if self.rules.decision_rule == "simple_n_to_1" and limit.kind == "limit":
                return "undecided.ratio"
            return "undecided" if settles is None or settles.capable else "undecided.tool"
        if verdict == "typical" and decision.fit is None:
            return "typical.no_range"
        if verdict == "typical" and decision.fit is not None and decision.fit.reads != "inside":
            return "typical.near"
        return verdict

    def _wear_open(self, side: str) -> bool:
        wear = self.resolved.wear
        return wear is None or isinstance(wear.low if side == "low" else wear.high, Open)

    def _edge(self, decision: Decision) -> tuple[str, str]:
        side = decision.side or "high"
        if self.resolved.limit is not None and self.resolved.limit.kind == "safety" and decision.verdict == "usable":
            return self._bound(self.resolved.fit, side), ""
        open_wear = self._wear_open(side)
        interval = self.resolved.fit if open_wear else self.resolved.wear
        return self._bound(interval, side), self.whose(f"{'fit' if open_wear else 'wear'}_{side}")

    def _edge_value(self, side: str) -> tuple[Fraction, Unit] | None:
        interval = self.resolved.fit if self._wear_open(side) else self.resolved.wear
        bound = None if interval is None else interval.low if side == "low" else interval.high
        return None if interval is None or bound is None or isinstance(bound, Open) else (bound, interval.unit)

    def whose(self, end: str) -> str:
        """``our judgement``, ``carried over from ...``; a number from memory always says so."""
        standing = self.resolved.standings.get(end)
        if standing is None:
            return "no figure"
        kin = ", ".join(self.table.classes[k].name.lower() for k in standing.carried_from[:2])
        text = texts.STANDING_WORDS[standing.standing].format(kin=kin)
        return f"{text}, from memory, unchecked" if standing.grade == "from-memory" else text

    def _bound(self, interval: Interval | None, side: str) -> str:
        if interval is None:
            return "no figure"
        bound: Value = interval.low if side == "low" else interval.high
        return "no figure" if isinstance(bound, Open) else self._say(bound, side)

    def _say(self, value: Fraction, side: str) -> str:
        assert self.resolved.fit is not None
        converted = convert(value, self.resolved.fit.unit, self.unit)
        assert not isinstance(converted, Open)
        return say(converted, self.unit, side, self._figures_beside(value))

    def _figures_beside(self, bound: Fraction) -> int:
        """As many figures as tell a bound from a reading close by: one of 472.5 is not told beside a reading of 472.5 as 472."""
        assert self.resolved.fit is not None
        value, known = self.observed.value.to(self.resolved.fit.unit), self._figures()
        if not bound or abs(float(value) / float(bound) - 1.0) > 1.0 / NEARBY:
            return known
        gap = abs(value - bound)
        return max(known, EXACT if not gap else min(figures_to_part([bound, bound + gap]), MOST_FIGURES))

    def _figures(self) -> int:
        kept = _FIGURES.get(id(self.resolved))
        if kept is None:
            if len(_FIGURES) > MOST_KEPT:
                _FIGURES.clear()
            both = (self.resolved.fit, self.resolved.wear)
            figures = figures_to_part([b for i in both if i for b in (i.low, i.high) if not isinstance(b, Open)])
            kept = _FIGURES[id(self.resolved)] = (self.resolved, figures)
        return kept[1]

    def _meaning(self, side: str) -> str:
        what = self.resolved.characteristic
        return (what.low_side if side == "low" else what.high_side).says

    def _past(self, side: str) -> str:
        what = self.resolved.characteristic
        tight = what.low_side.meaning == "too-tight"
        if side == "low":
            return texts.PAST[("low", "too-tight")] if tight else texts.PAST[("low", "")]
        return texts.PAST[("high", "clearance")] if tight else texts.PAST[("high", "")]

    def _within(self, side: str) -> str:
        """Where a reading that is not outside a new fit lies."""
        fit = self.resolved.fit
        assert fit is not None
        return "right on the edge of" if self.observed.value.to(fit.unit) == (fit.low if side == "low" else fit.high) else "inside"

    def _up_to(self, side: str) -> str:
        """The edge of a new fit on one side, told from within: ``up to 3.87 thou``."""
        edge = self._bound(self.resolved.fit, side)
        return f"{edge} or more" if side == "low" else f"up to {edge}"

    def _over(self, side: str) -> str:
        return texts.OVER[("low" if side == "low" else "high", bool(self.resolved.characteristic.sign))]

    def _short_of(self, side: str) -> str:
        side = side or "high"
        if self._wear_open(side):
            wear = self.resolved.wear
            unbounded = wear is not None and (wear.low if side == "low" else wear.high) is UNBOUNDED
            if self._meaning_word(side) == "harmless" or self.resolved.fit is None:
                return ""
            return "; nothing bad is on file that way" if unbounded else "; how far is too far nobody says"
        wear, what = self.resolved.wear, self.resolved.characteristic
        assert wear is not None
        worn = self._meaning_word(side) == "worn" and texts.manner(what) is texts.PART
        bound = wear.low if side == "low" else wear.high
        assert not isinstance(bound, Open)
        value = self.observed.value.to(wear.unit)
        if (value > bound) if side == "high" else (value < bound):
            edge = f"{self._bound(wear, side)}, {self.whose(f'wear_{side}')}"
            return f"; it reads {self._over(side)} {'worn out' if worn else 'the limit'} ({edge}) by less than can be proved"
        how = "right at the limit" if value == bound else "short of the limit"
        if worn and how[0] == "s":
            how = f"{'well ' if self._nearer_new(side) else ''}short of worn out"
        return f", {how} ({self._bound(wear, side)}, {self.whose(f'wear_{side}')})"

    def _nearer_new(self, side: str) -> bool:
        """Whether a reading short of worn out is nearer to a new fit than to that line, or within the fit."""
        fit, wear = self.resolved.fit, self.resolved.wear
        assert fit is not None and wear is not None
        new, worn = (fit.low, wear.low) if side == "low" else (fit.high, wear.high)
        if isinstance(new, Open) or isinstance(worn, Open):
            return False
        value, line = self.observed.value.to(fit.unit), worn * wear.unit.factor / fit.unit.factor
        return abs(line - value) > abs(value - new) if (value - new) * (line - new) > 0 else True

    def _meaning_word(self, side: str) -> str:
        what = self.resolved.characteristic
        return (what.low_side if side == "low" else what.high_side).meaning

    def _rule(self) -> str:
        hard = self._hard()
        parts = []
        for side, bound, word in (("low", hard.low, "under"), ("high", hard.high, "over")):
            if not isinstance(bound, Open):
                end = f"{'fit' if self._wear_open(side) else 'wear'}_{side}"
                parts.append(f"{word} {self._say(bound, side)} ({self.whose(end)})")
        return f"Rule for {self.resolved.characteristic.name.lower()}: never {' nor '.join(parts)}"

    def _hard(self) -> Interval:
        fit, wear = self.resolved.fit, self.resolved.wear
        assert fit is not None and wear is not None
        return hard_interval(fit, wear)

    def _why(self) -> str:
        hard = self._hard()
        value = self.observed.value.to(hard.unit)
        past = (not isinstance(hard.high, Open) and value > hard.high) or (not isinstance(hard.low, Open) and value < hard.low)
        return "that breaks the rule" if past else "within the tool's doubt of the rule, which counts as breaking it"

    def _near(self, decision: Decision) -> str:
        """``It reads over 6 thou by less than the tool can prove``: on which side of the edge it reads, not of the interval."""
        edge, side = self._edge(decision)[0], decision.side or "high"
        bound = self._edge_value(side)
        gap = self.observed.value.to(bound[1]) - bound[0] if bound else Fraction(0)
        if not gap:
            return f"It reads right on {edge}, which the tool can prove neither way"
        return f"It reads {self._over('high' if gap > 0 else 'low')} {edge} by less than the tool can prove"

    def _odds(self, decision: Decision) -> str:
        found = decision.serviceable or decision.fit
        return texts.odds(found.inside) if found else "no chance worked out"

    def _settle(self, settles: Settles | None) -> str:
        return "" if settles is None else next_step(settles, self.rules)

    def _doubt(self, u: float) -> str:
        assert self.resolved.fit is not None
        scale = self.resolved.fit.unit.factor / self.unit.factor
        return say_doubt(2 * u * float(scale), self.unit)


def _reads(decision: Decision) -> str:
    """The side of a new fit that the reading itself lies past, whatever can be proved of it."""
    return "" if decision.fit is None or decision.fit.reads == "inside" else decision.fit.reads


def next_step(settles: Settles, rules: Rules) -> str:
    """What would settle a doubt, as a sentence."""
    if settles.how == "neither" and (rules.decision_rule == "simple_n_to_1" or not settles.capable):
        return "Nothing on the list is fine enough."
    tool = texts.capital(with_article(settles.tool)) if settles.tool else ""
    return texts.NEXT_STEP[settles.how].format(Tool=tool, n=settles.repeats, test=settles.test)
