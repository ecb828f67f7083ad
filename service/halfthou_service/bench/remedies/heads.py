"""Faces: take off no more than makes it flat, and mind what that does above the piston."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from halfthou_specdb.rules import Open

from .case import Case, Family
from .model import Amount, Remedy


def propose(case: Case) -> Iterator[Remedy]:
    """Scrape or mill a face flat; the head clearance that is left."""
    if case.side != "high" or case.value is None or case.aim is None:
        return
    off = case.value
    amount: list[Amount] = [("off the face at least", off, case.unit)]
    left, fit = case.measured("head-clearance", anywhere=True), case.limit("head-clearance")
    if left:
        after = min(left) - off
        if fit is not None and not isinstance(fit.low, Open) and after < fit.low:
            yield case.nothing(f"Milled flat, the piston would clear the head by only {case.say(after)}, under {case.say(fit.low)}",
                               "Scrape the high places by hand under a thicker gasket, or another head.")  # fmt: skip
            return
        amount.append(("head clearance left", after, case.unit))
    tools, asks = ("straight edge", "feeler gauge", "marking blue"), () if left else ("head clearance over the piston",)
    steps = ("Studs out; old gasket wetted and lifted whole.", "Blue it on a plate; take off no more than it needs.")
    if off * case.unit.factor <= Fraction(5, 1000) * Fraction("0.0254"):
        yield case.remedy("scrape-face", "Scrape the high places that blue shows", "hand", amount=amount, predicted=case.aim, steps=steps,
                          tools=(*tools, "scraper"),
                          after=("head-face-flatness", "head-clearance", "head-gasket-leak"), risk="Scraped hollow it leaks at the middle.",
                          cautions=("C042",), asks=asks)  # fmt: skip
    yield case.remedy("mill-face", "Mill or grind the face flat", "machine", amount=amount, predicted=case.aim, steps=steps, tools=tools,
                      cautions=("C042",), asks=asks,
                      after=("head-face-flatness", "head-clearance", "compression-ratio"),
                      risk="Metal off the face raises the compression.")  # fmt: skip


FAMILY = Family("heads", frozenset({"head-face-flatness"}), propose)
