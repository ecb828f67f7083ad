"""Valve seats: narrow or widen the band, what a cut sinks and leaves, and a larger valve to bring a sunk one back up."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from halfthou_specdb.rules import Open

from ...calculations.valve_seat import valve_seat
from .case import Case, Family
from .model import Amount, Remedy

GUIDE_FIRST = "Guide first: a worn guide cuts a seat that does not match the stem."
LASH = "Set the lash again: the stem tip comes up by the cut and can hold the valve open."
TOOLS = ("seat cutters", "pilot in the guide", "marking blue", "fine lapping paste")
FINDINGS = {"valve-seat-leak": ("damp at the seat", "drips", "runs through"),
            "valve-seat-contact": ("broken ring", "pitted through", "whole ring, at the edge")}


def propose(case: Case) -> Iterator[Remedy]:
    """Seat width, margin, face runout, insert fit, and the findings of blue and fuel."""
    name = case.what.id
    if name == "valve-seat-width" and case.value is not None and case.both is not None and case.aim is not None and case.side:
        yield from _width(case, case.value, case.aim)
    elif name in FINDINGS and case.item.finding in FINDINGS[name]:
        yield from _by_finding(case)
    elif name == "valve-margin" and case.side == "low" and case.aim is not None and case.least is not None:
        yield case.remedy("new-valve", "Fit or make a new valve; this one is not refaced again", "part",
                          amount=[("edge of the new valve at least", case.least, case.unit)],
                          predicted=case.aim, steps=("Match head, stem and angle.", LASH), after=("valve-margin", "valve-seat-contact"),
                          tools=("caliper",),
                          risk="A thin edge burns away and lights the charge early.")  # fmt: skip
    elif name == "valve-face-runout" and case.side == "high" and case.value is not None and case.aim is not None:
        yield from _reface(case, case.value, case.aim)
    elif name == "valve-seat-insert-fit" and case.side and case.value is not None and case.aim is not None:
        larger = case.side == "low"
        yield case.remedy("insert-size", "A larger ring for the recess" if larger else "Open the recess; chill the ring, do not force it",
                          "machine",
                          amount=[("ring larger by" if larger else "recess larger by", abs(case.aim - case.value), case.unit)],
                          predicted=case.aim,
                          steps=("Measure ring and recess both ways across.", "Never peen a loose ring in."),
                          tools=("boring tool", "micrometer"),
                          after=("valve-seat-insert-fit", "valve-seat-leak"),
                          risk="A loose ring drops into the cylinder; a tight one cracks the head.")  # fmt: skip


def seat_angle(case: Case) -> float:
    """The seat's angle from the flat of the head [rad]: told, else 45 degrees, the trade's usual."""
    told = case.facts.valve.seat_angle
    return math.pi / 4 if told is None else float(told.canonical) * 2 * math.pi


def _f(value: object) -> Fraction:
    assert isinstance(value, float)
    return Fraction(round(value * 10**9), 10**9)


def _width(case: Case, value: Fraction, aim: Fraction) -> Iterator[Remedy]:
    after = ("valve-seat-width", "valve-seat-contact", "valve-seat-leak")
    angle, metre = seat_angle(case), case.unit.factor
    if case.side == "high":
        off = value - aim
        edge = _f(float(off * metre) * math.cos(angle)) / metre
        amount: list[Amount] = [("off the band", off, case.unit), ("outer edge smaller by", edge, case.unit),
                                ("inner edge larger by", edge, case.unit)]
        yield case.remedy("narrow-seat", "Narrow the band from above with a flatter cutter and from below with a steeper one", "hand",
                          predicted=aim, amount=amount, tools=TOOLS,
                          steps=(GUIDE_FIRST,
                                 "15 degrees from above, 60 or 75 from below, half of it each, until blue stands in the middle of the face.",
                                 "Touch the seat angle last, then lap lightly."),
                          after=after, risk="Cut from one side only the band wanders to the edge of the valve.")  # fmt: skip
        return
    down = _f(float((aim - value) * metre) * math.sin(angle))
    told = valve_seat(angle, axial_cut=float(down))
    amount = [("cut straight down", down / metre, case.unit),
              ("the valve sinks and its tip rises by", _f(told.values["stem_tip_rise"]) / metre, case.unit)]
    yield case.remedy("widen-seat", "Widen the band with the seat-angle cutter, lightly, and lap", "hand", amount=amount, predicted=aim,
                      tools=TOOLS,
                      steps=(GUIDE_FIRST, "A turn or two at a time.", LASH), after=(*after, *_lash(case)),
                      risk="Metal cut away sinks the valve for good.")  # fmt: skip


def _lash(case: Case) -> tuple[str, ...]:
    inlet = "inlet" in case.instance or "intake" in case.instance
    if inlet:
        return () if case.has("suction-inlet-valve") else ("valve-lash-inlet",)
    return ("valve-lash-exhaust",)


def _by_finding(case: Case) -> Iterator[Remedy]:
    """Lap first; a cut to the bottom of the pits, with what it costs; a larger valve where this one would sit below the other."""
    after = ("valve-seat-leak", "valve-seat-contact", "valve-seat-width", *_lash(case))
    if case.item.finding in ("damp at the seat", "drips", "broken ring", "runs through"):
        yield case.remedy("lap", "Blue it, then lap lightly and wash every grain away", "hand", after=after, grade="common-practice",
                          tools=TOOLS[2:],
                          steps=("Look for a bent stem, a tight guide or no lash first.", "Lift and turn the valve at each stroke.",
                                 "Stop at a narrow grey ring all round."),
                          risk="Long lapping grooves the face and lets the valve sink.")  # fmt: skip
    if case.item.finding == "damp at the seat":
        return
    pits, metre = case.told(case.facts.valve.pit_depth), case.unit.factor
    if pits is None:
        yield case.remedy("recut-seat", "Recut the seat from the guide until it just cleans up", "machine", tools=TOOLS,
                          steps=(GUIDE_FIRST, LASH), after=after,
                          asks=("depth of the pits square to the face", "margin of the valve"),
                          risk="Each cut sinks the valve and widens the band.")  # fmt: skip
        return
    angle = seat_angle(case)
    down = _f(float(pits * metre) / math.cos(angle)) / metre
    told = valve_seat(angle, axial_cut=float(down * metre)).values
    amount: list[Amount] = [("cut straight down", down, case.unit), ("the valve sinks and its tip rises by", down, case.unit)]
    if isinstance(told["seat_width_gain"], float):
        amount.append(("the band grows by", _f(told["seat_width_gain"]) / metre, case.unit))
    margins, fit, note = case.measured("valve-margin"), case.limit("valve-margin"), ""
    if margins:
        amount.append(("edge left, were the valve refaced as deep", max(min(margins) - down, Fraction(0)), case.unit))
        if fit is not None and not isinstance(fit.low, Open) and min(margins) - down < fit.low:
            note = "The valve is not refaced as deep as that, for its edge would be too thin: a new valve"
    yield case.remedy("recut-seat", "Recut the seat from the guide to the bottom of the pits, then narrow the band", "machine",
                      amount=amount, tools=TOOLS, note=note, asks=() if margins else ("margin of the valve",),
                      steps=(GUIDE_FIRST, "Narrow the band again from above and below.", LASH), after=after,
                      risk="The valve sits lower for good.")  # fmt: skip
    low = case.told(case.facts.valve.sunk_below_other)
    if low is not None and low + down > 0:
        gain = Fraction(2 * float(low + down) / math.tan(angle)).limit_denominator(10**9)
        yield case.remedy("larger-valve", "Fit a valve with a larger head, cut in until it stands as high as the other", "part",
                          amount=[("head larger by", gain, case.unit), ("it then stands higher by", low + down, case.unit)], tools=TOOLS,
                          after=after,
                          steps=("See that the head clears the wall and the other valve.", "Blend the pocket above the new edge.", LASH),
                          asks=("room round the head",), risk="A head too near the wall chokes the flow; check before it is cut.")  # fmt: skip


def _reface(case: Case, value: Fraction, aim: Fraction) -> Iterator[Remedy]:
    """Refacing takes at least half the runout square to the face; the edge loses more than that."""
    angle = seat_angle(case)
    off = value / 2
    edge = Fraction(float(off) / math.cos(angle)).limit_denominator(10**9)
    margins, fit = case.measured("valve-margin"), case.limit("valve-margin")
    if margins and fit is not None and not isinstance(fit.low, Open) and min(margins) - edge < fit.low:
        yield case.nothing(f"Refaced, the valve's edge would be {case.say(min(margins) - edge)}, under {case.say(fit.low)}",
                           "Fit or make a new valve.")
        return
    amount: list[Amount] = [("off the face at least", off, case.unit), ("off the edge", edge, case.unit)]
    if margins:
        amount.append(("edge left", min(margins) - edge, case.unit))
    yield case.remedy("reface-valve", "Reface the valve true to its stem", "machine", amount=amount, predicted=aim,
                      tools=("valve grinder or lathe",),
                      steps=("See that the stem is straight first.", "Take off only what cleans it.", LASH), risk="A thin edge burns away.",
                      after=("valve-face-runout", "valve-margin", "valve-seat-contact"),
                      asks=() if margins else ("margin of the valve",))  # fmt: skip


FAMILY = Family("seats", frozenset({"valve-seat-width", "valve-margin", "valve-face-runout", "valve-seat-insert-fit", *FINDINGS}), propose)
