"""What stands against a start as a page: what stops you, what is in doubt, what nobody looked at, each with a way to clear it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from .show import WIDTH, clean, heading, section, tag_of, wrapped

if TYPE_CHECKING:
    from ..models.readiness import Against, NotLookedAt, Readiness

_SENTENCES = re.compile(r"(?<=\.)\s+(?=[A-Z])")
SHORT = 60
"""Work told in fewer letters is told again."""
BEFORE = {"assembly": "Before it goes together", "first-start": "Before it is started"}


def page(paper: Readiness) -> list[str]:
    """The whole page."""
    title = BEFORE.get(paper.stage, f"Before {paper.stage}")
    lines = heading(f"{title}{f': {paper.engine_id}' if paper.engine_id else ''}", f"edition {paper.edition}" if paper.edition else "")
    lines += wrapped(paper.text)
    engine = [entry for entry in paper.stops if entry.stops_engine]
    rest = [entry for entry in paper.stops if not entry.stops_engine]
    for entries, name, says in (
        (engine, "Stop", "it is not run while one of these stands, whatever else is mended"),
        (rest, "Also stops you" if engine else "Stops you", ""),
        (paper.doubts, "Cannot be told yet", "a doubt is not a pass"),
    ):
        if entries:
            lines += section(f"{name} ({len(entries)})", says) + against(entries)
    if paper.not_looked_at:
        lines += not_looked(paper.not_looked_at)
    elif paper.not_looked_at_count:
        lines += ["", *wrapped(f"{paper.not_looked_at_count} things were not looked at.")]
    if paper.superseded:
        lines += section(f"Found bad, and answered by a later reading of the same place ({len(paper.superseded)})")
        for entry in paper.superseded:
            lines += wrapped(f"{entry.text} Answered by {entry.by}.", "  ", "  ")
    for group in paper.first_start:
        lines += section(group.title)
        for check in group.lines:
            lines += wrapped(check.says, "  [ ] ")
    return [*lines, "", *wrapped("This tells what was found and what nobody looked at. It tells no more than that."), "=" * WIDTH]


def against(entries: Iterable[Against]) -> list[str]:
    """Each thing under its assembly, with the way to clear it."""
    lines: list[str] = []
    ways: dict[str, tuple[str, list[str]]] = {}
    for assembly, members in grouped(entries):
        lines.append(f"  {clean(assembly)}")
        column = min(max(len(clean(member.item)) for member in members), 14) + 2
        for member in members:
            told = member.text or f"{member.name}{f' ({member.place})' if member.place else ''}"
            lines += wrapped(told, "    " + tag_of(member.item, column))
            if member.clear and member.clear.rstrip(".") not in told:
                lines += wrapped(f"To clear it: {_once(member, ways)}", "    " + " " * column)
    return lines


def _once(member: Against, ways: dict[str, tuple[str, list[str]]]) -> str:
    """The way to clear it; where an earlier thing asks the same work, only what is told of this one beside.

    ``ways``: the work -> the thing it was first told of, and all that was told with it.
    """
    work, *beside = (sentence.rstrip(".") for sentence in _SENTENCES.split(member.clear))
    first, told = ways.setdefault(work, (member.item, beside))
    if first == member.item or len(work) < SHORT:
        return member.clear
    return " ".join([f"as {first}.", *(f"{sentence}." for sentence in beside if sentence not in told)])


def grouped(entries: Iterable[Against]) -> list[tuple[str, list[Against]]]:
    """The entries by assembly, in the order they first come."""
    groups: dict[str, list[Against]] = {}
    for entry in entries:
        groups.setdefault(entry.assembly or "Other", []).append(entry)
    return list(groups.items())


def not_looked(entries: Sequence[NotLookedAt]) -> list[str]:
    """What nobody looked at: what matters before a start first, with how to look; the rest by name."""
    first = [entry for entry in entries if entry.start_critical]
    rest = [entry for entry in entries if not entry.start_critical]
    lines = section(f"Nobody looked at ({len(entries)})", "it may be well, it may not")
    for entry in first:
        only = f", only with {entry.only_if}" if entry.only_if else ""
        lines += wrapped(f"{_at(entry)}{only}. {entry.clear}".strip(), "  - ", "    ")
    groups: dict[str, list[str]] = {}
    for entry in rest:
        groups.setdefault(entry.assembly or "Other", []).append(_at(entry))
    if first and groups:
        lines.append("  and beside those:")
    for assembly, names in groups.items():
        lines += wrapped(f"{assembly}: {'; '.join(dict.fromkeys(names))}", "  . ", "    ")
    return lines


def _at(entry: NotLookedAt) -> str:
    return f"{entry.name or entry.characteristic}{f' ({entry.place})' if entry.place else ''}"
