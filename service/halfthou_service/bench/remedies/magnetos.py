"""Magnetos: contacts and ground first, recharge assembled, then compare with itself at one speed; magnets bought last."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from halfthou_specdb.rules import Open
from halfthou_specdb.units import UNITS

from .case import Case, Family
from .model import Amount, Remedy

WEAK = frozenset({"magneto-magnet-pull", "magneto-magnet-pull-change", "lowtension-mag-output", "lowtension-mag-current",
                  "lowtension-mag-output-change", "magnet-blade-draw"})
AFTER = ("magneto-magnet-pull", "lowtension-mag-output", "lowtension-mag-output-change")
CHARGE = ("Read pull, volts and speed before: the magneto is compared with itself.",
          "Charge it assembled, armature in place; like poles together.",
          "Bridge the poles with iron before a magnet comes off.", "Same meter, same setting, same speed afterwards.")  # fmt: skip
CAUTIONS = ("C048", "C032")
NO_BATTERY = "Never feed a battery into a low-tension magneto."


def propose(case: Case) -> Iterator[Remedy]:
    """Clean and ground; recharge; new magnets. Volts are compared at one speed only."""
    if case.what.id in ("magneto-armature-rub", "magneto-armature-pole-clearance"):
        if case.item.verdict in ("beyond_limit", "unusual") :
            yield case.remedy("bushes-first", "Renew the armature's bushes and true the shaft before anything else", "machine",
                              steps=("Bushes first: a rub is not filed away.",
                              "Read the clearance at both ends."), tools=("press", "reamer"),
                              after=("magneto-armature-rub", "magneto-bearing-wear", *AFTER), cautions=CAUTIONS,
                              risk="Poles filed back lose spark for good.", grade="common-practice")  # fmt: skip
        return
    if case.side != "low" or case.value is None:
        return
    short = [] if isinstance(case.low, Open) else [("short of the usual by", case.low - case.value, case.unit)]
    note = _compare(case, case.value)
    asks = () if note else ("armature speed of this reading", "volts and speed before")
    yield case.remedy("contacts-first", "Clean contacts and ground faces, and read it again at the same speed", "free", reversible=True,
                      steps=("Bare metal at bolt holes and mounting face.",
                      "Same meter on the same setting."), tools=("fine file", "multimeter"),
                      after=(*AFTER, "magneto-ground-path-resistance"), cautions=CAUTIONS, risk="None.",
                      note=note, asks=asks)  # fmt: skip
    amount: list[Amount] = list(short)
    yield case.remedy("recharge", "Recharge the magnets with the magneto assembled, then compare it with itself at one speed", "machine",
                      amount=amount, steps=(*CHARGE, NO_BATTERY),
                      tools=("magnet charger", "spring scale and keeper"), after=AFTER, cautions=CAUTIONS,
                      risk="Charged the wrong way round the magnets fight each other.",
                      asks=("pull and volts before",), grade="common-practice")  # fmt: skip
    yield case.remedy("new-magnets", "New magnets, only where a fresh charge does not hold", "part", steps=CHARGE,
                      tools=("magnet charger",), after=AFTER, cautions=CAUTIONS,
                      risk="Compare at equal speed: faster turning alone reads higher.", grade="common-practice")  # fmt: skip


def at_speed(volts: Fraction, speed: Fraction, common: Fraction) -> Fraction:
    """Open-circuit volts of a rotary magneto brought to a common speed (same unit of speed).

    >>> float(at_speed(Fraction("1.885"), Fraction(300), Fraction(900)))
    5.655
    """
    return volts * common / speed


def _compare(case: Case, value: Fraction) -> str:
    """What the reading says of the magneto against itself, at the speed before; nothing where the springs set the speed."""
    facts = case.facts.magneto
    before, speed0, speed1 = facts.before_voltage, facts.before_speed, facts.speed
    if case.unit.dimension != "voltage" or before is None or before.unit.dimension != "voltage" or before.exact <= 0:
        return ""
    if facts.oscillating or case.has("oscillating-magneto") is True:
        ratio = value / before.to(case.unit)
        return f"Against itself before: {float(ratio):.2f} times; its springs set the speed, so no correction"
    if speed0 is None or speed1 is None or speed0.canonical <= 0 or speed1.canonical <= 0:
        return ""
    rpm = UNITS["rpm"]
    now = at_speed(value, speed1.to(rpm), speed0.to(rpm))
    return f"At the speed before it would read {case.say(now)}, which is {float(now / before.to(case.unit)):.2f} times what it gave"


FAMILY = Family("magnetos", WEAK | {"magneto-armature-rub", "magneto-armature-pole-clearance"}, propose)
