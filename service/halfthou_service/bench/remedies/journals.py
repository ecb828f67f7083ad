"""Journals: stone or lap a trifle, otherwise grind just clean and make the bearing to it; keep the fillet."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from halfthou_specdb.rules import Open

from ...calculations.regrind import regrind
from ._telling import ONE_SIDED
from .case import INCH, Case, Family
from .model import Amount, Remedy

FORM = {f"{j}-{f}": j for j in ("crankpin", "main-journal") for f in ("out-of-round", "taper")}
OTHERS = frozenset({"journal-score-depth", "journal-pit-area", "crankpin-parallelism", "crankshaft-runout", "journal-fillet-radius",
                    "regrind-undersize"})  # fmt: skip
BY_HAND = Fraction(1, 1000) * INCH.factor
"""Most that is taken off by lapping [m]: our judgement; an army manual grinds over a thou of out-of-round."""
MARGIN = Fraction(1, 1000) * INCH.factor
"""Taken off beyond the worn place to be sure of clean metal [m]: our judgement."""
FILLET = "Keep the corner at its old radius, and polish it: a sharp corner breaks the shaft."
GRIND = ("Crack-test the shaft before money goes into it.", "Straighten it first; grind the pin parallel to the mains.",
         "Grind until it is just clean, and stop: poured metal follows any size.", FILLET, "Polish in the direction of rotation.",
         "Have every size reported, along and round.")  # fmt: skip
RISK = "What is ground off is gone; a nicked or smaller fillet breaks the shaft."
AFTER = ("crankshaft-crack", "journal-fillet-radius")


def propose(case: Case) -> Iterator[Remedy]:
    """Lap or grind for form; grind for scores; press straight; nothing for a corner cut too sharp."""
    name = case.what.id
    if name in FORM:
        yield from _form(case, FORM[name])
    elif name == "journal-score-depth" and case.side == "high" and case.value is not None:
        journal = "crankpin" if "crankpin" in case.instance else "main-journal"
        yield from _grind(case, journal, 2 * case.value, Fraction(0), case.value)
    elif name == "crankpin-parallelism" and case.side == "high" and case.value is not None:
        yield from _grind(case, "crankpin", case.value, case.aim, Fraction(0))
    elif name == "journal-pit-area" and case.side == "high":
        yield case.remedy("stone-the-edges", "Stone the edges of the pits down to the surface, never the surface round them", "hand",
                          steps=("Fine stone, oil, light strokes round the pit only.", "For work rather than show, grind."),
                          tools=("fine oil stone",), after=("journal-pit-area", "crankshaft-crack"), grade="common-practice",
                          risk="Pits hold oil and do little harm; edges that stand up cut the metal.")  # fmt: skip
    elif name == "crankshaft-runout" and case.side == "high" and case.value is not None and case.aim is not None:
        yield case.remedy("press-straight", "Press it straight, cold, between V-blocks, a little at a time", "machine", predicted=case.aim,
                          amount=[("the shaft stands off its line by", case.value / 2, case.unit)],
                          steps=("Mark the high place; press against it, release, read again.",
                                 "Never strike it, and never bend a cast shaft.",
                                 "Look for cracks at the fillets afterwards."),
                          tools=("V-blocks", "press", "dial indicator"),
                          after=("crankshaft-runout", "crankshaft-crack", "flywheel-lateral-runout"),
                          risk="A forged shaft may crack at a fillet, a cast one will.", grade="common-practice")  # fmt: skip
    elif name == "journal-fillet-radius" and case.side == "low":
        yield case.nothing("A corner cut too sharp cannot be put back by polishing",
                           "The shop builds it up and grinds it to the old radius, or finds "
                           "another shaft.")  # fmt: skip


def _form(case: Case, journal: str) -> Iterator[Remedy]:
    if case.value is None or case.aim is None or case.side != "high":
        return
    over = case.value - case.aim
    if case.value * case.unit.factor <= BY_HAND:
        yield case.remedy("lap-true", "Stone or lap the high way across", "hand", amount=[("off the high diameter", over, case.unit)],
                          predicted=case.aim, tools=("split lap or stone", "fine compound", "micrometer"),
                          steps=("Lap the high way only, turning the lap end for end.", "Wash every grain out of the oil hole.",
                                 "Measure along and round after each pass.", FILLET),
                          after=(case.what.id,
                                 "main-bearing-running-clearance" if journal == "main-journal" else "rod-bearing-running-clearance"),
                          risk="A lap left in one place makes a hollow; the clearance grows by what comes off.", grade="common-practice")  # fmt: skip
    yield from _grind(case, journal, case.value, case.aim, Fraction(0))


def _grind(case: Case, journal: str, off: Fraction, predicted: Fraction | None, score: Fraction) -> Iterator[Remedy]:
    """Grind to the size that cleans up; an undersize only where bearings are bought, none past the last."""
    facts, sizes, margin = case.facts.journal, case.measured(f"{journal}-diameter"), MARGIN / case.unit.factor
    asks = ["undersizes to be had"] if case.has("shell-bearings") is True and not facts.undersizes else []
    nominal = case.dimension(journal)
    fillet = case.measured("journal-fillet-radius")
    note = f"Keep the corner at {case.say(max(fillet))}" if fillet else ""
    asks += [] if fillet else ["fillet radius"]
    if not sizes or nominal is None:
        amount = [("off the largest diameter at least", off + margin, case.unit)]
        asks.append(f"{journal.replace('-', ' ')} diameters, along and round")
        yield _ground(case, amount, predicted, asks, note)
        return
    metre = case.unit.factor
    score = max([score, *_scores(case, journal)])
    undersizes = None if not facts.undersizes else tuple(float(q.canonical) for q in facts.undersizes)
    offset, deep = facts.axis_offset, facts.score_depth
    told = regrind(float(nominal * metre), float(min(sizes) * metre), undersizes, float(offset.canonical) if offset else 0.0,
                   max(float(deep.canonical) if deep else 0.0, float(score * metre)), float(MARGIN),
                   None if facts.tried is None else float(facts.tried.canonical),
                   None if facts.least is None else float(facts.least.canonical)).values  # fmt: skip
    finish = told.get("finish")
    most = case.limit("regrind-undersize")
    if not isinstance(finish, float) or "Too small" in str(told["answer"]):
        yield case.nothing(str(told["answer"]))
        return
    size = _exact(finish) / metre
    if most is not None and not isinstance(most.high, Open) and nominal - size > most.high:
        yield case.nothing(f"Ground clean at {case.say(size)} the journal would be more than {case.say(most.high)} under size",
                           "Build it up and grind it back, or find another shaft.")  # fmt: skip
        return
    amount = [("grind to", size, case.unit), ("under the size when new by", nominal - size, case.unit), *_mate(case, journal, size)]
    aside = max(sizes) - min(sizes)
    if offset is None and undersizes is None and aside > 0:
        amount.append((f"{ONE_SIDED}grind to", size - aside, case.unit))
        asks.append("how far the worn centre stands off the old one")
    yield _ground(case, amount, predicted, asks, note)


def _scores(case: Case, journal: str) -> list[Fraction]:
    """Depths of scores read on this journal: one cut cleans it, whichever reading asks for it."""
    return case.known.named("journal-score-depth", case.unit, case.instance, "crankpin", journal == "crankpin")


def _mate(case: Case, journal: str, size: Fraction) -> list[Amount]:
    """The bearing bore to match the finished journal, in the loose half of its fit."""
    fit = case.limit("rod-bearing-running-clearance" if journal == "crankpin" else "main-bearing-running-clearance")
    if fit is None or isinstance(fit.low, Open) or isinstance(fit.high, Open):
        return []
    return [("bearing bore to match", size + fit.low + (fit.high - fit.low) * Fraction(3, 4), case.unit)]


def _ground(case: Case, amount: list[Amount], predicted: Fraction | None, asks: list[str], note: str) -> Remedy:
    return case.remedy("grind-clean", "Grind until it just cleans up, and make the bearing to it", "machine", amount=amount,
                       predicted=predicted,
                       steps=GRIND, tools=("crankshaft grinder",), risk=RISK, asks=tuple(asks), note=note,
                       after=(case.what.id, *AFTER, "crankshaft-runout"))  # fmt: skip


def _exact(metres: float) -> Fraction:
    """A size out of a calculation, to the nanometre."""
    return Fraction(round(metres * 10**9), 10**9)


FAMILY = Family("journals", frozenset({*FORM, *OTHERS}), propose)
