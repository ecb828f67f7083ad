"""``python -m halfthou_specdb check | build PATH``: validate the data files, or build the SQLite file."""

from __future__ import annotations

import sys
from pathlib import Path

from .build import build
from .errors import SpecdbError
from .lint import faults


def main(argv: list[str]) -> int:
    """Run one of the two commands; returns the exit code."""
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
        case _:
            print(__doc__, file=sys.stderr)
            return 2


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
