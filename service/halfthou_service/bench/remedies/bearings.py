"""White metal: scrape where it is tight, pour and bore again where shims are past; size to the finished journal."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from ._oval import CLEARANCES, too_oval
from .case import Case, Family
from .model import Amount, Remedy
from .shims import no_shims

METAL = frozenset({"babbitt-thickness", "babbitt-bond", "main-bearing-contact", "main-bearing-alignment", "bearing-to-bore-square"})
TRUE_FIRST = "True the journal first: it is further out of round than the fit is wide"
BLUE = ("marking blue", "scraper", "plastic gauge strip")
SCRAPE = ("Blue the journal thinly and turn it in the bearing.", "Scrape the marks, several light passes, crossing the strokes.",
          "Wash out every chip, and gauge again.")  # fmt: skip
POUR = ("Measure the finished journal along and round it; the largest diameter sets the bore.",
        "Warm mandrel and shell until bone dry; face shield, leather, no water near.",
        "Leave shims under the cap at the pour, so that wear can be taken up.", "Bore or scrape to size with the cap drawn down.",
        "Cut the oil way, stop the groove short of the ends, blue it.")  # fmt: skip
HOT = ("C056", "C057", "C058", "C070")
POUR_RISK = "Molten metal spits on any damp; lead fumes; both mains must stand in one line with the cylinder square to them."


def propose(case: Case) -> Iterator[Remedy]:
    """Scraping for a tight bearing; pouring to suit the journal for a loose one."""
    if case.what.id in CLEARANCES:
        yield from _clearance(case)
    elif case.what.id == "main-bearing-contact" and case.side == "low" and case.aim is not None and case.least is not None:
        yield case.remedy("blue-and-scrape", "Blue and scrape until the marks cover enough", "hand",
                          amount=[("at least", case.least, case.unit)],
                          predicted=case.aim, steps=SCRAPE, tools=BLUE,
                          risk="Every pass opens the bearing a little: gauge the clearance too.",
                          after=("main-bearing-contact", "main-bearing-running-clearance"), grade="common-practice")  # fmt: skip
    elif case.what.id == "babbitt-thickness" and case.side == "low" and case.aim is not None and case.least is not None:
        yield _pour(case, [("metal at least", case.least, case.unit)], case.aim, "", ())
    elif case.what.id in ("main-bearing-alignment", "bearing-to-bore-square") and case.side == "high" and case.aim is not None:
        yield _pour(case, [("out by now", case.value or Fraction(0), case.unit)], case.aim, "Both mains are poured in one setting", ())
    elif case.what.id == "babbitt-bond" and case.item.verdict in ("stop", "beyond_limit"):
        yield _pour(case, [], None, "Loose metal is not shimmed, scraped or run", ("size of the finished journal",))


def _clearance(case: Case) -> Iterator[Remedy]:
    if case.value is None or case.aim is None or not case.side:
        return
    _, journal = CLEARANCES[case.what.id]
    if case.side == "low":
        if case.has("shell-bearings") is not True:
            yield case.remedy("scrape", "Scrape the high marks that blue shows", "hand",
                              amount=[("to gain on the diameter", case.aim - case.value, case.unit)],
                              predicted=case.aim, steps=SCRAPE, tools=BLUE,
                              risk="Metal scraped off does not come back: shims first where there are any.",
                              note=TRUE_FIRST if too_oval(case) else "",
                              after=(case.what.id, "main-bearing-contact", "bearing-drag"), grade="common-practice")  # fmt: skip
        return
    if case.has("shell-bearings") is True:
        yield case.remedy("new-shells", "Fit new shells for the journal as it measures", "part", amount=_bore(case, journal),
                          predicted=case.aim,
                          steps=("Measure the journal first; order the undersize that suits it.",
                                 "Gauge the clearance with the cap drawn down."),
                          after=(case.what.id, "bearing-drag"), asks=("size of the finished journal", "undersizes to be had"),
                          note=TRUE_FIRST if too_oval(case) else "")  # fmt: skip
        return
    why = no_shims(case)
    oval = case.stands(f"{journal}-out-of-round", "beyond_limit") or case.stands(f"{journal}-taper", "beyond_limit")
    first = "True the journal first, then pour to it" if oval and not too_oval(case) else ""
    oval = oval or too_oval(case)
    amount = _bore(case, journal, oval)
    yield _pour(case, amount, case.aim,
                first or (f"Not with shims: {why}" if why else "Only when the shims are used up or the contact is poor"),
                () if len(amount) > 1 else ("size of the finished journal",))  # fmt: skip


def _bore(case: Case, journal: str, must_be_trued: bool = False) -> list[Amount]:
    assert case.aim is not None
    found = case.measured(f"{journal}-diameter")
    clearance: list[Amount] = [("clearance on the largest diameter", case.aim, case.unit)]
    if not found or must_be_trued:
        return clearance
    return [*clearance, ("bore for the journal as measured", max(found) + case.aim, case.unit)]


def _pour(case: Case, amount: list[Amount], predicted: Fraction | None, note: str, asks: tuple[str, ...]) -> Remedy:
    return case.remedy("pour-again", "Pour the bearing again and bore it to suit the journal", "machine", amount=amount,
                       predicted=predicted,
                       steps=POUR, tools=("mandrel", "dams", "ladle and thermometer", "boring bar or scraper"), risk=POUR_RISK,
                       cautions=HOT,
                       after=tuple(dict.fromkeys((case.what.id, "main-bearing-running-clearance" if case.what.component == "main-bearing"
                                                  else "rod-bearing-running-clearance", "babbitt-bond", "main-bearing-contact"))),
                       asks=asks, note=note, grade="common-practice")  # fmt: skip


FAMILY = Family("bearings", frozenset({*CLEARANCES, *METAL}), propose)
