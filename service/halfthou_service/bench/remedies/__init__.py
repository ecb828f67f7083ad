"""Remedies with amounts: what to do about a reading, by how much, and what it should read then. Cheapest and reversible first."""

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
from .model import COST_CLASSES, Remedy
from .registry import FAMILIES, remedies_by_item, remedies_for, sheet_remedies

__all__ = [
    "COST_CLASSES",
    "FAMILIES",
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
    "remedies_by_item",
    "remedies_for",
    "sheet_remedies",
]
