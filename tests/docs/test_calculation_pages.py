"""The pages of the calculations are those that are made from the code, whole, and linked."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from halfthou_service.calculations import CALCULATIONS
from halfthou_service.calculations.__main__ import main
from halfthou_service.calculations._pages import MADE, pages

FOLDER = Path(__file__).resolve().parents[2] / "docs" / "calculations"


def test_the_committed_pages_are_those_made_now():
    """Make them anew: python -m halfthou_service.calculations docs docs/calculations."""
    assert {path.name: path.read_text(encoding="utf-8") for path in FOLDER.glob("*")} == pages()


@pytest.mark.parametrize("what", CALCULATIONS.values(), ids=list(CALCULATIONS))
def test_a_page_tells_everything(what):
    text = (FOLDER / f"{what.id}.md").read_text(encoding="utf-8")
    headings = re.findall(r"^## (.+)$", text, re.MULTILINE)
    assert headings[:7] == ["Equation", "Inputs", "Outputs", "Where it holds", "What it assumes", "A worked number", "What it rests on"]
    assert ("Mind" in headings) == bool(what.cautions)
    rows = re.findall(r"^\| `(\w+)` \|", text, re.MULTILINE)
    assert rows == [item.name for item in (*what.inputs, *what.outputs)]
    assert all(caution in text for caution in what.cautions)
    assert all(line.count("|") - line.count("\\|") in (4, 6) for line in text.splitlines() if line.startswith("| `"))


def test_the_index_leads_to_every_page():
    links = re.findall(r"\]\(([a-z-]+\.md)\)", (FOLDER / "README.md").read_text(encoding="utf-8"))
    assert links == [f"{name}.md" for name in CALCULATIONS]


def test_writing_takes_away_only_pages_of_its_own(tmp_path, capsys):
    (tmp_path / "gone.md").write_text(f"{MADE}\n# Gone\n")
    (tmp_path / "mine.md").write_text("# Mine\n")
    assert main(["docs", str(tmp_path)]) == 0
    assert {path.name for path in tmp_path.iterdir()} == {*pages(), "mine.md"}
    assert main(["docs"]) == 2
    assert "usage" in capsys.readouterr().err
