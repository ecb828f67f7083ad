"""The table as Markdown: one page a component (limits, reasoning, evidence, cautions) and a coverage report. Made from the records."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from pathlib import Path

from .records import ENDS, GRADES, Absence, Characteristic, Evidence, Grade, Limit, weakest
from .rules import Open, in_words
from .standing import end_standings, parent
from .table import Table

GRADE_WORDS = {
    "published": "book", "quoted": "book, at second hand", "derived": "worked out", "common-practice": "trade",
    "from-memory": "from memory, unchecked", "owner": "yours",
}  # fmt: skip
HEAD = "<!-- Made from the data files by `python -m halfthou_specdb docs`; edit those, not this page. -->\n"


def pages(table: Table) -> dict[str, str]:
    """File name -> text of every page."""
    found = {f"{component}.md": _component(table, component) for component in components(table)}
    found["coverage.md"] = coverage(table)
    found["README.md"] = _index(table)
    return found


def write(table: Table, folder: Path) -> list[Path]:
    """Write every page into a folder and remove pages that no longer belong."""
    folder.mkdir(parents=True, exist_ok=True)
    wanted = pages(table)
    for stale in (p for p in folder.glob("*.md") if p.name not in wanted):
        stale.unlink()
    for name, text in wanted.items():
        (folder / name).write_text(text, encoding="utf-8")
    return [folder / name for name in wanted]


def components(table: Table) -> tuple[str, ...]:
    """Components in alphabetical order."""
    return tuple(sorted({c.component for c in table.characteristics.values()}))


def _of(table: Table, component: str) -> list[Characteristic]:
    return [c for c in table.characteristics.values() if c.component == component]


def _title(word: str) -> str:
    return word.replace("-", " ").capitalize()


def _cell(text: object) -> str:
    return str(text).replace("|", "\\|").replace("\n", " ").replace("<", "&lt;")


def _row(cells: Iterable[object]) -> str:
    return "| " + " | ".join(_cell(c) for c in cells) + " |"


def _index(table: Table) -> str:
    lines = [HEAD, "# The table, component by component\n"]
    lines += [f"- [{_title(c)}]({c}.md): {len(_of(table, c))} things to look at" for c in components(table)]
    lines.append("- [Coverage](coverage.md): what is covered, how well, by how many independent sources\n")
    lines.append("Grades, best first: " + ", ".join(f"{GRADE_WORDS[g]} (`{g}`)" for g in GRADES if g != "owner") + ".")
    lines.append("Standing: stated for this kind of engine, carried over from another kind (named), or our judgement between works.\n")
    return "\n".join(lines)


def _component(table: Table, component: str) -> str:
    lines = [HEAD, f"# {_title(component)}\n"]
    cautions: dict[str, None] = {}
    for what in _of(table, component):
        lines += _characteristic(table, what)
        limits = table.limits_of.get(what.id, ())
        cautions |= dict.fromkeys((*what.cautions, *(c for m in limits for c in m.cautions)))
    if cautions:
        lines.append("## Cautions\n")
        lines += [f"- **{table.cautions[c].hazard}** ({c}): {table.cautions[c].says}" for c in cautions]
        lines.append("\nLocal codes and licensed practice come first.\n")
    return "\n".join(lines)


def _characteristic(table: Table, what: Characteristic) -> Iterator[str]:
    yield f"## {what.name}\n"
    yield f"`{what.id}`{' · must be looked at before a start' if what.start_critical else ''} · {what.stage.replace('-', ' ')}\n"
    yield f"{what.definition}\n"
    yield f"**How:** {what.how_to_measure}\n"
    if what.mistakes:
        yield f"**Mistakes:** {'; '.join(what.mistakes)}\n"
    if what.words:
        yield "| word | means | verdict |\n|---|---|---|"
        yield from (_row((w.word, w.meaning, w.verdict.replace("_", " "))) for w in what.words)
        yield ""
    limits = table.limits_of.get(what.id, ())
    if limits:
        yield "| limit | for | new: from | new: to | worn: under | worn: over | whose |\n|---|---|---|---|---|---|---|"
        yield from (_limit_row(table, m) for m in limits)
        yield ""
        told: set[str] = set()
        for m in limits:
            if m.reasoning not in told:
                yield f"*{m.id}:* {_cell(m.reasoning)}\n"
            told.add(m.reasoning)
    yield from (_absence(a) for a in table.absences_of.get(what.id, ()))
    evidence = table.evidence_of(what.id)
    if evidence:
        yield "| statement | written for | says | grade | source |\n|---|---|---|---|---|"
        yield from (_evidence_row(table, e) for e in evidence)
        yield ""


def _limit_row(table: Table, m: Limit) -> str:
    bounds = ["none known" if (b := m.bound(e)) is not None and isinstance(b, Open) and b.value == "none_on_file" else in_words(b, m.unit)
              for e in ENDS]  # fmt: skip
    fit_low, fit_high, wear_low, wear_high = bounds
    return _row((f"{m.id} ({m.kind})", _for(m), fit_low, fit_high, wear_low, wear_high, _whose(table, m)))


def _for(m: Limit) -> str:
    parts = [", ".join(m.classes), "" if m.use == "any" else m.use, "; ".join(m.when), str(m.sizes or "")]
    return "; ".join(p for p in parts if p)


def _whose(table: Table, m: Limit) -> str:
    standings = end_standings(table, m, m.classes[0])
    return "; ".join(f"{e.replace('_', ' ')}: {s.standing.replace('-', ' ')}, {GRADE_WORDS[s.grade]}" for e, s in standings.items())


def _absence(a: Absence) -> str:
    return f"**Nobody publishes this** ({', '.join(a.classes)}). {a.reason} Instead: {a.instead}\n"


def _evidence_row(table: Table, e: Evidence) -> str:
    source = f"{table.works[e.work].title}, {e.locator}" if e.work in table.works else GRADE_WORDS[e.grade]
    note = f" ({e.note})" if e.note else ""
    return _row((e.id, e.written_for, f"{e.says}{note}", GRADE_WORDS[e.grade], source))


# -- coverage ------------------------------------------------------------------------------------------------------


def coverage(table: Table) -> str:
    """Component x class: limits and absences, best grade, number of independent works behind them."""
    classes = [k for k in table.classes.values() if k.kind == "class"]
    cells = "Each cell: characteristics with a limit, guide or safety limit; + honest absences; best grade; independent works.\n"
    lines = [HEAD, "# Coverage\n", cells]
    lines.append(_row(["component", "things", *(k.name for k in classes)]))
    lines.append("|---|---|" + "---|" * len(classes))
    for component in components(table):
        things = _of(table, component)
        lines.append(_row([_title(component), len(things), *(_cover(table, things, k.id) for k in classes)]))
    absences = sum(map(len, table.absences_of.values()))
    lines.append(f"\n{len(table.characteristics)} characteristics, {len(table.limits)} limits over {len(table.limits_of)} of them, "
                 f"{absences} absences, {len(table.evidence_ids())} statements.\n")  # fmt: skip
    return "\n".join(lines)


def _cover(table: Table, things: list[Characteristic], engine_class: str) -> str:
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
    findings = sum(bool(w.words) for w in things)
    text = f"{limited} + {absent}" + (f", {findings} findings" if findings else "")
    return f"{text}; {GRADE_WORDS[min(grades, key=GRADES.index)]}; {len(works)} works" if grades else text
