"""How a reading becomes one value with one doubt: repeats, ranges, go/no-go, rim inches, whose uncertainty, and what is refused."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from scipy import stats
from tests.bench.made import FREE, NONE, bench, characteristic, evidence, finding, inline, judge, limit, q, read
from tests.bench.made import dec as d

from halfthou_service.bench.readings import Rules
from halfthou_service.bench.sheet import judge_one
from halfthou_service.bench.uncertainty import variant_u
from halfthou_specdb.table import Table
from halfthou_specdb.units import UNITS, units_of

FIT = (d("2"), d("4"))
GAP = (characteristic(), limit("gap", FIT, (NONE, d("6")), unit="thou"))
ANGLE = (characteristic("spark", "poor", "poor", unit="deg", non_negative=False, usual_instrument="degree-wheel", datum="inner-dead-centre",
                        sign="before"), limit("spark", (d("5"), d("15")), (NONE, NONE), unit="deg"))  # fmt: skip
WHEEL = {"dimensions": {"flywheel": q("36 in")}}


# -- whose uncertainty -------------------------------------------------------------------------------------------


def test_the_callers_uncertainty_replaces_the_tools() -> None:
    item = judge(read("gap", "3 thou", u="0.25 thou", instrument="micrometer"), *GAP)
    assert item.u == pytest.approx(0.25, rel=1e-15)
    assert [line.name for line in item.lines] == ["stated with the reading"]
    assert item.assumed == ()
    other_unit = judge(read("gap", "3 thou", u="6.35 um"), *GAP)
    assert other_unit.u == pytest.approx(0.25, rel=1e-12)


@pytest.mark.parametrize(("u", "code"), [("0 thou", "zero-uncertainty"), ("-0.1 thou", "zero-uncertainty"), ("0.1 V", "wrong-dimension")])
def test_an_uncertainty_above_zero_in_the_right_kind_of_unit(u: str, code: str) -> None:
    item = judge(read("gap", "3 thou", u=u), *GAP)
    assert (item.verdict, item.problem and item.problem.code, item.problem and item.problem.pointer) == ("not_judged", code, "/standard_uncertainty")


def test_a_tool_whose_doubt_is_a_share_knows_nothing_at_zero() -> None:
    parts = (characteristic("slip", "harmless", "worn", unit="percent", usual_instrument="share-meter"), limit("slip", (FREE, 5), unit="percent"))
    item = judge(read("slip", "0 percent"), *parts)
    assert (item.verdict, item.problem and item.problem.code) == ("not_judged", "zero-uncertainty")
    assert judge(read("slip", "0 percent", u="0.1 percent"), *parts).verdict == "within_fit"


def test_no_tool_of_the_table_is_ever_taken_as_perfect(shop_table: Table) -> None:
    for tool in shop_table.instruments.values():
        for unit in units_of(tool.measures)[:1]:
            for variant in tool.variants:
                assert variant_u(variant, 1.0, UNITS[unit]) > 0, f"{tool.id}/{variant.id}"


def test_an_assumed_tool_is_said() -> None:
    item = judge(read("gap", "3 thou"), *GAP)
    assert item.instrument == "micrometer/one-inch"
    assert item.assumed == ("no instrument named: taken as micrometer (0-1 in), good to about +/-0.2 thou",)
    assert item.u == pytest.approx(0.1, rel=1e-9)
    named = judge(read("gap", "3 thou", instrument="micrometer"), *GAP)
    assert named.assumed == ("micrometer taken as: 0-1 in",)
    assert judge(read("gap", "3 thou", instrument="micrometer/one-inch"), *GAP).assumed == ()


def test_the_variant_follows_the_reading() -> None:
    big = judge(read("gap", "1.5 in", instrument="micrometer", limit=inline("in", fit=("1", "2"))), *GAP)
    assert big.instrument == "micrometer/two-inch"


@pytest.mark.parametrize(("instrument", "code"), [
    ("microscope", "unknown-instrument"), ("micrometer/ten-inch", "unknown-instrument"), ("degree-wheel", "wrong-instrument"),
])  # fmt: skip
def test_a_tool_nobody_knows_or_of_the_wrong_kind(instrument: str, code: str) -> None:
    item = judge(read("gap", "3 thou", instrument=instrument), *GAP)
    assert (item.verdict, item.problem and item.problem.code, item.problem and item.problem.pointer) == ("not_judged", code, "/instrument")


def test_outside_what_the_tool_can_read() -> None:
    item = judge(read("gap", "3 in", instrument="micrometer", limit=inline("in", fit=("1", "2"))), *GAP)
    assert item.problem is not None
    assert item.problem.code == "outside-instrument-range"


def test_a_thing_of_ones_own_needs_a_tool_or_an_uncertainty() -> None:
    item = judge(read("own-check", "5 V", limit=inline("V", fit=("4", "8"))))
    assert item.problem is not None
    assert item.problem.code == "no-uncertainty"


# -- repeats -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("n", [2, 3])
def test_too_few_repeats_are_averaged_and_the_tools_doubt_kept(n: int) -> None:
    item = judge(read("gap", *["2.9 thou", "3.3 thou", "3.1 thou"][:n], instrument="micrometer/one-inch"), *GAP)
    assert item.u == pytest.approx(0.1, rel=1e-9)
    assert item.dof == math.inf
    assert any("too few to know their scatter" in said for said in item.assumed)
    assert f"mean of {n}" in item.text


def test_four_repeats_bring_their_own_scatter() -> None:
    """Mean 3.1, s 0.1826, s/2 = 0.0913 thou; the shared 0.06 stays; u = hypot; Welch-Satterthwaite: 3 (u / 0.0913)^4."""
    item = judge(read("gap", "2.9 thou", "3.3 thou", "3.0 thou", "3.2 thou", instrument="micrometer/one-inch"), *GAP)
    scatter = math.sqrt(sum((v - 3.1) ** 2 for v in (2.9, 3.3, 3.0, 3.2)) / 3 / 4)
    assert item.u == pytest.approx(math.hypot(0.06, scatter), rel=1e-9)
    assert item.dof == pytest.approx(3 * (math.hypot(0.06, scatter) / scatter) ** 4, rel=1e-9)
    assert {line.name for line in item.lines} == {"screw", "scatter of 4 repeats"}
    assert item.value is not None
    assert float(item.value) == pytest.approx(3.1, rel=1e-12)


def test_repeats_that_agree_average_out_the_random_part_and_no_more() -> None:
    item = judge(read("gap", *["3 thou"] * 4, instrument="micrometer/one-inch"), *GAP)
    assert item.u == pytest.approx(math.hypot(0.06, 0.08 / 2), rel=1e-9)
    assert item.dof == math.inf


def test_few_and_scattered_repeats_widen_the_verdict() -> None:
    one = judge(read("gap", "3.8 thou", instrument="micrometer/one-inch"), *GAP)
    four = judge(read("gap", "3.0 thou", "4.6 thou", "3.4 thou", "4.2 thou", instrument="micrometer/one-inch"), *GAP)
    assert (one.verdict, four.verdict) == ("within_fit", "usable")


def test_repeats_in_two_units_are_one_kind() -> None:
    item = judge(read("gap", "3 thou", "0.0762 mm", u="0.1 thou"), *GAP)
    assert item.value == 3
    assert judge(read("gap", "3 thou", "5 V"), *GAP).problem is not None


# -- ranges, go and no-go ----------------------------------------------------------------------------------------


def test_a_range_is_judged_at_both_ends_and_the_worse_stands() -> None:
    for span in (("3 thou", "6.5 thou"), ("6.5 thou", "3 thou")):
        item = judge_one(bench(*GAP), read("gap", span=(q(span[0]), q(span[1])), u="0.1 thou"))
        assert item.verdict == "beyond_limit"
        assert item.assumed[0].startswith("read ")


def test_between_the_gauge_that_goes_and_the_one_that_does_not() -> None:
    """Half-width over the square root of 3 takes the place of the tool's step: 0.25 thou; feel 0.3 stays."""
    item = judge(read("gap", go=(q("3 thou"), q("3.5 thou")), instrument="feeler"), *GAP)
    assert item.u == pytest.approx(math.hypot(0.25 / math.sqrt(3), 0.3), rel=1e-9)
    assert item.value == d("3.25")
    assert "3 thou goes, 3.5 thou does not" in item.text
    assert {line.name for line in item.lines} == {"feel", "between the gauge that goes and the one that does not"}


def test_not_even_the_thinnest_leaf_goes() -> None:
    item = judge(read("gap", go=(None, q("1.5 thou")), instrument="feeler"), *GAP)
    assert (item.value, item.verdict) == (d("0.75"), "beyond_limit")


@pytest.mark.parametrize(("go", "code"), [
    ((q("3 thou"), None), "half-interval"), ((q("4 thou"), q("3 thou")), "upside-down"), ((q("3 thou"), q("3 thou")), "upside-down"),
    ((q("3 thou"), q("5 V")), "wrong-dimension"),
])  # fmt: skip
def test_a_pair_that_says_nothing(go: Any, code: str) -> None:
    item = judge(read("gap", go=go, instrument="feeler"), *GAP)
    assert (item.verdict, item.problem and item.problem.code) == ("not_judged", code)


def test_no_lower_gauge_where_the_size_may_be_negative() -> None:
    item = judge(read("gap", go=(None, q("3 thou")), instrument="feeler"), characteristic(non_negative=False), GAP[1])
    assert item.problem is not None
    assert (item.problem.code, item.problem.pointer) == ("half-interval", "/goes")


# -- angles ------------------------------------------------------------------------------------------------------


def test_inches_round_the_rim() -> None:
    """36 in wheel: pi x 36 / 360 = 0.31416 in to the degree, so 3.1416 in is 10 degrees."""
    item = judge(read("spark", "3.14159265 in", u="0.0314159265 in", along="rim-arc", relative="before"), *ANGLE, **WHEEL)
    assert item.p_fit == pytest.approx(1 - 1e-6, rel=1e-6)
    assert item.verdict == "within_fit"
    assert item.u == pytest.approx(0.0314159265, rel=1e-9)
    assert "on the rim (10" in item.text
    assert "by the flywheel's diameter" in item.assumed[0]
    edge = judge(read("spark", f"{math.pi * 36 * 5 / 360:.10f} in", u="0.1 in", along="rim-arc"), *ANGLE, **WHEEL)
    assert edge.p_fit == pytest.approx(0.5, rel=1e-6)


def test_a_chord_across_the_rim() -> None:
    """36 sin(15 / 2 deg) = 4.6990 in is the chord of 15 degrees; a doubt across it turns into more degrees the longer the chord."""
    chord = 36 * math.sin(math.radians(15 / 2))
    edge = judge(read("spark", f"{chord:.12f} in", u="0.1 in", along="rim-chord"), *ANGLE, **WHEEL)
    assert edge.p_fit == pytest.approx(0.5, rel=1e-6)
    wide = (ANGLE[0], limit("spark", (d("5"), d("100")), unit="deg"))
    item = judge(read("spark", f"{36 * math.sin(math.radians(45)):.12f} in", u="1 in", along="rim-chord"), *wide, **WHEEL)
    u_deg = math.degrees(1 / 36 / math.cos(math.radians(45))) * 2  # theta = 2 asin(c / D)
    assert item.p_fit == pytest.approx(float(stats.norm.cdf(10 / u_deg)), rel=1e-5)


def test_a_chord_longer_than_the_wheel_and_no_wheel() -> None:
    assert judge(read("spark", "40 in", u="0.1 in", along="rim-chord"), *ANGLE, **WHEEL).problem is not None
    missing = judge(read("spark", "3 in", u="0.1 in", along="rim-arc"), *ANGLE).problem
    assert missing is not None
    assert (missing.code, missing.near) == ("missing-dimension", ("flywheel",))


def test_a_degree_wheel_reads_rim_inches_too() -> None:
    item = judge(read("spark", "3.14159265 in", along="rim-arc"), *ANGLE, **WHEEL)
    assert item.instrument == "degree-wheel/paper"
    assert item.u == pytest.approx(0.5 * math.pi * 36 / 360, rel=1e-6)


@pytest.mark.parametrize(("relative", "verdict"), [("before", "within_fit"), ("", "within_fit"), ("after", "outside_fit")])
def test_before_and_after_the_dead_centre(relative: Any, verdict: str) -> None:
    item = judge(read("spark", "10 deg", u="0.5 deg", relative=relative), *ANGLE)
    assert item.verdict == verdict
    assert (f"{relative} dead centre" in item.text) is bool(relative)


def test_before_and_after_mean_nothing_elsewhere() -> None:
    item = judge(read("gap", "3 thou", relative="before"), *GAP)
    assert item.problem is not None
    assert item.problem.code == "wrong-kind"


# -- not judged --------------------------------------------------------------------------------------------------

CRACK = finding("crack", {"none found": "within_fit", "hairline": "stop"})
SCALED = (characteristic("fit-of-pin", scales_with=["crankpin"]),
          limit("fit-of-pin", ({"per": d("0.001")}, {"per": d("0.002")}), (NONE, {"per": d("0.003")}),
                sizes={"from": 1, "to": 3, "unit": "in"}))  # fmt: skip
PIN = {"dimensions": {"crankpin": q("2 in")}}


@pytest.mark.parametrize(("reading", "code", "pointer"), [
    (read("gop", "3 thou"), "unknown-characteristic", "/characteristic"), (read("gap"), "no-value", "/value"),
    (read("gap", "5 V"), "wrong-dimension", "/value/unit"), (read("gap", "-1 thou"), "negative", "/value"),
    (read("gap", finding="loose"), "wrong-kind", "/finding"), (read("crack", "3 thou"), "wrong-kind", "/finding"),
    (read("gap", "3 thou", limit=inline("V", fit=("1", "2"))), "wrong-dimension", "/limit"),
    (read("gap", "3 thou", limit=inline("in")), "no-limit", "/limit"), (read("own", "3 thou", u="1 thou", limit=inline("in")), "no-limit", "/limit"),
    (read("fit-of-pin", "3 thou"), "missing-dimension", ""),
])  # fmt: skip
def test_why_a_reading_was_not_judged(reading: Any, code: str, pointer: str) -> None:
    item = judge(reading, *GAP, CRACK, *SCALED)
    assert item.verdict == "not_judged"
    assert item.problem is not None
    assert (item.problem.code, item.problem.pointer) == (code, pointer)
    assert item.text.endswith((".", "?"))
    assert ": not judged. " in item.text


def test_a_word_nobody_can_read_counts_as_the_worst_where_a_word_could_stop_it() -> None:
    item = judge(read("crack", finding="hair"), CRACK)
    assert (item.verdict, item.veto) == ("stop", "stops-engine")
    assert item.problem is not None
    assert item.problem.code == "unknown-finding"
    assert item.text.startswith("STOP. ")


def test_near_matches_are_offered() -> None:
    assert judge(read("gop", "3 thou"), *GAP).problem.near == ("gap",)  # type: ignore[union-attr]
    found = judge(read("crack", finding="hair line"), CRACK).problem
    assert found is not None
    assert "hairline" in found.near
    assert "treat it as the worst" in found.detail


def test_outside_every_size_on_file() -> None:
    item = judge(read("fit-of-pin", "3 thou"), *SCALED, dimensions={"crankpin": q("4 in")})
    assert item.problem is not None
    assert item.problem.code == "outside-size-range"
    assert "1 to 3 in" in item.problem.detail


def test_the_same_fault_is_told_again_for_the_next_reading() -> None:
    shop = bench(*SCALED)
    first, second = (shop.judge(read("fit-of-pin", "3 thou", id=name)) for name in "ab")
    assert first.problem == second.problem


def test_no_limit_says_so_and_keeps_the_reading() -> None:
    item = judge(read("gap", "3 thou", u="0.1 thou"), characteristic())
    assert (item.verdict, item.problem, item.u) == ("not_judged", None, pytest.approx(0.1, rel=1e-12))
    assert "No limit for this kind of engine is on file." in item.text


def test_a_slip_of_the_pencil_is_asked_about_never_mended() -> None:
    for y, hint in (("30 thou", "a point one place out"), ("0.003 thou", "thousand"), ("0.0762 in", "millimetres written for inches")):
        item = judge(read("fit-of-pin", y, u="0.1 thou"), *SCALED, **PIN)
        assert item.problem is not None, y
        assert (item.problem.code, item.problem.pointer) == ("suspected-slip", "/value")
        assert hint in item.problem.detail
        stands = judge(read("fit-of-pin", y, u="0.1 thou", confirmed=True), *SCALED, **PIN)
        assert stands.verdict == "beyond_limit"


def test_an_unnamed_fact_takes_the_stricter_limit_and_asks() -> None:
    loose = limit("gap", FIT, (NONE, d("8")), unit="thou", limit_id="gap-pumped", when=["fuel-pump"])
    strict = limit("gap", FIT, (NONE, d("5")), unit="thou", limit_id="gap-pumped", when=["fuel-pump"])
    assert judge(read("gap", "7 thou", u="0.1 thou"), *GAP, loose).verdict == "beyond_limit"
    item = judge(read("gap", "5.5 thou", u="0.1 thou"), *GAP, strict)
    assert (item.verdict, item.limit_id) == ("beyond_limit", "gap-pumped")
    assert "fuel-pump not stated: the stricter limit was taken" in item.assumed


# -- the caller's own limit --------------------------------------------------------------------------------------


def test_an_own_limit_on_a_known_thing_keeps_the_meaning_of_its_sides() -> None:
    own = inline("mm", fit=("0.02", "0.05"))
    item = judge(read("gap", "0.01 mm", u="0.001 mm", limit=own), *GAP)
    assert (item.verdict, item.limit_id) == ("beyond_limit", None)  # too tight needs no wear bound
    assert judge(read("other", "0.01 mm", u="0.001 mm", limit=own)).verdict == "outside_fit"
    assert "your own figure" in item.text


def test_the_two_intervals_of_an_own_limit_may_differ_in_unit() -> None:
    own = replace(inline("thou", fit=("2", "4")), wear=inline("mm", wear=(NONE, "0.1524")).wear)  # 0.1524 mm is 6 thou
    for y, verdict in (("5.8", "usable"), ("6.2", "beyond_limit")):
        assert judge(read("gap", f"{y} thou", u="0.1 thou", limit=own), *GAP).verdict == verdict
    wrong = replace(own, wear=inline("V", wear=(NONE, "6")).wear)
    assert judge(read("gap", "5 thou", u="0.1 thou", limit=wrong), *GAP).problem is not None


# -- findings ----------------------------------------------------------------------------------------------------

WORDS = finding("hub", {"sound": "within_fit", "rubbed": "usable", "line not settled": "undecided", "loose": "beyond_limit",
                        "key gone": "stop/part", "cracked": "stop"})  # fmt: skip


@pytest.mark.parametrize(("word", "verdict", "veto"), [
    ("sound", "within_fit", ""), ("rubbed", "usable", ""), ("line not settled", "undecided", ""), ("loose", "beyond_limit", ""),
    ("key gone", "stop", "stops-part"), ("cracked", "stop", "stops-engine"), ("CRACKED too", "stop", "stops-engine"),
    ("  Key-Gone ", "stop", "stops-part"),
])  # fmt: skip
def test_a_finding_in_its_own_words(word: str, verdict: str, veto: str) -> None:
    for rules in (Rules(), Rules(decision_rule="simple", confidence=0.6)):
        item = judge(read("hub", finding=word), WORDS, rules=rules)
        assert (item.verdict, item.veto, item.problem) == (verdict, veto, None)
        assert item.text.startswith("STOP.") is (verdict == "stop")


# -- each source -------------------------------------------------------------------------------------------------


def test_each_source_speaks_for_itself_nearest_kin_first() -> None:
    sides = characteristic("runout", "harmless", "worn")
    parts = (sides, limit("runout", (FREE, d("0.002")), (NONE, d("0.004"))),
             evidence("far", "runout", "wear", NONE, d("0.001"), kin="general-machinery"),
             evidence("near", "runout", "wear", NONE, d("0.003")),
             evidence("new", "runout", "fit", d("0.001"), d("0.003"), written_for="new"))  # fmt: skip
    item = judge(read("runout", "2.5 thou", u="0.1 thou"), *parts, rules=Rules(judged_by="each-source"))
    assert [s.written_for for s in item.by_source] == ["written for near", "new", "written for far"]
    assert [s.verdict for s in item.by_source] == ["usable", "within_fit", "beyond_limit"]
    better = judge(read("runout", "0.5 thou", u="0.1 thou"), *parts, rules=Rules(judged_by="each-source"))
    assert better.by_source[1].verdict == "usable"  # below the new figure, on the side where nothing is bad
    assert judge(read("runout", "2.5 thou", u="0.1 thou"), *parts).by_source == ()
