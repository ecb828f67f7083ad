"""A judged sheet as a page a machinist reads from the top: what stops you, what goes back, what does not."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from .show import WIDTH, cautions, clean, heading, section, tag_of, verdict_lines, wrapped

if TYPE_CHECKING:
    from ..models import MissingItem, SheetAnswer, Verdict

SECTIONS = (
    (("stop",), "Stop", "nothing else on this page matters until these are dealt with"),
    (("within_fit", "usable"), "May go back", "'worn' marks what is usable but no longer a new fit"),
    (("beyond_limit", "outside_fit"), "May not go back as it is", ""),
    (("undecided",), "Cannot be told with that tool", ""),
    (("typical", "unusual"), "For comparison only", "nobody fails on these"),
)
NOT_JUDGED = ": not judged. "
JUDGED = frozenset(word for words, _, _ in SECTIONS for word in words)
TAGS = {"usable": "worn", "outside_fit": "not a new fit", "unusual": "unusual"}
COUNT_WORDS = (
    ("stop", "stop"),
    ("within_fit", "within a new fit"),
    ("usable", "worn but usable"),
    ("beyond_limit", "beyond the limit"),
    ("outside_fit", "outside a new fit"),
    ("undecided", "cannot be told"),
    ("typical", "typical"),
    ("unusual", "unusual"),
    ("not_judged", "not judged"),
)


def page(answer: SheetAnswer, title: str, notice: str = "") -> list[str]:
    """The whole page."""
    lines = heading(title, f"edition {answer.edition}" if answer.edition else "")
    if notice:
        lines += [*wrapped(notice), ""]
    if answer.overall.text:
        lines += wrapped(answer.overall.text)
    lines += wrapped(counted(answer))
    bound = answer.overall.wrong_pass_bound
    if bound is not None and answer.having("within_fit", "usable") and "at least one" not in answer.overall.text:
        chances = "less than 1" if bound < 0.01 else f"at most {min(100, int(bound * 100 + 0.999))}"
        lines += wrapped(f"By the doubt of the tools alone, the chance that at least one of the passes below is wrong: {chances} in 100.")
    shared = shared_notes(answer.items)
    numbered = {note: number for number, note in enumerate(shared, 1)}
    for words, name, says in SECTIONS:
        items = answer.having(*words)
        if items:
            lines += section(f"{name} ({len(items)})", says) + by_component(items, numbered)
    others = [item for item in answer.items if item.verdict not in JUDGED]
    if others:
        lines += section(f"Not judged, and why ({len(others)})") + by_component(others, numbered)
    if shared:
        lines += section("Notes on several readings")
        lines += [line for note, ids in shared.items() for line in wrapped(clean(f"{note}: {', '.join(ids)}"), f"  {numbered[note]}  ")]
    lines += surveys(answer)
    if answer.contradictions:
        lines += section("These do not agree with each other")
        lines += [line for told in answer.contradictions for line in wrapped(told, "  - ", "    ")]
    if answer.readiness:
        lines += section("In short, before that stage") + wrapped(answer.readiness.text, "  ")
    if answer.missing:
        lines += not_looked_at(answer.missing)
    elif answer.overall.not_looked_at:
        lines += ["", *wrapped(f"{answer.overall.not_looked_at} things that matter before a start were not looked at. Add --stage assembly or "
                               "--stage first-start and each is listed with how to measure it.")]  # fmt: skip
    if answer.cautions:
        lines += section("Cautions") + cautions(answer.cautions)
    return [*lines, "", "=" * WIDTH]


TOLD = ("smallest", "largest", "spread", "out-of-round", "signed-out-of-round", "taper", "wear", "smallest-clearance", "largest-clearance")


def surveys(answer: SheetAnswer) -> list[str]:
    """What each survey showed, and what its readings cannot see."""
    told = [one for one in answer.surveys if one.figures]
    lines = section(f"Surveys ({len(told)})", "sizes and shape from many readings of one part, or of several of a kind") if told else []
    for one in told:
        what = one.feature.replace("-", " ")
        where = f" ({one.instance})" if one.instance and one.instance != what else ""
        figures = [f"{f.name.replace('-', ' ')} {f.value}{f' at {f.where}' if f.where else ''}" for f in one.figures if f.name in TOLD and f.value]
        lines += wrapped(clean(f"{one.id}: {what}{where}: {'; '.join(figures)}."), "  - ", "    ")
    seen: dict[str, list[str]] = {}
    for one in told:
        for note in one.notes:
            seen.setdefault(note, []).append(one.id)
    lines += [line for note, ids in seen.items() for line in wrapped(clean(f"{', '.join(ids)}: {note}."), "    . ", "      ")]
    return lines


def counted(answer: SheetAnswer) -> str:
    """``19 readings: 2 stop, 8 within a new fit, ...``"""
    counts = answer.overall.counts
    told = [f"{counts[word]} {says}" for word, says in COUNT_WORDS if counts.get(word)]
    number = len(answer.items)
    return f"{number} reading{'' if number == 1 else 's'}" + (f": {', '.join(told)}." if told else ".")


def shared_notes(items: Iterable[Verdict]) -> dict[str, list[str]]:
    """What was assumed alike of several readings -> their ids, so that it is told once."""
    ids: dict[str, list[str]] = {}
    for item in items:
        for note in dict.fromkeys(item.assumed):
            ids.setdefault(note, []).append(item.id)
    return {note: found for note, found in ids.items() if len(found) > 1}


def by_component(items: Iterable[Verdict], numbered: Mapping[str, int] | None = None) -> list[str]:
    """The items under the name of their component, in the order of the sheet; ``numbered``: notes that are told once, under a number."""
    groups: dict[str, list[Verdict]] = {}
    for item in items:
        groups.setdefault(item.component, []).append(item)
    lines: list[str] = []
    for component, members in groups.items():
        if component:
            lines.append(f"  {clean(component.replace('-', ' '))}")
        column = min(max(len(clean(member.id)) for member in members), 14) + 2
        told: dict[str, str] = {}
        for member in members:
            tag = TAGS.get(member.verdict, "") if member.as_new != "cannot_tell" else ""
            head, _, reason = member.text.partition(NOT_JUDGED)
            if reason and told.setdefault(reason, member.id) != member.id:
                lines += wrapped(f"{clean(head)}{NOT_JUDGED}As {told[reason]}.", "    " + tag_of(member.id, column))
                continue
            lines += verdict_lines(member, "    ", tag_of(member.id, column) + (f"[{tag}] " if tag else ""), numbered=numbered)
    return lines


def not_looked_at(missing: Iterable[MissingItem]) -> list[str]:
    """What nobody looked at: what matters before a start first and in full, the rest by name."""
    entries = list(missing)
    first = [entry for entry in entries if entry.start_critical]
    rest = [entry for entry in entries if not entry.start_critical]
    lines = section(
        f"Nobody looked at ({len(entries)})",
        "it may be well, it may not" if not first else "those before a first start come first",
    )
    for entry in first:
        lines += wrapped(entry.text or entry.name or entry.characteristic, "  - ", "    ")
        if entry.how_to_measure and entry.how_to_measure not in entry.text:
            lines += wrapped(entry.how_to_measure, "    ")
    if rest:
        names: dict[str, list[str]] = {}
        for entry in rest:
            names.setdefault(entry.component.replace("-", " ") or "other", []).append(
                entry.name or entry.characteristic
            )
        lines += ["  and not needed before a first start:"] if first else []
        lines += [
            line
            for component, told in names.items()
            for line in wrapped(f"{component}: {'; '.join(told)}", "  . ", "    ")
        ]
    return lines
