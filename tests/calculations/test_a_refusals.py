"""Refused by name or flagged in words, never bent into range; and the cautions that travel with an answer."""

from __future__ import annotations

import pytest
from tests.calculations.a_support import FILM, GOOD, ask, codes, read, value
from tests.calculations.a_support import given as inputs_of

from halfthou_service.calculations import CALCULATIONS, CalculationError, calculate
from halfthou_service.calculations.frame import Input, from_si
from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.units import UNITS

EVERY_INPUT = [pytest.param(c, item, id=f"{c}-{item.name}") for c in GOOD for item in CALCULATIONS[c].inputs]


def refused(calculation: str, given: dict[str, object]) -> CalculationError:
    with pytest.raises(CalculationError) as caught:
        calculate(CALCULATIONS[calculation], given)  # type: ignore[arg-type]
    return caught.value


def quantity_of(value: float, item: Input) -> object:
    from fractions import Fraction

    one = Quantity.of(decimal_of(Fraction(from_si(value, item.unit)), 15), item.unit)
    return [one] if item.many else one


@pytest.mark.parametrize(("calculation", "item"), EVERY_INPUT)
def test_the_wrong_kind_is_refused_by_name(calculation: str, item: Input) -> None:
    good: dict[str, object] = {**inputs_of(calculation, GOOD[calculation])}
    if item.dimension == "choice":
        error = refused(calculation, {**good, item.name: "something-else"})
        assert error.code == "wrong-kind"
    else:
        strange = Quantity.of("1", "turn/h" if item.dimension != "rotational_speed" else "kg")
        error = refused(calculation, {**good, item.name: [strange] if item.many else strange})
        assert error.code == "wrong-dimension"
        assert refused(calculation, {**good, item.name: 1.0}).code in {"no-unit", "wrong-kind"}
    assert error.name == item.name


@pytest.mark.parametrize(("calculation", "item"), EVERY_INPUT)
def test_out_of_range_is_refused_by_name(calculation: str, item: Input) -> None:
    good: dict[str, object] = {**inputs_of(calculation, GOOD[calculation])}
    if item.dimension == "choice":
        return
    assert item.low is not None, "every number has bounds"
    assert item.high is not None, "every number has bounds"
    span = item.high - item.low
    for bad in (item.low - 0.01 * span, item.high + 0.01 * span, *([item.low] if item.open_low else [])):
        if UNITS[item.unit].dimension == "temperature" and bad < 0:
            continue
        error = refused(calculation, {**good, item.name: quantity_of(bad, item)})
        assert (error.name, error.code) == (item.name, "out-of-range")


@pytest.mark.parametrize(("calculation", "item"), EVERY_INPUT)
def test_a_needed_input_left_out_is_named(calculation: str, item: Input) -> None:
    if item.default is not None or not item.required:
        return
    good: dict[str, object] = {k: v for k, v in inputs_of(calculation, GOOD[calculation]).items() if k != item.name}
    error = refused(calculation, good)
    assert (error.name, error.code) == (item.name, "missing-input")


@pytest.mark.parametrize("calculation", GOOD)
def test_an_input_nobody_knows_is_refused(calculation: str) -> None:
    assert refused(calculation, {**inputs_of(calculation, GOOD[calculation]), "colour": "red"}).code == "unknown-input"


# calculation, changes to a good set (empty text: left out), the input to be named, code
REFUSED: tuple[tuple[str, dict[str, str], str, str], ...] = (
    ("journal-film", {"bearing_roughness": ""}, "bearing_roughness", "missing-input"),
    ("bearing-heat-balance", {"viscosity_at_40": "", "viscosity_at_100": ""}, "viscosity_at_40", "missing-input"),
    ("bearing-heat-balance", {"viscosity_at_100": ""}, "viscosity_at_100", "missing-input"),
    ("bearing-heat-balance", {"viscosity_at_100": "120 cSt"}, "viscosity_at_100", "impossible"),
    ("bearing-heat-balance", {"viscosity": "60 mPa.s"}, "viscosity", "too-many-inputs"),
    ("bearing-heat-balance", {"shedding_area": "0.001 mm2", "viscosity_at_100": "99 cSt"}, "shedding_area", "no-answer"),
    ("thermal-clearance", {"cold_clearance": ""}, "cold_clearance", "missing-input"),
    ("thermal-clearance", {"hot_clearance": "1 thou"}, "hot_clearance", "too-many-inputs"),
    ("thermal-clearance", {"diameter": "1 mm", "cold_clearance": "0.6 mm"}, "cold_clearance", "impossible"),
    ("ring-gap-closure", {"bore": "0.5 in", "gap": "0.5 in"}, "gap", "impossible"),
    ("ring-gap-closure", {"bore_temperature": "200 degF"}, "bore_expansion", "missing-input"),
    ("ring-gap-closure", {"bore_expansion": "11 um/m/K"}, "bore_temperature", "missing-input"),
    ("press-fit", {"inner_bore": "1.5 in"}, "inner_bore", "impossible"),
    ("press-fit", {"outer_diameter": "1.5 in"}, "outer_diameter", "impossible"),
    ("press-fit", {"interference": "0.1 in"}, "interference", "impossible"),
    ("shrink-fit", {"interference": "0.1 in"}, "interference", "refused"),
    ("shrink-fit", {"interference": "0.02 in", "part": "cool-inner"}, "interference", "refused"),
    ("flywheel-rim", {"construction": "jointed"}, "construction", "refused"),
    ("flywheel-rim", {"construction": "cracked"}, "construction", "refused"),
    ("flywheel-rim", {"construction": "welded-or-repaired"}, "construction", "refused"),
    ("flywheel-rim", {"construction": "cracked", "speed": "1 rpm"}, "construction", "refused"),
    ("flywheel-energy", {"energy_swing": "100 J"}, "power", "too-many-inputs"),
    ("flywheel-energy", {"energy_drawn": "1000000 J"}, "energy_drawn", "impossible"),
    ("flywheel-energy", {"mass": ""}, "mass", "missing-input"),
    ("flywheel-energy", {"radius_of_gyration": ""}, "radius_of_gyration", "missing-input"),
    ("flywheel-energy", {"power": "", "wanted_swing": "5 percent"}, "energy_swing", "missing-input"),
    ("key-strength", {"torque": ""}, "torque", "missing-input"),
    ("key-strength", {"power": "5 hp"}, "power", "too-many-inputs"),
    ("key-strength", {"torque": "", "power": "5 hp"}, "speed", "missing-input"),
    ("key-strength", {"shaft_diameter": "0.3 in"}, "key_width", "impossible"),
    ("helical-spring", {"mean_diameter": "0.12 in"}, "mean_diameter", "impossible"),
    ("helical-spring", {"free_length": "0.9 in"}, "free_length", "impossible"),
    ("shim-pack", {"most_clearance": "1 thou"}, "most_clearance", "impossible"),
    ("shim-pack", {"most_leaves": "2.5 count"}, "most_leaves", "out-of-range"),
    ("shim-pack", {"stock": ", ".join(["0.001 in"] * 16)}, "stock", "out-of-range"),
    ("rebore", {"largest_bore": "4.4 in"}, "largest_bore", "impossible"),
    ("rebore", {"wall_thickness": "0.005 in"}, "wall_thickness", "impossible"),
    ("regrind", {"smallest_journal": "2.1 in"}, "smallest_journal", "impossible"),
    ("regrind", {"standard_journal": "0.15 in", "smallest_journal": "0.15 in", "score_depth": "0.1 in"}, "score_depth", "impossible"),
    ("gear-backlash", {"spread": "-0.35 in", "centre_distance": "2 in"}, "spread", "impossible"),
    ("valve-seat", {"seat_inner": "1.5 in"}, "seat_inner", "impossible"),
    ("valve-seat", {"seat_inner": ""}, "seat_inner", "missing-input"),
    ("valve-seat", {"seat_inner": "", "seat_outer": "", "axial_cut": "", "port_diameter": ""}, "seat_outer", "missing-input"),
    ("fastener-tightening", {"joint": "old-grey-iron"}, "joint", "refused"),
    ("fastener-tightening", {"joint": "unmarked-bolt"}, "joint", "refused"),
    ("fastener-tightening", {"diameter": "0.1 in", "threads": "10 tpi"}, "threads", "impossible"),
    ("contact-resistance", {"contact": ""}, "contact", "missing-input"),
    ("contact-resistance", {"voltage_drop": "1 V"}, "voltage_drop", "too-many-inputs"),
    ("contact-resistance", {"contact": "", "voltage_drop": "6 V"}, "voltage_drop", "impossible"),
)


@pytest.mark.parametrize(("calculation", "change", "name", "code"), REFUSED)
def test_refused_by_name(calculation: str, change: dict[str, str], name: str, code: str) -> None:
    texts = {k: v for k, v in {**GOOD[calculation], **change}.items() if v}
    error = refused(calculation, {**inputs_of(calculation, texts)})
    assert (error.name, error.code) == (name, code), str(error)


def test_old_iron_is_refused_with_what_to_do_instead_and_no_figure() -> None:
    error = refused("fastener-tightening", {**inputs_of("fastener-tightening", GOOD["fastener-tightening"]), "joint": "old-grey-iron"})
    text = str(error)
    assert "published" in text
    assert "evenly" in text
    assert not any(letter.isdigit() for letter in text)


def test_a_wheel_that_is_not_sound_is_refused_at_any_speed() -> None:
    for construction in CALCULATIONS["flywheel-rim"].inputs[2].choices[1:]:
        error = refused("flywheel-rim", {**inputs_of("flywheel-rim", GOOD["flywheel-rim"]), "construction": construction})
        assert "Do not run this wheel at any speed" in str(error)


# calculation, changes to a good set, flags that must be there
FLAGGED: tuple[tuple[str, dict[str, str], set[str]], ...] = (
    ("journal-film", {"load": "0.01 lbf"}, {"nearly-centred"}),
    ("bearing-heat-balance", {"viscosity_at_40": "", "viscosity_at_100": "", "viscosity": "60 mPa.s", "shedding_area": "2 in2"},
     {"fixed-viscosity", "film-too-hot"}),
    ("bearing-heat-balance", {"shedding_area": "1 in2", "viscosity_at_40": "20 cSt", "viscosity_at_100": "3 cSt"},
     {"film-too-hot", "oil-too-thin"}),
    ("thermal-clearance", {"cold_clearance": "1 thou"}, {"seizes"}),
    ("thermal-clearance", {"outer_temperature": "0 degF"}, {"colder-than-measured"}),
    ("ring-gap-closure", {}, {"bore-growth-left-out", "butts"}),
    ("press-fit", {}, {"yield-not-judged", "boss-not-judged"}),
    ("press-fit", {"inner_yield": "10000 psi", "outer_strength": "4000 psi"}, {"bush-yields", "boss-splits"}),
    ("press-fit", {"inner_yield": "60000 psi", "outer_strength": "20000 psi"}, {"boss-near-its-strength"}),
    ("shrink-fit", {"interference": "0.006 in"}, {"over-200-degC"}),
    ("shrink-fit", {"assembly_gap": "0 in"}, {"no-assembly-gap"}),
    ("shrink-fit", {"interference": "0.005 in", "part": "cool-inner"}, {"colder-than-dry-ice"}),
    ("flywheel-rim", {"speed": "800 rpm"}, {"stop"}),
    ("flywheel-rim", {"speed": "750 rpm"}, {"warn"}),
    ("flywheel-energy", {"mass": "10 lb"}, {"wide-swing", "triangular-torque"}),
    ("key-strength", {"key_length": "0.1 in"}, {"key-too-short"}),
    ("key-strength", {"torque": "", "power": "500 hp", "speed": "450 rpm"}, {"mean-torque", "long-key"}),
    ("helical-spring", {"mean_diameter": "0.2 in"}, {"index-out-of-range"}),
    ("helical-spring", {"stress_limit": "1000 psi"}, {"over-stressed", "suction-both-ways"}),
    ("helical-spring", {"free_length": "1.1 in", "lift": "0.2 in"}, {"goes-solid"}),
    ("helical-spring", {"force": "0.1 ozf", "valve_mass": "5 oz", "weight": "opens"}, {"valve-hangs-open"}),
    ("shim-pack", {"pack_now_other": "0.028 in"}, {"unequal-packs"}),
    ("shim-pack", {"clearance_now": "3 thou"}, {"already-in-fit"}),
    ("shim-pack", {"stock": "0.1 in"}, {"stock-does-not-fit"}),
    ("shim-pack", {"clearance_now": "12 thou"}, {"lemon-bore"}),
    ("rebore", {"largest_bore": "4.55 in"}, {"past-last-size"}),
    ("rebore", {"piston_diameter": "4.505 in", "piston_clearance": "4 thou"}, {"piston-too-small", "wall-not-judged"}),
    ("rebore", {"wall_thickness": "0.15 in", "least_wall": "0.2 in"}, {"wall-too-thin", "axis-follows-wear"}),
    ("regrind", {"smallest_journal": "1.95 in"}, {"past-last-size"}),
    ("regrind", {"sizes": ""}, {"no-sizes"}),
    ("regrind", {"least_journal": "1.995 in"}, {"journal-too-small"}),
    ("gear-backlash", {"centre_distance": "1 in"}, {"no-published-range"}),
    ("gear-backlash", {"spread": "0.2 in"}, {"wide-spread"}),
    ("gear-backlash", {"kind": "bevel-3-to-6"}, {"bevel-spread", "range-is-for-cut-gears"}),
    ("valve-seat", {"seat_angle": "0 deg"}, {"flat-seat", "set-lash-again"}),
    ("fastener-tightening", {"proof_share": "85 percent"}, {"over-three-quarters", "torque-is-not-clamp"}),
    ("contact-resistance", {"wanted_current": "10 A"}, {"out-of-reach", "no-published-limit"}),
    ("contact-resistance", {"wanted_current": "5.9 A"}, {"contact-too-poor"}),
)  # fmt: skip


@pytest.mark.parametrize(("calculation", "change", "wanted"), FLAGGED)
def test_flagged_in_words(calculation: str, change: dict[str, str], wanted: set[str]) -> None:
    answer = ask(calculation, {k: v for k, v in {**GOOD[calculation], **change}.items() if v})
    assert wanted <= codes(answer)
    for flag in answer.flags:
        assert flag.says.endswith(".")


@pytest.mark.parametrize("calculation", ["journal-film", "bearing-heat-balance", "press-fit", "shrink-fit", "flywheel-rim", "flywheel-energy",
                                         "key-strength", "helical-spring", "shim-pack", "rebore", "regrind", "gear-backlash",
                                         "fastener-tightening", "contact-resistance"])  # fmt: skip
def test_what_can_hurt_carries_its_caution(calculation: str) -> None:
    assert CALCULATIONS[calculation].cautions


def test_a_wheel_answer_never_gives_a_percentage_or_a_burst_speed() -> None:
    answer = ask("flywheel-rim", GOOD["flywheel-rim"])
    assert "%" not in str(value(answer, "answer"))
    assert not any("burst" in o.name for o in answer.outputs)


def test_a_list_is_asked_for_as_a_list() -> None:
    item = next(i for i in CALCULATIONS["rebore"].inputs if i.name == "sizes")
    assert refused("rebore", {**inputs_of("rebore", GOOD["rebore"]), "sizes": read(None, "20 thou")}).code == "wrong-kind"
    assert refused("rebore", {**inputs_of("rebore", GOOD["rebore"]), "sizes": []}).code == "out-of-range"
    assert item.many > 0


def test_a_list_carries_no_uncertainty() -> None:
    with pytest.raises(CalculationError) as caught:
        ask("rebore", GOOD["rebore"], {"sizes": "1 thou"})
    assert caught.value.name == "sizes"


def test_what_was_taken_for_granted_is_said() -> None:
    assert any(text.startswith("room_temperature not given: taken as 68") for text in ask("shrink-fit", GOOD["shrink-fit"]).assumed)
    assert any("feed" in text for text in ask("journal-film", FILM).assumed)
