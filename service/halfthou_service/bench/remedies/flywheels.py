"""Wheels and keys: a sound wheel only. Keys are filed or made new, a loose bore is sleeved, speed is brought down."""

from __future__ import annotations

import math
from collections.abc import Iterator
from fractions import Fraction

from halfthou_specdb.rules import Open
from halfthou_specdb.units import UNITS

from .case import Case, Family
from .model import Amount, Remedy

PI = Fraction(math.pi).limit_denominator(10**12)
CRACK_FIRST = "Dye the hub and the keyway corners first: nothing here is for a cracked wheel."
KEY_STEPS = (CRACK_FIRST, "Draw the old key with a straight-line puller, never by hitting the rim.",
             "Blue the key, try it, file the marks, until blue shows from end to end.",
             "Scribe a line across key and hub; look at it after the first short run, then daily.")  # fmt: skip
AFTER = ("flywheel-hub-crack", "flywheel-key-contact", "flywheel-key-recheck")
CAUTIONS = ("C052", "C053", "C028")
RISK = "A wheel that walks off its shaft kills. A key holds what fits already; it never tightens a loose bore."
FAMILY_OF = frozenset({"flywheel-hub-crack", "flywheel-construction", "flywheel-bore-fit", "flywheel-key-taper", "flywheel-key-contact",
                       "flywheel-key-side-fit",
                       "flywheel-key-recheck", "flywheel-lateral-runout", "flywheel-radial-runout", "flywheel-rim-speed",
                       "flywheel-key-head-standoff"})  # fmt: skip


def propose(case: Case) -> Iterator[Remedy]:
    """By characteristic; cracked wheels never come here."""
    name, value, aim = case.what.id, case.value, case.aim
    if name == "flywheel-key-contact" and case.item.verdict == "stop":
        yield case.remedy("file-key", "File the key to blue, or make a new one; do not run it so", "hand", steps=KEY_STEPS,
                          tools=("marking blue", "file"), risk=RISK,
                          cautions=CAUTIONS, after=AFTER, grade="common-practice")  # fmt: skip
    elif name == "flywheel-key-recheck" and case.item.verdict == "stop":
        yield case.remedy("find-why", "Stop. Draw the key and find out why it does not hold: bore fit, side fit, taper", "hand",
                          steps=KEY_STEPS, risk=RISK,
                          tools=("puller", "marking blue"), cautions=CAUTIONS,
                          after=("flywheel-bore-fit", "flywheel-key-side-fit", "flywheel-key-taper", *AFTER),
                          grade="common-practice")  # fmt: skip
    elif value is None or aim is None or not case.side:
        return
    elif name == "flywheel-bore-fit":
        yield from _bore(case, value, aim)
    elif name == "flywheel-key-side-fit":
        yield case.remedy("wider-key", "Make a new key to the wider slot, stepped if the two slots differ", "part",
                          amount=[("wider than this key by", value - aim, case.unit)],
                          predicted=aim, steps=KEY_STEPS, tools=("micrometer", "file", "marking blue"), risk=RISK, cautions=CAUTIONS,
                          after=("flywheel-key-side-fit", *AFTER),
                          asks=("width of both slots at both ends",))  # fmt: skip
    elif name == "flywheel-key-taper":
        yield case.remedy("key-taper", "File the key to blue over its whole length, or make a new one to the seat",
                          "hand" if case.side == "high" else "part",
                          amount=[("taper to reach", aim, case.unit)], predicted=aim, steps=KEY_STEPS,
                          tools=("micrometer", "file", "marking blue"), risk=RISK,
                          cautions=CAUTIONS, after=("flywheel-key-taper", *AFTER), note="The hub's own taper decides; never shim a key")  # fmt: skip
    elif name in ("flywheel-lateral-runout", "flywheel-radial-runout"):
        yield case.remedy("refit-key", "Refit the key to blue and read the runout again before anything is cut", "hand", steps=KEY_STEPS,
                          risk=RISK, cautions=CAUTIONS,
                          tools=("dial indicator", "marking blue"), after=(name, "flywheel-bore-fit", "crankshaft-runout", *AFTER),
                          grade="common-practice",
                          note="Still out: check the bore on the shaft, then the shaft between V-blocks")  # fmt: skip
    elif name == "flywheel-rim-speed":
        yield from _slower(case)


def _bore(case: Case, value: Fraction, aim: Fraction) -> Iterator[Remedy]:
    if case.side == "low":
        yield case.remedy("ease-seat", "Ease the shaft seat with emery cloth until the wheel slides on by hand", "hand",
                          amount=[("on the diameter", aim - value, case.unit)],
                          predicted=aim, steps=(CRACK_FIRST, "Do not drive it."), tools=("emery cloth", "micrometer"),
                          risk="A wheel driven on splits its hub.",
                          cautions=CAUTIONS, after=("flywheel-bore-fit", *AFTER))  # fmt: skip
        return
    shaft = case.dimension("flywheel-bore")
    amount: list[Amount] = [("take up", value - aim, case.unit)]
    if shaft is not None:
        amount.append(("finished bore for a seat at its size when new", shaft + aim, case.unit))
    yield case.remedy("bore-and-sleeve", "Bore the hub and sleeve it to the shaft, or build up and grind the shaft seat", "machine",
                      amount=amount, predicted=aim,
                      steps=(CRACK_FIRST, "Measure the seat along and round.", "Cut the keyway through the sleeve; fit a new key to blue.",
                             "Dye it again afterwards."),
                      tools=("boring mill", "telescoping gauge and micrometer"), risk=f"{RISK} A sleeve thins the hub at the keyway.",
                      cautions=CAUTIONS,
                      after=("flywheel-bore-fit", "flywheel-key-side-fit", *AFTER),
                      asks=("seat as measured", "hub thickness over the keyway"))  # fmt: skip


def _slower(case: Case) -> Iterator[Remedy]:
    """The speed at which the rim stays under the line where care starts; whole revolutions, rounded down."""
    wheel = case.bench.engine.dimensions.get("flywheel")
    if wheel is None or isinstance(case.high, Open) or wheel.canonical <= 0:
        return
    per_second = case.high * case.unit.factor / (PI * wheel.canonical)
    rpm = Fraction(int(per_second * 60))
    rated = case.bench.engine.dimensions.get("rated-speed")
    if rated is not None:
        rpm = min(rpm, rated.to(UNITS["rpm"]))
    yield case.remedy("slow-down", "Stop. Free and mend the governor, and bring the speed down", "free", reversible=True,
                      amount=[("at most", rpm, UNITS["rpm"])],
                      predicted=PI * wheel.canonical * rpm / 60 / case.unit.factor,
                      steps=("Stand out of the plane of the wheels.", "Try weights, latch and pivots by hand, engine still.",
                                                                                  "Start again only with a way to kill the spark within reach."),
                      tools=("tachometer",),
                      risk="Twice the speed is four times the stress. Nothing done to a cast wheel lets it run faster.",
                      cautions=("C027", "C029", "C053"), after=("flywheel-rim-speed", "governed-speed", "governor-overspeed-travel",
                                                                "flywheel-hub-crack"))  # fmt: skip


FAMILY = Family("flywheels", FAMILY_OF, propose)
