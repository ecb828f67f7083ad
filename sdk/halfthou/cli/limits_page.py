"""The limits sheet and the as-found form as plain text, and what came of the form."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from .show import WIDTH, cautions, clean, heading, listed, section, wrapped

if TYPE_CHECKING:
    from ..models.sheets import AsFoundSection, AsFoundSheet, FilledSheet, LimitsLine, LimitsPage, LimitsSheet, Look

BOX = "______"


def limits_page(sheet: LimitsSheet) -> list[str]:
    """The whole limits sheet."""
    about = ", ".join(part for part in (sheet.engine_id, sheet.engine_class, f"for {sheet.use}" if sheet.use else "") if part)
    lines = heading(f"Limits sheet: {about}", f"edition {sheet.edition}" if sheet.edition else "")
    lines += wrapped("Sizes: " + "; ".join(f"{name} {told}" for name, told in sheet.sizes.items())) if sheet.sizes else []
    if sheet.guesses:
        lines += section("Guessed, not measured", "no verdict rests on these")
        lines += listed((f"  {g.dimension}", f"{g.taken} (guess; usually {g.usual}; {g.grade.replace('-', ' ')})") for g in sheet.guesses)
    for page in sheet.pages:
        lines += _limits_of(page)
    lines += section("Whose figure") + listed((f"  {word}", says) for word, says in sheet.grades.items())
    if sheet.cautions:
        lines += section("Cautions") + cautions(sheet.cautions)
    lines += section("Works") + listed((f"  {work}", citation) for work, citation in sheet.works.items()) if sheet.works else []
    return [*lines, "", "=" * WIDTH]


def _limits_of(page: LimitsPage) -> list[str]:
    lines = section(page.name)
    for flag in page.red_flags:
        lines += wrapped(f"Not run with: {flag}", "  ! ", "    ")
    for line in page.lines:
        lines += wrapped(_where(line.name, line.where), "  ", "    ") + wrapped(_figures(line), "      ")
    return lines + _looks(page.looks)


def _where(name: str, where: tuple[str, ...]) -> str:
    return f"{name} ({'; '.join(where)})" if where else name


def _figures(line: LimitsLine) -> str:
    new = f"{'usual' if line.kind == 'guide' else 'new'} {line.new}{f' ({line.new_grade})' if line.new_grade else ''}"
    stop = f"stop at {line.stop} ({line.stop_grade})" if line.stop_grade else "where to stop nobody says"
    if not (line.new_grade or line.stop_grade):
        told = "" if line.needs else "none known"
    else:
        told = new if line.kind == "guide" else f"{new}; {stop}"
    parts = ("GUESS" if line.guessed else "", told, line.counted if told else "", line.needs, f"by {line.tool}" if line.tool else "")
    return "; ".join(part for part in parts if part)


def _looks(looks: Iterable[Look]) -> list[str]:
    lines: list[str] = []
    for look in looks:
        words = " / ".join(f"{word} (not run)" if word in look.stop_words else word for word in look.words)
        lines += wrapped(f"{_where(look.name, look.where)}: {words}", "  [ ] ")
    return lines


def as_found_page(sheet: AsFoundSheet) -> list[str]:
    """The blank form."""
    about = ", ".join(part for part in (sheet.engine_id, sheet.engine_class) if part)
    lines = heading(f"As found: {about}", f"edition {sheet.edition}" if sheet.edition else "")
    lines += wrapped("Write these down before anything is turned. --format csv prints the form to fill; --read FILE.csv takes it back.")
    for part in sheet.sections:
        lines += _form_of(part)
    return [*lines, "", "=" * WIDTH]


def _form_of(part: AsFoundSection) -> list[str]:
    lines = section(part.name)
    for mark in part.marks:
        lines += wrapped(f"{mark.says}{f' ({mark.box})' if mark.box else ''}: {BOX}", "  [ ] ")
    for characteristic, side in part.shims:
        lines += wrapped(f"leaves, {side or characteristic.replace('-', ' ')}: {' '.join([BOX] * part.leaves)}", "  ")
    for one in part.readings:
        for place in one.where or ("",):
            lines += wrapped(f"{one.name}{f' ({place})' if place else ''}: {BOX} {one.unit}{f', by {one.tool}' if one.tool else ''}", "  ", "    ")
    return lines + _looks(part.findings)


def filled_page(filled: FilledSheet) -> list[str]:
    """What was read from a filled form, and which boxes are empty."""
    count = len(filled.readings)
    lines = heading(f"As found: {count} reading{'' if count == 1 else 's'} written down")
    if filled.packs:
        lines += section("Shim packs, leaves added up")
        lines += listed((f"  {pack.instance or pack.characteristic}", str(pack.value)) for pack in filled.packs)
    told = [(f"  {name}", words) for name, words in filled.marks.items() if words]
    lines += (section("Marks and positions") + listed(told)) if told else []
    if filled.empty:
        lines += section(f"Left empty ({len(filled.empty)})", "what is not written down now cannot be found out later")
        lines += wrapped(clean("; ".join(name.replace("-", " ") for name in filled.empty)), "  ")
    return lines
