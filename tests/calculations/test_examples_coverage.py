"""Every worked example of the reference list is held by a test that names it, or a reason is given."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest
from tests.calculations.test_b_examples import EXAMPLES

HERE = Path(__file__).parent
IDS: dict[str, dict[str, str]] = tomllib.loads((HERE / "example_ids.toml").read_text(encoding="utf-8"))
GRADES = {"published", "quoted", "derived", "from-memory"}


def named(example: str, pattern: str) -> list[Path]:
    """Test files of the pattern that name the id as a whole word."""
    word = re.compile(rf"(?<![\w-]){re.escape(example)}(?![\w-])")
    return [path for path in sorted(HERE.glob(pattern)) if word.search(path.read_text(encoding="utf-8"))]


def test_the_list_is_whole() -> None:
    assert len(IDS) == 102
    for example, entry in IDS.items():
        assert re.fullmatch(r"[A-Z]{2}-[A-Z]{0,2}\d{1,2}", example)
        assert entry["grade"] in GRADES, example
        assert ("test" in entry) != ("not_ours" in entry), f"{example}: either a test or a reason"


@pytest.mark.parametrize("example", [e for e, entry in IDS.items() if "test" in entry])
def test_an_example_is_held_by_a_test_that_names_it(example: str) -> None:
    assert named(example, IDS[example]["test"]), f"no {IDS[example]['test']} names {example}"


@pytest.mark.parametrize("example", [e for e, entry in IDS.items() if "not_ours" in entry])
def test_an_example_that_is_not_ours_has_a_reason_and_no_test(example: str) -> None:
    assert len(IDS[example]["not_ours"]) > 40
    assert not named(example, "test_[ab]_*.py"), f"{example} has a test after all"


def test_grades_in_the_tables_are_those_of_the_list() -> None:
    for case in EXAMPLES:
        if case.id in IDS:
            assert case.grade == IDS[case.id]["grade"], case.id


def test_published_answers_are_all_checked_but_for_a_named_few() -> None:
    left_out = {e for e, entry in IDS.items() if "not_ours" in entry and entry["grade"] in {"published", "quoted"}}
    assert left_out <= {"VI-03", "MG-02"}
