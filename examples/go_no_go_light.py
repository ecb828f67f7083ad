"""Go/no-go light for one measured characteristic: one word for the bench, the reason beside it.

    python go_no_go_light.py engine.json rod-bearing-running-clearance "3.8 thou" [INSTRUMENT]

    GREEN  may go back           exit code 0
    AMBER  look again            exit code 1: a doubt, no limit, a guide, or a safety rule
    RED    not as it is          exit code 4

A colour is a word here and never stands without its reason. A stop or a doubt is never green, and a safety rule never shows green either:
a light is no way to read one. A green light is about this reading; it says nothing about the engine.
"""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path

from halfthou import Client, HalfthouError, Refused, Verdict

GREEN, AMBER, RED = ("GREEN", "may go back", 0), ("AMBER", "look again", 1), ("RED", "not as it is", 4)
NOT_AS_IT_IS = ("stop", "beyond_limit", "outside_fit")


def light(verdict: Verdict) -> tuple[str, str, int]:
    """The word, what it means, and the exit code. Whatever is not known to be good or bad is amber."""
    if verdict.verdict in NOT_AS_IT_IS:
        return RED
    safety = verdict.limit is None or verdict.limit.kind != "limit"
    return GREEN if verdict.verdict in ("within_fit", "usable") and not safety else AMBER


def why_amber(verdict: Verdict) -> str:
    """What to add where the reading itself passed, but a light may not say so."""
    if verdict.limit is not None and verdict.limit.kind == "safety" and verdict.passes:
        return "This is a safety rule: read the sentence, not a light."
    return "This is a guide: it fails nothing, and it passes nothing." if verdict.verdict == "typical" else ""


def main(engine_file: str, characteristic: str, reading: str, instrument: str | None = None) -> int:
    """Judge one reading and say its light; 2 where the question is wrong, 3 where there is no answer."""
    url = os.environ.get("HALFTHOU_URL")
    try:
        engine = json.loads(Path(engine_file).read_text(encoding="utf-8"))
        with Client(url) if url else Client.embedded() as shop:
            verdict = shop.judge(characteristic, reading, instrument=instrument, engine=engine)
    except (HalfthouError, OSError, ValueError) as error:
        print(f"NO LIGHT  {error}", file=sys.stderr)
        return 2 if isinstance(error, (Refused, OSError, ValueError)) else 3
    word, means, code = light(verdict)
    print(f"{word}  {means}. {verdict.text}")
    if word == "AMBER" and why_amber(verdict):
        print(why_amber(verdict))
    for caution in verdict.cautions:
        print(f"! {caution.hazard}: {caution.says}")
    return code


if __name__ == "__main__":
    if len(sys.argv) not in (4, 5):
        print(__doc__, file=sys.stderr)
        sys.exit(2)
    sys.exit(main(*sys.argv[1:]))
