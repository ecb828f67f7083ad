"""A work order as plain text: the owner's own page, or the machinist's copy of one part."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from .show import WIDTH, cautions, heading, section, wrapped

if TYPE_CHECKING:
    from ..models.orders import Note, PartOrder, SizeFound, WorkOrder

BOX = "________"


def page(order: WorkOrder, part: str | None = None) -> list[str]:
    """The owner's page with every part; with ``part``, the machinist's copy of that one."""
    lines = heading(f"Work order: {order.engine_id or order.engine_class}", f"edition {order.edition}" if order.edition else "")
    head = (("date", order.date), ("from", order.owner), ("ring", order.ring), ("to", order.machinist))
    lines += wrapped(", ".join(f"{word} {value}" for word, value in head if value))
    if part is None:
        lines += _owners(order)
    for entry in order.parts:
        if part in (None, entry.id):
            lines += _part(entry, owner=part is None)
    return [*lines, "", "=" * WIDTH]


def _owners(order: WorkOrder) -> list[str]:
    lines: list[str] = []
    if not order.parts:
        lines += ["", *wrapped("Nothing on this sheet goes to a machinist.")]
    if order.withheld:
        lines += section(f"Not sent ({len(order.withheld)})")
        lines += [line for one in order.withheld for line in wrapped(f"{one.name}. {one.why}", "  - ", "    ")]
    blind = [said for part in order.parts for said in part.cannot_prove]
    if blind:
        lines += section(f"Cannot be proved ({len(blind)})", "with the tools on the list")
        lines += [line for said in blind for line in wrapped(said, "  - ", "    ")]
    asks = [f"{part.name}. {asked}" for part in order.parts for asked in part.decide_first]
    if asks:
        lines += section(f"Decide first ({len(asks)})", "the order is not whole until these are answered")
        lines += [line for asked in asks for line in wrapped(asked, "  [ ] ")]
    return lines


def _part(part: PartOrder, owner: bool) -> list[str]:
    lines = section(part.name, f"to the {part.trade}; quantity {part.quantity}; part id {part.id}" if owner else f"quantity {part.quantity}")
    if part.undecided or part.decide_first:
        lines += wrapped("NOT DECIDED: the owner has a question to answer first. Ring me before you start.", "  ")
    lines += wrapped(part.identify, "  ")
    lines += _list("Why", part.why)
    lines += _list("As found", (_size(one) for one in part.as_found))
    if part.finish_to:
        lines.append("  Finish to:")
        for target in part.finish_to:
            lines += wrapped(f"{target.what}: {target.told}{f' ({target.grade})' if target.grade else ''}", "    > ", "      ")
            lines += wrapped(target.note, "      ") + (wrapped(target.how, "      ") if owner else [])
    else:
        lines += wrapped("Finish to: no size yet: ring me.", "  ")
    lines += _list("Mates with", (f"{mate.part}: {mate.size}{' (measured)' if mate.measured else ''}" for mate in part.mates_with))
    for title, notes in (("Form", part.form), ("Work", part.work), ("Finish", part.finish)):
        lines += _list(title, _said(notes))
    lines += _list("Datum", [part.datum] if part.datum else [])
    lines += _list("Fillet", [part.fillet] if part.fillet else [])
    lines += _list("Do not cut", part.do_not_cut)
    lines += _list("Do first", _said(part.do_first)) + _list("Do after", _said(part.do_after))
    lines += _list("Measure at", [part.measure_at] if part.measure_at else [])
    lines += _boxes(part)
    lines += _list("Also write down", _said(part.report)) + _list("Send back with it", _said(part.send_back))
    lines += _list("Stop and ring me if", _said(part.stop_and_ring_if)) + _list("Notes", part.notes)
    lines += cautions(part.cautions)
    if owner:
        lines += _list("When it is back, before paying", part.check_when_back, "[ ]") + _list("The table proposes", part.proposals)
    return lines


def _boxes(part: PartOrder) -> list[str]:
    from ..models import fields as f

    told = []
    for box in f.parts(part.raw, "boxes"):
        what = ", ".join(word for word in (f.text(box, "what"), f.text(box, "station"), f.text(box, "axis")) if word)
        told.append(f"{what}: {BOX} (ordered: {f.text(f.part(box, 'ordered'), 'told')})")
    return _list("Write down when finished", told)


def _size(found: SizeFound) -> str:
    value = f"{found.value}{f', give or take {found.give_or_take}' if found.give_or_take else ''}"
    where = f"{found.what}, {found.place}" if found.place else found.what
    return f"{where}: {'; '.join(part for part in (value, found.tool, found.temperature) if part)}"


def _said(notes: Iterable[Note]) -> list[str]:
    return [f"{note.says}{f' ({note.grade})' if note.grade else ''}" for note in notes]


def _list(title: str, lines: Iterable[str], mark: str = "-") -> list[str]:
    told = [line for text in lines for line in wrapped(text, f"    {mark} ")]
    return [f"  {title}:", *told] if told else []
