"""Papers as Markdown, for a note book, a wiki or a mail. Every text is neutralised; nothing in it is markup."""

from __future__ import annotations

from collections.abc import Iterable

from ..bench.papers.as_found_sheet import AsFoundSheet
from ..bench.papers.assemblies import WHOSE
from ..bench.papers.comparison import SAYS as CHANGES
from ..bench.papers.comparison import Comparison, stops
from ..bench.papers.limits_sheet import End, LimitsSheet, Page
from ..bench.papers.parts_back import BackLine, Figure, PartsBack, ordered_told, told_value
from ..bench.papers.readiness import FOR, Against, Readiness
from ..bench.papers.sources import Source
from ..bench.papers.work_order import AT, PartOrder, WorkOrder
from ..bench.texts import capital
from .cells import bullets, md, table
from .html import STAGE_NAMES, UNITS_SAY

BOX = "- [ ]"


def _joined(parts: Iterable[str]) -> str:
    return "\n\n".join(p for p in parts if p) + "\n"


def _end(end: End) -> str:
    return f"{end.told} ({end.whose})" if end.whose else str(end.told)


def _at(name: str, place: str) -> str:
    return f"{name} ({place})" if place else name


def limits_markdown(sheet: LimitsSheet) -> str:
    """The limits sheet."""
    parts = [f"# Limits sheet: {md(sheet.engine_id or sheet.engine_class)}",
             md(f"{sheet.engine_class}, for {sheet.use}. {UNITS_SAY[sheet.system]} Edition {sheet.edition}."),
             table(("size", "stated"), sheet.sizes) if sheet.sizes else ""]  # fmt: skip
    if sheet.guesses:
        rows = [(g.name, f"{g.taken} (guess)", f"{g.low} to {g.high}") for g in sheet.guesses]
        parts += ["## Guessed, not measured", table(("size", "taken", "usual"), rows)]
    for page in sheet.pages:
        parts += _limits_of(page)
    parts += ["## Whose figure", bullets(f"{word}: {says}" for word, says in WHOSE.items())]
    parts += ["## Cautions", bullets(f"{c.hazard}: {c.says}" for c in sheet.cautions)]
    parts += ["## Works", bullets(f"{w.id}: {w.citation}" for w in sheet.works)]
    return _joined(parts)


def _limits_of(page: Page) -> list[str]:
    parts = [f"## {md(page.assembly.name)}"]
    if page.red_flags:
        parts.append("**Red flags: any of these and it is not run**\n\n" + bullets(page.red_flags))
    rows = []
    for line in page.lines:
        new = "; ".join(x for x in (_end(line.new), "usual" if line.kind == "guide" else "", line.counted) if x)
        rows.append((STAGE_NAMES[line.stage], f"{line.name}{' (GUESS)' if line.guessed else ''}", ", ".join(line.where), new, _end(line.stop), "",
                     line.tool, line.needs or line.how))  # fmt: skip
    parts.append(table(("when", "what", "where", "new", "stop at", "my reading", "tool", "how"), rows) if rows else "")
    looks = []
    for look in page.looks:
        words = "; ".join(f"{word} (not run)" if stops else word for word, stops in look.words)
        looks.append(f"{_at(look.name, ', '.join(look.where))}: {words}")
    parts.append(bullets(looks, BOX))
    if page.sources:
        parts.append("Who says so:\n\n" + bullets(_source(s) for s in page.sources))
    return parts


def _source(source: Source) -> str:
    works = "; ".join(f"{w.id}, {w.locator}" for w in source.works)
    return f"{source.name}: {source.rule}. {source.reasoning}{f' ({works})' if works else ''}"


def as_found_markdown(sheet: AsFoundSheet) -> str:
    """The blank as-found sheet."""
    parts = [f"# As found: {md(sheet.engine_id or sheet.engine_class)}", md(f"{UNITS_SAY[sheet.system]} B / A: before or after the dead centre.")]
    for s in sheet.sections:
        parts.append(f"## {md(s.name)}")
        parts.append(bullets((f"{m.says}: ({m.box})" for m in s.marks), BOX))
        if s.packs:
            heading = ("shims of", *(f"leaf {n + 1}" for n in range(s.packs[0].leaves)))
            parts.append(table(heading, ((p.instance, *[""] * p.leaves) for p in s.packs)))
        if s.readings:
            rows = [(r.name, place, "", f"{r.unit}, B / A" if r.on_rim else r.unit, r.tool) for r in s.readings for place in r.where or ("",)]
            parts.append(table(("read it now", "where", "reading", "unit", "tool"), rows))
        looks = [f"{_at(f.name, place)}: {' / '.join(f.words)}" for f in s.findings for place in f.where or ("",)]
        parts.append(bullets(looks, BOX))
    return _joined(parts)


def work_order_markdown(order: WorkOrder, part: str = "") -> str:
    """The work order; with ``part``, that part alone.

    Raises:
        KeyError: no such part on the order.
    """
    chosen = [p for p in order.parts if p.id == part] if part else list(order.parts)
    if part and not chosen:
        raise KeyError(part)
    head = order.letterhead
    told = [f"{k} {v}" for k, v in (("date", head.date), ("from", head.owner), ("ring", head.ring), ("to", head.machinist)) if v]
    parts = [f"# Work order: {md(order.engine_id or order.engine_class)}", md(", ".join(told))]
    if not part:
        parts.append("## Not sent\n\n" + bullets(f"{w.name}. {w.why}" for w in order.withheld) if order.withheld else "")
        asks = [f"{p.name}. {a}" for p in order.parts for a in p.asks]
        parts.append("## Decide first\n\n" + bullets(asks, BOX) if asks else "")
        blind = [f"{said}." for p in order.parts for said in p.unprovable]
        parts.append("## What your tools cannot prove\n\n" + bullets(blind) if blind else "")
        mind = {c.id: f"{capital(c.hazard)}. {c.says}" for p in order.parts for c in p.cautions}
        parts.append("## Mind\n\n" + bullets(mind.values()) if mind else "")
    for p in chosen:
        parts += _part(p, AT[order.system])
        if not part and p.check:
            parts.append("When it is back, before paying:\n\n" + bullets(p.check, BOX))
    return _joined(parts)


def _part(p: PartOrder, at: str) -> list[str]:
    targets = [(f"{t.what}{f'. {t.note}' if t.note else ''}", str(t.told), t.whose) for t in p.targets] or [("no size yet: ring me", "", "")]
    lists = (("Form", p.form), ("Work", p.work), ("Finish", p.finish), ("Datum", (p.datum,)), ("Fillet", (p.fillet,)), ("Do first", p.first),
             ("Do after", p.after), ("Also write down", p.report), ("Send back with it", p.returns), ("Stop and ring me if", p.stop))  # fmt: skip
    return [
        f"## {md(p.name)}", "**NOT DECIDED: ring me before you start**\n\n" + bullets(p.asks) if p.asks else "",
        md(f"To the {p.trade}; quantity {p.quantity}. {p.identify}"),
        "**MIND**\n\n" + bullets(f"{capital(c.hazard)}. {c.says}" for c in p.cautions) if p.cautions else "",
        f"**FINISH TO** (both limits, on the diameter, at {at})\n\n" + table(("what", "finish to", "whose"), targets),
        "**MATES WITH**\n\n" + bullets(f"{m.part}: {m.told}" for m in p.mates) if p.mates else "",
        "**DO NOT CUT**\n\n" + bullets(p.do_not_cut), "**Why**\n\n" + bullets(p.why),
        *(f"**{name}**\n\n" + bullets(map(str, notes)) for name, notes in lists if notes),
        "**As found**\n\n" + table(("what", "where", "size", "give or take", "tool", "at"),
                                   ((a.what, a.place, a.told, a.doubt, a.tool, a.temperature) for a in p.as_found)) if p.as_found else "",
        f"**Report**, measured at {md(p.temperature)}\n\n" + table(("what", "where", "ordered", "his", "mine", "ok"), (
            (b.box.what, ", ".join(x for x in (b.box.station, b.box.axis) if x), b.ordered, "", "", "") for b in p.boxes)),
        bullets(p.notes) if p.notes else "",
    ]  # fmt: skip


def parts_back_markdown(back: PartsBack) -> str:
    """The report of finished sizes, judged."""

    def figure(found: Figure, line: BackLine) -> object:
        return told_value(found, line, back.system) if found.value is not None else found.words or "no figure"

    rows = [
        (v.line.part, v.line.what, ", ".join(x for x in (v.line.station, v.line.axis) if x), ordered_told(v.line, back.system),
         figure(v.line.reported, v.line), figure(v.line.measured, v.line), v.agreement.replace("_", " "),
         "both inside, not proved" if v.both_inside else v.answer.replace("_", " ")) for v in back.lines
    ]  # fmt: skip
    inside = [w.text for w in back.words if w.both_inside]
    return _joined(["# Parts back", md(back.text), table(("part", "what", "where", "ordered", "his", "mine", "he and I", "so"), rows),
                    bullets(w.text for w in back.words if not w.both_inside),
                    "## Both of you read inside; your tool cannot prove it\n\n" + bullets(inside) if inside else "",
                    "## Before paying", bullets(back.before_paying, BOX)])  # fmt: skip


def readiness_markdown(paper: Readiness) -> str:
    """What stands against it, what nobody looked at, and the list for the first start."""

    def against(lines: tuple[Against, ...]) -> str:
        return bullets((f"{a.name}{f' ({a.place})' if a.place else ''}. {a.text} To clear it: {a.clear}" for a in lines), BOX)

    parts = [f"# {FOR[paper.stage]}: {md(paper.engine_id or 'engine not named')}", f"**{md(paper.text)}**"]
    parts += ["## What stops you", against(paper.stops)] if paper.stops else []
    parts += ["## What cannot be told yet", against(paper.doubts)] if paper.doubts else []
    answered = [f"{s.text} Answered by {s.by}." for s in paper.superseded]
    parts += ["## Found bad, and answered by a later reading", bullets(answered)] if answered else []
    missing = [f"{m.name}{f' ({m.place})' if m.place else ''}. {m.clear}" for m in paper.not_looked]
    parts += ["## Not looked at", bullets(missing, BOX)] if missing else []
    for group in paper.checks.groups if paper.checks else ():
        parts += [f"## {md(group.title)}", bullets((f"{c.says}{f' ({c.caution})' if c.caution else ''}" for c in group.lines), BOX)]
    return _joined(parts)


def comparison_markdown(found: Comparison) -> str:
    """Before and after."""
    rows = [
        (r.assembly, r.name, r.place, r.before.told if r.before else "not read", r.after.told if r.after else "not read",
         f"{r.by} give or take {r.by_doubt}" if r.by else "",
         f"{'STOP; ' if stops(r) else ''}{CHANGES[r.change]}{f', {r.better}' if r.better else ''}") for r in found.rows
    ]  # fmt: skip
    return _joined(["# Before and after", md(found.text), table(("assembly", "what", "where", "first", "then", "change", "so"), rows)])
