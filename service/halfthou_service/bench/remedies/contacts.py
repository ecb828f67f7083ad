"""Resistance in a low-tension circuit: what it may be for the current wanted, and bright metal to get there."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from halfthou_specdb.rules import Open

from .case import Case, Family
from .model import Amount, Remedy

PLACES = frozenset({"igniter-contact-resistance", "magneto-ground-path-resistance", "ignition-circuit-resistance",
                    "magneto-point-resistance", "coil-current",
                    "battery-voltage-load", "ignition-ground-faces", "ignition-terminal-condition", "paint-ground-faces"})  # fmt: skip
GROUND = frozenset({"magneto-ground-path-resistance", "ignition-circuit-resistance", "ignition-ground-faces", "paint-ground-faces"})
INSULATION = frozenset({"igniter-insulation", "condenser-leakage"})
STEPS = ("Disconnect before an ohmmeter is used.",
         "Bolt holes, washer seats and mounting faces bare and bright; a smear of grease keeps them so.",
         "Measure the drop with the current flowing rather than the ohms.")  # fmt: skip
CAUTIONS = ("C010", "C035")


def propose(case: Case) -> Iterator[Remedy]:
    """Bare metal, with the ohms that may remain; mica for a leak."""
    if case.what.id in INSULATION:
        yield from _insulation(case)
        return
    finding = case.what.value_kind == "finding"
    if not finding and case.side != ("low" if case.what.id in ("coil-current",
                                                               "battery-voltage-load") else "high") and case.item.verdict != "not_judged":
        return
    if finding and case.item.verdict not in ("beyond_limit", "undecided", "stop"):
        return
    amount: list[Amount] = []
    most = most_contact(case)
    note = ""
    if most is not None and most < 0:
        note = "The supply cannot push the current wanted even through a perfect contact"
    elif most is not None:
        amount.append(("may remain for the current wanted", most, case.unit))
    if case.unit.dimension == "resistance" and case.value is not None and not isinstance(case.high, Open) and case.side == "high":
        amount.append(("bring it down by at least", case.value - case.high, case.unit))
    asks = () if most is not None else ("battery volts", "coil resistance", "current wanted")
    after = tuple(dict.fromkeys((case.what.id, "magneto-ground-path-resistance")))
    yield case.remedy("bright-metal", "Dress and bare the contact faces, tighten, and measure again", "hand", amount=amount, steps=STEPS,
                      tools=("fine file", "multimeter"),
                      after=after, cautions=CAUTIONS, asks=asks, note=note, risk="Points filed hollow pit at once: keep them flat.",
                      grade="common-practice")  # fmt: skip
    if case.what.id not in GROUND:
        return
    yield case.remedy("ground-wire", "Run a ground wire of its own from base to engine", "part",
                      steps=("Stranded wire on its own bolt, lock washer, bright faces.",),
                      after=after, risk="None.", grade="common-practice")  # fmt: skip


def most_contact(case: Case) -> Fraction | None:
    """Ohms of poor contact that still let the wanted current through, exact: supply over current less the rest of the circuit."""
    facts = case.facts.circuit
    if facts.supply is None or facts.resistance is None or facts.wanted_current is None or facts.wanted_current.canonical <= 0:
        return None
    if case.unit.dimension != "resistance":
        return None
    inside = Fraction(0) if facts.source_resistance is None else facts.source_resistance.canonical
    return (facts.supply.canonical / facts.wanted_current.canonical - facts.resistance.canonical - inside) / case.unit.factor


def _insulation(case: Case) -> Iterator[Remedy]:
    if case.side != "low" or case.value is None or isinstance(case.low, Open):
        return
    amount: list[Amount] = [("short by", case.low - case.value, case.unit)]
    if case.what.id == "igniter-insulation":
        yield case.remedy("clean-and-dry", "Clean the mica of soot and oil, bake it dry, and read again", "hand", amount=amount,
                          tools=("insulation meter",),
                          steps=("High-flash solvent, never gasoline.", "Warm it dry away from anything that held fuel."),
                          after=("igniter-insulation", "igniter-snap-spark"),
                          cautions=("C013", "C014", "C034"), risk="Mica split by a knife leaks for good.", grade="common-practice")  # fmt: skip
        yield case.remedy("new-mica", "New mica tube and washers", "part",
                          steps=("Stack the washers as found, thin ones last.", "Try it for leaks at the shaft."),
                          after=("igniter-insulation", "igniter-gas-leak"), risk="Clamped too hard the mica splits.",
                          grade="common-practice")  # fmt: skip
        return
    yield case.remedy("new-condenser", "Fit a new film condenser of the same value", "part", amount=amount,
                      steps=("Discharge the old one first.",),
                      after=(case.what.id, "capacitor-value"), cautions=("C034",), risk="A charged condenser bites.",
                      grade="common-practice")  # fmt: skip


FAMILY = Family("contacts", PLACES | INSULATION, propose)
