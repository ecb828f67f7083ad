"""Remedies against worked examples, typed again from their sources: shims, rebores, undersizes, seats, press fits, rings, gears."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest
from tests.remedies.shop import SIMPLE, after, amount, ask, bench, known, q, remedy

from halfthou_service.bench.inline import owners_limit
from halfthou_service.bench.remedies import Cylinder, Journal, RemedyFacts, Ring, Shims, Valve
from halfthou_service.bench.remedies._packs import from_stock
from halfthou_service.bench.remedies.bushes import bore_closure
from halfthou_service.bench.remedies.gears import spread_for
from halfthou_service.bench.remedies.rings import gap_growth
from halfthou_service.calculations.ring_gap_closure import ring_gap_closure
from halfthou_specdb.rules import NONE_ON_FILE
from halfthou_specdb.units import UNITS

INCH = UNITS["in"]
STOCK = ("0.002 in", "0.003 in", "0.005 in", "0.010 in", "0.015 in")
F = Fraction


def own(characteristic: str, low: str, high: str, unit: str = "in") -> object:
    """An owner's limit, to set the wanted clearance an example states."""
    ends = {"fit_low": F(low), "fit_high": F(high), "wear_low": NONE_ON_FILE, "wear_high": NONE_ON_FILE}
    from tests.remedies.shop import table

    return owners_limit(f"own-{characteristic}", table().characteristics[characteristic], UNITS[unit], ends)


# -- shims -----------------------------------------------------------------------------------------------------------


def test_vertical_clearance_falls_by_what_comes_out_and_side_to_side_hardly() -> None:
    """Own geometry (derived): 2 in bore, 0.004 in out of both sides: -0.004 in up and down, -4e-6 in across (bore formula 2 R (1 - ...))."""
    shop = bench(sizes={"crankpin": "2 in"}, overlay=(own("rod-bearing-running-clearance", "0.002", "0.004"),))
    _, found = ask("rod-bearing-running-clearance", "7 thou", shop=shop)
    shim = remedy(found, "shim-pack")
    assert amount(shim, "each side") == 4
    assert after(shim) == 3
    assert amount(shim, "side to side it changes by", "in") == pytest.approx(F("0.000004"), rel=0.01)


def test_pack_selection() -> None:
    """Own integer selection (derived): pack 0.030, clearance 0.007, wanted 0.003, stock .002 .003 .005 .010 .015: 0.026, four leaves."""
    shop = bench(overlay=(own("rod-bearing-running-clearance", "0.002", "0.004"),))
    facts = RemedyFacts(shims=(Shims(pack_left=q("0.030 in"), pack_right=q("0.030 in")),), shim_stock=tuple(map(q, STOCK)))
    _, found = ask("rod-bearing-running-clearance", "0.007 in", facts, shop)
    shim = remedy(found, "shim-pack")
    assert amount(shim, "pack left on both sides", "in") == F("0.026")
    assert shim.text.count(" + ") == 3
    assert after(shim, "in") == F("0.003")


def test_trial_shim_less_lead_less_preload() -> None:
    """A pump service sheet, p. 52, steps a to d (rule published, reading own): trial 0.020, lead 0.009, preload 0.003: shim 0.008 in."""
    trial, lead, preload = F("0.020"), F("0.009"), F("0.003")
    kept = from_stock([F("0.001"), F("0.008")], 1, trial - lead - preload, trial - lead - preload, trial - lead - preload)
    assert kept is not None
    assert kept.height == F("0.008")


def test_unequal_packs_move_the_centre_by_half() -> None:
    """Own geometry (derived): 0.002 in out of one side only: the centre moves 0.001 in."""
    _, found = ask("rod-shim-side-difference", "0.0025 in")
    alike = remedy(found, "packs-alike")
    assert amount(alike, "the clearance falls by", "in") == F("0.00125")
    assert after(alike) == 0


# -- bores and journals ----------------------------------------------------------------------------------------------


def test_bore_from_piston_clearance_and_honing_allowance() -> None:
    """Service manual of a light car, honing or reboring, steps 3 and 4, D = A + B - C (formula published, piston own): 78.47, 78.49 mm."""
    shop = bench(sizes={"bore": "78 mm"}, overlay=(own("piston-to-bore-clearance", "0.024", "0.032", "mm"),
                                                   own("cylinder-out-of-round", "0", "0.02", "mm")))  # fmt: skip
    facts = RemedyFacts(known(cylinder_bore_diameter="78.3 mm"), cylinder=Cylinder(
        piston_oversizes=(q("0.5 mm"),), piston=q("78.46 mm"), honing_allowance=q("0.02 mm")))  # fmt: skip
    _, found = ask("cylinder-out-of-round", "0.1 mm", facts, shop)
    rebore = remedy(found, "rebore")
    assert amount(rebore, "finished bore for the piston in hand", "mm") == F("78.49")
    assert amount(rebore, "bore to, before the hone", "mm") == F("78.47")


def test_next_oversize_that_cleans() -> None:
    """Motor-cycle instruction book (limits and sizes published, wear own): 2.913 in worn 0.012, sizes 0.020 and 0.040: 0.020, 2.933 in."""
    shop = bench(sizes={"bore": "2.913 in"}, overlay=(own("cylinder-out-of-round", "0", "0.001"),))
    facts = RemedyFacts(known(cylinder_bore_diameter="2.913 in; 2.925 in"), cylinder=Cylinder((q("20 thou"), q("40 thou"))))
    _, found = ask("cylinder-out-of-round", "0.012 in", facts, shop)
    rebore = remedy(found, "rebore")
    assert amount(rebore, "oversize", "in") == F("0.020")
    assert amount(rebore, "nominal bore", "in") == F("2.933")


def test_a_size_that_did_not_clean_is_stepped_over() -> None:
    """Magazine account of a rebuild (published): 0.020 did not clean the scoring, 0.030 did."""
    shop = bench(sizes={"bore": "3 in"}, overlay=(own("cylinder-out-of-round", "0", "0.001"),))
    sizes = (q("20 thou"), q("30 thou"), q("40 thou"))
    facts = RemedyFacts(known(cylinder_bore_diameter="3.004 in"), cylinder=Cylinder(sizes, tried=q("20 thou")))
    _, found = ask("cylinder-out-of-round", "0.004 in", facts, shop)
    assert amount(remedy(found, "rebore"), "oversize", "in") == F("0.030")


def test_next_undersize() -> None:
    """Own case (derived): 2.000 in, 1.994 smallest, offset 0.001, margin 0.001, sizes .010 .020 .030: cleans at 1.991, takes 0.010."""
    shop = bench(features=frozenset({"shell-bearings", "drip-oiled"}), sizes={"crankpin": "2 in"})
    sizes = (q("10 thou"), q("20 thou"), q("30 thou"))
    facts = RemedyFacts(known(crankpin_diameter="1.998 in; 1.994 in"), journal=Journal(sizes, axis_offset=q("1 thou")))
    _, found = ask("crankpin-out-of-round", "4 thou", facts, shop, place="crankpin")
    ground = remedy(found, "grind-clean")
    assert amount(ground, "grind to", "in") == F("1.990")
    assert amount(ground, "under the size when new by", "in") == F("0.010")
    poured = bench(sizes={"crankpin": "2 in"})
    free = RemedyFacts(known(crankpin_diameter="1.998 in; 1.994 in"), journal=Journal(axis_offset=q("1 thou")))
    _, found = ask("crankpin-out-of-round", "4 thou", free, poured, place="crankpin")
    assert amount(remedy(found, "grind-clean"), "grind to", "in") == F("1.991")


# -- seats, press fits, rings, gears ---------------------------------------------------------------------------------


def test_a_cut_of_ten_thou_at_45_degrees() -> None:
    """Own geometry (derived): 0.010 in down sinks the valve 0.010, the band grows 0.01414; 0.00707 in square to the face."""
    facts = RemedyFacts(valve=Valve(pit_depth=q("0.00707 in")))
    _, found = ask("valve-seat-contact", "pitted through", facts, place="exhaust")
    cut = remedy(found, "recut-seat")
    assert amount(cut, "cut straight down", "in") == pytest.approx(0.010, rel=2e-3)
    assert amount(cut, "the valve sinks and its tip rises by", "in") == pytest.approx(0.010, rel=2e-3)
    assert amount(cut, "the band grows by", "in") == pytest.approx(0.01414, rel=2e-3)
    shop = bench(overlay=(own("valve-seat-width", "0.05414", "0.07414"),))
    _, found = ask("valve-seat-width", "0.05 in", None, shop, place="exhaust")
    wide = remedy(found, "widen-seat")
    grown = after(wide, "in") - F("0.05")
    assert amount(wide, "cut straight down", "in") == pytest.approx(float(grown) / math.sqrt(2), rel=2e-3)


def test_band_and_its_diameters() -> None:
    """Own geometry (derived): band between 1.5 and 1.3586 in at 45 degrees is 0.1 in wide."""
    shop = bench(overlay=(own("valve-seat-width", "0.04", "0.08"),))
    _, found = ask("valve-seat-width", "0.16 in", None, shop, place="exhaust")
    narrow = remedy(found, "narrow-seat")
    off = amount(narrow, "off the band", "in")
    edges = amount(narrow, "outer edge smaller by", "in") + amount(narrow, "inner edge larger by", "in")
    assert off == F("0.1")
    assert edges == pytest.approx(1.5 - 1.3586, rel=3e-3)


def test_a_larger_valve_stands_as_high_as_its_mate() -> None:
    """Own geometry (derived): at 45 degrees a head 0.040 in larger stands 0.020 in higher (outer edge 2 d / tan b)."""
    facts = RemedyFacts(valve=Valve(pit_depth=q("0.00707 in"), sunk_below_other=q("0.010 in")))
    _, found = ask("valve-seat-contact", "pitted through", facts, place="exhaust")
    assert amount(remedy(found, "larger-valve"), "head larger by", "in") == pytest.approx(0.040, rel=2e-3)


def test_bore_of_a_pressed_bush_closes() -> None:
    """Own worked case (derived): 1.25 x 1.5 in bronze bush in a 3 in iron boss, 0.003 in interference: the bore closes 0.00225 in."""
    i = 0.0254
    assert bore_closure(1.5 * i, 3 * i, 1.25 * i, 0.003 * i) / i == pytest.approx(0.00225, rel=0.01)


def test_bore_of_a_steel_ring_closes() -> None:
    """A. C. Ugural and S. K. Fenster, ex. 8.3, p. 243 (quoted): 300/400/500 mm, 0.2 mm: hoop at the bore -56.23 MPa, E 200 GPa."""
    closes = bore_closure(0.4, 0.5, 0.3, 0.0002, 200e9, 200e9, (0.3, 0.3))
    assert closes == pytest.approx(56.23e6 * 0.3 / 200e9, rel=3e-3)


def test_bush_is_bored_before_pressing_for_the_closing() -> None:
    """The same bush as a remedy: what is bored, less what closes, plus what is reamed, is the pin and its clearance (derived)."""
    from halfthou_service.bench.remedies import Bush

    facts = RemedyFacts(bush=Bush(outside=q("1.5 in"), boss_outside=q("3 in"), interference=q("3 thou"), pin=q("1.25 in")))
    _, found = ask("wrist-pin-bush-clearance", "6.6 thou", facts, bench(sizes={"wrist-pin": "1.25 in"}))
    bush = remedy(found, "bush")
    closing = amount(bush, "its bore closes by")
    assert closing == pytest.approx(2.25, rel=0.01)
    finish = amount(bush, "bore it before pressing to") - closing + amount(bush, "left for the reamer")
    assert finish == amount(bush, "ream the new bush to") == 1250 + after(bush)


def test_hot_ring() -> None:
    """Forum thread on ring end gaps (published): 9.625 in bore, 0.136 in gap, 8.9e-5 per degF, 230 degF: grows 0.616 in and butts."""
    told = ring_gap_closure(9.625 * 0.0254, 0.136 * 0.0254, 8.9e-5 * 1.8, 293.15 + 230 / 1.8)
    assert float(told.values["growth"] or 0) / 0.0254 == pytest.approx(0.616, rel=2e-3)  # type: ignore[arg-type]
    assert told.values["butts"] is True
    facts = RemedyFacts(ring=Ring(temperature=q("350 degF"), bore_temperature=q("212 degF")))
    _, found = ask("ring-end-gap", "0.010 in", facts, bench(rules=SIMPLE), place="ring 1")
    filed = remedy(found, "file-ring-ends")
    ring, bore = (350 - 68) / 1.8, (212 - 68) / 1.8
    expected = (math.pi * 5.25 - float(after(filed, "in"))) * 11e-6 * ring - math.pi * 5.25 * 11e-6 * bore
    assert amount(filed, "when hot it closes by", "in") == pytest.approx(expected, rel=1e-4)


def test_gap_grows_by_pi_times_the_wear() -> None:
    """Geometry (derived): the demo's ring stands 0.082 in at the top and 0.049 below, which is 0.0105 in of bore."""
    assert gap_growth(F("0.0105")) == pytest.approx(0.082 - 0.049, rel=0.01)


def test_backlash_by_centres() -> None:
    """Relation 2 da tan(phi), engineering calculator page (published): 0.005 in at 14.5 degrees is 0.00259 in."""
    assert spread_for(F("0.00259"), math.radians(14.5)) == pytest.approx(0.005, rel=2e-3)
    _, found = ask("timing-gear-backlash", "0.034 in")
    moved = remedy(found, "move-centres")
    gained = F("34") - after(moved)
    assert amount(moved, "centres closer by") == pytest.approx(float(gained) / (2 * math.tan(math.radians(14.5))), rel=1e-6)
