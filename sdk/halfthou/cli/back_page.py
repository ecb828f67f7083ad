"""What came of the work as plain text: a machinist's report against the order, and two sheets compared."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from .show import WIDTH, clean, heading, section, wrapped

if TYPE_CHECKING:
    from ..models.back import BackLine, ComparedPlace, Comparison, PartsBack, SaidOfPlaces

INSIDE = "both_inside"
ANSWERS = (
    ("not_to_order", "Not to the order", ""),
    ("cannot_tell", "Too near the line for that tool", "a doubt is not a pass"),
    (INSIDE, "Both of you read inside; your tool cannot prove it", "no fault, and no proof"),
    ("no_figure", "No figure", "measure it yourself"),
    ("to_order", "To the order", ""),
    ("no_limit", "Nothing was ordered here", "written down only"),
)
KNOWN = frozenset(word for word, _, _ in ANSWERS)


def back_page(back: PartsBack) -> list[str]:
    """The whole report, what is wrong first; what is alike of one kind of place is told once."""
    lines = heading("Parts back") + wrapped(back.text)
    for word, title, says in ANSWERS:
        members = [line for line in back.lines if _answer(line) == word]
        told = [said for said in back.in_words if _answer(said) == word] or members
        lines += section(f"{title} ({len(members)})", says) + _by_part(told) if members else []
    others = [line for line in back.lines if line.answer not in KNOWN]
    lines += section(f"Other ({len(others)})") + _by_part(others) if others else []
    assumed = list(dict.fromkeys(text for line in back.lines for text in line.assumed))
    lines += section("Assumed") + [told for text in assumed for told in wrapped(text, "  - ")] if assumed else []
    if back.before_paying:
        lines += section("Before paying") + [told for text in back.before_paying for told in wrapped(text, "  [ ] ")]
    return [*lines, "", "=" * WIDTH]


def _answer(line: BackLine | SaidOfPlaces) -> str:
    return INSIDE if line.both_inside else line.answer


def _by_part(members: Sequence[BackLine | SaidOfPlaces]) -> list[str]:
    lines: list[str] = []
    last = None
    for member in members:
        if member.part != last and member.part:
            lines.append(f"  {clean(member.part.replace('-', ' '))}")
        last = member.part
        lines += wrapped(member.text, "    - ")
    return lines


def compared_page(found: Comparison) -> list[str]:
    """The whole comparison: what got worse first, then what changed, what did not, and what was read on one sheet only."""
    title = f"Before and after{f': {found.engine_id}' if found.engine_id else ''}"
    lines = heading(title, f"edition {found.edition}" if found.edition else "") + wrapped(found.text)
    changed = [row for row in found.rows if row.change in ("changed", "words_changed")]
    for rows, name, says in (
        ([row for row in found.rows if row.better == "worse"], "Worse", "by the verdicts"),
        ([row for row in changed if row.better == "better"], "Better", "by the verdicts"),
        ([row for row in changed if not row.better], "Changed", "the verdict is as it was"),
        ([row for row in found.rows if row.change == "cannot_tell" and row.better != "worse"], "Cannot be compared", ""),
        ([row for row in found.rows if row.change in ("same", "words_same") and row.better != "worse"], "Same", "less than the tools can tell"),
        ([row for row in found.rows if row.change == "only_after"], "Not read before", ""),
    ):
        lines += section(f"{name} ({len(rows)})", says) + _by_assembly(rows) if rows else []
    gone = [row for row in found.rows if row.change == "only_before"]
    if gone:
        lines += section(f"Not read again ({len(gone)})", "the first reading stands")
        bad = [row for row in gone if row.before and row.before.verdict in ("stop", "beyond_limit", "outside_fit", "undecided")]
        if bad:
            lines += ["  of these, against you when they were read:", *_by_assembly(bad)]
        lines += _names([row for row in gone if row not in bad])
    return [*lines, "", "=" * WIDTH]


def _by_assembly(rows: Iterable[ComparedPlace]) -> list[str]:
    groups: dict[str, list[ComparedPlace]] = {}
    for row in rows:
        groups.setdefault(row.assembly, []).append(row)
    lines: list[str] = []
    for assembly, members in groups.items():
        lines += [f"  {clean(assembly)}"] if assembly else []
        lines += [line for row in members for line in wrapped(row.text or row.name, "    - ")]
    return lines


def _names(rows: Iterable[ComparedPlace]) -> list[str]:
    groups: dict[str, list[str]] = {}
    for row in rows:
        groups.setdefault(row.assembly or "other", []).append(f"{row.name}{f' ({row.place})' if row.place else ''}")
    return [line for assembly, names in groups.items() for line in wrapped(f"{assembly}: {'; '.join(names)}", "  . ", "    ")]
