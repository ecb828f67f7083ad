"""``python -m halfthou_service.calculations docs FOLDER``: write the pages of documentation."""

from __future__ import annotations

import sys
from pathlib import Path

from ._pages import MADE, pages


def main(words: list[str]) -> int:
    """Write every page into a folder, and take away pages of calculations that are gone."""
    if len(words) != 2 or words[0] != "docs":
        print("usage: python -m halfthou_service.calculations docs FOLDER", file=sys.stderr)
        return 2
    folder = Path(words[1])
    folder.mkdir(parents=True, exist_ok=True)
    wanted = pages()
    for old in folder.glob("*.md"):
        if old.name not in wanted and old.read_text(encoding="utf-8").startswith(MADE):
            old.unlink()
    for name, text in wanted.items():
        (folder / name).write_text(text, encoding="utf-8")
    print(f"{len(wanted)} pages in {folder}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
