"""``halfthou limit``."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from .common import (
    ALL_WELL,
    SOMETHING,
    client,
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


@click.command("limit")
@click.argument("characteristic")
@click.option("--size", help="The size it scales with, such as '2-1/4 in'.")
@click.option("--evidence", type=click.Choice(["full", "ids", "none"]), help="How much of the evidence to tell.")
@engine_options
@overlay_option
@units_option
@service_options
def command(
    characteristic: str,
    size: str | None,
    evidence: Any,
    engine_class: str | None,
    use: str | None,
    features: tuple[str, ...],
    dimensions: tuple[str, ...],
    overlay: Path | None,
    units: Any,
    url: str | None,
    as_json: bool,
) -> None:
    """What CHARACTERISTIC should be, who says so and who disagrees.

    \b
    halfthou limit rod-bearing-running-clearance --class slow-open-crank --size "2-1/4 in"
    """
    with told_errors(as_json), client(url, overlay) as shop:
        own = own_engine(shop, overlay)
        limit = shop.limit(
            characteristic,
            engine_class=engine_class,
            size=size,
            use=use,
            features=features or None,
            dimensions=dimension_map(dimensions),
            engine={"id": own} if own else None,
            units=units,
            evidence=evidence,
        )
        if as_json:
            print_json(limit.raw)
        else:
            from .show import limit_answer

            click.echo("\n".join(limit_answer(limit)))
        leave(ALL_WELL if limit.found else SOMETHING)
