"""``halfthou judge``."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from ..errors import UsageError
from .common import (
    client,
    code_of,
    dimension_map,
    engine_options,
    leave,
    overlay_option,
    own_engine,
    print_json,
    service_options,
    told_errors,
    units_option,
)
from .sheet_source import facts_option, part_of_file

if TYPE_CHECKING:
    from ..client import Client


def _which_side(shop: Client, characteristic: str, value: tuple[str, ...], given: Mapping[str, Any]) -> None:
    """A spark angle that could be before or after dead centre is not guessed where guessing could hurt.

    Raises:
        UsageError: neither --relative nor a sign says which.
    """
    text = " ".join(value).strip()
    if not text or given["relative"] or text[0] in "-+" or re.match(r"[0.]+(?![0-9.])", text):
        return
    what = shop.characteristic(characteristic).raw
    stops = any((what.get(side) or {}).get("meaning") == "stop" for side in ("low_side", "high_side"))
    if what.get("sign") and stops:
        raise UsageError(f"{text} before or after dead centre? Say --relative before or --relative after")


@click.command("judge")
@click.argument("characteristic")
@click.argument("value", nargs=-1)
@click.option("--size", help="The size it scales with, such as '2-1/4 in'.")
@click.option("--instrument", metavar="ID", help="What it was measured with.")
@click.option("--finding", help="What was seen, in the table's words.")
@click.option(
    "--repeat",
    "values",
    multiple=True,
    metavar="READING",
    help="One of several readings in one place; may be repeated.",
)
@click.option("--low", help="The lowest met round the part.")
@click.option("--high", help="The highest met round the part.")
@click.option("--goes", help="The largest gauge that goes.")
@click.option("--does-not-go", help="The smallest gauge that does not.")
@click.option("--standard-uncertainty", help="Your own, in place of the instrument's.")
@click.option("--temperature", help="Of the part, such as '68 degF'.")
@click.option("--state", type=click.Choice(["as_found", "as_made"]), help="Found so (default), or just made so.")
@click.option("--relative", type=click.Choice(["before", "after"]), help="Angles: before or after the dead centre.")
@click.option("--along", help="Angles read on a rim: rim-arc or rim-chord, with the flywheel named as a dimension.")
@click.option("--place", help="Where, such as 'left main'.")
@click.option("--confirmed", is_flag=True, default=None, help="The reading is right although it looks like a slip.")
@click.option("--second-opinion", is_flag=True, default=None, help="Bearing clearances: the oil film beside the rule of thumb.")
@click.option("--confidence", type=click.FloatRange(0.5, 1, max_open=True), help="Proof asked for; 0.95 without it.")
@click.option("--basis", help="How it is told where the limit is told otherwise: radial, diametral, total-indicator ...")
@click.option("--instrument-temperature", help="Of the tool, where it was not as warm as the part.")
@click.option("--material", metavar="ID", help="What the part is of, with --temperature.")
@click.option("--decision-rule", type=click.Choice(["guarded", "simple", "guarded_rejection", "simple_n_to_1"]))
@click.option("--ratio", type=click.FloatRange(1, 100), help="N of simple_n_to_1; 4 without it.")
@click.option("--remedies", is_flag=True, help="What to do about it, in amounts.")
@facts_option
@click.option("--judged-by", type=click.Choice(["adopted", "each-source"]))
@engine_options
@overlay_option
@units_option
@service_options
def command(
    characteristic: str,
    value: tuple[str, ...],
    values: tuple[str, ...],
    features: tuple[str, ...],
    dimensions: tuple[str, ...],
    facts_file: Path | None,
    overlay: Path | None,
    url: str | None,
    as_json: bool,
    **given: Any,
) -> None:
    """What a reading of CHARACTERISTIC means. VALUE is a number with its unit.

    \b
    halfthou judge rod-bearing-running-clearance 3.8 thou --size "2-1/4 in" --class slow-open-crank
    halfthou judge flywheel-hub-crack --finding "hairline from keyway"
    """
    with told_errors(as_json):
        if (
            not value
            and not values
            and not any(given[name] for name in ("finding", "low", "high", "goes", "does_not_go"))
        ):
            raise UsageError(
                "there is nothing to judge: give a reading with its unit, such as '3.8 thou', or --finding"
            )
        facts = part_of_file(facts_file, "facts")
        with client(url, overlay) as shop:
            own = own_engine(shop, overlay)
            _which_side(shop, characteristic, value, given)
            verdict = shop.judge(
                characteristic,
                " ".join(value) or None,
                values=values or None,
                features=features or None,
                dimensions=dimension_map(dimensions),
                engine={"id": own} if own else None,
                facts=facts,
                **given,
            )
        if as_json:
            told = {
                "edition": verdict.edition,
                **verdict.raw,
                "cautions": [caution.raw for caution in verdict.cautions],
            }
            print_json(told | ({"limit": verdict.limit.raw} if verdict.limit else {}))
        else:
            from .show import judged

            click.echo("\n".join(judged(verdict)))
        leave(code_of(verdict))
