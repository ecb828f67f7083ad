"""Lists of quantities beside single ones, and a good set of inputs for each calculation of this half."""

from __future__ import annotations

from collections.abc import Mapping

from tests.calculations.b_support import told

from halfthou_service.calculations import CALCULATIONS, calculate
from halfthou_service.calculations.frame import Answer, Given, Input
from halfthou_specdb.quantity import Quantity

FILM = {"journal_diameter": "2 in", "bearing_length": "3 in", "diametral_clearance": "3 thou", "speed": "450 rpm", "load": "600 lbf",
        "viscosity": "60 mPa.s"}  # fmt: skip
BUSH = {"fit_diameter": "1.5 in", "outer_diameter": "3 in", "interference": "3 thou", "inner_bore": "1.25 in", "inner_modulus": "16000000 psi",
        "outer_modulus": "15000000 psi"}  # fmt: skip

GOOD: dict[str, dict[str, str]] = {
    "journal-film": {**FILM, "journal_roughness": "16 uin", "bearing_roughness": "32 uin"},
    "bearing-heat-balance": {
        "journal_diameter": "2 in", "bearing_length": "3 in", "diametral_clearance": "3 thou", "speed": "450 rpm", "shedding_area": "60 in2",
        "viscosity_at_40": "100 cSt", "viscosity_at_100": "11 cSt"},
    "thermal-clearance": {
        "diameter": "4.5 in", "outer_expansion": "11 um/m/K", "inner_expansion": "11 um/m/K", "outer_temperature": "210 degF",
        "inner_temperature": "300 degF", "cold_clearance": "4 thou"},
    "ring-gap-closure": {"bore": "4.5 in", "gap": "14 thou", "ring_expansion": "11 um/m/K", "ring_temperature": "350 degF"},
    "press-fit": BUSH,
    "shrink-fit": {"fit_diameter": "3 in", "interference": "3 thou", "expansion": "11.7 um/m/K", "assembly_gap": "2 thou"},
    "flywheel-rim": {"diameter": "24 in", "speed": "450 rpm", "construction": "one-piece-sound"},
    "flywheel-energy": {"speed": "450 rpm", "mass": "200 lb", "radius_of_gyration": "10 in", "power": "5 hp"},
    "key-strength": {"shaft_diameter": "1.5 in", "key_width": "0.375 in", "key_height": "0.375 in", "shear_strength": "30000 psi",
                     "crushing_strength": "50000 psi", "safety_factor": "4 ratio", "torque": "400 lbf.ft", "key_length": "3 in"},
    "helical-spring": {"wire": "0.1 in", "mean_diameter": "0.8 in", "active_coils": "8 count", "shear_modulus": "11500000 psi",
                       "force": "10 lbf", "valve_diameter": "1.5 in"},
    "shim-pack": {"pack_now": "0.030 in", "clearance_now": "7 thou", "least_clearance": "2 thou", "most_clearance": "4 thou",
                  "stock": "0.002 in, 0.003 in, 0.005 in, 0.010 in, 0.015 in"},
    "rebore": {"standard_bore": "4.5 in", "largest_bore": "4.512 in", "sizes": "20 thou, 30 thou, 40 thou"},
    "regrind": {"standard_journal": "2 in", "smallest_journal": "1.994 in", "sizes": "10 thou, 20 thou, 30 thou"},
    "gear-backlash": {"spread": "5 thou", "centre_distance": "6 in", "diametral_pitch": "8 tpi"},
    "valve-seat": {"seat_outer": "1.5 in", "seat_inner": "1.36 in", "axial_cut": "10 thou", "port_diameter": "1.36 in"},
    "fastener-tightening": {"joint": "marked-steel-bolt-and-nut", "diameter": "0.5 in", "threads": "13 tpi", "proof_strength": "85000 psi"},
    "contact-resistance": {"supply": "6 V", "circuit_resistance": "1 ohm", "contact": "0.1 ohm"},
}  # fmt: skip
"""Inputs that are answered, by calculation."""


def read(item: Input | None, text: str) -> Given:
    """One input from text: a word, a quantity, or a list of them with commas."""
    if item is not None and item.dimension == "choice":
        return text
    if item is not None and item.many:
        return [quantity(part.strip()) for part in text.split(",")]
    return quantity(text)


def quantity(text: str) -> Quantity:
    """A number, a blank and a unit token, nothing else."""
    digits, _, unit = text.partition(" ")
    return Quantity.of(digits, unit)


def given(calculation: str, texts: Mapping[str, str]) -> dict[str, Given]:
    items = {item.name: item for item in CALCULATIONS[calculation].inputs}
    return {name: read(items.get(name), text) for name, text in texts.items()}


def ask(calculation: str, texts: Mapping[str, str], doubts: Mapping[str, str] | None = None, system: str = "inch") -> Answer:
    uncertain = {name: quantity(text) for name, text in (doubts or {}).items()}
    return calculate(CALCULATIONS[calculation], given(calculation, texts), uncertain, system)


def number(calculation: str, texts: Mapping[str, str], name: str) -> float:
    """One output as an SI float."""
    return told(ask(calculation, texts), name)


def value(answer: Answer, name: str) -> object:
    return next(o.value for o in answer.outputs if o.name == name)


def codes(answer: Answer) -> set[str]:
    return {flag.code for flag in answer.flags}
