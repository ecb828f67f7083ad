"""Plain text for people: 100 columns, no colour, nothing that only a terminal understands."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Mapping, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ..models import Caution, Characteristic, Evidence, Interval, LimitAnswer, Verdict
    from ..models.remedies import Remedy

WIDTH = 100
STANDINGS = {"owner": "your own figure"}
GRADES = {
    "published": "published", "quoted": "quoted in another book", "derived": "worked out here", "common-practice": "the trade says so, no book",
    "from-memory": "from memory, unchecked",
}  # fmt: skip
BASES = {
    "diametral": "on the diameter, the whole gap", "radial": "on the radius, one side only", "total-indicator": "full swing of the dial",
    "difference-of-diameters": "one diameter less another",
}  # fmt: skip
KEEP = {"\n": " ", "\t": " "}


def clean(text: str) -> str:
    """The text without control characters, so that no answer can steer a terminal."""
    return "".join(KEEP.get(letter, letter if letter.isprintable() else "?") for letter in text)


def wrapped(text: str, first: str = "", later: str | None = None) -> list[str]:
    """Lines of at most 100 columns; ``first`` before the first, ``later`` before the others."""
    after = " " * len(first) if later is None else later
    return textwrap.wrap(
        clean(text), WIDTH, initial_indent=first, subsequent_indent=after, break_long_words=True, break_on_hyphens=False
    ) or ([first.rstrip()] if first.strip() else [])


def tag_of(word: str, column: int) -> str:
    """A short word such as an id, filled up to its column; a longer one still has room after it."""
    return clean(word).ljust(column - 2) + "  "


def heading(text: str, right: str = "") -> list[str]:
    """A heading with something at the right edge where there is room, underlined."""
    text, right = clean(text), clean(right)
    room = WIDTH - len(text) - len(right)
    lines = [f"{text}{' ' * room}{right}"] if right and room >= 3 else [*wrapped(text), *([right] if right else [])]
    return [*lines, "=" * WIDTH]


def section(title: str, says: str = "") -> list[str]:
    """A blank line, a title in capitals, a line of explanation."""
    lines = ["", *wrapped(f"{title.upper()}{': ' + says if says else ''}", "", "  ")]
    return [*lines, "-" * min(WIDTH, max(len(line) for line in lines))]


def listed(rows: Iterable[Sequence[str]], gap: int = 2) -> list[str]:
    """Rows of a short word and a longer text, the texts aligned and wrapped."""
    pairs = [(clean(row[0]), row[1]) for row in rows]
    column = min(max((len(word) for word, _ in pairs), default=0), 42) + gap
    lines: list[str] = []
    for word, text in pairs:
        if len(word) + gap > column:
            lines.append(word)
            lines += wrapped(text, " " * column)
        else:
            lines += wrapped(text, word.ljust(column)) or [word]
    return lines


def cautions(entries: Iterable[Caution]) -> list[str]:
    """Each caution once, those of one hazard together."""
    groups: dict[str, list[str]] = {}
    for caution in dict.fromkeys(entries):
        groups.setdefault(caution.hazard, []).append(caution.says or caution.id)
    lines: list[str] = []
    for hazard, says in groups.items():
        told = ": ".join(part for part in (hazard[:1].upper() + hazard[1:], " ".join(dict.fromkeys(says))) if part)
        lines += wrapped(told, "  ! ", "    ")
    return lines


def limit_lines(limit: LimitAnswer) -> list[str]:
    """The two intervals of a limit, each with its standing. A safety limit is told as where it warns and where it stops."""
    rows = []
    titles = {"guide": ("typical", ""), "safety": ("take care", "stop")}.get(limit.kind, ("new fit", "goes back, worn"))
    for name, interval, title in (("fit", limit.fit, titles[0]), ("wear", limit.wear, titles[1])):
        if interval.said:
            ends = [(end, limit.standing.get(f"{name}_{end}", "")) for end in ("low", "high")]
            said = [f"{end} end {STANDINGS.get(word, word.replace('-', ' '))}" for end, word in ends if word]
            told = _safety(interval) if limit.kind == "safety" else _worn(limit) if name == "wear" else str(interval)
            rows.append((f"  {title}", told + (f"  ({'; '.join(said)})" if said else "")))
    if limit.basis not in ("", "plain"):
        rows.append(("  measured", BASES.get(limit.basis, limit.basis.replace("-", " "))))
    if limit.rule_text:
        rows.append(("  rule", limit.rule_text))
    if limit.grade:
        rows.append(("  grade", STANDINGS.get(limit.grade) or GRADES.get(limit.grade, limit.grade)))
    says = limit.raw.get("side_says") or {}
    for end, name in (("low", "too small"), ("high", "too large")):
        if limit.side_meaning.get(end):
            rows.append((f"  {name}", str(says.get(end) or limit.side_meaning[end].replace("-", " "))))
    return listed(rows)


def _safety(interval: Interval) -> str:
    parts = [f"under {interval.low}"] if interval.low.quantity else []
    parts += [f"over {interval.high}"] if interval.high.quantity else []
    return " or ".join(parts)


def _worn(limit: LimitAnswer) -> str:
    """The wear bounds; a side with none has the bound of the new fit, unless nothing is bad there."""
    parts = []
    for wear, fit, word, end in (
        (limit.wear.low, limit.fit.low, "{} or more", "low"),
        (limit.wear.high, limit.fit.high, "up to {}", "high"),
    ):
        if wear.quantity:
            parts.append(word.format(wear))
        elif (
            wear.kind == "none_on_file" and fit.quantity and not limit.side_meaning.get(end, "").startswith("harmless")
        ):
            parts.append(f"{end} end as the new fit")
    return "; ".join(sorted(parts, key=lambda part: part.endswith("new fit")))


def limit_answer(limit: LimitAnswer) -> list[str]:
    """A limit with its reasoning and its evidence."""
    for_what = ", ".join(part for part in (limit.engine_class, limit.use, str(limit.size or "")) if part)
    lines = heading(f"{limit.characteristic}  {for_what}".strip(), f"edition {limit.edition}" if limit.edition else "")
    if limit.text:
        lines += wrapped(limit.text)
    if limit.found:
        lines += limit_lines(limit)
    elif not limit.text:
        lines += wrapped("No limit is adopted for this.")
    if limit.reasoning:
        lines += section("Why") + wrapped(limit.reasoning, "  ")
    if limit.asks_for:
        lines += section("Tell the table more", "the stricter limit stands until it knows") + [
            line for asked in limit.asks_for for line in wrapped(asked, "  - ")
        ]
    for title, says, entries in (
        ("Who says so", "", [e for e in limit.evidence if e.comparable and e.stance != "differs"]),
        ("Who disagrees", "", [e for e in limit.evidence if e.comparable and e.stance == "differs"]),
        ("Not comparable", "other engines, other sizes", [e for e in limit.evidence if not e.comparable]),
    ):
        if entries:
            lines += section(title, says) + [line for entry in entries for line in evidence(entry)]
    if limit.cautions:
        lines += section("Cautions") + cautions(limit.cautions)
    if limit.limit_id:
        lines += ["", f"limit {clean(limit.limit_id)}"]
    return lines


def evidence(entry: Evidence) -> list[str]:
    """One statement: what it says, for which engine, who says it, how far it can be trusted."""
    here = f" Here: {entry.interval}." if entry.comparable and entry.interval.said else ""
    lines = wrapped(f"{entry.says.rstrip('.') or entry.id}.{here}", "  - ", "    ")
    title = str(entry.raw.get("title") or entry.work)
    source = ", ".join(part for part in (title, entry.locator, GRADES.get(entry.grade, entry.grade)) if part)
    if entry.written_for or source:
        lines += wrapped(". ".join(part for part in (entry.written_for, source) if part), "    ")
    if entry.why_not:
        lines += wrapped(f"not comparable: {entry.why_not}", "    ")
    return lines


def verdict_lines(
    item: Verdict, indent: str = "", tag: str = "", steps: bool = False, numbered: Mapping[str, int] | None = None
) -> list[str]:
    """One verdict: the service's own line, then what was assumed and what was wrong, then what to do; ``steps`` tells how, step by step.

    ``numbered``: notes that are told once, elsewhere, under a number.
    """
    said = item.text or (item.problem.detail if item.problem else "") or item.verdict.replace("_", " ")
    lines = wrapped(said, indent + tag)
    pad = " " * len(indent + tag)
    if item.problem and item.problem.detail and not _told(item.problem.detail, said):
        lines += wrapped(item.problem.detail, pad)
    if item.problem and item.problem.near and not any(near in said for near in item.problem.near):
        lines += wrapped(f"near it: {', '.join(item.problem.near)}", pad)
    elsewhere = [str((numbered or {})[note]) for note in item.assumed if note in (numbered or {})]
    for assumed in item.assumed:
        if assumed not in said and assumed not in (numbered or {}):
            lines += wrapped(f"note: {assumed}", pad)
    if elsewhere:
        lines += wrapped(f"note{'s' if len(elsewhere) > 1 else ''} {', '.join(elsewhere)} below", pad)
    if item.second_opinion:
        lines += wrapped(item.second_opinion.text, pad)
        lines += [line for assumed in item.second_opinion.assumed for line in wrapped(f"assumed for the film: {assumed}", pad)]
    for remedy in item.remedies:
        lines += remedy_lines(remedy, pad, steps)
    return lines


def _told(detail: str, said: str) -> bool:
    """Whether a text says a detail already, be it with a capital and a full stop."""
    return detail.rstrip(". ").casefold() in said.casefold()


COSTS = {"free": "costs nothing", "hand": "hand work", "machine": "machine shop", "part": "new part"}


def remedy_lines(remedy: Remedy, indent: str = "", steps: bool = True) -> list[str]:
    """One remedy: what to do and by how much, what it costs, its risk, what would sharpen it; with ``steps`` also how, and what to measure then."""
    about = [COSTS.get(remedy.cost_class, remedy.cost_class)]
    about += ["" if remedy.reversible else "cannot be undone", "may be left" if remedy.optional else ""]
    grade = GRADES.get(remedy.grade, remedy.grade) if remedy.grade in ("common-practice", "from-memory") else ""
    lines = wrapped(f"{remedy.text or remedy.title} ({'; '.join(part for part in (*about, grade) if part)})", f"{indent}-> ")
    pad = f"{indent}   "
    told = [step for step in remedy.steps if step.rstrip(".") not in remedy.text] if steps else []
    for number, step in enumerate(told, 1):
        lines += wrapped(step, f"{pad}{number}. ")
    if remedy.risk:
        lines += wrapped(f"Risk: {remedy.risk}", pad)
    if remedy.asks:
        lines += wrapped(f"Tell to sharpen it: {'; '.join(remedy.asks)}", pad)
    if steps and remedy.measure_after:
        lines += wrapped(f"Measure afterwards: {'; '.join(remedy.measure_after)}", pad)
    return lines


def judged(item: Verdict) -> list[str]:
    """One verdict by itself, with the limit it was held against."""
    lines = verdict_lines(item, steps=True)
    if item.limit:
        lines += ["", "Held against:", *limit_lines(item.limit)]
    if item.cautions:
        lines += section("Cautions") + cautions(item.cautions)
    source = ", ".join(
        part for part in (item.verdict, item.limit_id, f"edition {item.edition}" if item.edition else "") if part
    )
    return [*lines, "", clean(source)]


def characteristic(entry: Characteristic) -> list[str]:
    """A characteristic as a page to hang on the wall."""
    lines = heading(entry.name or entry.id, entry.id)
    for title, body in (
        ("", entry.definition),
        ("How to measure", entry.how_to_measure),
        ("Why it matters", entry.consequence),
    ):
        if body:
            lines += (section(title) if title else []) + wrapped(body, "  " if title else "")
    if entry.mistakes:
        lines += section("Mistakes") + [line for mistake in entry.mistakes for line in wrapped(mistake, "  - ", "    ")]
    rows = [
        ("  tools", ", ".join(entry.instruments)),
        ("  usually", entry.usual_instrument),
        ("  scales with", ", ".join(entry.scales_with)),
        ("  told as", ", ".join(part for part in (entry.value_kind, entry.unit, entry.basis) if part)),
        ("  words", "; ".join(entry.words)),
        ("  places", ", ".join(entry.instances)),
        ("  only with", ", ".join(entry.applies_if)),
        ("  stage", entry.stage + (", before the first start" if entry.start_critical else "")),
        ("  also called", ", ".join(entry.synonyms)),
    ]
    return [*lines, "", *listed(row for row in rows if row[1])]
