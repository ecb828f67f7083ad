"""Standard tables: fits after ISO 286 and ANSI B4.1, sieve cloth, keys, gears, threads, shim stock, oversizes, materials, roughness.

Every number keeps its grade and works. Nothing is extrapolated; exact rationals throughout.
"""

from __future__ import annotations

from ..quantity import Quantity
from . import b41, iso286
from .cells import Cell, Row, Used
from .choosing import Answer
from .designation import parse_b41
from .errors import NotPublished, OutsideTable, StandardsError, UnknownDesignation
from .fits import Fit, Part
from .inverse import Found, fits_giving
from .tables import TABLES, Column, Parameter, StandardTable


def fit(designation: str, size: Quantity) -> Fit:
    """A fit such as ``H7/g6`` (ISO 286) or ``RC5`` (ANSI B4.1) at a size.

    Raises:
        UnknownDesignation: no such fit, with near matches.
        OutsideTable: the size, a letter or a grade lies outside the tables; nothing is extrapolated.
        DimensionError: the size is not a length.
    """
    return b41.fit(designation, size) if parse_b41(designation) else iso286.fit(designation, size)


__all__ = [
    "TABLES",
    "Answer",
    "Cell",
    "Column",
    "Fit",
    "Found",
    "NotPublished",
    "OutsideTable",
    "Parameter",
    "Part",
    "Row",
    "StandardTable",
    "StandardsError",
    "UnknownDesignation",
    "Used",
    "fit",
    "fits_giving",
]
