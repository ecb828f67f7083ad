"""What one work says and where it is silent: a least figure alone calls nothing good."""

from __future__ import annotations

import pytest
from tests.bench.made import FREE, NONE, characteristic, evidence, judge, limit, read
from tests.bench.made import dec as d

from halfthou_service.bench.readings import Rules
from halfthou_service.bench.sources import SourceVerdict

EACH = Rules(judged_by="each-source")
GAP = (characteristic(), limit("gap", (d("2"), d("4")), (NONE, d("6")), unit="thou"))


def told(y: str, *works: str) -> dict[str, SourceVerdict]:
    item = judge(read("gap", f"{y} thou", u="0.1 thou"), *GAP, *works, rules=EACH)
    return {s.evidence[0]: s for s in item.by_source}


LEAST = evidence("least", "gap", "fit", d("2"), NONE, unit="thou")
MOST = evidence("most", "gap", "fit", NONE, d("4"), unit="thou", kin="slow-open-crank")
WORN = evidence("worn", "gap", "wear", NONE, d("6"), unit="thou")
OPEN = evidence("open", "gap", "fit", d("2"), FREE, unit="thou")
WHOLE = evidence("whole", "gap", "fit", d("2"), d("4"), unit="thou")


@pytest.mark.parametrize(("y", "work", "verdict", "words"), [
    ("14", LEAST, "undecided", "it says nothing of worn out"), ("3", LEAST, "undecided", "it says nothing of worn out"),
    ("1", LEAST, "beyond_limit", "do not put it back"), ("3", MOST, "undecided", "it says nothing of too tight"),
    ("3", WORN, "usable", "put it back; it says nothing of too tight"), ("14", WORN, "beyond_limit", "do not put it back"),
    ("14", OPEN, "within_fit", "as good as a new fit"), ("3", WHOLE, "within_fit", "as good as a new fit"),
])  # fmt: skip
def test_a_work_goes_no_further_than_it_speaks(y: str, work: str, verdict: str, words: str) -> None:
    (found,) = told(y, work).values()
    assert found.verdict == verdict
    assert found.text.endswith(words)


def test_a_new_fit_is_never_likelier_than_going_back() -> None:
    for y in ("1.9", "2.1", "3", "5.9", "6.1", "14"):
        for found in told(y, LEAST, WORN, MOST).values():
            assert found.p_fit is None or found.p_serviceable is None or found.p_fit <= found.p_serviceable
