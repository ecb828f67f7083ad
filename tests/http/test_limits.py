"""GET /v1/limits: one limit resolved, with who says so and who differs."""

from __future__ import annotations

from decimal import Decimal

import pytest

ROD = "rod-bearing-running-clearance"
ENDS = {"fit_low", "fit_high", "wear_low", "wear_high"}


def test_a_limit_tells_both_intervals_the_rule_the_reason_and_whose_each_end_is(limit):
    status, answer = limit(size="2-1/4 in")
    assert status == 200
    assert answer["characteristic"] == ROD
    assert answer["size"] == {"value": Decimal("2.25"), "unit": "in"}
    low, high = answer["fit"]["low"]["value"], answer["fit"]["high"]["value"]
    assert Decimal("0.001") <= low < high <= Decimal("0.006")  # 0.001 in per inch is the tightest any work allows
    assert answer["fit"]["low"]["unit"] == "in"
    assert answer["wear"]["low"] == "none_on_file"
    assert answer["serviceable"]["high"] == answer["wear"]["high"]
    numbered = {f"{part}_{side}" for part in ("fit", "wear") for side in ("low", "high") if isinstance(answer[part][side], dict)}
    assert set(answer["standing"]) == set(answer["grades"]) == numbered <= ENDS
    assert set(answer["carried_from"]) == {end for end, word in answer["standing"].items() if word == "carried-over"}
    assert answer["grade"] in answer["grades"].values()
    assert answer["rule_text"]
    assert answer["reasoning"]
    assert answer["side_meaning"] == {"low": "too-tight", "high": "worn"}
    assert "thou" in answer["text"]


def test_evidence_is_told_with_its_grade_and_whether_it_can_be_compared(limit):
    _, answer = limit(size="2-1/4 in")
    said = answer["evidence"]
    assert said
    assert [e["comparable"] for e in said] == sorted((e["comparable"] for e in said), reverse=True)
    for entry in said:
        assert (entry["grade"] in ("published", "quoted")) == bool(entry["work"] and entry["locator"])
        assert bool(entry["why_not"]) != entry["comparable"]
        assert entry["stance"] in (("supports", "differs") if entry["comparable"] else ("",))
    supporting = {e["work"] for e in said if e["stance"] == "supports" and e["work"]}
    assert answer["works_supporting"] == len(supporting)


def test_evidence_may_be_told_by_id_or_left_out(limit):
    _, full = limit(size="2-1/4 in")
    _, ids = limit(size="2-1/4 in", evidence="ids")
    _, none = limit(size="2-1/4 in", evidence="none")
    assert [e["id"] for e in ids["evidence"]] == [e["id"] for e in full["evidence"]]
    assert none["evidence"] == []
    counted = {"evidence", "works_supporting", "works_differing"}  # no evidence asked for: none is counted
    assert {k: v for k, v in none.items() if k not in counted} == {k: v for k, v in full.items() if k not in counted}
    assert {k: v for k, v in ids.items() if k != "evidence"} == {k: v for k, v in full.items() if k != "evidence"}


def test_two_sizes_give_two_answers_by_the_same_rule(limit):
    _, small = limit(size="1 in", **{"dimension.crankpin-length": "0.9 in"})
    _, large = limit(size="3 in", **{"dimension.crankpin-length": "0.9 in"})
    if small["limit_id"] == large["limit_id"]:
        assert small["wear"]["high"]["value"] < large["wear"]["high"]["value"]
        assert small["rule_text"] == large["rule_text"]


@pytest.mark.parametrize("text", ["2-1/4 in", '2 1/4"', "2.25 in", "2250 thou", "57.15 mm"])
def test_one_size_written_in_any_way_gives_the_same_limit(limit, text):
    _, first = limit(size="2.25 in", units="inch")
    status, answer = limit(size=text, units="inch")
    assert status == 200
    assert answer["fit"] == first["fit"]


def test_the_answer_is_in_the_unit_of_the_size_or_the_one_asked_for(limit):
    _, own = limit(size="57.15 mm")
    _, asked = limit(size="2.25 in", units="metric")
    _, inch = limit(size="57.15 mm", units="inch")
    assert own["fit"]["low"]["unit"] == asked["unit"] == "mm"
    assert own["fit"] == asked["fit"]
    assert inch["fit"]["low"]["unit"] == "in"
    assert own["fit"]["low"]["value"] == inch["fit"]["low"]["value"] * Decimal("25.4")


def test_a_fact_that_would_settle_a_condition_is_asked_for(limit):
    _, unsure = limit(size="2-1/4 in")
    _, known = limit(size="2-1/4 in", **{"dimension.crankpin-length": "3 in"})
    assert "crankpin-length" in unsure["asked"]
    assert "crankpin-length" not in known["asked"]
    assert unsure["wear"]["high"]["value"] <= known["wear"]["high"]["value"]  # unknown: the stricter


def test_size_and_the_dimension_it_stands_for_are_one_thing(limit):
    _, by_size = limit(size="2-1/4 in")
    _, by_name = limit(**{"dimension.crankpin": "2-1/4 in"})
    assert by_size["fit"] == by_name["fit"]
    status, answer = limit(size="2 in", **{"dimension.crankpin": "2-1/4 in"})
    assert (status, answer["type"]) == (400, "/problems/bad-parameter")


def test_a_missing_dimension_is_named(limit):
    status, answer = limit()
    assert (status, answer["type"]) == (422, "/problems/missing-dimension")
    assert answer["errors"][0]["parameter"] == "size"
    assert "crankpin" in answer["detail"]


@pytest.mark.parametrize("size", ["40 in", "0.1 in"])
def test_outside_every_range_names_the_ranges(limit, size):
    status, answer = limit(size=size)
    assert (status, answer["type"]) == (422, "/problems/outside-size-range")
    assert "crankpin" in answer["detail"]
    assert " to " in answer["detail"]


def test_nobody_publishes_this_is_an_answer(client, table):
    absent = [a for group in table.absences_of.values() for a in group if "any" in a.classes or "slow-open-crank" in a.classes]
    assert absent
    answers = []
    for absence in absent:
        query = {"characteristic": absence.characteristic, "engine_class": "slow-open-crank"}
        query |= {f"dimension.{d}": f"3 {u}" for d, u in table.dimension_units.items()}
        answer = client.get("/v1/limits", query_string=query)
        assert answer.status_code == 200
        if answer.json["kind"] == "none_published":
            answers.append(answer.json)
            assert answer.json["limit_id"] is None
            assert answer.json["reasoning"] == absence.reason
            assert answer.json["instead"] == absence.instead
            assert answer.json["fit"] == answer.json["wear"] == {"low": "none_on_file", "high": "none_on_file"}
    assert answers


def test_a_finding_gives_its_words_instead_of_figures(limit):
    status, answer = limit(characteristic="flywheel-hub-crack")
    assert status == 200
    assert (answer["kind"], answer["limit_id"]) == ("finding", None)
    assert any(word["veto"] == "stops-engine" for word in answer["words"])
    assert answer["cautions"]
    assert answer["cautions"][0]["says"]


def test_every_characteristic_has_an_answer_for_every_class(client, table):
    sizes = {f"dimension.{d}": f"3 {u}" for d, u in table.dimension_units.items()}
    for engine_class in (c.id for c in table.classes.values() if c.kind == "class"):
        for what in table.characteristics:
            answer = client.get("/v1/limits", query_string={"characteristic": what, "engine_class": engine_class} | sizes)
            assert answer.status_code == 200 or answer.json["type"] == "/problems/outside-size-range", what


@pytest.mark.parametrize(
    ("more", "status", "slug", "parameter"),
    [
        ({"characteristic": None}, 400, "missing-parameter", "characteristic"),
        ({"engine_class": None}, 400, "missing-parameter", "engine_class"),
        ({"characteristic": "rod-bearing-runing-clearance"}, 404, "unknown-characteristic", "characteristic"),
        ({"engine_class": "slow-open"}, 404, "unknown-engine-class", "engine_class"),
        ({"engine_class": "marine-diesel"}, 404, "unknown-engine-class", "engine_class"),
        ({"features": "drip-oild"}, 422, "unknown-feature", "features"),
        ({"features": "splash,not:splash"}, 422, "contradicting-features", "features"),
        ({"dimension.crankpn": "2 in"}, 422, "unknown-dimension", "dimension.crankpn"),
        ({"size": "2.25"}, 422, "no-unit", "size"),
        ({"size": "2.25 V"}, 422, "wrong-dimension", "size"),
        ({"size": "2.25 inchs"}, 422, "unknown-unit", "size"),
        ({"size": "2,25 in"}, 422, "decimal-comma", "size"),
        ({"size": "nan in"}, 422, "not-a-number", "size"),
        ({"size": "1e9999 in"}, 422, "number-out-of-range", "size"),
        ({"size": "9**9**8 inch"}, 422, "bad-quantity", "size"),
        ({"size": "0 in"}, 422, "not-positive", "size"),
        ({"size": "-2 in"}, 422, "not-positive", "size"),
        ({"size": ""}, 400, "bad-parameter", "size"),
        ({"size": "2 in" + " " * 300}, 400, "bad-parameter", "size"),
        ({"use": "racing"}, 400, "bad-parameter", "use"),
        ({"units": "furlong"}, 400, "bad-parameter", "units"),
        ({"evidence": "all"}, 400, "bad-parameter", "evidence"),
        ({"sise": "2 in"}, 400, "unknown-parameter", "sise"),
        ({"characteristic": "flywheel-hub-crack", "size": "2 in"}, 422, "size-not-used", "size"),
    ],
)
def test_a_bad_question_is_refused_with_the_parameter_named(limit, more, status, slug, parameter):
    got, answer = limit(**more)
    assert (got, answer["type"]) == (status, f"/problems/{slug}")
    assert answer["errors"][0]["parameter"] == parameter
    assert answer["errors"][0]["code"] == slug
    assert answer["detail"]


@pytest.mark.parametrize(
    ("more", "near"),
    [
        ({"characteristic": "rod-bearing-runing-clearance"}, "rod-bearing-running-clearance"),
        ({"engine_class": "slow-opencrank"}, "slow-open-crank"),
        ({"features": "drip-oild"}, "drip-oiled"),
        ({"dimension.crankpn": "2 in"}, "crankpin"),
        ({"sise": "2 in"}, "size"),
        ({"size": "2 inchs"}, "in"),
    ],
)
def test_near_matches_are_offered(limit, more, near):
    _, answer = limit(**more)
    assert near in answer["near"]


def test_all_faults_of_a_question_are_told_at_once(limit):
    status, answer = limit(characteristic="x", engine_class="y", size="2", use="z", foo="1")
    assert (status, answer["type"]) == (422, "/problems/several-faults")
    assert {e["parameter"] for e in answer["errors"]} == {"characteristic", "engine_class", "size", "use", "foo"}


def test_a_repeated_parameter_is_refused(client):
    answer = client.get("/v1/limits?characteristic=a&characteristic=a&engine_class=slow-open-crank")
    assert (answer.status_code, answer.json["errors"][0]["code"]) == (422, "repeated-parameter")
