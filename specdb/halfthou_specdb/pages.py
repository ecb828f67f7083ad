"""The table as pages, made from the records: one a component (limits, reasoning, evidence, cautions), coverage, usual sizes, an index.

The Markdown of the repository (``docs.py``) and the HTML of the service are both drawn from these, so neither can say another thing.
"""

from __future__ import annotations

from collections.abc import Iterator

from .coverage import coverage_page
from .page_parts import Block, Bullets, Grid, Heading, Page, Span, code, emphasis, link, paragraph, plain, strong
from .records import ENDS, GRADE_WORDS, GRADES, Absence, Characteristic, Evidence, Limit
from .rules import in_words
from .standing import end_standings
from .table import Table
from .typical import WARNING

INDEX, COVERAGE, GUESSES = "README", "coverage", "usual-sizes"
LIMIT_HEAD = ("limit", "for", "new: from", "new: to", "worn: under", "worn: over", "whose")
EVIDENCE_HEAD = ("statement", "written for", "says", "grade", "source")


def pages(table: Table) -> dict[str, Page]:
    """Every page by its name: the index first, then the components, usual sizes and coverage."""
    found = [index_page(table), *(component_page(table, c) for c in components(table)), guesses_page(table), coverage_page(table)]
    return {page.name: page for page in found}


def components(table: Table) -> tuple[str, ...]:
    """Components in alphabetical order."""
    return tuple(sorted({c.component for c in table.characteristics.values()}))


def title_of(component: str) -> str:
    """A component as a title."""
    return component.replace("-", " ").capitalize()


def _of(table: Table, component: str) -> list[Characteristic]:
    return [c for c in table.characteristics.values() if c.component == component]


def index_page(table: Table) -> Page:
    """Where to find what, and what the words of a source mean."""
    items: list[tuple[Span, ...]] = [
        (link(title_of(c), c), plain(f": {len(_of(table, c))} things to look at")) for c in components(table)
    ]
    items.append((link("Usual sizes by power", GUESSES), plain(": guesses to start from, never used for a verdict")))
    items.append((link("Coverage", COVERAGE), plain(": what is covered, how well, by how many independent sources")))
    grades = ", ".join(f"{GRADE_WORDS[g]} ({g})" for g in GRADES if g != "owner")
    return Page(INDEX, "The table, component by component", (
        Bullets(tuple(items)), paragraph(strong("Grades"), f", best first: {grades}."),
        paragraph(strong("Standing:"), " stated for this kind of engine, carried over from another kind (named), or our judgement between works."),
        paragraph(strong("Open ends:"), " none known, where nobody says; no bound, where nothing is bad on that side."),
    ))  # fmt: skip


def component_page(table: Table, component: str) -> Page:
    """Everything on file about one component."""
    blocks: list[Block] = []
    cautions: dict[str, None] = {}
    for what in _of(table, component):
        blocks += _characteristic(table, what)
        limits = table.limits_of.get(what.id, ())
        cautions |= dict.fromkeys((*what.cautions, *(c for m in limits for c in m.cautions)))
    if cautions:
        told = tuple((strong(table.cautions[c].hazard), plain(f" ({c}): {table.cautions[c].says}")) for c in cautions)
        blocks += [Heading("Cautions", "cautions"), Bullets(told), paragraph("Local codes and licensed practice come first.")]
    return Page(component, title_of(component), tuple(blocks))


def _characteristic(table: Table, what: Characteristic) -> Iterator[Block]:
    yield Heading(what.name, what.id)
    critical = " · must be looked at before a start" if what.start_critical else ""
    yield paragraph(code(what.id), f"{critical} · {what.stage.replace('-', ' ')}")
    yield paragraph(what.definition)
    yield paragraph(strong("How:"), f" {what.how_to_measure}")
    if what.mistakes:
        yield paragraph(strong("Mistakes:"), f" {'; '.join(what.mistakes)}")
    if what.words:
        yield Grid(f"Words for: {what.name}", ("word", "means", "verdict"),
                   tuple((w.word, w.meaning, w.verdict.replace("_", " ")) for w in what.words))  # fmt: skip
    limits = table.limits_of.get(what.id, ())
    if limits:
        yield Grid(f"Limits: {what.name}", LIMIT_HEAD, tuple(_limit_row(table, m) for m in limits))
        told: set[str] = set()
        for m in limits:
            if m.reasoning not in told:
                yield paragraph(emphasis(f"{m.id}:"), f" {m.reasoning}")
            told.add(m.reasoning)
    yield from (_absence(a) for a in table.absences_of.get(what.id, ()))
    evidence = table.evidence_of(what.id)
    if evidence:
        yield Grid(f"Evidence: {what.name}", EVIDENCE_HEAD, tuple(_evidence_row(table, e) for e in evidence))


def _limit_row(table: Table, m: Limit) -> tuple[str, ...]:
    return (f"{m.id} ({m.kind})", _for(m), *(_bound(m, end) for end in ENDS), _whose(table, m))


def _bound(m: Limit, end: str) -> str:
    return in_words(m.bound(end), m.unit)


def _for(m: Limit) -> str:
    parts = [", ".join(m.classes), "" if m.use == "any" else m.use, "; ".join(m.when), str(m.sizes or "")]
    return "; ".join(p for p in parts if p)


def _whose(table: Table, m: Limit) -> str:
    standings = end_standings(table, m, m.classes[0])
    known = [(end, standings[end]) for end in ENDS if end in standings]
    return "; ".join(f"{e.replace('_', ' ')}: {s.standing.replace('-', ' ')}, {GRADE_WORDS[s.grade]}" for e, s in known)


def _absence(a: Absence) -> Block:
    return paragraph(strong("Nobody publishes this"), f" ({', '.join(a.classes)}). {a.reason} Instead: {a.instead}")


def _evidence_row(table: Table, e: Evidence) -> tuple[str, ...]:
    source = f"{table.works[e.work].title}, {e.locator}" if e.work in table.works else GRADE_WORDS[e.grade]
    note = f" ({e.note})" if e.note else ""
    return (e.id, e.written_for, f"{e.says}{note}", GRADE_WORDS[e.grade], source)


def guesses_page(table: Table) -> Page:
    """Usual sizes by power."""
    rows = tuple(
        (table.classes[t.engine_class].name, f"{t.hp_from} to {t.hp_to} hp", table.dimensions[t.dimension].name,
         f"{t.low:f} {t.unit}" if t.low == t.high else f"{t.low:f} to {t.high:f} {t.unit}", GRADE_WORDS[t.grade], t.note)
        for t in table.typical.values()
    )  # fmt: skip
    return Page(GUESSES, "Usual sizes by power", (
        paragraph(strong("Guesses."), f" {WARNING}"),
        Grid("Usual sizes", ("kind of engine", "power", "size", "usually", "grade", "note"), rows),
    ))  # fmt: skip
