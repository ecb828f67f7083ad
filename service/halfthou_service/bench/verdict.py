"""The verdict on one reading, with its text, its chances and what would settle a doubt."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from fractions import Fraction

from halfthou_specdb.errors import SpecdbError
from halfthou_specdb.facts import Engine
from halfthou_specdb.quantity import Quantity
from halfthou_specdb.records import Characteristic, Limit
from halfthou_specdb.resolve import Interval, Resolved, resolve
from halfthou_specdb.rules import Open
from halfthou_specdb.table import Table

from . import texts
from .basis import one_side_only, wrong_place
from .decide import GOES_BACK, Decision, capped, decide, decide_guide, decide_safety
from .findings import judge_finding
from .fitted import Fitted, fitted
from .inline import half_a_count_wider, no_width, owners_limit, shown_scale, unnamed, why_no_limit
from .item import Item
from .naming import misspelt, near_names
from .observed import Observed, observe, unsigned
from .past import coarsest, worst_of
from .readings import Problem, Reading, ReadingProblem, Rules, Side
from .say_verdict import Sayer
from .settle import settle
from .slips import off_stated, suspected_slip
from .sources import SourceVerdict, by_each_source
from .speak import convert, say_reading, unit_for
from .temperature import corrected, corrected_said
from .uncertainty import Budget, budget, factor_ratio, summed


@dataclass(slots=True)
class Bench:
    """Judges readings of one engine by one set of rules. Limits are resolved once per characteristic and kept."""

    table: Table
    engine: Engine
    rules: Rules = field(default_factory=Rules)
    overlay: tuple[Limit, ...] = ()
    resolved: dict[str, Resolved] = field(default_factory=dict)
    _failed: dict[str, Problem] = field(default_factory=dict)
    _fitted: dict[str, Fitted] = field(default_factory=dict)

    def limit_for(self, what: Characteristic) -> Resolved:
        """The resolved limit of a characteristic.

        Raises:
            ReadingProblem: a missing dimension, a size outside every range, or a rule that cannot be worked out.
        """
        found = self.resolved.get(what.id)
        if found is not None:
            return found
        if what.id not in self._failed:
            try:
                found = self._still_safe(resolve(self.table, what, self.engine, self.overlay))
                self.resolved[what.id] = found
                return found
            except SpecdbError as error:
                self._failed[what.id] = why_no_limit(error)
        known = self._failed[what.id]
        raise ReadingProblem(known.code, known.detail, known.pointer, known.near)

    def _still_safe(self, found: Resolved) -> Resolved:
        """An owner's tighter figure in place of a safety limit is judged as one: doubt goes on counting against it."""
        limit = found.limit
        if limit is None or not limit.owner or limit.kind == "safety":
            return found
        guarded = any(m.kind == "safety" for m in self.table.limits_of.get(found.characteristic.id, ()))
        return replace(found, limit=replace(limit, kind="safety")) if guarded else found

    def judge(self, reading: Reading) -> Item:
        """Judge one reading; a fault of the reading becomes its ``problem`` and never an exception."""
        what = self.table.characteristics.get(reading.characteristic)
        item = self._judged(reading, what)
        if what is None or not what.applies_if:
            return item
        has = self._fitted.get(what.id)
        if has is None:
            has = self._fitted[what.id] = fitted(self.table, what, self.engine)
        if not has.says:
            return item
        if not has.stated or item.verdict == "stop" or reading.limit is not None or self._guarded(what):
            return replace(item, assumed=(*item.assumed, has.says))
        return self.not_judged(reading, what, Problem("not-fitted", has.says, "/characteristic"))

    def _judged(self, reading: Reading, what: Characteristic | None) -> Item:
        try:
            if what is None and (reading.limit is None or misspelt(reading.characteristic, self.table)):
                near = near_names(reading.characteristic, self.table)
                hint = f"; did you mean {', '.join(near)}?" if near else ""
                raise ReadingProblem("unknown-characteristic", f"no characteristic is called {reading.characteristic[:60]!r}{hint}",
                                     "/characteristic", near)  # fmt: skip
            if what is not None and what.value_kind == "finding":
                return self._finding(reading, what)
            if reading.finding:
                raise ReadingProblem("wrong-kind", f"{reading.characteristic} is measured in {what.unit if what else 'numbers'}, "
                                     "not told in words", "/finding")  # fmt: skip
            if what is not None and self._guarded(what):
                return self._strictest(reading, what)
            return self._number(reading, what)
        except ReadingProblem as fault:
            return self.not_judged(reading, what, fault.problem)
        except SpecdbError as fault:
            return self.not_judged(reading, what, why_no_limit(fault))

    def _guarded(self, what: Characteristic) -> bool:
        return any(m.kind == "safety" for m in self.table.limits_of.get(what.id, ()))

    def _strictest(self, reading: Reading, what: Characteristic) -> Item:
        """Under a safety limit every repeat is judged by itself, by the table and by the caller's own figure, and the worst stands.

        So does the worse side of a dead centre where nobody said which.
        """
        singles = [replace(reading, values=(v,)) for v in reading.values] if len(reading.values) > 1 else [reading]
        sides: tuple[Side, ...] = ("before", "after") if what.sign and unsigned(reading) else (reading.relative,)
        asked = [replace(r, limit=limit, relative=side) for r in singles for limit in dict.fromkeys((None, reading.limit)) for side in sides]
        found = [self._number_or_past(r, what) for r in asked]
        index = worst_of(found, asked, what)
        worst, assumed = found[index], []
        if worst.problem is not None:
            return worst
        if len(sides) > 1:
            assumed.append(f"not said whether before or after dead centre: taken as {asked[index].relative} it, the worse; say which")
            worst = replace(worst, text=f"{worst.text} {texts.NO_SIDE}")
        if len(singles) > 1:
            assumed.append(f"{len(singles)} repeats: the worst stands, not their mean")
        return replace(worst, assumed=(*worst.assumed, *assumed)) if assumed else worst

    def _number_or_past(self, reading: Reading, what: Characteristic) -> Item:
        """The verdict, or a stop where the value is past the limit whatever is wrong with the tool or the doubt told beside it."""
        try:
            return self._number(reading, what)
        except ReadingProblem as fault:
            problem = fault.problem
        except SpecdbError as fault:
            problem = why_no_limit(fault)
        return self._past(reading, what, problem) or self.not_judged(reading, what, problem)

    def _past(self, reading: Reading, what: Characteristic, problem: Problem) -> Item | None:
        if problem.code == "wrong-basis":  # what is told neither by the side nor by the diameter is the same either way
            reading = replace(reading, basis="")
        try:
            observed = observe(reading, what, self.engine)
            resolved = self._own_limit(reading, what, observed) or self.limit_for(what)
        except (ReadingProblem, SpecdbError):
            return None
        found = coarsest(self.table, what, observed, problem)
        if found is None or resolved.limit is None or resolved.fit is None:
            return None
        item = self.told(reading, what, observed, observed.widened(found), resolved)
        return replace(item, text=f"{item.text} Besides: {problem.detail.rstrip('.')}.") if item.verdict == "stop" else None

    # -- kinds of reading --------------------------------------------------------------------------------------

    def _finding(self, reading: Reading, what: Characteristic) -> Item:
        try:
            word = judge_finding(reading, what)
        except ReadingProblem as fault:
            if fault.problem.code != "unknown-finding" or all(w.veto == "none" for w in what.words):
                raise
            unread = self.not_judged(reading, what, fault.problem)
            text = f"STOP. {unread.text.replace(': not judged.', ':', 1)}"
            return replace(unread, verdict="stop", veto="stops-engine", text=text, cautions=what.cautions)
        head = f"{what.name}{f' ({reading.place})' if str(reading.place) else ''}, {word.word}"
        text = texts.TEMPLATES[f"finding.{word.verdict}"].format(
            head=head, meaning=word.meaning.rstrip("."), Meaning=texts.capital(word.meaning.rstrip(".")),
            remedy=f" {texts.capital(word.remedy.rstrip('.'))}." if word.remedy else "",
        )  # fmt: skip
        return Item(reading.id, what.id, what.name, what.component, str(reading.place), word.verdict, finding=word.word, text=text,
                    veto="" if word.veto == "none" else word.veto, cautions=what.cautions)  # fmt: skip

    def _number(self, reading: Reading, what: Characteristic | None) -> Item:
        observed = observe(reading, what, self.engine, self.rules.units)
        size = None if what is None or not what.scales_with else self.engine.dimensions.get(what.scales_with[0])
        resolved = self._own_limit(reading, what, observed) or (self.limit_for(what) if what else None)
        assert resolved is not None
        if what is not None and not reading.confirmed:
            slip = suspected_slip(resolved, observed.value) or off_stated(self.table, what, self.engine, observed.value)
            if slip:
                raise ReadingProblem("suspected-slip", slip, "/value")
        found = observed.widened(budget(self.table, what, reading, observed.budget_value, size, observed.derived, observed.derived_per_unit))
        if resolved.limit is None or resolved.fit is None or resolved.wear is None or resolved.serviceable is None:
            return self.without_limit(reading, what, observed, found, resolved)
        heat = corrected(self.table, reading, observed.value) if reading.temperature is not None else None
        if heat is not None and reading.temperature is not None:
            said = observed.said if heat.value.exact == observed.value.exact else corrected_said(
                observed, heat.value, reading.temperature, resolved, self.rules.units)
            observed = replace(observed, value=heat.value, said=said, assumed=(*observed.assumed, *heat.said))
            if heat.lines:
                found = summed(found, (*found.lines, *heat.lines))
        return self.told(reading, what, observed, found, resolved)

    def told(self, reading: Reading, what: Characteristic | None, observed: Observed, found: Budget, resolved: Resolved) -> Item:
        """The verdict on an exact value with its budget against a resolved limit."""
        assert resolved.fit is not None
        value = observed.value.to(resolved.fit.unit)
        u = found.u * factor_ratio(found.unit.token, resolved.fit.unit.token)
        if found.unit.dimension != resolved.fit.unit.dimension:
            u *= observed.u_scale
        u *= observed.times
        decision = self._decide(resolved, value, u, found.dof)
        return self._item(reading, what, observed, found, resolved, decision, value, u)

    def asked(self, resolved: Resolved) -> tuple[str, ...]:
        """Facts the engine does not state, for which the stricter limit was taken."""
        return tuple(f"{fact} not stated: the stricter limit was taken" for fact in resolved.asked)

    def _decide(self, resolved: Resolved, value: Fraction, u: float, dof: float) -> Decision:
        limit, fit, wear, back = resolved.limit, resolved.fit, resolved.wear, resolved.serviceable
        assert limit is not None and fit is not None and wear is not None and back is not None
        if limit.kind == "safety":
            return decide_safety(value, u, dof, fit, wear, resolved.characteristic.non_negative, self.rules)
        if limit.kind == "guide":
            return decide_guide(value, u, dof, fit, resolved.characteristic.non_negative, self.rules)
        what = None if limit.owner and resolved.characteristic.id not in self.table.characteristics else resolved.characteristic
        if what is not None and what.value_kind == "count":
            fit, wear, back = (half_a_count_wider(interval) for interval in (fit, wear, back))
        return decide(value, u, dof, fit, wear, back, what, self.rules)

    def _item(self, reading: Reading, what: Characteristic | None, observed: Observed, found: Budget, resolved: Resolved,
              decision: Decision, value: Fraction, u: float) -> Item:  # fmt: skip
        limit = resolved.limit
        assert limit is not None and resolved.fit is not None
        settles = None
        if decision.verdict == "undecided":
            settles = settle(self.table, resolved, value, u, found, self.rules, reading, decision.side, observed.times)
        told = Sayer(self.table, resolved, reading, observed, found, self.rules).say(decision, settles, u)
        sources: tuple[SourceVerdict, ...] = ()
        if self.rules.judged_by == "each-source" and limit.kind == "limit" and reading.limit is None:
            sources = by_each_source(self.table, resolved, value, u, found.dof, self.rules)
        passed = decision.verdict in ("within_fit", "usable") and limit.kind == "limit"
        inside = decision.serviceable.inside if decision.serviceable else decision.fit.inside if decision.fit else 1.0
        hints = tuple(h for h in (one_side_only(reading, resolved, observed.value, decision), wrong_place(reading)) if h)
        if self.rules.decision_rule == "simple_n_to_1" and limit.kind == "limit":
            hints += no_width(resolved)
        chances = (None, None) if limit.kind == "safety" else (
            capped(decision.fit.inside) if decision.fit else None, capped(decision.serviceable.inside) if decision.serviceable else None)
        return Item(
            reading.id, reading.characteristic, what.name if what else reading.characteristic, what.component if what else "", str(reading.place),
            decision.verdict, decision.side, decision.as_new, *chances, observed.shown.value, "", observed.shown.unit,
            found.u * shown_scale(found, observed), found.dof, found.lines, found.instrument,
            None if limit.owner and reading.limit else limit.id,
            told, (*observed.assumed, *found.assumed, *self.asked(resolved), *hints), settles, sources,
            "stops-engine" if decision.verdict == "stop" else "",
            (*(what.cautions if what else ()), *limit.cautions) if limit.kind == "safety" or decision.verdict not in GOES_BACK else limit.cautions,
            wrong_pass=1.0 - inside if passed else 0.0,
        )  # fmt: skip

    # -- no verdict --------------------------------------------------------------------------------------------

    def _own_limit(self, reading: Reading, what: Characteristic | None, observed: Observed) -> Resolved | None:
        """The caller's inline limit; on a characteristic with a safety limit it counts only where it is tighter."""
        if reading.limit is None:
            return None
        fit, wear = reading.limit.fit, reading.limit.wear
        for given in (fit, wear):
            if given.unit.dimension != observed.value.unit.dimension:
                raise ReadingProblem("wrong-dimension", f"the limit is in {given.unit.token}, the reading in {observed.value.unit.token}", "/limit")
        if all(isinstance(bound, Open) for bound in (fit.low, fit.high, wear.low, wear.high)):
            raise ReadingProblem("no-limit", "the limit given has no number on either side", "/limit")
        wear = Interval(convert(wear.low, wear.unit, fit.unit), convert(wear.high, wear.unit, fit.unit), fit.unit)
        thing = what or unnamed(reading.characteristic, observed.value.unit)
        ends = {"fit_low": fit.low, "fit_high": fit.high, "wear_low": wear.low, "wear_high": wear.high}
        limit = owners_limit("yours", thing, fit.unit, ends)
        kind = [m for m in self.table.limits_of.get(thing.id, ()) if m.kind == "safety"]
        if kind:
            return self._still_safe(resolve(self.table, thing, self.engine, (limit,)))
        from halfthou_specdb.standing import end_standings

        return Resolved(thing, self.engine, limit, fit, wear, end_standings(self.table, limit, ""), (), None, ())

    def without_limit(self, reading: Reading, what: Characteristic | None, observed: Observed, found: Budget, resolved: Resolved) -> Item:
        """A reading for which no limit is on file: what is known instead, and the nearest."""
        reason = "No limit for this kind of engine is on file."
        if resolved.absence is not None:
            reason = f"{resolved.absence.reason.rstrip('.')}. Instead: {resolved.absence.instead.rstrip('.')}."
        elif resolved.near_misses:
            reason += f" Nearest: {resolved.near_misses[0]}."
        base = self.not_judged(reading, what, Problem("no-limit", reason))
        return replace(base, problem=None, value=observed.shown.value, unit=observed.shown.unit, u=found.u * shown_scale(found, observed),
                       dof=found.dof, lines=found.lines, instrument=found.instrument, assumed=found.assumed)  # fmt: skip

    def _shown(self, value: Quantity) -> str:
        """A reading as it was written, or in the units asked for."""
        return str(value) if unit_for(value.unit, self.rules.units) is value.unit else say_reading(value, self.rules.units)

    def not_judged(self, reading: Reading, what: Characteristic | None, problem: Problem) -> Item:
        """A reading that was not judged, and why."""
        name = what.name if what else reading.characteristic[:80]
        place = str(reading.place)
        given = "" if not reading.values else f" {self._shown(reading.values[0])}"
        text = texts.TEMPLATES["not_judged"].format(head=f"{name}{f' ({place})' if place else ''}{given}", reason=texts.capital(problem.detail))
        text += "" if text.endswith((".", "?")) else "."
        first = reading.values[0] if reading.values else None
        return Item(reading.id, reading.characteristic[:80], name, what.component if what else "", place, "not_judged", text=text, problem=problem,
                    value=first.value if first else None, unit=first.unit if first else None)  # fmt: skip
