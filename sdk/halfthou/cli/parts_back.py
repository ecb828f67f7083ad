"""``halfthou parts-back``."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from ..asking_papers import read_report, report_of_text
from .common import ALL_WELL, SOMETHING, client, leave, overlay_option, told_errors, units_option
from .paper_common import checked, form_of, hand_over, paper_options
from .sheet_source import stdin


@click.command("parts-back")
@click.argument("report", type=click.Path(path_type=Path, allow_dash=True))
@click.option("--confidence", type=click.FloatRange(0.5, 1, max_open=True), help="Proof asked for; 0.95 without it.")
@click.option("--decision-rule", type=click.Choice(["guarded", "simple", "guarded_rejection", "simple_n_to_1"]))
@click.option("--ratio", type=click.FloatRange(1, 100), help="N of simple_n_to_1; 4 without it.")
@click.option("--engine-id", metavar="ID", help="Your name for the engine, where an overlay is bound to it.")
@overlay_option
@units_option
@paper_options
def command(
    report: Path,
    overlay: Path | None,
    form: str | None,
    out: Path | None,
    replace: bool,
    url: str | None,
    as_json: bool,
    **rules: Any,
) -> None:
    """The machinist's REPORT of finished sizes (CSV or JSON, - for standard input) against the order.

    The blank form comes from halfthou order --report. Fill in what he says under reported and what you read under measured.
    Exit code 0 where every place is to the order and the two of you agree, otherwise 1.

    \b
    halfthou parts-back report.csv
    halfthou parts-back report.csv --out back.html
    """
    with told_errors(as_json):
        chosen = form_of(form, out, as_json)
        checked(out, replace)
        sent = report_of_text(stdin(), "standard input") if str(report) == "-" else read_report(report)
        with client(url, overlay) as shop:
            back = shop.parts_back(sent, **rules)
            from .back_page import back_page

            hand_over(chosen, out, replace, raw=back.raw, lines=lambda: back_page(back),
                      paper=lambda form: shop.paper("parts-back", sent, format=form, **rules))  # fmt: skip
        leave(ALL_WELL if back.all_to_order else SOMETHING)
