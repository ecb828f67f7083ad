"""Pins and bushes: ease by reaming, or press a new bush and ream it; how far its bore closes in the press."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from halfthou_specdb.rules import Open

from ...calculations.frame import CalculationError
from ...calculations.press_fit import press_fit
from .case import Case, Family
from .model import Amount, Remedy

BRONZE, BRONZE_SQUEEZE = 16.0e6, 0.34
IRON, IRON_SQUEEZE = 15.0e6, 0.26
"""Stiffness [psi] and Poisson's ratio of a bronze bush in a grey-iron boss, from memory."""
PSI = 6894.757293168
REAM_LEFT = Fraction(3, 1000)
"""Left in the bore for the reamer after pressing, on the diameter [in]: our judgement."""
INCH_M = Fraction("0.0254")
CLOSES = "its bore closes by"


@dataclass(frozen=True, slots=True)
class Joint:
    """One pin in one hole: what to call them, and whether the bush is pressed into a boss of known make."""

    hole: str
    pin: str
    pin_size: str = ""
    after: tuple[str, ...] = ()
    pressed: bool = True


JOINTS = {
    "wrist-pin-bush-clearance": Joint("small-end bush", "wrist pin", "wrist-pin-diameter",
                                      ("wrist-pin-bush-clearance", "wrist-pin-oil-path")),
    "rocker-pin-clearance": Joint("rocker bush", "rocker pin"),
    "cam-roller-fit": Joint("roller bore", "roller pin", pressed=False),
    "camshaft-bearing-clearance": Joint("cam gear bush", "cam stud"),
    "cam-follower-guide-clearance": Joint("follower guide", "follower"),
    "governor-weight-pin-wear": Joint("bush for the weight", "weight pin", "", ("governor-weight-pin-wear", "governor-overspeed-travel")),
    "wrist-pin-boss-fit": Joint("bush for the piston boss", "wrist pin", "wrist-pin-diameter"),
    "igniter-shaft-clearance": Joint("igniter bush", "igniter shaft", "",
                                     ("igniter-shaft-clearance", "igniter-gas-leak", "igniter-timing")),
    "magneto-bearing-wear": Joint("magneto bush", "armature shaft", "", ("magneto-bearing-wear", "magneto-armature-rub")),
    "pump-plunger-clearance": Joint("pump barrel", "plunger", "", ("pump-plunger-clearance", "fuel-pump-delivery"), pressed=False),
}  # fmt: skip
PIN_WORN = frozenset({"wrist-pin-wear", "wrist-pin-out-of-round"})


def propose(case: Case) -> Iterator[Remedy]:
    """Ease a tight joint; bush or an oversize pin for a loose one; a new pin for one worn out of round."""
    if case.what.id in PIN_WORN:
        yield from _new_pin(case)
        return
    joint = JOINTS[case.what.id]
    after = joint.after or (case.what.id,)
    if case.side == "low" and case.value is not None and case.aim is not None:
        hole = case.what.id != "pump-plunger-clearance"
        title = f"Ream or hone the {joint.hole} in place, a little at a time" if hole else "Polish the plunger, not the barrel"
        yield case.remedy("ease", title, "hand", amount=[("on the diameter", case.aim - case.value, case.unit)], predicted=case.aim,
                          after=after,
                          tools=("adjustable reamer or hone", "small-hole gauge", "micrometer"),
                          risk="What is reamed off is gone; ream in line.",
                          steps=("Clean gum and burrs off and read again first.", "Half a thou at a time; oil hole clear.",
                                 "Try the pin oiled."))  # fmt: skip
    elif case.side == "high" and case.value is not None and case.aim is not None:
        yield from _loose(case, joint, case.value, case.aim, after)
    elif case.item.verdict == "not_judged" and case.value is not None:
        yield case.remedy("bush-or-pin", f"If it is loose, bush it or make a larger {joint.pin}", "machine", after=after,
                          steps=_pressing(joint),
                          asks=("clearance wanted; no figure is on file",), risk="Line is lost if a bush is reamed out of true.")  # fmt: skip


def _new_pin(case: Case) -> Iterator[Remedy]:
    if case.side != "high" or case.aim is None:
        return
    nominal = case.dimension("wrist-pin")
    amount: list[Amount] = [] if nominal is None else [("pin size when new", nominal, case.unit)]
    yield case.remedy("new-pin", "Make or find a new pin, hardened and ground, and fit the bush to it", "part", amount=amount,
                      predicted=case.aim,
                      steps=("Measure the bosses first: they set the pin.", "Ream the bush to the new pin."),
                      tools=("micrometer", "reamer"),
                      after=(case.what.id, "wrist-pin-bush-clearance", "wrist-pin-boss-fit"), risk="A soft pin steps again soon.")  # fmt: skip


def _loose(case: Case, joint: Joint, value: Fraction, aim: Fraction, after: tuple[str, ...]) -> Iterator[Remedy]:
    pin, note = case.told(case.facts.bush.pin), "Settle first which pin it is for"
    if pin is None and joint.pin_size:
        pins, most = case.measured(joint.pin_size, anywhere=True), case.limit("wrist-pin-wear")
        pin = max(pins, default=None)
        if pins and most is not None and not isinstance(most.high, Open) and max(pins) - min(pins) > most.high:
            note = f"The pin is stepped by {case.say(max(pins) - min(pins))}: a new pin first, and the bush to it"
    over: list[Amount] = [("larger than the old pin where it runs, by", value - aim, case.unit)]
    if joint.pressed:
        amount: list[Amount] = [] if pin is None else [("ream the new bush to", pin + aim, case.unit)]
        closing = _closing(case, pin, aim)
        amount += closing
        facts = case.facts.bush
        if any(name == CLOSES for name, _, _ in closing):
            asks: tuple[str, ...] = () if facts.boss_modulus is not None else ("what the boss is made of",)
            note += "" if facts.boss_modulus is not None else ". The boss is taken as grey iron; in a steel rod the bore closes more"
        else:
            asks = tuple(fact for fact, missing in ((f"{joint.pin} as measured", pin is None), ("outside of the bush", facts.outside is None),
                                                    ("outside of the boss", facts.boss_outside is None)) if missing)  # fmt: skip
        yield case.remedy("bush", f"Press in a new {joint.hole} and ream it in line", "machine",
                          amount=amount or [("clearance to ream for", aim, case.unit)],
                          predicted=aim, steps=_pressing(joint), tools=("press", "reamer", "small-hole gauge"), after=after, asks=asks,
                          risk="Ream after pressing: the bore closes. A thin boss may split.",
                          note=note)  # fmt: skip
    yield case.remedy("larger-pin", f"Ream the hole round and fit a larger {joint.pin}", "part", amount=over, predicted=aim, after=after,
                      steps=("Ream only until it is round.", "Make the pin to the hole as measured."), tools=("reamer", "micrometer"),
                      risk="The hole is larger for good.", grade="common-practice")  # fmt: skip


def _pressing(joint: Joint) -> tuple[str, ...]:
    return (f"Measure the {joint.pin} first, where it runs.", "Drill the oil hole before pressing; deburr it after.",
            "Guard the press: a slipping bush or a splitting boss flies.", "Ream in place and in line; then try the pin.")  # fmt: skip


def bore_closure(outside: float, boss: float, bore: float, interference: float, modulus: float = BRONZE * PSI,
                 boss_modulus: float = IRON * PSI, squeeze: tuple[float, float] = (BRONZE_SQUEEZE, IRON_SQUEEZE)) -> float:  # fmt: skip
    """How far the bore of a bush closes when pressed [m]; sizes in metres, moduli in pascals; Poisson's ratio of bush and boss.

    Raises:
        CalculationError: sizes that do not go one into the other.

    >>> i = 0.0254
    >>> round(bore_closure(1.5 * i, 3.0 * i, 1.25 * i, 0.003 * i) / i, 5)
    0.00225
    """
    if bore <= 0.0:
        raise CalculationError("bore", "is nothing: the pin is smaller than what is left for the reamer", "impossible")
    told = press_fit(outside, boss, interference, modulus, boss_modulus, *squeeze, bore).values["bore_closure"]
    assert isinstance(told, float)
    return told


def _closing(case: Case, pin: Fraction | None, aim: Fraction) -> list[Amount]:
    """Interference, closing of the bore, and what to bore the bush to before pressing."""
    facts, fit = case.facts.bush, case.limit("small-end-bush-interference")
    grip = case.told(facts.interference)
    if grip is None and case.what.id == "wrist-pin-bush-clearance" and fit is not None and not isinstance(fit.low,
                                                                                                          Open) and not isinstance(fit.high,
                                                                                                                                   Open):
        grip = (fit.low + fit.high) / 2
    outside, boss = case.told(facts.outside), case.told(facts.boss_outside)
    amount: list[Amount] = [] if grip is None else [("bush over its hole", grip, case.unit)]
    if grip is None or outside is None or boss is None or pin is None:
        return amount
    metre, finish = case.unit.factor, pin + aim
    left = REAM_LEFT * INCH_M / metre
    try:
        closes = bore_closure(float(outside * metre), float(boss * metre), float((finish - left) * metre), float(grip * metre),
                              float(facts.modulus.canonical) if facts.modulus else BRONZE * PSI,
                              float(facts.boss_modulus.canonical) if facts.boss_modulus else IRON * PSI)  # fmt: skip
    except CalculationError:
        return amount
    closure = Fraction(round(closes * 10**9), 10**9) / metre
    return [*amount, (CLOSES, closure, case.unit), ("left for the reamer", left, case.unit),
            ("bore it before pressing to", finish - left + closure, case.unit)]  # fmt: skip


FAMILY = Family("bushes", frozenset({*JOINTS, *PIN_WORN}), propose)
