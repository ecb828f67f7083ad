"""``python -m halfthou_specdb check | coverage | build PATH | docs FOLDER | release``.

check: validate the data files. coverage: print the coverage report. build: write the SQLite file. docs: write the Markdown pages.
release: write the snapshot of this edition.
"""

from __future__ import annotations

import sys
from pathlib import Path

from . import docs, editions
from .build import build
from .errors import SpecdbError
from .lint import faults
from .table import Table


def main(argv: list[str]) -> int:
    """Run one of the commands; returns the exit code."""
    match argv:
        case ["check"]:
            found = faults()
            for line in found:
                print(line)
            print(f"{len(found)} faults" if found else "data files: no faults")
            return 1 if found else 0
        case ["build", target]:
            try:
                print(build(Path(target)))
            except SpecdbError as error:
                print(error, file=sys.stderr)
                return 1
            return 0
        case ["coverage"]:
            print(docs.coverage(Table.from_files()))
            return 0
        case ["docs", folder]:
            print(f"{len(docs.write(Table.from_files(), Path(folder)))} pages")
            return 0
        case ["release"]:
            print(editions.write_snapshot(Table.from_files()).name)
            return 0
        case _:
            print(__doc__, file=sys.stderr)
            return 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
