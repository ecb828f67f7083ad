"""Bench logger: judge each reading as it is typed, and append it with the time to a CSV log.

    python bench_logger.py engine.json log.csv

Then one reading a line: CHARACTERISTIC READING [before|after] [by INSTRUMENT], such as
    rod-bearing-running-clearance 3.8 thou by plastic-gauge-strip
    igniter-timing-start 0.3 in before
What is told from a dead centre needs its side. A line that cannot be read is told and not logged; end with end-of-file (Ctrl-D).
The log holds what a reading meant on that day, by which edition of the table; nothing in it is ever rewritten.
"""

from __future__ import annotations

import csv
import json
import os
import sys
from datetime import datetime
from pathlib import Path
from typing import Any

from halfthou import Client, HalfthouError, UsageError, Verdict

COLUMNS = ["time", "engine", "characteristic", "reading", "instrument", "verdict", "says", "edition"]
RUNS = ("=", "+", "-", "@", "\t", "\r", "\uff1d", "\uff0b", "\uff0d", "\uff20")


def plain(cell: str) -> str:
    """The cell with an apostrophe before whatever a spreadsheet would run as a formula."""
    return f"'{cell}" if cell.lstrip().startswith(RUNS) else cell


def judged(shop: Client, engine: dict[str, Any], line: str) -> tuple[list[str], Verdict]:
    """A typed line as the cells of the log, and its verdict."""
    words, _, tool = line.partition(" by ")
    characteristic, _, reading = words.strip().partition(" ")
    value, _, side = reading.strip().rpartition(" ")
    value, side = (value, side) if side in ("before", "after") else (reading.strip(), "")
    if shop.characteristic(characteristic).sign and not side:
        raise UsageError(f"{characteristic}: say before or after the dead centre, as in {reading.strip()} before")
    verdict = shop.judge(characteristic, value, relative=side or None, instrument=tool.strip() or None, engine=engine)
    now = datetime.now().astimezone().isoformat(timespec="seconds")
    return [now, str(engine.get("id", "")), characteristic, reading.strip(), tool.strip(), verdict.verdict, verdict.text, verdict.edition], verdict


def append(log: Path, cells: list[str]) -> None:
    """One row at the end of the log; the heading first where the log is new. A file that is no such log is left alone."""
    new = not log.exists() or log.stat().st_size == 0
    if not new and log.read_text(encoding="utf-8").partition("\n")[0].strip() != ",".join(COLUMNS):
        raise OSError(f"{log} is not a log of this kind; name another file")
    with log.open("a", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([COLUMNS] * new + [[plain(cell) for cell in cells]])


def main(engine_file: str, log_file: str) -> int:
    """Log until the end of standard input; 0 where every line was logged, 1 where one was not, 2 where the engine cannot be read."""
    url, code = os.environ.get("HALFTHOU_URL"), 0
    try:
        engine = json.loads(Path(engine_file).read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        print(f"{engine_file}: {error}", file=sys.stderr)
        return 2
    with Client(url) if url else Client.embedded() as shop:
        for line in filter(None, map(str.strip, sys.stdin)):
            try:
                cells, verdict = judged(shop, engine, line)
                append(Path(log_file), cells)
                print(verdict.text)
            except (HalfthouError, OSError) as error:
                print(f"not logged: {error}", file=sys.stderr)
                code = 1
    return code


if __name__ == "__main__":
    if len(sys.argv) != 3:
        print(__doc__, file=sys.stderr)
        sys.exit(2)
    sys.exit(main(*sys.argv[1:]))
