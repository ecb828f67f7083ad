"""A work order as plain values for JSON; numbers are decimals."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from typing import Any

from .figures import System, quantity_dict
from .order_case import INCH
from .recipes import Note
from .work_order import PartOrder, WorkOrder


def to_dict(order: WorkOrder) -> dict[str, Any]:
    """The order as plain values for JSON; numbers are decimals."""
    head = order.letterhead
    return {
        "paper": "work-order", "edition": order.edition, "units": order.system, "engine": {"id": order.engine_id or None, "name": order.engine_class},
        "date": head.date or None, "owner": head.owner or None, "ring": head.ring or None, "machinist": head.machinist or None,
        "parts": [part_dict(part, order.system) for part in order.parts],
        "withheld": [{"id": w.id, "name": w.name, "why": w.why} for w in order.withheld],
    }  # fmt: skip


def part_dict(part: PartOrder, system: System) -> dict[str, Any]:
    """One part as plain values."""

    def said(lines: Sequence[Note]) -> list[dict[str, Any]]:
        return [{"says": n.says, "grade": n.whose or None} for n in lines]

    def limits(low: Fraction | None, high: Fraction | None) -> dict[str, Any]:
        return {"low": None if low is None else quantity_dict(low, INCH, system), "high": None if high is None else quantity_dict(high, INCH, system)}

    return {
        "id": part.id, "name": part.name, "trade": part.trade, "quantity": part.quantity, "identify": part.identify, "why": list(part.why),
        "as_found": [{"what": a.what, "place": a.place, "value": str(a.told), "give_or_take": a.doubt, "tool": a.tool, "temperature": a.temperature}
                     for a in part.as_found],
        "finish_to": [{"what": t.what, "told": str(t.told), **limits(t.low, t.high), "grade": t.whose or None, "how": t.how,
                       "note": t.note or None} for t in part.targets],
        "mates_with": [{"part": m.part, "size": m.told, "measured": m.measured} for m in part.mates],
        "form": said(part.form), "finish": said(part.finish), "work": said(part.work), "datum": said([part.datum])[0],
        "do_not_cut": list(part.do_not_cut), "fillet": said([part.fillet])[0], "do_first": said(part.first), "do_after": said(part.after),
        "measure_at": part.temperature,
        "boxes": [{"what": b.box.what, "station": b.box.station, "axis": b.box.axis, "ordered": {"told": b.ordered, **limits(b.low, b.high)},
                   "reported": None, "measured": None} for b in part.boxes],
        "report": said(part.report), "return": said(part.returns), "stop_and_ring_if": said(part.stop), "check_when_back": list(part.check),
        "cautions": [{"id": c.id, "says": c.says} for c in part.cautions], "notes": list(part.notes), "decide_first": list(part.asks),
        "undecided": bool(part.asks),
        "proposals": list(part.proposals), "cannot_prove": list(part.unprovable),
    }  # fmt: skip
