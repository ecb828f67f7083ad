"""The limits sheet: every limit that applies to one engine, at its sizes, by assembly in the order it comes apart.

It is the manual page that was never printed: what, where, new, stop at, a space for the reading, the tool. Every figure says whose it is;
where nobody says anything it prints "none known". Guessed sizes are marked, and nothing here is a verdict.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from halfthou_specdb.records import Caution, Characteristic, Limit
from halfthou_specdb.resolve import Interval, Resolved
from halfthou_specdb.rules import NONE_ON_FILE, Open, Value
from halfthou_specdb.table import Table
from halfthou_specdb.units import UNITS

from ..decide import HARD, hard_interval
from ..readings import ReadingProblem
from ..verdict import Bench
from .assemblies import WHOSE, Assembly, applying, feature_words, how, pages, whose_word
from .figures import NOTHING, System, Told, edges, interval_dict, reading, span, unit_shown
from .guesses import Guess, guessed, rests_on
from .provable import tool_named
from .rim import NOT_WHOLE, rim_forbidden, rim_stop_rpm
from .sources import Source, WorkCited, source_of, works_cited
from .sources import to_dict as source_dict

ALWAYS = ("C048", "C051", "C053", "C021", "C029", "C030", "C001", "C060")
"""Cautions that stand at the end of every sheet, whatever limits it holds."""
SIZES = ("-diameter", "-distance", "-length", "-size", "-width")
"""Endings of characteristics that are sizes: written in inches, not in thousandths."""


@dataclass(frozen=True, slots=True)
class End:
    """One printed figure and whose it is (a word of :data:`WHOSE`; empty where there is no figure)."""

    told: Told
    whose: str = ""


@dataclass(frozen=True, slots=True)
class Line:
    """One row. ``where``: the named places to read, one box each. ``unit``: what the reading is written in. ``counted``: from where an
    angle is counted. ``needs``: a size that must be measured before there is a limit, or for want of which the stricter one was taken."""

    characteristic: str
    name: str
    stage: str
    kind: str
    where: tuple[str, ...]
    new: End
    stop: End
    tool: str
    how: str
    start_critical: bool
    unit: str
    counted: str = ""
    only_if: str = ""
    guessed: tuple[str, ...] = ()
    needs: str = ""
    limit_id: str | None = None
    fit: Interval | None = None
    wear: Interval | None = None


@dataclass(frozen=True, slots=True)
class Look:
    """A thing told in words: the allowed words, best first, and which of them stop the engine."""

    characteristic: str
    name: str
    stage: str
    where: tuple[str, ...]
    words: tuple[tuple[str, bool], ...]
    how: str
    start_critical: bool
    only_if: str = ""


@dataclass(frozen=True, slots=True)
class Page:
    """One assembly: red flags at the top, figures, things to look at, and sources for the back."""

    assembly: Assembly
    red_flags: tuple[str, ...]
    lines: tuple[Line, ...]
    looks: tuple[Look, ...]
    sources: tuple[Source, ...]


@dataclass(frozen=True, slots=True)
class LimitsSheet:
    """The whole sheet."""

    engine_id: str
    engine_class: str
    use: str
    system: System
    edition: str
    sizes: tuple[tuple[str, Told], ...]
    guesses: tuple[Guess, ...]
    pages: tuple[Page, ...]
    cautions: tuple[Caution, ...]
    works: tuple[WorkCited, ...]


def limits_sheet(bench: Bench, system: System = "inch", guess: bool = True) -> LimitsSheet:
    """Every limit that applies to the bench's engine.

    Args:
        system: the one system of units the sheet is told in.
        guess: take usual sizes by horsepower where the engine states none; they are marked.
    """
    table = bench.table
    engine, guesses = guessed(table, bench.engine) if guess else (bench.engine, ())
    own = Bench(table, engine, bench.rules, bench.overlay)
    applies = applying(table, engine)
    by_id = {what.id: only_if for what, only_if in applies}
    marked = frozenset(g.dimension for g in guesses)
    made = tuple(_page(own, assembly, whats, by_id, marked, system) for assembly, whats in pages(what for what, _ in applies))
    stated = {d: q for d, q in bench.engine.dimensions.items() if d in table.dimensions}
    sizes = tuple((table.dimensions[d].name, reading(q, system)) for d, q in stated.items())
    limits = [table.limits[line.limit_id] for page in made for line in page.lines if line.limit_id and line.limit_id in table.limits]
    return LimitsSheet(engine.id, engine.engine_class.name, engine.use, system, table.edition, sizes, guesses, made,
                       _cautions(table, limits), works_cited(table, made))  # fmt: skip


def _page(bench: Bench, assembly: Assembly, whats: Sequence[Characteristic], only_if: dict[str, tuple[str, ...]],
          guesses: frozenset[str], system: System) -> Page:  # fmt: skip
    lines, looks, flags, sources = [], [], [], []
    for what in whats:
        note = feature_words(only_if[what.id])
        if what.value_kind == "finding":
            look = Look(what.id, what.name, what.stage, what.instances, tuple((w.word, w.veto == "stops-engine") for w in what.words),
                        how(what), what.start_critical, note)  # fmt: skip
            looks.append(look)
            stops = [word for word, stop in look.words if stop]
            flags += [f"{what.name}: {' · '.join(stops)}"] if stops else []
            continue
        line, resolved = _line(bench, what, note, guesses, system)
        lines.append(line)
        if resolved is not None:
            sources.append(source_of(bench.table, resolved, line.name, line.new.whose, line.stop.whose))
            flags += _safety_flag(bench, line, guesses)
    return Page(assembly, tuple(flags), tuple(lines), tuple(looks), tuple(sources))


def _line(bench: Bench, what: Characteristic, only_if: str, guesses: frozenset[str], system: System) -> tuple[Line, Resolved | None]:
    tools = bench.table.instruments
    tool = tool_named(bench, what) or next((tools[i].name for i in what.instruments if i in tools), NOTHING.number)
    unit = unit_shown(UNITS[what.unit], system, None if what.id.endswith(SIZES) else Fraction(0))
    counted = f"{what.sign} {what.datum.replace('-', ' ')}" if what.datum else ""
    line = Line(what.id, what.name, what.stage, "none", what.instances, End(NOTHING), End(NOTHING), tool, how(what), what.start_critical,
                unit, counted, only_if)  # fmt: skip
    try:
        resolved = bench.limit_for(what)
    except ReadingProblem as fault:
        names = [bench.table.dimensions[n].name.lower() for n in fault.problem.near if n in bench.table.dimensions]
        return replace(line, needs=f"measure the {' and '.join(names)} first" if names else fault.problem.detail), None
    limit, fit, wear = resolved.limit, resolved.fit, resolved.wear
    if limit is None or fit is None or wear is None:
        return line, resolved
    on = tuple(sorted(rests_on(limit, what) & guesses))
    hard = stop_interval(resolved)
    new = span(fit.low, fit.high, fit.unit, system, (hard.low, hard.high))
    stop = edges(hard.low, hard.high, hard.unit, system, (fit.low, fit.high))
    needs = "; ".join(f"stricter line taken: {a.replace('-', ' ')} not stated" for a in resolved.asked)
    return replace(
        line, unit=new.unit or stop.unit or unit, kind=limit.kind, limit_id=limit.id, fit=fit, wear=wear, guessed=on, needs=needs,
        new=End(new, "" if new is NOTHING else _whose(resolved, _numeric("fit", fit), bool(on))),
        stop=End(stop, "" if stop is NOTHING else _whose(resolved, _stop_ends(resolved, hard), bool(on))),
    ), resolved  # fmt: skip


def stop_interval(resolved: Resolved) -> Interval:
    """Where a part is not put back: the wear bound; on a side that seizes or stops, the end of the fit where no wear bound is on file."""
    limit, fit, wear, what = resolved.limit, resolved.fit, resolved.wear, resolved.characteristic
    assert limit is not None
    assert fit is not None
    assert wear is not None
    if limit.kind == "guide":
        return Interval(NONE_ON_FILE, NONE_ON_FILE, fit.unit)
    if limit.kind == "safety":
        return hard_interval(fit, wear)
    return Interval(_stop_side(wear.low, fit.low, what.low_side.meaning), _stop_side(wear.high, fit.high, what.high_side.meaning), fit.unit)


def _stop_side(wear: Value, fit: Value, meaning: str) -> Value:
    if not isinstance(wear, Open):
        return wear
    return fit if meaning in HARD else wear


def _stop_ends(resolved: Resolved, hard: Interval) -> list[str]:
    wear = resolved.wear
    assert wear is not None
    found = []
    for side, bound, worn in (("low", hard.low, wear.low), ("high", hard.high, wear.high)):
        if not isinstance(bound, Open):
            found.append(f"{'fit' if isinstance(worn, Open) else 'wear'}_{side}")
    return found


def _numeric(name: str, interval: Interval) -> list[str]:
    return [f"{name}_{side}" for side, v in (("low", interval.low), ("high", interval.high)) if not isinstance(v, Open)]


def _whose(resolved: Resolved, ends: Iterable[str], is_guess: bool) -> str:
    words = [whose_word(s.grade, s.standing) for end in ends if (s := resolved.standings.get(end)) is not None]
    order = list(WHOSE)
    found = " / ".join(sorted(dict.fromkeys(words), key=order.index))
    return "guess" if is_guess else found


def _safety_flag(bench: Bench, line: Line, guesses: frozenset[str]) -> list[str]:
    if line.kind != "safety":
        return []
    text = f"{line.name}: never {line.stop.told}"
    if line.characteristic == "flywheel-rim-speed" and rim_forbidden(bench):
        return [f"{line.name}: {NOT_WHOLE.removeprefix('STOP. ')}"]
    rpm = rim_stop_rpm(bench) if line.characteristic == "flywheel-rim-speed" else None
    if rpm is not None:
        text += f" ({rpm} rpm for this wheel, a sound one cast in one piece{'; its diameter is a guess' if 'flywheel' in guesses else ''})"
    return [text]


def _cautions(table: Table, limits: Sequence[Limit]) -> tuple[Caution, ...]:
    ids = dict.fromkeys((*ALWAYS, *(c for limit in limits for c in limit.cautions)))
    return tuple(table.cautions[c] for c in ids if c in table.cautions)


# -- plain values ------------------------------------------------------------------------------------------------


def to_dict(sheet: LimitsSheet) -> dict[str, Any]:
    """The sheet as plain values for JSON; numbers are decimals."""
    return {
        "paper": "limits-sheet", "edition": sheet.edition, "units": sheet.system,
        "engine": {"id": sheet.engine_id or None, "engine_class": sheet.engine_class, "use": sheet.use,
                   "sizes": {name: str(told) for name, told in sheet.sizes}},
        "guesses": [{"dimension": g.dimension, "taken": str(g.taken), "usual": f"{g.low} to {g.high}", "grade": g.grade, "note": g.note}
                    for g in sheet.guesses],
        "pages": [_page_dict(page, sheet.system) for page in sheet.pages],
        "grades": WHOSE, "cautions": [{"id": c.id, "hazard": c.hazard, "says": c.says} for c in sheet.cautions],
        "works": [{"id": w.id, "citation": w.citation} for w in sheet.works],
    }  # fmt: skip


def _page_dict(page: Page, system: System) -> dict[str, Any]:
    return {
        "assembly": page.assembly.id, "name": page.assembly.name, "red_flags": list(page.red_flags),
        "lines": [_line_dict(line, system) for line in page.lines],
        "looks": [{"characteristic": k.characteristic, "name": k.name, "stage": k.stage, "where": list(k.where), "how": k.how,
                   "start_critical": k.start_critical, "only_if": k.only_if,
                   "words": [{"word": word, "stops_engine": stop} for word, stop in k.words]} for k in page.looks],
        "sources": [source_dict(s) for s in page.sources],
    }  # fmt: skip


def _line_dict(line: Line, system: System) -> dict[str, Any]:
    return {
        "characteristic": line.characteristic, "name": line.name, "stage": line.stage, "kind": line.kind, "where": list(line.where),
        "new": {"text": str(line.new.told), "grade": line.new.whose or None}, "stop": {"text": str(line.stop.told), "grade": line.stop.whose or None},
        "fit": interval_dict(line.fit, system), "wear": interval_dict(line.wear, system), "reading": None, "tool": line.tool, "how": line.how,
        "unit": line.unit, "counted": line.counted, "start_critical": line.start_critical, "only_if": line.only_if,
        "guessed": list(line.guessed), "needs": line.needs, "limit_id": line.limit_id,
    }  # fmt: skip
