"""Papers as pages: Jinja templates with autoescape, one style inline, no script. Nothing a client wrote is ever markup."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import groupby
from operator import attrgetter
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup

from ..bench.papers.as_found_sheet import AsFoundSheet
from ..bench.papers.assemblies import WHOSE
from ..bench.papers.comparison import SAYS as CHANGES
from ..bench.papers.comparison import Comparison, stops
from ..bench.papers.figures import Told
from ..bench.papers.limits_sheet import LimitsSheet, Line, Page
from ..bench.papers.parts_back import PartsBack, ordered_told, told_value
from ..bench.papers.readiness import FOR, Readiness
from ..bench.papers.work_order import AT, AsFound, PartOrder, WorkOrder
from .cells import seen
from .style import STYLE

STAGE_NAMES = {
    "as-found": "As found", "machine-shop": "At the machine shop", "assembly": "At assembly", "first-start": "First start", "running": "Running",
}  # fmt: skip
UNITS_SAY = {
    "inch": "Lengths in thousandths of an inch (thou) unless the figure says inches.",
    "metric": "Lengths in millimetres.",
}
ROOM = 240.0
"""Millimetres of height that a sheet leaves on letter paper."""
ROOMY, FULL = 3300, 4200
"""Weights of a part's text: up to the first it is set at full size, past the second as small as it goes."""
MOST_FOUND = 40
LONG_FIGURE = 16
LONG_TARGET = 20
VERDICT_WORDS = {
    "within_fit": "as good as new", "usable": "may go back", "beyond_limit": "not put back", "outside_fit": "not a new fit",
    "undecided": "cannot tell", "typical": "usual", "unusual": "out of the usual", "stop": "STOP", "not_judged": "not judged",
}  # fmt: skip


@cache
def _environment() -> Environment:
    found = Environment(loader=PackageLoader("halfthou_service.pages", "templates"), autoescape=True, trim_blocks=True, lstrip_blocks=True,
                        undefined=StrictUndefined, keep_trailing_newline=True, finalize=_shown)  # fmt: skip
    found.globals.update(style=Markup(STYLE), stage_names=STAGE_NAMES, units_say=UNITS_SAY, grades=WHOSE, is_long=_is_long, changes=CHANGES,
                         verdict_words=VERDICT_WORDS, runs=runs)  # fmt: skip
    return found


def _shown(value: Any) -> Any:
    """What a template prints, without characters that nobody sees; markup of our own stays as it is."""
    return value if isinstance(value, Markup) else seen(str(value))


def _is_long(told: Told, most: int = LONG_FIGURE) -> bool:
    return len(told.number) > most


def _render(name: str, **values: Any) -> str:
    return _environment().get_template(name).render(**values)


def by_stage(lines: Sequence[Line]) -> list[tuple[str, list[Line]]]:
    """Rows under their stage, in order."""
    found: dict[str, list[Line]] = {}
    for line in lines:
        found.setdefault(line.stage, []).append(line)
    return list(found.items())


def density(page: Page) -> str:
    """The class that makes a page of many rows fit one sheet: figures keep their size, the space between them goes."""
    rows = sum(max(12.2, 6.2 * len(line.where) + 2.0, 17.0 if line.stop.told.number.startswith("under") else 0.0) for line in page.lines)
    looks = sum(17.0 + 5.4 * (sum(len(word) + 5 for word, _ in look.words) // 42) for look in page.looks) / 2.0
    flags = 10.0 + 2.5 * sum(1 + len(flag) // 55 for flag in page.red_flags) if page.red_flags else 0.0
    height = 36.0 + rows + looks + flags + 6.5 * len({line.stage for line in page.lines}) + (10.0 if page.looks else 0.0)
    return "" if height < ROOM else " tight" if height < 1.06 * ROOM else " tight tighter"


def runs(rows: Sequence[Any], attribute: str) -> list[tuple[Any, list[Any]]]:
    """Rows that follow one another and share an attribute, in their own order."""
    return [(key, list(group)) for key, group in groupby(rows, key=attrgetter(attribute))]


def limits_page(sheet: LimitsSheet) -> str:
    """The limits sheet: a page for each assembly with its sources on the back, cautions at the end."""
    return _render("limits.html", sheet=sheet, by_stage=by_stage, density=density)


def as_found_page(sheet: AsFoundSheet) -> str:
    """The blank as-found sheet."""
    return _render("as_found.html", sheet=sheet)


def work_order_page(order: WorkOrder, part: str = "") -> str:
    """The owner's page and one page for each part; with ``part``, the machinist's copy of that part alone.

    Raises:
        KeyError: no such part on the order.
    """
    parts = [p for p in order.parts if p.id == part] if part else list(order.parts)
    if part and not parts:
        raise KeyError(part)
    mind = tuple({c.id: c for p in parts for c in p.cautions}.values())
    return _render("work_order.html", order=order, parts=parts, mind=mind, at=AT, owners=not part, long_target=LONG_TARGET, rows_of=rows_of,
                   found_rows=found_rows, part_density=part_density)  # fmt: skip


def part_density(part: PartOrder) -> str:
    """The class that makes a long part fit one printed page."""
    notes = (*part.form, *part.finish, *part.work, *part.first, *part.after, *part.report, *part.returns, *part.stop, part.datum, part.fillet)
    letters = sum(len(n.says) + 12 for n in notes) + sum(map(len, (*part.why, *part.do_not_cut, part.identify, *part.notes)))
    letters += sum(len(c.hazard) + len(c.says) for c in part.cautions) + sum(map(len, part.asks)) + sum(len(t.note) for t in part.targets)
    letters += sum(len(a.place) + 10 for a in part.as_found) + sum(len(m.part) + len(m.told) for m in part.mates)
    weight = letters + 75 * len(part.boxes) + 130 * len(part.targets) + (150 if part.asks else 0)
    return "" if weight < ROOMY else " dense" if weight < FULL else " dense denser"


@dataclass(frozen=True, slots=True)
class FoundGroup:
    """Sizes as found that share thing, part, tool, temperature, doubt and unit, so that none is said twice."""

    what: str
    unit: str
    doubt: str
    tool: str
    temperature: str
    rows: list[tuple[str, str]]


def found_rows(found: Sequence[AsFound]) -> list[FoundGroup]:
    """Sizes as found in groups, in the order of the sheet; what no longer fits the page stands on the sheet itself."""
    groups: dict[tuple[str, ...], FoundGroup] = {}
    for a in found[:MOST_FOUND]:
        part, _, rest = a.place.partition(", ")
        what = f"{a.what}, {part}" if rest else a.what
        key = (what, a.told.unit, a.doubt, a.tool, a.temperature)
        group = groups.setdefault(key, FoundGroup(*key, []))
        group.rows.append((rest or part, a.told.number))
    return list(groups.values())


def rows_of(boxes: Sequence[Any]) -> list[tuple[str, str, list[Any]]]:
    """Boxes under their heading and the limits ordered there."""
    found: dict[tuple[str, str], list[Any]] = {}
    for box in boxes:
        found.setdefault((box.box.what, box.ordered), []).append(box)
    return [(what, told, rows) for (what, told), rows in found.items()]


def parts_back_page(back: PartsBack) -> str:
    """The report of finished sizes, judged."""
    assumed = tuple(dict.fromkeys(said for v in back.lines for said in v.assumed))
    return _render("parts_back.html", back=back, assumed=assumed, ordered_told=ordered_told, told_value=told_value)


def readiness_page(paper: Readiness) -> str:
    """What stands against it, what nobody looked at, and the list for the first start."""
    return _render("readiness.html", paper=paper, heading=FOR[paper.stage])


def comparison_page(found: Comparison) -> str:
    """Before and after."""
    return _render("comparison.html", found=found, stops=stops)
