"""The limits sheet and the as-found form as plain text."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from .show import WIDTH, cautions, heading, listed, section, wrapped

if TYPE_CHECKING:
    from ..models.sheets import AsFoundSection, AsFoundSheet, LimitsLine, LimitsPage, LimitsSheet, Look

BOX = "______"


def limits_page(sheet: LimitsSheet, guess: bool = True) -> list[str]:
    """The whole limits sheet. ``guess``: whether sizes not stated were to be guessed."""
    about = ", ".join(part for part in (sheet.engine_id, sheet.engine_class, f"for {sheet.use}" if sheet.use else "") if part)
    lines = heading(f"Limits sheet: {about}", f"edition {sheet.edition}" if sheet.edition else "")
    lines += wrapped("Sizes: " + "; ".join(f"{name} {told}" for name, told in sheet.sizes.items())) if sheet.sizes else []
    if sheet.guesses:
        lines += section("Guessed, not measured", "no verdict rests on these")
        lines += listed((f"  {g.dimension}", f"{g.taken} (guess; usually {g.usual}; {g.grade.replace('-', ' ')})") for g in sheet.guesses)
    elif guess and any(line.needs for page in sheet.pages for line in page.lines):
        lines += wrapped("No size was guessed: the rated power is not stated. With --dimension rated-power='5 hp', and the stroke where you know "
                         "it, the sizes that limits wait for can be guessed, each marked as a guess.")  # fmt: skip
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
    lines += wrapped("B / A: ring before or after the dead centre. What is not fitted, write so; what you could not see, leave blank.")
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
            side = f", {' / '.join(word[:1].upper() for word in one.relative)}" if one.relative else ""
            told = f"{one.name}{f' ({place})' if place else ''}: {BOX} {one.unit}{side}{f', by {one.tool}' if one.tool else ''}"
            lines += wrapped(told, "  ", "    ")
    return lines + _looks(part.findings)
