"""Rings and their grooves: file the ends, know what a worn bore does to the gap, cut the groove wider for a wider ring."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from halfthou_specdb.rules import Open

from ...calculations.ring_gap_closure import ring_gap_closure
from .case import Case, Family
from .model import Amount, Remedy

PI = Fraction(math.pi).limit_denominator(10**12)
IRON = "grey-cast-iron"
BELOW = {"unworn": "below", "beneath": "below", "under": "below"}
NARROW = "Try the ring square in the narrowest part of the bore, below the ring travel."


def propose(case: Case) -> Iterator[Remedy]:
    """End gap, side clearance, groove width, back clearance."""
    work = {"ring-end-gap": _gap, "ring-side-clearance": _side, "ring-groove-width": _groove, "ring-back-clearance": _back}
    if case.value is not None and case.side and case.aim is not None:
        yield from work[case.what.id](case, case.value, case.aim)


def gap_growth(bore_excess: Fraction) -> Fraction:
    """How much wider a ring's gap stands in a bore larger by ``bore_excess``: pi times it (unit kept)."""
    return PI * bore_excess


def _hot(case: Case, gap: Fraction) -> Fraction | None:
    """How far a gap closes when ring and bore are as hot as told; None where it is not told. Grey iron, from shop temperature."""
    ring, bore = case.facts.ring, case.dimension("bore")
    iron = case.bench.table.materials.get(IRON)
    if ring.temperature is None or bore is None or iron is None or iron.expansion is None:
        return None
    metre, expansion = case.unit.factor, float(iron.expansion) * 1e-6
    wall = None if ring.bore_temperature is None else float(ring.bore_temperature.canonical)
    told = ring_gap_closure(float(bore * metre), float(gap * metre), expansion, float(ring.temperature.canonical),
                            None if wall is None else expansion, wall).values["closure"]  # fmt: skip
    assert isinstance(told, float)
    return Fraction(round(told * 10**9), 10**9) / metre


def _gap(case: Case, value: Fraction, aim: Fraction) -> Iterator[Remedy]:
    after = ("ring-end-gap", "ring-side-clearance", "hand-compression")
    closes = _hot(case, aim)
    hot: list[Amount] = [] if closes is None else [("when hot it closes by", closes, case.unit)]
    if closes is not None and closes >= aim and case.both is not None:
        if case.facts.ring.bore_temperature is None:
            hot = [("when hot, the bore taken cold, it closes by at most", closes, case.unit)]
        elif closes >= case.both[1]:
            yield case.nothing(f"As hot as told, every gap of the fit butts: it closes by {case.say(closes)}",
                               "Look again at the temperatures told, or at the material of the ring.")  # fmt: skip
            return
        else:
            aim = (closes + case.both[1]) / 2
    if case.side == "low":
        yield case.remedy("file-ring-ends", "File the ends square until the gap is right", "hand",
                          amount=[("off the two ends together", aim - value, case.unit), *hot],
                          predicted=aim, tools=("fine flat file in a vice, or a ring filer", "feeler gauge"),
                          steps=(NARROW, "File one end only, inward, a few strokes; take the burr off.",
                                 "Try again; a gap is not filed back."),
                          risk="Ends that butt hot break the ring and score the bore; too wide leaks a little.", after=after)  # fmt: skip
        return
    bores, nominal, there = case.measured("cylinder-bore-diameter", anywhere=True), case.dimension("bore"), _bore_there(case)
    amount: list[Amount] = hot
    if there is not None and nominal is not None and there > nominal:
        amount.append(("of this gap the worn bore makes", gap_growth(there - nominal), case.unit))
    spread = gap_growth(max(bores) - min(bores)) if len(bores) > 1 else Fraction(0)
    if not isinstance(case.wear_high, Open) and aim + spread > case.wear_high and spread:
        yield case.nothing(f"A new ring filed right where the bore is narrow would stand {case.say(aim + spread)} wide where it is worn",
                           "Bore or sleeve first.")
        return
    worn = case.stands("cylinder-taper", "beyond_limit") or case.stands("cylinder-out-of-round", "beyond_limit")
    if spread:
        amount.append(("a new ring opens in its travel by", spread, case.unit))
    yield case.remedy("new-ring", "Fit a new ring and file its gap", "part", amount=[("file the gap to", aim, case.unit), *amount],
                      predicted=aim, after=after,
                      steps=(NARROW, "If a new ring is wide as well, the bore is large: measure it.", "Order by the bore as measured."),
                      asks=("a survey of the bore", "rings to be had") if not bores else () if there is not None else
                      ("where in the bore the gap was read, and the bore there",),
                      risk="A new ring in an oval or tapered bore works its gap at each stroke.",
                      note="The bore is past its own limit: true it first" if worn else "")  # fmt: skip


def _bore_there(case: Case) -> Fraction | None:
    """The bore where the gap was read, the mean of its axes; None where that place is not told or the bore there is not known."""
    key = ("bore", case.place.station, case.state, case.unit.token)
    return case.known.once(key, lambda: _bore_at(case, _station(case.place.station)))


def _bore_at(case: Case, here: frozenset[str]) -> Fraction | None:
    found = [m for m in case.known.of("cylinder-bore-diameter") if m.value.unit.dimension == case.unit.dimension and m.station and here
             and (_station(m.station) <= here or here <= _station(m.station))]  # fmt: skip
    sizes = [m.value.to(case.unit) for m in [m for m in found if m.state == case.state] or found]
    return sum(sizes, Fraction(0)) / len(sizes) if sizes else None


def _station(name: str) -> frozenset[str]:
    """A place in the bore by its words: the unworn end is that below the travel of the rings."""
    words = frozenset(BELOW.get(word, word) for word in name.lower().replace("-", " ").split())
    return words - {"of", "the", "end", "ring", "rings", "travel", "bore", "in", "at"}


def _side(case: Case, value: Fraction, aim: Fraction) -> Iterator[Remedy]:
    if case.side == "low":
        yield case.remedy("ease-ring", "Clean the groove, then ease the ring on fine emery on a plate", "hand",
                          amount=[("off the ring's width", aim - value, case.unit)],
                          predicted=aim, tools=("surface plate or glass", "fine emery", "feeler gauge"),
                          steps=("Scrape carbon out of the groove first and read again.",
                                 "Rub the top side only in a figure of eight; turn it often."),
                          risk="A ring rubbed out of flat leaks.", after=("ring-side-clearance", "ring-freedom"),
                          grade="common-practice")  # fmt: skip
        return
    yield from _recut(case, value, aim)


def _recut(case: Case, value: Fraction, aim: Fraction) -> Iterator[Remedy]:
    """Cut the groove square to the next wider ring; without widths told, only how much wider it runs now."""
    width = case.dimension("ring-width")
    widths = sorted(w for w in (case.told(q) for q in case.facts.ring.widths) if w is not None)
    after = ("ring-side-clearance", "ring-groove-width", "ring-back-clearance")
    steps = ("Cut both faces of the groove square to the axis; take no more than cleans them.", "Leave enough land between the grooves.",
             "Try the ring all round before it goes on.")  # fmt: skip
    risk = "A land cut too thin breaks; look for cracks in the corners."
    if width is not None:
        worn = width + value
        wide = next((w for w in widths if w + aim >= worn), None)
        if widths and wide is None:
            yield case.nothing(f"The groove is {case.say(worn)} wide and no ring on the list fills it",
                               "A spacer beside the old ring, or a new piston.")
            return
        if wide is not None:
            yield case.remedy("recut-groove", "Recut the groove for a wider ring", "machine", predicted=aim, steps=steps, risk=risk,
                              after=after,
                              amount=[("ring of", wide, case.unit), ("groove cut to", wide + aim, case.unit)],
                              tools=("lathe", "feeler gauge"))  # fmt: skip
            return
    amount = [("ring wider than the groove's own by", value - aim, case.unit)]
    yield case.remedy("recut-groove", "Recut the groove square and fit a wider ring or a spacer", "machine", amount=amount, predicted=aim,
                      steps=steps,
                      risk=risk, after=after, tools=("lathe", "feeler gauge"),
                      asks=("ring widths to be had", *(() if width else ("ring width",))))  # fmt: skip


def _groove(case: Case, value: Fraction, aim: Fraction) -> Iterator[Remedy]:
    yield case.remedy("recut-groove", "Recut the groove square and fit a wider ring, or a spacer with the old width", "machine",
                      amount=[("wider than its ring's groove should be by", value - aim, case.unit)], predicted=aim, tools=("lathe",),
                      steps=("Measure the groove at three places round it.", "Cut both faces square; fit the ring that fills it."),
                      risk="A land cut too thin breaks.", after=("ring-groove-width", "ring-side-clearance"),
                      asks=("ring widths to be had",))  # fmt: skip


def _back(case: Case, value: Fraction, aim: Fraction) -> Iterator[Remedy]:
    yield case.remedy("deepen-groove", "Deepen the groove, or fit rings of a thinner section", "machine",
                      amount=[("deeper by", aim - value, case.unit)],
                      predicted=aim, tools=("lathe", "depth gauge"), steps=("Clean carbon out first and read again.",
                                                                            "Round the corner; do not undercut it."),
                      risk="Do not run it so: a ring that stands proud of its groove seizes the piston.",
                      after=("ring-back-clearance", "ring-freedom"))  # fmt: skip


FAMILY = Family("rings", frozenset({"ring-end-gap", "ring-side-clearance", "ring-groove-width", "ring-back-clearance"}), propose)
