"""One case at a time: what each family says of a reading, and by how much."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from tests.remedies.shop import after, amount, ask, bench, known, q, reading, remedy

from halfthou_service.bench.readings import InlineLimit
from halfthou_service.bench.remedies import (
    Bush,
    Circuit,
    Coating,
    Cylinder,
    Found,
    Gear,
    Journal,
    Magneto,
    RemedyFacts,
    Ring,
    Spring,
    Strainer,
    Valve,
    remedies_for,
)
from halfthou_service.bench.sheet import judge_one
from halfthou_specdb.resolve import Interval
from halfthou_specdb.rules import NONE_ON_FILE
from halfthou_specdb.units import UNITS

F = Fraction
BORES = "5.2621 in; 5.2574 in; 5.2511 in"


# -- journals ----------------------------------------------------------------------------------------------------


def test_a_trifle_is_lapped_more_is_ground() -> None:
    _, small = ask("crankpin-out-of-round", "0.9 thou", place="crankpin")
    assert small == ()  # usable: nothing irreversible is offered
    _, large = ask("crankpin-out-of-round", "4 thou", place="crankpin")
    ids = [r.id for r in large]
    assert "grind-clean" in ids
    assert "lap-true" not in ids
    ground = remedy(large, "grind-clean")
    assert amount(ground, "off the largest diameter at least") == 5
    assert "fillet radius" in ground.asks
    assert any("old radius" in s for s in ground.steps)
    assert "journal-fillet-radius" in ground.measure_after


def test_ground_pin_names_its_bearing_and_its_corner() -> None:
    facts = RemedyFacts(known(crankpin_diameter="1.8124 in; 1.8081 in", journal_fillet_radius="0.125 in"))
    _, found = ask("crankpin-out-of-round", "4 thou", facts, place="crankpin")
    ground = remedy(found, "grind-clean")
    assert amount(ground, "grind to") == F("1807.1")
    bore = amount(ground, "bearing bore to match") - F("1807.1")
    assert F("2.515") < bore < F("3.219")
    assert "Keep the corner at 125 thou" in ground.text


def test_a_pin_that_would_be_too_small_is_not_ground() -> None:
    _, found = ask("crankpin-out-of-round", "40 thou", RemedyFacts(known(crankpin_diameter="1.8124 in; 1.7724 in")), place="crankpin")
    assert [r.id for r in found if r.id.startswith("grind")] == []
    assert "under size" in remedy(found, "nothing-on-the-list").text
    facts = RemedyFacts(known(crankpin_diameter="1.8124 in; 1.8024 in"), journal=Journal(least=q("1.81 in")))
    _, found = ask("crankpin-out-of-round", "10 thou", facts, place="crankpin")
    assert "Too small" in remedy(found, "nothing-on-the-list").text


def test_sharp_corner_cannot_be_polished_back() -> None:
    shop = bench()
    own = InlineLimit(Interval(F("0.125"), NONE_ON_FILE, UNITS["in"]), Interval(NONE_ON_FILE, NONE_ON_FILE, UNITS["in"]))
    given = replace(reading("journal-fillet-radius", "0.04 in", "crankpin"), limit=own)
    found = remedies_for(shop, shop.judge(given), given, RemedyFacts())
    assert "cannot be put back" in remedy(found, "nothing-on-the-list").text
    made = replace(given, state="as_made")
    found = remedies_for(shop, shop.judge(made), made, RemedyFacts())
    assert [r.id for r in found] == ["send-back"]
    assert amount(found[0], "under the order by") == 85


def test_shaft_is_pressed_straight_by_half_its_runout() -> None:
    _, found = ask("crankshaft-runout", "7.2 thou")
    assert amount(remedy(found, "press-straight"), "the shaft stands off its line by") == F("3.6")


# -- cylinder ----------------------------------------------------------------------------------------------------


def test_rebore_asks_first_what_can_be_had() -> None:
    _, found = ask("cylinder-taper", "9 thou", RemedyFacts(known(cylinder_bore_diameter=BORES)))
    rebore = remedy(found, "rebore")
    assert rebore.asks == ("which pistons can be had", "which rings can be had", "wall thickness",
                           "how far the worn bore's centre stands off the old one")  # fmt: skip
    assert amount(rebore, "cleans up at", "in") == F("5.2631")
    # All the wear on one side: the bore must open by the wear once more on the axis it was cut on, 5.2631 + (5.2621 - 5.2511).
    assert amount(rebore, "with all the wear on one side, cleans up at", "in") == F("5.2741")
    assert amount(remedy(found, "sleeve"), "sleeve over its hole") == F("2.5")


def test_only_sizes_with_rings_as_well_count() -> None:
    cylinder = Cylinder((q("20 thou"), q("40 thou")), (q("40 thou"),), wall=q("0.4 in"), least_wall=q("0.3 in"),
                        axis_offset=q("0 in"))  # fmt: skip
    _, found = ask("cylinder-taper", "9 thou", RemedyFacts(known(cylinder_bore_diameter=BORES), cylinder=cylinder))
    rebore = remedy(found, "rebore")
    assert amount(rebore, "oversize") == 40
    assert amount(rebore, "wall left") == 380
    assert rebore.asks == ()


def test_one_cut_cleans_the_whole_bore_pits_and_all() -> None:
    """Pits 11 thou deep stand on both walls: 5.2621 + 2 x 0.011 + 0.001 to be sure of clean metal, whichever reading asks."""
    facts = RemedyFacts(known(cylinder_bore_diameter=BORES, cylinder_pit_depth="11 thou"))
    for name, value in (("cylinder-taper", "9 thou"), ("cylinder-out-of-round", "5 thou"), ("cylinder-pit-depth", "11 thou")):
        assert amount(remedy(ask(name, value, facts)[1], "rebore"), "cleans up at", "in") == F("5.2851"), name


def test_a_journal_worn_on_one_side_is_ground_further() -> None:
    """1.994 cleans at 1.993 where the wear is even; on the old axis at 1.994 - (1.998 - 1.994) - 0.001."""
    sizes = {"crankpin": "2 in"}
    facts = RemedyFacts(known(crankpin_diameter="1.998 in; 1.994 in"))
    ground = remedy(ask("crankpin-out-of-round", "4 thou", facts, bench(sizes=sizes))[1], "grind-clean")
    assert amount(ground, "grind to", "in") == F("1.993")
    assert amount(ground, "with all the wear on one side, grind to", "in") == F("1.989")
    told = RemedyFacts(facts.measured, journal=Journal(axis_offset=q("1 thou")))
    ground = remedy(ask("crankpin-out-of-round", "4 thou", told, bench(sizes=sizes))[1], "grind-clean")
    assert amount(ground, "grind to", "in") == F("1.991")
    assert not any("one side" in name for name, _, _ in ground.amount)


@pytest.mark.parametrize(("cylinder", "why"), [
    (Cylinder((q("10 thou"),)), "past the last size"),
    (Cylinder((q("20 thou"),), wall=q("0.2 in"), least_wall=q("0.195 in")), "wall"),
    (Cylinder((q("60 thou"),)), "past the usual"),
    (Cylinder((q("20 thou"),), wall=q("0.005 in")), "used up"),
])  # fmt: skip
def test_where_no_oversize_will_do_a_sleeve_is_left(cylinder: Cylinder, why: str) -> None:
    _, found = ask("cylinder-taper", "9 thou", RemedyFacts(known(cylinder_bore_diameter=BORES), cylinder=cylinder))
    assert [r.id for r in found if r.reaches == "fit"] == ["sleeve"]
    assert why in remedy(found, "sleeve").text.lower()


def test_pits_are_bored_out_by_twice_their_depth() -> None:
    _, found = ask("cylinder-pit-depth", "11 thou", RemedyFacts(known(cylinder_bore_diameter="5.25 in")))
    assert amount(remedy(found, "rebore"), "cleans up at", "in") == F("5.25") + F("0.022") + F("0.001")


def test_tight_piston_is_honed_a_loose_one_replaced() -> None:
    facts = RemedyFacts(known(cylinder_bore_diameter="5.2511 in", piston_skirt_diameter="5.2471 in"))
    _, tight = ask("piston-to-bore-clearance", "4 thou", facts)
    hone = remedy(tight, "hone-to-piston")
    assert amount(hone, "bore for the piston as measured") == F("5247.1") + after(hone)
    _, loose = ask("piston-to-bore-clearance", "20 thou", facts)
    assert amount(remedy(loose, "new-piston"), "piston for the bore at its narrowest") == F("5251.1") - after(remedy(loose, "new-piston"))
    worn = replace(facts, found=(Found("cylinder-taper", "beyond_limit"),))
    _, loose = ask("piston-to-bore-clearance", "20 thou", worn)
    assert remedy(loose, "new-piston").steps[0] == "True the bore first."


# -- rings -------------------------------------------------------------------------------------------------------


def test_ring_ends_and_grooves() -> None:
    _, tight = ask("ring-end-gap", "10 thou", place="ring 1")
    assert amount(remedy(tight, "file-ring-ends"), "off the two ends together") == after(remedy(tight, "file-ring-ends")) - 10
    _, side = ask("ring-side-clearance", "7.5 thou", RemedyFacts(ring=Ring((q("0.25 in"), q("0.281 in")))), place="ring 1")
    groove = remedy(side, "recut-groove")
    assert amount(groove, "ring of") == 281
    assert amount(groove, "groove cut to") == 281 + after(groove)
    _, none = ask("ring-side-clearance", "7.5 thou", RemedyFacts(ring=Ring((q("0.25 in"),))), place="ring 1")
    assert "no ring on the list" in remedy(none, "nothing-on-the-list").text


def test_a_worn_bore_opens_a_new_ring_too_far() -> None:
    _, found = ask("ring-end-gap", "90 thou", RemedyFacts(known(cylinder_bore_diameter="5.25 in; 5.27 in")), place="ring 1")
    assert "Bore or sleeve first" in remedy(found, "nothing-on-the-list").text


# -- valves ------------------------------------------------------------------------------------------------------


def test_guides_and_stems() -> None:
    _, tight = ask("exhaust-valve-guide-clearance", "2 thou")
    assert after(remedy(tight, "ream-guide")) == 2 + amount(remedy(tight, "ream-guide"), "on the diameter")
    _, loose = ask("exhaust-valve-guide-clearance", "11.8 thou", RemedyFacts(found=(Found("valve-stem-wear", "beyond_limit"),)))
    sleeve = remedy(loose, "sleeve-guide")
    assert amount(sleeve, "ream the sleeve to, for a stem at its size when new") == F("437.5") + after(sleeve)
    assert "the valve first" in sleeve.text
    assert any("Recut the seat" in s for s in sleeve.steps)
    assert [r.cost_class for r in loose] == sorted((r.cost_class for r in loose), key=["free", "hand", "machine", "part"].index)


def test_lash_in_turns_of_the_screw() -> None:
    facts = RemedyFacts(valve=Valve(screw_threads=q("20 tpi")))
    _, found = ask("valve-lash-exhaust", "41 thou", facts)
    lash = remedy(found, "set")
    assert amount(lash, "by") == 41 - after(lash)
    assert amount(lash, "which is", "turn") == (41 - after(lash)) / 1000 * 20
    assert lash.reversible


def test_reface_keeps_an_edge() -> None:
    _, found = ask("valve-face-runout", "5 thou", RemedyFacts(known(valve_margin="52 thou")))
    assert amount(remedy(found, "reface-valve"), "off the edge") == pytest.approx(2.5 * 2**0.5, rel=1e-6)
    _, thin = ask("valve-face-runout", "5 thou", RemedyFacts(known(valve_margin="32 thou")))
    assert "edge would be" in remedy(thin, "nothing-on-the-list").text


def test_a_seat_cut_to_the_bottom_of_its_pits_tells_what_it_costs_the_valve() -> None:
    for margin, thin in (("52 thou", False), ("35 thou", True)):
        facts = RemedyFacts(known(valve_margin=margin), valve=Valve(pit_depth=q("0.00707 in")))
        _, found = ask("valve-seat-contact", "pitted through", facts, place="exhaust")
        cut = remedy(found, "recut-seat")
        assert amount(cut, "edge left, were the valve refaced as deep") == pytest.approx(float(q(margin).exact) - 10, rel=1e-3)
        assert ("too thin" in cut.text) == thin
        assert "valve-lash-exhaust" in cut.measure_after


def test_a_weak_spring_lent_a_washer() -> None:
    facts = RemedyFacts(spring=Spring(q("4 lbf"), q("10 lbf/in")))
    _, found = ask("intake-valve-spring-force", "1.8 lbf", facts)
    assert amount(remedy(found, "washer"), "washer under it", "in") == F("0.22")
    _, blind = ask("intake-valve-spring-force", "1.8 lbf")
    assert remedy(blind, "compare-spring").asks == ("force wanted", "spring rate")


# -- gears and floats --------------------------------------------------------------------------------------------


def test_centres_that_move_and_that_do_not() -> None:
    _, free = ask("timing-gear-backlash", "34 thou", RemedyFacts(gear=Gear(centres_adjust=True)))
    assert "eccentric-bush" not in {r.id for r in free}
    _, fixed = ask("timing-gear-backlash", "34 thou", RemedyFacts(gear=Gear(centres_adjust=False)))
    assert "move-centres" not in {r.id for r in fixed}
    assert remedy(fixed, "eccentric-bush").cost_class == "machine"


def test_backlash_that_differs_round_the_gear() -> None:
    shop = bench()
    for low, high, word in (("12 thou", "34 thou", "a gear is out of true"), ("22 thou", "34 thou", "move-centres")):
        given = replace(reading("timing-gear-backlash", "34 thou"), values=(), span=(q(low), q(high)))
        found = remedies_for(shop, judge_one(shop, given), given, RemedyFacts())
        assert any(word in r.text or word == r.id for r in found)
    moved = remedy(found, "move-centres")
    drop = 34 - after(moved)
    assert 22 - drop >= 5
    assert 34 - drop <= 20


def test_washers_from_the_drawer() -> None:
    facts = RemedyFacts(washers=(q("10 thou"), q("16 thou"), q("30 thou")))
    _, found = ask("crankshaft-end-float", "36 thou", facts)
    washer = remedy(found, "thrust-washer")
    assert amount(washer, "to take up") == 26
    assert after(washer) == 10
    assert "10 thou" in washer.text


# -- pins --------------------------------------------------------------------------------------------------------


def test_a_stepped_pin_comes_before_its_bush() -> None:
    _, found = ask("wrist-pin-bush-clearance", "6.6 thou", RemedyFacts(known(wrist_pin_diameter="1.1246 in; 1.1208 in")))
    assert "The pin is stepped by 3.8 thou" in remedy(found, "bush").text


# -- ignition ----------------------------------------------------------------------------------------------------


def test_ohms_that_may_remain() -> None:
    """6 V, 1 ohm coil, 5 A wanted: 0.2 ohm (derived: supply over current less the rest)."""
    facts = RemedyFacts(circuit=Circuit(q("6 V"), q("1 ohm"), q("0 ohm"), q("5 A")))
    _, found = ask("igniter-contact-resistance", "3.4 ohm", facts)
    assert amount(remedy(found, "bright-metal"), "may remain for the current wanted", "ohm") == F("0.2")
    weak = RemedyFacts(circuit=Circuit(q("6 V"), q("2 ohm"), None, q("5 A")))
    _, found = ask("igniter-contact-resistance", "3.4 ohm", weak)
    assert "cannot push" in remedy(found, "bright-metal").text


def test_a_magneto_is_compared_with_itself_at_one_speed() -> None:
    """1.885 V at 300 rpm and 5.655 V at 900 are one magneto (own arithmetic)."""
    magneto = Magneto(q("1.885 V"), q("300 rpm"), q("900 rpm"), oscillating=False)
    _, found = ask("lowtension-mag-output", "3 V", RemedyFacts(magneto=magneto))
    assert "1 V" in remedy(found, "contacts-first").text
    assert "0.53 times" in remedy(found, "contacts-first").text
    sprung = replace(magneto, oscillating=True)
    _, found = ask("lowtension-mag-output", "3 V", RemedyFacts(magneto=sprung))
    assert "no correction" in remedy(found, "contacts-first").text
    assert [r.cost_class for r in found if not r.id.startswith("as-written")] == ["free", "machine", "part"]


@pytest.mark.parametrize(("name", "value", "unit"), [("spark-plug-gap", "50 thou", "thou"), ("igniter-point-gap", "10 thou", "thou"),
                                                     ("detent-clearance", "46 thou", "thou"), ("trip-finger-play", "0.2 in", "thou")])  # fmt: skip
def test_gaps_are_set_by_the_difference(name: str, value: str, unit: str) -> None:
    jump = bench(frozenset({"jump-spark", "hit-and-miss"})) if name == "spark-plug-gap" else None
    _, found = ask(name, value, shop=jump)
    done = remedy(found, "set")
    assert amount(done, "by") == abs(after(done) - q(value).to(UNITS[unit]))
    assert done.cost_class == "free"


def test_timing_in_degrees_and_round_the_rim() -> None:
    _, found = ask("igniter-timing", "10 deg")
    moved = remedy(found, "move-trip")
    degrees = amount(moved, "by", "deg")
    assert degrees == after(moved, "deg") - 10
    assert amount(moved, "round the rim about", "in") == pytest.approx(float(degrees) / 360 * 3.14159 * 29, abs=0.03)
    _, valves = ask("exhaust-valve-opening", "60 deg", RemedyFacts(gear=Gear(cam_gear_teeth=48)))
    assert "One tooth of the cam gear is 15" in remedy(valves, "lash-then-gear").text


# -- fuel, paint -------------------------------------------------------------------------------------------------


def test_cloth_for_the_strainer() -> None:
    strainer = Strainer(q("0.0055 in"), q("1 in2"), q("0.25 in"))
    _, found = ask("fuel-strainer-mesh", "40 mesh", RemedyFacts(strainer=strainer))
    cloth = remedy(found, "new-cloth")
    assert after(cloth, "mesh") == 80
    assert amount(cloth, "each opening") == 7
    assert amount(cloth, "clear area over that of the pipe", "ratio") == pytest.approx(0.3136 / 0.049087, rel=1e-3)
    _, torn = ask("fuel-strainer-condition", "torn", RemedyFacts(strainer=replace(strainer, wire=q("0.02 in"))))
    assert "no opening" in remedy(torn, "nothing-on-the-list").text


def test_balls_before_packing() -> None:
    _, found = ask("fuel-pump-delivery", "8 ml")
    ids = [r.id for r in found if not r.id.startswith("as-written")]
    assert ids == ["wash", "repack", "new-ball"]


def test_paint_in_coats_and_in_film() -> None:
    _, coats = ask("paint-primer-coats", "1 count")
    assert amount(remedy(coats, "more-coats"), "coats to come", "count") == 1
    facts = RemedyFacts(coating=Coating(q("0.5 ratio"), q("0.25 ratio")))
    _, film = ask("paint-dry-film", "1 thou", facts)
    coat = remedy(film, "another-coat")
    assert amount(coat, "laid wet at") == amount(coat, "more to come") * F("1.25") / F("0.5")


def test_head_face_leaves_room_for_the_piston() -> None:
    _, found = ask("head-face-flatness", "8 thou", RemedyFacts(known(head_clearance="0.09 in")))
    assert amount(remedy(found, "mill-face"), "head clearance left") == 82
    _, low = ask("head-face-flatness", "8 thou", RemedyFacts(known(head_clearance="0.063 in")))
    assert "would clear the head by only" in remedy(low, "nothing-on-the-list").text


@pytest.mark.parametrize(("characteristic", "value", "facts"), [
    ("crankpin-out-of-round", "4 thou", RemedyFacts(known(crankpin_diameter="1.998 in; 1.994 in"), journal=Journal(score_depth=q("1 in")))),
    ("crankpin-out-of-round", "4 thou", RemedyFacts(known(crankpin_diameter="9 in; 8.99 in"))),
    ("journal-score-depth", "1.5 in", RemedyFacts(known(main_journal_diameter="1.6875 in; 1.68 in"))),
])  # fmt: skip
def test_figures_that_cannot_all_be_true_are_said_and_give_no_amount(characteristic: str, value: str, facts: RemedyFacts) -> None:
    _, found = ask(characteristic, value, facts, place="" if "crankpin" in characteristic else "left main")
    again = [r for r in found if r.id.startswith("look-again")]
    assert [(r.amount, r.reaches, r.cost_class) for r in again] == [((), "not_known", "free")]
    assert "do not go together" in again[0].text
    assert not [r for r in found if r.id == "grind-clean"]


def test_a_bush_for_a_pin_of_nothing_closes_by_nothing_told() -> None:
    facts = RemedyFacts(bush=Bush(outside=q("1.5 in"), boss_outside=q("3 in"), interference=q("3 thou"), pin=q("0.000001 in")))
    _, found = ask("wrist-pin-bush-clearance", "6 thou", facts)
    assert found
    assert not any("closes" in name for r in found for name, _, _ in r.amount)


def test_a_piston_for_a_bore_that_is_not_true_is_not_sized() -> None:
    """A size from the wide end would bind at the narrow one: true the bore first. In a true bore it follows the narrowest place."""
    known_here = known(cylinder_bore_diameter="5.2600 in; 5.2515 in", piston_skirt_diameter="5.2400 in")
    worn = RemedyFacts(known_here, found=(Found("cylinder-taper", "beyond_limit"),))
    made = remedy(ask("piston-to-bore-clearance", "20 thou", worn)[1], "new-piston")
    assert made.amount == ()
    assert "true it" in made.text
    sound = remedy(ask("piston-to-bore-clearance", "20 thou", RemedyFacts(known_here))[1], "new-piston")
    told = {name: value for name, value, _ in sound.amount}
    piston, larger = told["piston for the bore at its narrowest"], told["larger than the piston that is there by"]
    assert larger == piston - 5240


def test_the_cloth_proposed_lies_where_it_is_wanted() -> None:
    _, found = ask("fuel-strainer-mesh", "40 mesh")
    cloth = remedy(found, "new-cloth")
    assert cloth.predicted is not None
    assert cloth.tolerance is not None
    assert cloth.tolerance.low <= cloth.predicted[0] <= cloth.tolerance.high
