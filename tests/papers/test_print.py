"""Printed: one page a part, one sheet an assembly with its sources behind it, on letter and on A4, nothing cut off."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest
from tests.papers.papers_of_demo import HEAD, limits, order, pages
from tests.papers.sheets import judged

from halfthou_service.bench.papers.order_case import Wish
from halfthou_service.bench.papers.recipes import recipes
from halfthou_service.bench.papers.work_order import work_order
from halfthou_service.pages import STYLE, work_order_page

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser") or "chromium"
PAPERS = {"letter": "letter", "a4": "A4"}
OPTIONS = ("--headless --no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking --disable-component-update "
           "--disable-sync --disable-dev-shm-usage --no-pdf-header-footer").split()  # fmt: skip


def printed(page: str, folder: Path, paper: str) -> list[str]:
    """The text of each printed page."""
    source, target = folder / "page.html", folder / "page.pdf"
    source.write_text(page.replace("@page {", f"@page {{ size: {PAPERS[paper]};", 1), "utf-8")
    run = [BROWSER, *OPTIONS, f"--user-data-dir={folder / 'browser'}", f"--print-to-pdf={target}", source.as_uri()]
    done = subprocess.run(run, capture_output=True, text=True, timeout=180, check=False)
    assert target.exists(), done.stderr[-2000:]
    told = subprocess.run(["pdfinfo", str(target)], capture_output=True, text=True, check=True).stdout
    count = int(re.search(r"Pages:\s+(\d+)", told)[1])  # type: ignore[index]
    width = re.search(r"Page size:\s+([0-9.]+) x", told)[1]  # type: ignore[index]
    assert width.startswith("612" if paper == "letter" else "59"), told
    texts = []
    for number in range(1, count + 1):
        run = ["pdftotext", "-layout", "-f", str(number), "-l", str(number), str(target), "-"]
        texts.append(" ".join(subprocess.run(run, capture_output=True, text=True, check=True).stdout.split()))
    return texts


def test_the_style_names_no_paper_of_its_own() -> None:
    assert STYLE.startswith("@page { margin:")


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", ["work-order", "work-order-metric"])
def test_a_part_is_one_printed_page(tmp_path: Path, paper: str, name: str) -> None:
    texts = printed(pages()[name], tmp_path, paper)
    parts = [t for t in texts if re.search(r"part \d+ of \d+", t)]
    assert len(parts) == len(order().parts)
    owners = len(texts) - len(parts)
    assert texts[owners:] == parts, "a part ran over its page"
    assert 1 <= owners <= 3
    for part, text in zip(order().parts, parts, strict=True):
        assert part.name in text
        assert "STOP AND RING ME IF" in text
        assert "measured by" in text, f"the foot of {part.name} is cut off"


@pytest.mark.parametrize("paper", PAPERS)
def test_every_part_there_is_fits_one_page(tmp_path: Path, paper: str) -> None:
    at, answer, found = judged()
    kept = [i for i in range(len(found)) if found[i].id != "a04"]
    at, answer, found = judged([found[i] for i in kept])
    whole = work_order(at, answer, found, wishes={r.id: Wish(send=True) for r in recipes()}, letterhead=HEAD)
    assert [p.id for p in whole.parts] == [r.id for r in recipes()]
    texts = printed(work_order_page(whole), tmp_path, paper)
    parts = [t for t in texts if re.search(r"part \d+ of \d+", t)]
    assert len(parts) == len(whole.parts)
    assert texts[-len(parts) :] == parts
    assert all("measured by" in t for t in parts)


@pytest.mark.parametrize("paper", PAPERS)
def test_the_machinists_copy_is_one_page(tmp_path: Path, paper: str) -> None:
    assert len(printed(pages()["machinist"], tmp_path, paper)) == 1


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", ["limits", "limits-metric"])
def test_an_assembly_is_one_sheet_with_its_sources_on_the_back(tmp_path: Path, paper: str, name: str) -> None:
    texts = printed(pages()[name], tmp_path, paper)
    count = len(limits().pages)
    fronts = [n for n, t in enumerate(texts) if re.search(rf"(?<!of )page \d+ of {count}\b", t)]
    assert len(fronts) == count
    for n, front in enumerate(fronts):
        assert f"back of page {n + 1}" in texts[front + 1], f"page {n + 1} ({limits().pages[n].assembly.name}) runs over its sheet"
        assert front % 2 == 0, "a front stands on a right-hand page, so that its back is its back"


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", ["readiness", "as-found", "comparison", "parts-back"])
def test_the_other_papers_print(tmp_path: Path, paper: str, name: str) -> None:
    texts = printed(pages()[name], tmp_path, paper)
    assert 1 <= len(texts) <= 12
    assert all(texts)


def test_the_list_for_the_first_start_begins_a_page_of_its_own(tmp_path: Path) -> None:
    texts = printed(pages()["readiness"], tmp_path, "letter")
    start = [n for n, t in enumerate(texts) if "Before anybody touches the wheel" in t]
    assert start == [len(texts) - 1]
    assert "What stops you" not in texts[start[0]]
