"""What is known beside a reading is found again at once however much there is, and is what looking through all of it would find."""

from __future__ import annotations

import time
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.remedies.shop import bench, q, reading

from halfthou_service.bench.readings import Place, Reading
from halfthou_service.bench.remedies import Found, Measured, RemedyFacts, remedies_by_item
from halfthou_service.bench.remedies._known import MOST_TOLD, Known, Places
from halfthou_service.bench.remedies.facts import same_place
from halfthou_service.bench.sheet import judge_sheet
from halfthou_specdb.units import UNITS

WORDS = ["", "left", "right", "main", "rod", "ring", "1", "2", "03", "intake", "inlet", "exhaust", "gear-side", "pulley, 2", "Left", "open", "blade"]
names = st.lists(st.sampled_from(WORDS), max_size=3).map(" ".join)
sizes = st.builds(
    Measured, st.just("crankpin-diameter"), st.integers(1, 40).map(lambda n: q(f"{n} thou")), names, axis=st.sampled_from(["", "a", "b"]),
    state=st.sampled_from(["as_found", "as_made"]),
)  # fmt: skip
PIN, THOU = "crankpin-diameter", UNITS["thou"]


@settings(max_examples=200, deadline=None)
@given(st.lists(names, max_size=12), names)
def test_places_are_those_that_one_by_one_would_be_taken(instances: list[str], asked: str) -> None:
    bits = Places(instances).like(asked)
    assert [bool(bits >> n & 1) for n in range(len(instances))] == [same_place(one, asked) for one in instances]


@settings(max_examples=200, deadline=None)
@given(st.lists(sizes, max_size=20), names, st.sampled_from(["as_found", "as_made"]), st.sampled_from(["", "a", "b"]))
def test_sizes_are_those_of_looking_through_all(told: list[Measured], where: str, state: str, axis: str) -> None:
    known = Known(RemedyFacts(measured=tuple(told)))
    here = [m for m in told if same_place(m.instance, where)]
    mine = [m for m in here if m.state == state]
    across = [m for m in mine if m.axis not in ("", axis)]
    for found, wanted in (
        (known.sizes(PIN, THOU, where, state), mine or here), (known.across(PIN, THOU, where, state, axis), across),
        (known.named(PIN, THOU, where, "rod", False), [m for m in here if "rod" not in m.instance]),
    ):  # fmt: skip
        values = [m.value.to(THOU) for m in wanted]
        if len(values) <= MOST_TOLD:
            assert found == values
        else:
            assert (len(found), min(found), max(found)) == (MOST_TOLD, min(values), max(values))
            assert all(found.count(v) <= values.count(v) for v in found)


@settings(max_examples=100, deadline=None)
@given(st.lists(st.builds(Found, st.sampled_from(["a", "b"]), st.sampled_from(["stop", "undecided"]), st.just(""), names), max_size=12), names)
def test_the_first_finding_at_a_place(found: list[Found], where: str) -> None:
    wanted = next(((n, f) for n, f in enumerate(found) if (f.characteristic, f.verdict) == ("a", "stop") and same_place(f.instance, where)), None)
    assert Known(RemedyFacts(found=tuple(found))).first("a", "stop", where) == wanted


def test_another_kind_of_unit_is_not_a_size() -> None:
    known = Known(RemedyFacts(measured=(Measured(PIN, q("3 V")), Measured(PIN, q("1 in")))))
    assert known.sizes(PIN, THOU, "", "as_found") == [Fraction(1000)]


@pytest.mark.parametrize(("one", "other"), [
    (("crankpin-diameter", "1.8 in", "", ""), ("crankpin-out-of-round", "9 thou", "", "")),
    (("crankpin-diameter", "1.8 in", "rod {}", ""), ("crankpin-out-of-round", "9 thou", "rod {}", "")),
    (("rod-bearing-running-clearance", "9 thou", "", "a{}"), ("rod-bearing-running-clearance", "9.2 thou", "", "b{}")),
    (("crankshaft-crack", "crack", "{}", ""), ("flywheel-lateral-runout", "50 thou", "left {}", "")),
    (("journal-score-depth", "5 thou", "crankpin {}", ""), ("crankpin-out-of-round", "9 thou", "crankpin {}", "")),
])  # fmt: skip
def test_a_full_sheet_is_mended_in_a_few_seconds(one: tuple[str, ...], other: tuple[str, ...]) -> None:
    """As many readings as a sheet may hold, every one with remedies that look at the others. Looking through all for each took over 30 s."""
    shop, sheet = bench(), []
    for n in range(5000):
        name, said, instance, axis = one if n % 2 else other
        given_: Reading = replace(reading(name, said), id=f"r{n}", place=Place(instance.format(n), "", axis.format(n)))
        sheet.append(given_)
    answer = judge_sheet(shop, sheet)
    began = time.process_time()
    found = remedies_by_item(shop, answer, sheet)
    assert time.process_time() - began < 6.0
    assert len(found) == 5000
