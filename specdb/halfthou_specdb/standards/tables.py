"""Every standard table that can be looked up: what it is, its columns, what it may be asked by, and the function that answers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Literal

from . import cloth, fasteners, gears, keys, stock
from .choosing import Answer
from .layout import GRADES


@dataclass(frozen=True, slots=True)
class Parameter:
    """What a table may be asked by: ``length`` (a number and a unit), ``number`` (a bare number), ``text``, or one ``word`` of ``allowed``."""

    name: str
    kind: Literal["length", "number", "text", "word"]
    says: str
    allowed: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its name, what stands in it, and the kind of unit (empty for words and bare numbers)."""

    name: str
    says: str
    unit: str = ""
    words: bool = False


@dataclass(frozen=True, slots=True)
class StandardTable:
    """One look-up. ``find`` takes the parameters by name."""

    id: str
    title: str
    standard: str
    columns: tuple[Column, ...]
    parameters: tuple[Parameter, ...]
    find: Callable[..., Answer]


def _words(**says: str) -> tuple[Column, ...]:
    return tuple(Column(name, text, words=True) for name, text in says.items())


def _numbers(unit: str, **says: str) -> tuple[Column, ...]:
    return tuple(Column(name, text, unit) for name, text in says.items())


_PITCH = Parameter("pitch", "number", "diametral pitch: teeth to an inch of pitch diameter")
_MODULE = Parameter("module", "length", "module, such as 3 mm, in place of the pitch")
_SIZE = Parameter("size", "text", "thread size, such as 1/2 or #10")
_TPI = Parameter("tpi", "number", "threads per inch")
_STRENGTH = Parameter("strength", "text", "grade of SAE J429: 1, 2, 5 or 8")

_ALL = (
    StandardTable(
        "sieve-cloth", "Sieve and wire cloth by mesh or opening", "ASTM E11",
        (*_words(kind="test sieve or market grade", cloth="name"), *_numbers("um", opening="clear opening"), *_numbers("mm", wire="wire diameter"),
         *_numbers("mesh", mesh="wires in an inch"), *_numbers("percent", open_area="open part of the area"),
         *_numbers("um", older_opening="opening in former lists, still quoted")),
        (Parameter("sieve", "text", "sieve number, such as No. 80"), Parameter("mesh", "number", "number of the sieve, or wires in an inch"),
         Parameter("opening", "length", "clear opening, such as 180 um")), cloth.sieve_cloth,
    ),
    StandardTable(
        "keys", "Keys and keyseats by shaft", "ANSI B17.1",
        (*_numbers("in", shaft_over="shafts over this", shaft_upto="up to and including this", width="width of the key",
                   height_square="height of a square key", height_rectangular="height of a rectangular key",
                   s_square="bottom of the shaft seat to the far side, square", s_rectangular="the same, rectangular",
                   t_parallel_square="bottom of the hub seat to the far side, parallel square", t_parallel_rectangular="the same, rectangular",
                   t_taper_square="the same, taper square", t_taper_rectangular="the same, taper rectangular"),),
        (Parameter("shaft", "length", "shaft diameter, such as 1-7/16 in"),), keys.keys,
    ),
    StandardTable(
        "key-fits", "Tolerances of keys and keyseats", "ANSI B17.1",
        (*_words(fit_class="1 free, 2 close", shape="square or rectangular"),
         *_numbers("in", width_over="widths over this", width_upto="up to and including this", key_width_high="key width, high limit",
                   key_width_low="key width, low limit", seat_width_high="seat width, high limit", seat_width_low="seat width, low limit",
                   side_loosest="loosest at the sides", side_tightest="tightest at the sides", key_height_high="key height, high limit",
                   key_height_low="key height, low limit", shaft_seat_high="depth of the shaft seat, high limit",
                   shaft_seat_low="depth of the shaft seat, low limit", hub_seat_high="depth of the hub seat, high limit",
                   hub_seat_low="depth of the hub seat, low limit", top_loosest="loosest at the top", top_tightest="tightest at the top")),
        (Parameter("width", "length", "key width"), Parameter("shape", "word", "shape of the key", ("square", "rectangular")),
         Parameter("fit_class", "word", "class of fit", ("1", "2"))), keys.key_fits,
    ),
    StandardTable(
        "woodruff-keys", "Woodruff keys", "ANSI B17.2",
        (Column("key_number", "number of the key"), *_numbers("in", width="width", diameter="diameter of the round", height_high="height, high limit",
                                                             height_low="height, low limit")),
        (Parameter("key", "number", "number of the key, such as 608"), Parameter("width", "length", "width"),
         Parameter("diameter", "length", "diameter of the round")), keys.woodruff_keys,
    ),
    StandardTable(
        "gear-backlash", "Backlash of spur, helical and herringbone gears by pitch", "AGMA practice",
        (*_words(kind="range by centre distance, or average by pitch alone"), Column("pitch_from", "diametral pitch from"),
         Column("pitch_to", "diametral pitch to"), *_numbers("in", centres_over="centre distance over this", centres_upto="up to and including this",
                                                            backlash_low="least backlash", backlash_high="most backlash")),
        (_PITCH, _MODULE, Parameter("centres", "length", "centre distance")), gears.gear_backlash,
    ),
    StandardTable(
        "bevel-gear-backlash", "Backlash of bevel and hypoid gears by pitch", "AGMA practice",
        (Column("pitch_from", "diametral pitch from"), Column("pitch_to", "diametral pitch to"),
         *_numbers("in", quality_7_13_low="least, quality 7 to 13", quality_7_13_high="most, quality 7 to 13",
                   quality_3_6_low="least, quality 3 to 6", quality_3_6_high="most, quality 3 to 6")),
        (_PITCH, _MODULE), gears.bevel_backlash,
    ),
    StandardTable(
        "threads", "Unified threads", "Unified inch threads",
        (*_words(series="UNC coarse, UNF fine", size="size"), *_numbers("in", diameter="major diameter"),
         *_numbers("tpi", threads_per_inch="threads per inch"), *_numbers("in2", tensile_area="area that carries the load")),
        (_SIZE, Parameter("series", "word", "coarse or fine", fasteners.SERIES), _TPI), fasteners.threads,
    ),
    StandardTable(
        "bolt-strength", "Strength of bolts", "SAE J429",
        (*_words(strength="grade of SAE J429"), *_numbers("in", diameter_from="diameters from this", diameter_upto="up to and including this"),
         *_numbers("psi", proof="proof strength", yield_strength="yield strength", tensile="tensile strength")),
        (_STRENGTH,), fasteners.bolt_strength,
    ),
    StandardTable(
        "tightening", "Tightening torque, dry and oiled", "SAE J429, 75 % of proof load",
        (*_words(strength="grade of SAE J429", size="thread size", surface="dry, oiled, or zinc plated and dry"),
         *_numbers("tpi", threads_per_inch="threads per inch"), Column("nut_factor", "torque over diameter and clamp load"),
         *_numbers("lbf", clamp_load="clamp load"), *_numbers("lbf.ft", torque="torque; small sizes in lbf.in")),
        (_SIZE, _TPI, _STRENGTH, Parameter("surface", "word", "state of the thread", fasteners.SURFACES),
         Parameter("into", "word", "what the thread is cut in; refused for grey-iron and other, where nobody publishes a figure", fasteners.INTO)),
        fasteners.tightening,
    ),
    StandardTable(
        "shim-stock", "Thicknesses of shim stock", "trade series",
        (*_words(kind="kind of stock"), *_numbers("in", thickness="thickness; metric stock in mm")),
        (Parameter("kind", "text", "kind of stock"), Parameter("thickness", "length", "wanted thickness")), stock.shim_stock,
    ),
    StandardTable(
        "oversizes", "Oversizes and undersizes", "trade series and manuals",
        (*_words(what="part and kind"), *_numbers("in", amount="amount on the diameter; metric series in mm")),
        (Parameter("what", "text", "part, such as rebore"),), stock.oversizes,
    ),
    StandardTable(
        "materials", "Properties of materials, work by work", "handbooks and data sheets",
        (*_words(material="material", family="family", property="property", temperature="temperature or range"), Column("low", "from; with its unit"),
         Column("high", "to; with its unit")),
        (Parameter("material", "text", "material, or part of its name"), Parameter("family", "text", "family, such as grey iron"),
         Parameter("quantity", "word", "property", stock.PROPERTIES)), stock.materials,
    ),
    StandardTable(
        "roughness", "Surface roughness by process", "customary ranges",
        (*_words(process="process"), *_numbers("um", ra_low="from", ra_high="to"),
         *_numbers("uin", ra_low_inch="from, as printed", ra_high_inch="to, as printed")),
        (Parameter("process", "text", "process, such as honing"),), stock.roughness,
    ),
    StandardTable(
        "roughness-series", "Preferred values of roughness", "preferred Ra series",
        (*_numbers("um", ra="Ra"), *_numbers("uin", ra_inch="Ra, as printed")), (), stock.roughness_series,
    ),
    StandardTable(
        "tolerance-grades", "Standard tolerances IT01 to IT18", "ISO 286-1",
        (*_numbers("mm", over="sizes over this", upto="up to and including this"), *_numbers("um", **{f"it{g}": f"tolerance IT{g}" for g in GRADES})),
        (Parameter("size", "length", "nominal size"),), stock.tolerance_grades,
    ),
    StandardTable(
        "fit-classes", "Classes of fit and what they are for", "ANSI B4.1",
        _words(**{"class": "class", "family": "family", "use": "what it is for"}), (Parameter("family", "text", "family of fits"),),
        stock.fit_classes,
    ),
)  # fmt: skip
TABLES: Mapping[str, StandardTable] = {table.id: table for table in _ALL}
"""Every look-up by id."""
