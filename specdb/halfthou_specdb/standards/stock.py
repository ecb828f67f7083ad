"""Shim stock, oversizes and undersizes, materials, roughness, and the plain tables behind the fits."""

from __future__ import annotations

from ..quantity import Quantity
from .cells import Row
from .choosing import Answer, by_size, by_word, in_step, renamed, rows_of
from .iso286 import MM, checked
from .layout import GRADES
from .load import table

PROPERTIES = ("expansion", "elastic modulus", "density", "Brinell hardness", "solidus", "liquidus")
MEMORY_NOTE = "figures marked from-memory are recalled, not read: check them against what is on the shelf"


def shim_stock(*, kind: str = "", thickness: Quantity | None = None) -> Answer:
    """Thicknesses of shim stock; with a thickness, the stock of that size or the next thinner and thicker.

    Raises:
        UnknownId: no such kind.
        DimensionError: the thickness is not a length.
    """
    rows = by_word(rows_of("shim-stock", thickness="thickness_in|thickness_mm"), "kind", kind, "kind of shim stock")
    return Answer(by_size(rows, "thickness", thickness), (MEMORY_NOTE,))


def oversizes(*, what: str = "") -> Answer:
    """Oversizes of bores, pistons and liners, and undersizes of bearings.

    Raises:
        UnknownId: nothing is called so.
    """
    rows = by_word(rows_of("oversizes", amount="amount_in|amount_mm"), "what", what, "oversize or undersize")
    return Answer(rows, (MEMORY_NOTE, "old engines have pistons and bearings made to fit: any size can be bored and any metal poured"))


def materials(*, material: str = "", family: str = "", quantity: str = "") -> Answer:
    """Expansion, modulus, density, hardness and melting range, as each work states them.

    Raises:
        UnknownId: no such material, family or property.
    """
    rows = rows_of("materials", low="low", high="high")
    rows = by_word(by_word(rows, "material", material, "material"), "family", family, "family of materials")
    rows = by_word(rows, "property", quantity, "property of this material")
    words = ("material", "family", "property", "temperature")
    told = tuple(Row({word: row.words[word] for word in words}, row.cells, row.line, row.stated) for row in rows)
    return Answer(told, ("works differ, mostly by temperature and alloy; one figure for use is at /v1/materials",))


def roughness(*, process: str = "") -> Answer:
    """Customary roughness Ra of each process.

    Raises:
        UnknownId: no such process.
    """
    rows = rows_of("roughness", ra_low="ra_low_um", ra_high="ra_high_um", ra_low_inch="ra_low_uin", ra_high_inch="ra_high_uin")
    return Answer(by_word(rows, "process", process, "process"), ("the usual range; better and worse are met",))


def roughness_series() -> Answer:
    """The preferred values of Ra in micrometres with the microinches printed beside them."""
    return Answer(rows_of("roughness-series", ra="ra_um", ra_inch="ra_uin"), ("the microinches are rounded, as printed",))


def tolerance_grades(*, size: Quantity | None = None) -> Answer:
    """Standard tolerances IT01 to IT18 of ISO 286 by size.

    Raises:
        OutsideTable: the size is not over 0 up to 3150 mm.
        DimensionError: the size is not a length.
    """
    names = {"over": "over_mm", "upto": "upto_mm"} | {f"it{grade}": f"IT{grade}" for grade in GRADES}
    rows = tuple(renamed(row, **names) for row in table("iso286-tolerances"))
    if size is not None:
        rows = in_step(rows, "over", "upto", checked(size.to(MM)))
    return Answer(rows, ("over the first size, up to and including the second", "IT14 to IT18 are not for sizes up to 1 mm"))


def fit_classes(*, family: str = "") -> Answer:
    """What each class of ANSI B4.1 is for.

    Raises:
        UnknownId: no such family.
    """
    return Answer(by_word(rows_of("b41-classes"), "family", family, "family of fits"), ("limits at a size: /v1/fits?designation=RC5&size=2-1/4 in",))
