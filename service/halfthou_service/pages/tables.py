"""Papers as CSV: one heading line, one row a line, every cell neutralised for spreadsheets."""

from __future__ import annotations

from ..bench.papers import as_found_csv, parts_back_csv
from ..bench.papers.as_found_sheet import AsFoundSheet
from ..bench.papers.comparison import Comparison
from ..bench.papers.limits_sheet import LimitsSheet
from ..bench.papers.parts_back import PartsBack, order_lines, ordered_told, told_value
from ..bench.papers.readiness import Readiness
from ..bench.papers.work_order import WorkOrder
from .cells import csv_text

LIMITS_COLUMNS = ("assembly", "stage", "characteristic", "what", "where", "new", "new_whose", "stop_at", "stop_whose", "my_reading", "unit", "tool",
                  "how", "kind", "start_critical", "guessed", "only_if", "needs")  # fmt: skip


def limits_csv(sheet: LimitsSheet) -> str:
    """A row for each place to read, with an empty ``my_reading``; things to look at carry their words under ``new``."""
    rows: list[list[object]] = [[*LIMITS_COLUMNS]]
    for page in sheet.pages:
        for line in page.lines:
            for place in line.where or ("",):
                rows.append([page.assembly.name, line.stage, line.characteristic, line.name, place, line.new.told, line.new.whose, line.stop.told,
                             line.stop.whose, "", line.unit, line.tool, line.how, line.kind, "yes" if line.start_critical else "no",
                             " ".join(line.guessed), line.only_if, line.needs])  # fmt: skip
        for look in page.looks:
            for place in look.where or ("",):
                words, stops = "; ".join(w for w, s in look.words if not s) or "none known", "; ".join(w for w, s in look.words if s) or "none known"
                rows.append([page.assembly.name, look.stage, look.characteristic, look.name, place, words, "", stops, "", "", "word", "", look.how,
                             "finding", "yes" if look.start_critical else "no", "", look.only_if, ""])  # fmt: skip
    return csv_text(rows)


def as_found_csv_text(sheet: AsFoundSheet) -> str:
    """The blank sheet, every box a row; ``as_found_csv.read`` takes it back when it is filled."""
    return csv_text(as_found_csv.rows(sheet))


def work_order_csv(order: WorkOrder, part: str = "") -> str:
    """The report form of an order, or of one part of it: every place with both limits, his and my boxes empty.

    ``parts_back_csv.read`` takes it back.
    """
    return csv_text(parts_back_csv.rows([line for line in order_lines(order) if part in ("", line.part)]))


def parts_back_csv_text(back: PartsBack) -> str:
    """The judged report."""
    rows: list[list[object]] = [["part", "what", "station", "axis", "ordered", "reported", "measured", "agreement", "answer", "text"]]
    for v in back.lines:
        rows.append([v.line.part, v.line.what, v.line.station, v.line.axis, ordered_told(v.line, back.system),
                     told_value(v.line.reported, v.line, back.system) if v.line.reported.value else v.line.reported.words,
                     told_value(v.line.measured, v.line, back.system) if v.line.measured.value else "", v.agreement, v.answer, v.text])  # fmt: skip
    return csv_text(rows)


def readiness_csv(paper: Readiness) -> str:
    """What stands against it and what nobody looked at, a row each."""
    rows: list[list[object]] = [["kind", "assembly", "what", "where", "text", "to_clear_it"]]
    for kind, lines in (("stops", paper.stops), ("cannot tell", paper.doubts)):
        rows += [[kind, a.assembly, a.name, a.place, a.text, a.clear] for a in lines]
    rows += [["answered by a later reading", "", s.item_id, "", s.text, s.by] for s in paper.superseded]
    rows += [["not looked at", m.assembly, m.name, m.place, f"if it has {m.only_if}" if m.only_if else "", m.clear] for m in paper.not_looked]
    for group in paper.checks.groups if paper.checks else ():
        rows += [["first start", group.title, c.says, "", "", ""] for c in group.lines]
    return csv_text(rows)


def comparison_csv(found: Comparison) -> str:
    """Before and after, a row for each place."""
    rows: list[list[object]] = [["assembly", "characteristic", "what", "where", "before", "after", "change", "by", "give_or_take", "better",
                                 "last_verdict"]]  # fmt: skip
    for r in found.rows:
        told = [side.told if side else "" for side in (r.before, r.after)]
        last = r.after or r.before
        rows.append([r.assembly, r.characteristic, r.name, r.place, *told, r.change, r.by, r.by_doubt, r.better, last.verdict if last else ""])
    return csv_text(rows)
