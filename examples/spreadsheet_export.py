"""Spreadsheet export: judge a CSV sheet of readings and write a CSV that a spreadsheet opens.

    python spreadsheet_export.py engine.json readings.csv judged.csv

What stops comes first, then the sheet's own order. A cell that a spreadsheet would run as a formula gains an apostrophe. An existing file is
left alone. Exit code 0 where every reading passes, 1 where one does not, 4 at a stop.
"""

from __future__ import annotations

import csv
import json
import os
import re
import sys
from pathlib import Path

from halfthou import Client, HalfthouError, SheetAnswer, Verdict

COLUMNS = ["id", "characteristic", "verdict", "value", "unit", "give or take (k = 2)", "says", "new fit", "worn out", "grade", "assumed", "edition"]
RUNS = ("=", "+", "-", "@", "\t", "\r", "\uff1d", "\uff0b", "\uff0d", "\uff20")


def plain(cell: object) -> str:
    """The cell as text; what a spreadsheet would run gains an apostrophe, a negative number stays a number."""
    text = str(cell)
    return f"'{text}" if text.lstrip().startswith(RUNS) and not re.fullmatch(r"-?[0-9.]+", text) else text


def row(item: Verdict, edition: str) -> list[str]:
    """One verdict as cells, in the order of the columns."""
    value, doubt, limit = item.value, item.standard_uncertainty, item.limit
    give = f"{2 * doubt.value:f} {doubt.unit}" if doubt else ""
    held = [str(limit.fit), str(limit.wear), limit.grade] if limit else ["", "", ""]
    says = item.text or (item.problem.detail if item.problem else "")
    cells = [item.id, item.characteristic, item.verdict, f"{value.value:f}" if value else "", value.unit if value else "", give, says]
    return [plain(cell) for cell in (*cells, *held, "; ".join(item.assumed), edition)]


def rows(answer: SheetAnswer) -> list[list[str]]:
    """Every reading, stops first; then one row for the sheet as a whole."""
    ordered = sorted(answer, key=lambda item: item.verdict != "stop")
    last = plain(answer.overall.text)
    return [COLUMNS, *(row(item, answer.edition) for item in ordered), ["", "", "", "", "", "", last, "", "", "", "", answer.edition]]


def main(engine_file: str, sheet_file: str, out_file: str) -> int:
    """Judge and write; 2 where something is wrong with the files."""
    url = os.environ.get("HALFTHOU_URL")
    try:
        engine = json.loads(Path(engine_file).read_text(encoding="utf-8"))
        with Client(url) if url else Client.embedded() as shop:
            answer = shop.judge_sheet(Path(sheet_file), engine=engine)
        # The mark at the start tells a spreadsheet that the text is UTF-8.
        with Path(out_file).open("x", encoding="utf-8-sig", newline="") as file:
            csv.writer(file).writerows(rows(answer))
    except (HalfthouError, OSError, ValueError) as error:
        print(f"nothing written: {error}", file=sys.stderr)
        return 2
    print(f"{out_file}: {answer.overall.text}")
    return 4 if answer.stops else 0 if answer.all_pass else 1


if __name__ == "__main__":
    if len(sys.argv) != 4:
        print(__doc__, file=sys.stderr)
        sys.exit(2)
    sys.exit(main(*sys.argv[1:]))
