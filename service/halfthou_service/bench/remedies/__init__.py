"""Remedies with amounts: what to do about a reading, by how much, and what it should read then. Cheapest and reversible first."""

from ._telling import action
from .facts import (
    Bush,
    Circuit,
    Coating,
    Cylinder,
    Found,
    Gear,
    Journal,
    Magneto,
    Measured,
    RemedyFacts,
    Ring,
    Shims,
    Spring,
    Strainer,
    Valve,
)
from .model import COST_CLASSES, Amount, Remedy
from .registry import families, remedies_by_item, remedies_for, sheet_remedies

__all__ = [
    "COST_CLASSES",
    "Amount",
    "Bush",
    "Circuit",
    "Coating",
    "Cylinder",
    "Found",
    "Gear",
    "Journal",
    "Magneto",
    "Measured",
    "Remedy",
    "RemedyFacts",
    "Ring",
    "Shims",
    "Spring",
    "Strainer",
    "Valve",
    "action",
    "families",
    "remedies_by_item",
    "remedies_for",
    "sheet_remedies",
]
