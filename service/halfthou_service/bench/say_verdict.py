"""Fill the templates: the thing, its reading and tool, the edge in question and whose line it is."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from halfthou_specdb.resolve import Interval, Resolved
from halfthou_specdb.rules import Open, Value, in_words
from halfthou_specdb.table import Table
from halfthou_specdb.units import Unit

from . import texts
from .decide import Decision
from .observed import Observed
from .readings import Reading, Rules
from .settle import Settles
from .speak import convert, say, say_doubt, unit_for
from .uncertainty import Budget


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
        limit = self.resolved.limit
        assert limit is not None
        key = self._key(decision, settles)
        edge, whose = self._edge(decision)
        side = decision.side
        meaning = self._meaning(side)
        fit_edge = self._bound(self.resolved.fit, side)
        return texts.TEMPLATES[key].format(
            head=self.head(), fit=self.span(self.resolved.fit), edge=edge, whose=whose, says=meaning.rstrip("."),
            Past=self._past(side), fit_edge=fit_edge, short_of=self._short_of(side), rule=self._rule() if limit.kind == "safety" else "",
            why=self._why(decision), near=self._near(decision), odds=self._odds(decision), settle=self._settle(settles),
            doubt=self._doubt(u),
        )  # fmt: skip

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
            return "within_fit.as_made" if made else "within_fit"
        if verdict == "usable":
            if decision.fit is None:
                return "usable.no_fit"
            if made:
                return "usable.as_made" if decision.as_new == "no" else "usable.as_made.cannot_tell"
            return f"usable.{decision.as_new}"
        if verdict == "beyond_limit":
            return "beyond_limit.fit" if self._wear_open(decision.side) else "beyond_limit.wear"
        if verdict == "undecided":
            return "undecided" if settles is None or settles.capable else "undecided.tool"
        if verdict == "typical" and decision.fit is None:
            return "typical.no_range"
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
        return say(converted, self.unit, side)

    def _meaning(self, side: str) -> str:
        what = self.resolved.characteristic
        return (what.low_side if side == "low" else what.high_side).says

    def _past(self, side: str) -> str:
        what = self.resolved.characteristic
        tight = what.low_side.meaning == "too-tight"
        if side == "low":
            return texts.PAST[("low", "too-tight")] if tight else texts.PAST[("low", "")]
        return texts.PAST[("high", "clearance")] if tight else texts.PAST[("high", "")]

    def _short_of(self, side: str) -> str:
        side = side or "high"
        if self._wear_open(side):
            return "; the other way nothing bad is on file" if self._meaning_word(side) != "harmless" else ""
        return f", short of worn out ({self._bound(self.resolved.wear, side)}, {self.whose(f'wear_{side}')})"

    def _meaning_word(self, side: str) -> str:
        what = self.resolved.characteristic
        return (what.low_side if side == "low" else what.high_side).meaning

    def _rule(self) -> str:
        limit, wear = self.resolved.limit, self.resolved.wear
        assert limit is not None and wear is not None and self.resolved.fit is not None
        for side, bound in (("high", wear.high), ("low", wear.low)):
            if not isinstance(bound, Open):
                name = self.resolved.characteristic.name
                word = "over" if side == "high" else "under"
                return f"Rule for {name.lower()}: never {word} {self._say(bound, side)} ({self.whose(f'wear_{side}')})"
        return in_words(limit.fit_high, limit.unit)

    def _why(self, decision: Decision) -> str:
        wear = self.resolved.wear
        if self.resolved.limit is None or self.resolved.limit.kind != "safety" or wear is None:
            return ""
        value = self.observed.value.to(wear.unit)
        past = (not isinstance(wear.high, Open) and value > wear.high) or (not isinstance(wear.low, Open) and value < wear.low)
        return "past the rule" if past else "within the tool's doubt of the rule, which counts as past it"

    def _near(self, decision: Decision) -> str:
        found = decision.serviceable or decision.fit
        return "It reads inside" if found is None or found.reads == "inside" else "It reads past"

    def _odds(self, decision: Decision) -> str:
        found = decision.serviceable or decision.fit
        return texts.odds(found.inside) if found else "no chance worked out"

    def _settle(self, settles: Settles | None) -> str:
        if settles is None:
            return ""
        return texts.NEXT_STEP[settles.how].format(tool=settles.tool, n=settles.repeats, test=settles.test)

    def _doubt(self, u: float) -> str:
        assert self.resolved.fit is not None
        scale = self.resolved.fit.unit.factor / self.unit.factor
        return say_doubt(2 * u * float(scale), self.unit)

