"""Cylinders: survey, clean-up diameter, next oversize to be had; or a sleeve; or the bore made to the piston in hand."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.rules import Open

from ...calculations.frame import CalculationError
from ...calculations.rebore import rebore
from ._telling import ONE_SIDED
from .case import INCH, Case, Family
from .model import Amount, Remedy

WORN = frozenset({"cylinder-taper", "cylinder-out-of-round", "cylinder-bore-wear", "cylinder-pit-depth"})
CLEARANCE = "piston-to-bore-clearance"
MARGIN = Fraction(1, 1000) * INCH.factor
"""Beyond the largest diameter, to be sure of clean metal [m]: our judgement."""
BY_HONE = Fraction(2, 1000) * INCH.factor
"""Most that a hone is asked to take off the diameter [m]: it follows the bore it finds; our judgement."""
BORE = ("Survey the bore at three heights, both ways across.", "Ask which piston and rings can be had before anything is cut.",
        "Sound the wall, water side and valve pocket above all.", "Bore square to the mains, not to the head face alone.",
        "Bore short of size and hone the rest with the piston in hand.", "Wash until a white rag stays white; try the ring gaps.")  # fmt: skip
CLEANS = "cleans up at"
ASIDE = ONE_SIDED + CLEANS
TOOLS = ("dial bore gauge", "boring bar", "hone")
RISK = "A bored wall cannot be put back; hopper castings vary and rust from the water side."
AFTER = ("cylinder-bore-diameter", "cylinder-taper", "cylinder-out-of-round", CLEARANCE, "ring-end-gap", "cylinder-finish")


def propose(case: Case) -> Iterator[Remedy]:
    """Rebore or sleeve for wear; hone or a new piston for clearance; ream a ridge."""
    name = case.what.id
    if name in WORN and case.side == "high" and case.value is not None:
        why = ""
        for answer in _rebore(case):
            if isinstance(answer, str):
                why = answer
            else:
                yield answer
        yield _sleeve(case, why)
    elif name == CLEARANCE and case.value is not None and case.aim is not None:
        yield from _clearance(case, case.value, case.aim)
    elif name == "cylinder-ridge" and case.side == "high" and case.value is not None:
        yield case.remedy("ream-ridge", "Ream the ridge out before the piston is drawn", "hand",
                          amount=[("off the diameter there", case.value, case.unit)],
                          predicted=Fraction(0), tools=("ridge reamer",),
                          steps=("Cut down to the worn wall and not into it.", "Wash out every chip."),
                          after=("cylinder-ridge", "cylinder-taper"), risk="Cut too low it leaves a step for the ring to catch.",
                          grade="common-practice")  # fmt: skip
    elif name == "cylinder-scoring" and case.item.finding == "deep groove along the stroke":
        yield case.remedy("bore-the-groove", "Bore or sleeve past the groove, and secure the wrist pin that cut it", "machine", steps=BORE,
                          tools=TOOLS,
                          risk=RISK, asks=("depth of the groove", "pistons and rings to be had", "wall thickness"), after=AFTER)  # fmt: skip


def _rebore(case: Case) -> Iterator[Remedy | str]:
    """The next oversize that cleans the bore; asks first what can be had. A sentence says why none will do."""
    facts, metre, assured = case.facts.cylinder, case.unit.factor, case.value or Fraction(0)
    sizes, nominal = case.measured("cylinder-bore-diameter", anywhere=True), case.dimension("bore")
    predicted = None if case.what.id == "cylinder-bore-wear" else case.aim
    if case.what.id == "cylinder-pit-depth":
        assured, predicted = 2 * assured, Fraction(0)
    on_hand = set(facts.piston_oversizes) & set(facts.ring_oversizes) if facts.ring_oversizes else set(facts.piston_oversizes)
    asks = [] if facts.piston_oversizes else ["which pistons can be had"]
    asks += [] if facts.ring_oversizes else ["which rings can be had"]
    asks += [] if facts.wall is not None else ["wall thickness"]
    if not sizes or nominal is None:
        asks.append("a survey of the bore" if nominal is not None else "bore when new")
        yield case.remedy("rebore", "Bore it true to the next size a piston can be had for", "machine", predicted=predicted,
                          asks=tuple(asks),
                          amount=[("off the diameter at least", assured + MARGIN / metre, case.unit)], steps=BORE, tools=TOOLS, risk=RISK,
                          after=AFTER)  # fmt: skip
        return
    deep = _deepest(case)
    offset = None if facts.axis_offset is None else facts.axis_offset.canonical / metre
    aside = max(sizes) - min(sizes) if offset is None else Fraction(0)
    clean = max(sizes) + 2 * (offset or Fraction(0)) + 2 * deep + MARGIN / metre
    amount: list[Amount] = [(CLEANS, clean, case.unit)]
    amount += [(ASIDE, clean + aside, case.unit)] if aside > 0 else []
    asks += ["how far the worn bore's centre stands off the old one"] if aside > 0 else []
    if on_hand:
        yield from _to_oversize(case, nominal, max(sizes), sorted(float(q.canonical) for q in on_hand), deep, aside, predicted, asks)
        return
    most = case.limit("bore-oversize")
    if most is not None and not isinstance(most.high, Open) and clean - nominal > most.high:
        yield f"It cleans up only at {case.say(clean)}, more than {case.say(most.high)} over size"
        return
    amount.append(("over the size when new by at least", clean - nominal, case.unit))
    yield case.remedy("rebore", "Bore it true to the next size a piston can be had for", "machine", amount=amount, predicted=predicted,
                      steps=BORE, tools=TOOLS, risk=RISK, asks=tuple(asks), after=AFTER)  # fmt: skip


def _deepest(case: Case) -> Fraction:
    """The deepest pit or score to be cut past: one cut cleans the whole bore, whichever reading asks for it."""
    pits = case.measured("cylinder-pit-depth", anywhere=True)
    own = [case.value] if case.what.id == "cylinder-pit-depth" and case.value is not None else []
    told = case.told(case.facts.cylinder.score_depth)
    return max(pits + own + ([told] if told is not None else []), default=Fraction(0))


def _to_oversize(case: Case, nominal: Fraction, largest: Fraction, sizes: list[float], deep: Fraction, aside: Fraction, predicted: Fraction | None,
                 asks: list[str]) -> Iterator[Remedy | str]:  # fmt: skip
    """The next oversize to be had. ``aside``: how much more the bore must open where all the wear is on one side."""
    facts, metre = case.facts.cylinder, case.unit.factor

    def si(q: Quantity | None) -> float | None:
        return None if q is None else float(q.canonical)

    try:
        told = rebore(float(nominal * metre), float(largest * metre), tuple(sizes), si(facts.axis_offset) or 0.0, float(deep * metre),
                      float(MARGIN), si(facts.tried), None, None, None, si(facts.wall), si(facts.least_wall))  # fmt: skip
    except CalculationError as refused:
        yield capital_of(str(refused).replace("wall_thickness", "the wall"))
        return
    over = told.values.get("oversize")
    codes = {flag.code for flag in told.flags}
    most = case.limit("bore-oversize")
    if not isinstance(over, float) or "wall-too-thin" in codes:
        yield str(told.values["answer"]).partition(":")[0].rstrip(".")
        return
    size = Fraction(round(over * 10**9), 10**9) / metre
    if most is not None and not isinstance(most.high, Open) and size > most.high:
        yield f"The next size that cleans it is {case.say(size)} over, past the usual {case.say(most.high)}"
        return
    clean = told.values["clean_up"]
    assert isinstance(clean, float)
    amount = [(CLEANS, Fraction(round(clean * 10**9), 10**9) / metre, case.unit), ("oversize", size, case.unit),
              *_finish(case, nominal + size)]  # fmt: skip
    if aside > 0:
        amount.append((ASIDE, amount[0][1] + aside, case.unit))
    left = told.values.get("wall_left")
    if isinstance(left, float):
        amount.append(("wall left", Fraction(round(left * 10**9), 10**9) / metre, case.unit))
    yield case.remedy("rebore", "Bore to the next oversize to be had", "machine", amount=amount, predicted=predicted, steps=BORE,
                      tools=TOOLS,
                      risk=RISK, asks=tuple(asks), after=AFTER, note="Final size follows the piston as measured, not its box")  # fmt: skip


def _finish(case: Case, nominal: Fraction) -> list[Amount]:
    """Finished bore for the piston in hand (or the nominal size), and what to bore to before honing."""
    facts, fit = case.facts.cylinder, case.limit(CLEARANCE)
    piston = case.told(facts.piston)
    finish = nominal
    if piston is not None and fit is not None and not isinstance(fit.low, Open) and not isinstance(fit.high, Open):
        finish = piston + fit.low + (fit.high - fit.low) * Fraction(3, 4)
    hone = case.told(facts.honing_allowance)
    allowed = case.limit("boring-allowance-for-hone")
    if hone is None and allowed is not None and not isinstance(allowed.low, Open):
        hone = allowed.low
    finished: list[Amount] = [("finished bore for the piston in hand" if piston is not None else "nominal bore", finish, case.unit)]
    return finished if hone is None else [*finished, ("bore to, before the hone", finish - hone, case.unit)]


def _sleeve(case: Case, why: str) -> Remedy:
    """A sleeve, bored to standard or to the piston that is there."""
    nominal, grip = case.dimension("bore"), case.limit("sleeve-interference")
    amount: list[Amount] = [] if nominal is None else _finish(case, nominal)
    if grip is not None and not isinstance(grip.low, Open) and not isinstance(grip.high, Open):
        amount.append(("sleeve over its hole", (grip.low + grip.high) / 2, case.unit))
    predicted = Fraction(0) if case.what.id == "cylinder-pit-depth" else case.aim
    return case.remedy("sleeve", "Sleeve it and bore the sleeve to size", "machine", amount=amount, predicted=predicted, steps=BORE,
                       tools=TOOLS,
                       risk="The casting is bored thinner still: sound the wall first.",
                       asks=("wall thickness", "size of the piston in hand"),
                       after=("sleeve-interference", *AFTER, "hopper-leak"), cautions=("C038",), note=why)  # fmt: skip


def _clearance(case: Case, value: Fraction, aim: Fraction) -> Iterator[Remedy]:
    bores, pistons = case.measured("cylinder-bore-diameter", anywhere=True), case.measured("piston-skirt-diameter", anywhere=True)
    if case.side == "low":
        open_by = aim - value
        amount: list[Amount] = [("open the bore by", open_by, case.unit)]
        if pistons:
            amount.append(("bore for the piston as measured", max(pistons) + aim, case.unit))
        by_hone = open_by * case.unit.factor <= BY_HONE
        yield case.remedy("hone-to-piston", "Hone the cylinder to the piston" if by_hone else "Bore, then hone, the cylinder to the piston",
                          "hand" if by_hone else "machine", amount=amount, predicted=aim,
                          tools=TOOLS if not by_hone else ("rigid hone", "bore gauge"),
                          steps=("Never file a skirt by hand.", "Hone the whole length, and measure as often.",
                                 "Wash until a white rag stays white."),
                          risk="What is honed off is gone; a hone follows taper and does not take it out.", after=AFTER,
                          asks=() if pistons else ("size of the piston in hand",))  # fmt: skip
    elif case.side == "high":
        true = not (case.stands("cylinder-taper", "beyond_limit") or case.stands("cylinder-out-of-round", "beyond_limit"))
        amount = [] if bores or not true else [("larger than the piston that is there by", value - aim, case.unit)]
        if bores and true:
            amount.append(("piston for the bore at its narrowest", min(bores) - aim, case.unit))
            if pistons and min(bores) - aim > max(pistons):
                amount.append(("larger than the piston that is there by", min(bores) - aim - max(pistons), case.unit))
        yield case.remedy("new-piston", "Make or find a piston for this bore", "part", amount=amount, predicted=aim if true else None,
                          after=(CLEARANCE, "ring-end-gap"),
                          steps=("True the bore first." if not true else "Measure the bore at its narrowest, with the piston's own pin side known.",
                                 "Have the piston in hand before the bore is finished."),
                          note="" if true else "The bore is past its own limit for taper or roundness: true it, then measure it for the piston",
                          asks=() if bores else ("a survey of the bore",), risk="Only for a bore that is round and straight.")  # fmt: skip
        amount = [("bore for the piston that is there", max(pistons) + aim, case.unit)] if pistons else [("clearance to leave", aim,
                                                                                                          case.unit)]
        yield case.remedy("sleeve-to-piston", "Sleeve the cylinder and bore it to the piston that is there", "machine", amount=amount,
                          predicted=aim,
                          steps=BORE, tools=TOOLS, risk=RISK, asks=("wall thickness",
                                                                    *(() if pistons else ("size of the piston in hand",))),
                          after=("sleeve-interference", *AFTER))  # fmt: skip


def capital_of(text: str) -> str:
    """The text with its first letter large."""
    return text[:1].upper() + text[1:]


FAMILY = Family("bores", frozenset({*WORN, CLEARANCE, "cylinder-ridge", "cylinder-scoring"}), propose)
