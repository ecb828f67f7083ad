"""What the table covers: component by engine class, how many limits, how good at best, from how many independent works."""

from __future__ import annotations

from dataclasses import dataclass

from .page_parts import Grid, Page, paragraph
from .records import GRADE_WORDS, GRADES, Characteristic, Grade, weakest
from .standing import end_standings, parent
from .table import Table

SAYS = "Each cell: characteristics with a limit, guide or safety limit; + honest absences; best grade; independent works."


@dataclass(frozen=True, slots=True)
class Cover:
    """One component of one engine class. ``best`` is None where nothing is limited; ``works`` counts publications, not rows."""

    component: str
    engine_class: str
    things: int
    limited: int
    absent: int
    findings: int
    best: Grade | None
    works: int

    def __str__(self) -> str:
        text = f"{self.limited} + {self.absent}" + (f", {self.findings} findings" if self.findings else "")
        return text if self.best is None else f"{text}; {GRADE_WORDS[self.best]}; {self.works} works"


def covers(table: Table) -> tuple[Cover, ...]:
    """Every component of every class."""
    classes = [k.id for k in table.classes.values() if k.kind == "class"]
    names = sorted({c.component for c in table.characteristics.values()})
    by_component = {name: [c for c in table.characteristics.values() if c.component == name] for name in names}
    return tuple(_cover(table, name, by_component[name], k) for name in names for k in classes)


def _cover(table: Table, component: str, things: list[Characteristic], engine_class: str) -> Cover:
    limited = absent = 0
    works: set[str] = set()
    grades: list[Grade] = []
    for what in things:
        limits = [m for m in table.limits_of.get(what.id, ()) if engine_class in m.classes or "any" in m.classes]
        gaps = [a for a in table.absences_of.get(what.id, ()) if engine_class in a.classes or "any" in a.classes]
        limited, absent = limited + bool(limits), absent + (bool(gaps) and not limits)
        for m in limits:
            parents = [parent(table, m, ref)[0] for d in m.derivation.values() for ref in d.parents]
            works.update(p.work for p in parents if p.work)
            grades.append(weakest([s.grade for s in end_standings(table, m, engine_class).values()] or ["from-memory"]))
    best = min(grades, key=GRADES.index) if grades else None
    return Cover(component, engine_class, len(things), limited, absent, sum(bool(w.words) for w in things), best, len(works))


def coverage_page(table: Table) -> Page:
    """The report as a page."""
    classes = [k for k in table.classes.values() if k.kind == "class"]
    found = covers(table)
    rows = []
    for name in dict.fromkeys(c.component for c in found):
        cells = [c for c in found if c.component == name]
        rows.append((name.replace("-", " ").capitalize(), str(cells[0].things), *(str(c) for c in cells)))
    absences = sum(map(len, table.absences_of.values()))
    total = (f"{len(table.characteristics)} characteristics, {len(table.limits)} limits over {len(table.limits_of)} of them, "
             f"{absences} absences, {len(table.evidence_ids())} statements.")  # fmt: skip
    head = ("component", "things", *(k.name for k in classes))
    return Page("coverage", "Coverage", (paragraph(SAYS), Grid("Coverage by component and kind of engine", head, tuple(rows)), paragraph(total)))
