"""Every paper of the demonstration, made once."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Any

from tests.papers.sheets import bench, judged, readings

from halfthou_service.bench.papers.as_found_sheet import AsFoundSheet, as_found_sheet
from halfthou_service.bench.papers.comparison import Comparison, by_state, compare
from halfthou_service.bench.papers.limits_sheet import LimitsSheet, limits_sheet
from halfthou_service.bench.papers.parts_back import BackLine, Figure, PartsBack, parts_back
from halfthou_service.bench.papers.readiness import Readiness, readiness
from halfthou_service.bench.papers.work_order import Letterhead, WorkOrder, work_order
from halfthou_service.pages import (
    as_found_page,
    comparison_page,
    limits_page,
    parts_back_page,
    readiness_page,
    work_order_page,
)
from halfthou_specdb.quantity import parse_quantity

HEAD = Letterhead("12 March", "the owner", "555 0143", "the grinder")


@cache
def limits(system: Any = "inch") -> LimitsSheet:
    return limits_sheet(bench(), system)


@cache
def order(system: Any = "inch") -> WorkOrder:
    at, answer, found = judged()
    return work_order(at, answer, found, system, letterhead=HEAD)


@cache
def before_start() -> Readiness:
    return readiness(bench(), readings())


@cache
def as_found(system: Any = "inch") -> AsFoundSheet:
    return as_found_sheet(bench(), system)


@cache
def before_after() -> Comparison:
    at, answer, found = judged()
    return compare(at, *by_state(answer, found))


def figure(value: str = "", u: str = "", words: str = "", tool: str = "") -> Figure:
    return Figure(parse_quantity(value) if value else None, parse_quantity(u) if u else None, tool, words)


# The invented machinist's report of the demonstration: two traps, a fillet cut sharp and a bore under the order inside the gauge's doubt.
RETURNED = (
    BackLine("crankshaft", "Crankpin", "mean", "", parse_quantity("1.7995 in"), parse_quantity("1.8000 in"), figure("1.8000 in"),
             figure("1.7997 in", "0.00015 in")),
    BackLine("crankshaft", "Fillet radius", "crankpin", "", parse_quantity("0.125 in"), None, figure(words="as original"),
             figure("0.040 in", tool="radius-gauge")),
    BackLine("crankshaft", "Runout, whole reading", "gear-side seat", "", None, parse_quantity("0.0020 in"), figure("0.0015 in"),
             figure("0.0018 in", "0.0005 in")),
    BackLine("cylinder", "Cylinder bore", "top", "", parse_quantity("5.2500 in"), parse_quantity("5.2505 in"), figure("5.2500 in"),
             figure("5.2504 in", "0.00025 in")),
    BackLine("cylinder", "Cylinder bore", "below", "", parse_quantity("5.2500 in"), parse_quantity("5.2505 in"), figure("5.2500 in"),
             figure("5.2496 in", "0.00025 in")),
)  # fmt: skip


@cache
def back() -> PartsBack:
    return parts_back(bench(), RETURNED)


@cache
def pages() -> Mapping[str, str]:
    """Every page of the demonstration by name."""
    return {
        "limits": limits_page(limits()), "limits-metric": limits_page(limits("metric")), "work-order": work_order_page(order()),
        "work-order-metric": work_order_page(order("metric")), "machinist": work_order_page(order(), "crankshaft"),
        "readiness": readiness_page(before_start()), "as-found": as_found_page(as_found()), "comparison": comparison_page(before_after()),
        "parts-back": parts_back_page(back()),
    }  # fmt: skip
