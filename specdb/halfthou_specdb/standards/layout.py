"""How each data file of the standard tables is laid out: words, numbers with units, what names a row, what must hold.

A number cell may end in ``~key``; otherwise it has the key of the last column, ``by``. A key stands in ``provenance.csv``
under the table's name with its grade, works and note; ``locators.csv`` says where in each work.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

GRADES = ("01", "0", *(str(n) for n in range(1, 19)))
"""Tolerance grades of ISO 286, finest first."""
SHAFT_COLUMNS = "a b c cd d e ef f fg g h j:5-6 j:7 j:8 k:4-7 k:rest m n p r s t u v x y z za zb zc".split()
HOLE_COLUMNS = "A B C CD D E EF F FG G H J:6 J:7 J:8 K:to8 K:9up M:to8 M:9up N:to8 N:9up P R S T U V X Y Z ZA ZB ZC".split()
"""Letters of the deviation tables; after a colon the grades that a column is for."""


@dataclass(frozen=True, slots=True)
class Layout:
    """The columns of one file.

    ``bands``: the columns over and up-to of a row; within rows that share ``group`` they follow each other without a gap.
    ``ordered``: pairs of columns of which the first is never above the second. ``closes``: the row is a fit of B4.1.
    """

    name: str
    words: tuple[str, ...]
    numbers: Mapping[str, str]
    names: tuple[str, ...]
    optional: frozenset[str] = frozenset()
    bands: tuple[str, str] = ("", "")
    group: tuple[str, ...] = ()
    ordered: tuple[tuple[str, str], ...] = ()
    closes: bool = False

    @property
    def columns(self) -> frozenset[str]:
        """Every column of the heading line."""
        return frozenset({*self.words, *self.numbers, "by"})


def _iso(name: str, columns: list[str], optional: bool) -> Layout:
    numbers = {"over_mm": "mm", "upto_mm": "mm"} | dict.fromkeys(columns, "um")
    return Layout(name, (), numbers, ("over_mm",), frozenset(columns) if optional else frozenset(), ("over_mm", "upto_mm"))


_KEY_FIT = ("key_width", "seat_width", "key_height", "shaft_seat", "hub_seat")
_KEY_FIT_NUMBERS = {
    "width_over_in": "in", "width_upto_in": "in", "key_width_high_in": "in", "key_width_low_in": "in", "seat_width_high_in": "in",
    "seat_width_low_in": "in", "side_loosest_in": "in", "side_tightest_in": "in", "key_height_high_in": "in", "key_height_low_in": "in",
    "shaft_seat_high_in": "in", "shaft_seat_low_in": "in", "hub_seat_high_in": "in", "hub_seat_low_in": "in", "top_loosest_in": "in",
    "top_tightest_in": "in",
}  # fmt: skip

_ALL = (
    _iso("iso286-tolerances", [f"IT{g}" for g in GRADES], True),
    _iso("iso286-shafts", SHAFT_COLUMNS, True),
    _iso("iso286-holes", HOLE_COLUMNS, True),
    _iso("iso286-delta", [f"IT{n}" for n in range(3, 9)], False),
    Layout("iso286-exceptions", ("zone",), dict(over_mm="mm", upto_mm="mm", es_um="um"), ("zone", "over_mm"),
           ordered=(("over_mm", "upto_mm"),)),
    Layout("b41-fits", ("class", "hole_zone", "shaft_zone"),
           dict(over_in="in", upto_in="in", hole_high_thou="thou", shaft_high_thou="thou", shaft_low_thou="thou",
                    tightest_thou="thou", loosest_thou="thou"),
           ("class", "over_in"), frozenset({"hole_zone", "shaft_zone"}), ("over_in", "upto_in"), ("class",),
           (("shaft_low_thou", "shaft_high_thou"), ("tightest_thou", "loosest_thou")), closes=True),
    Layout("b41-classes", ("class", "family", "use"), {}, ("class",)),
    Layout("sieve-cloth", ("sieve",), dict(opening_um="um", wire_mm="mm"), ("sieve",)),
    Layout("sieve-older", ("sieve",), dict(older_opening_um="um"), ("sieve",)),
    Layout("market-cloth", (), dict(mesh_per_in="mesh", wire_in="in", open_area_percent="percent"), ("mesh_per_in",)),
    Layout("key-sizes", (), dict(shaft_over_in="in", shaft_upto_in="in", width_in="in", height_square_in="in",
                                     height_rectangular_in="in"),
           ("shaft_over_in",), frozenset({"height_rectangular_in"}), ("shaft_over_in", "shaft_upto_in")),
    Layout("key-depths", (), dict(shaft_in="in", s_square_in="in", s_rectangular_in="in", t_parallel_square_in="in",
                                      t_parallel_rectangular_in="in", t_taper_square_in="in", t_taper_rectangular_in="in"), ("shaft_in",)),
    Layout("key-fits", ("fit_class", "shape"), _KEY_FIT_NUMBERS, ("fit_class", "shape", "width_over_in"),
           frozenset({f"{part}_{end}_in" for part in _KEY_FIT[2:] for end in ("high", "low")} | {"top_loosest_in", "top_tightest_in"}),
           ("width_over_in", "width_upto_in"), ("fit_class", "shape"),
           (*((f"{part}_low_in", f"{part}_high_in") for part in _KEY_FIT), ("side_tightest_in", "side_loosest_in"),
            ("top_tightest_in", "top_loosest_in"))),
    Layout("woodruff-keys", (), dict(key_number="", width_in="in", diameter_in="in", height_high_in="in", height_low_in="in"),
           ("key_number",), ordered=(("height_low_in", "height_high_in"),)),
    Layout("gear-backlash", ("kind",), dict(pitch_from="", pitch_to="", centres_over_in="in", centres_upto_in="in",
                                                backlash_low_in="in", backlash_high_in="in"),
           ("kind", "pitch_from", "centres_over_in"), frozenset({"centres_over_in", "centres_upto_in"}),
           ordered=(("pitch_from", "pitch_to"), ("centres_over_in", "centres_upto_in"), ("backlash_low_in", "backlash_high_in"))),
    Layout("bevel-backlash", (), dict(pitch_from="", pitch_to="", quality_7_13_low_in="in", quality_7_13_high_in="in",
                                          quality_3_6_low_in="in", quality_3_6_high_in="in"), ("pitch_from",),
           bands=("pitch_from", "pitch_to"),
           ordered=(("quality_7_13_low_in", "quality_7_13_high_in"), ("quality_3_6_low_in", "quality_3_6_high_in"))),
    Layout("threads", ("series", "size"), dict(diameter_in="in", threads_per_in="tpi", tensile_area_in2="in2"), ("series", "size")),
    Layout("bolt-strength", ("strength",), dict(diameter_from_in="in", diameter_upto_in="in", proof_psi="psi", yield_psi="psi",
                                                    tensile_psi="psi"), ("strength", "diameter_from_in"),
           ordered=(("diameter_from_in", "diameter_upto_in"), ("proof_psi", "yield_psi"), ("yield_psi", "tensile_psi"))),
    Layout("tightening", ("strength", "size", "surface"),
           dict(threads_per_in="tpi", nut_factor="", clamp_lbf="lbf", torque_lbf_in="lbf.in", torque_lbf_ft="lbf.ft"),
           ("strength", "size", "threads_per_in", "surface"), frozenset({"torque_lbf_in", "torque_lbf_ft"})),
    Layout("shim-stock", ("kind",), dict(thickness_in="in", thickness_mm="mm"), ("kind", "thickness_in", "thickness_mm"),
           frozenset({"thickness_in", "thickness_mm"})),
    Layout("oversizes", ("what",), dict(amount_in="in", amount_mm="mm"), ("what", "amount_in", "amount_mm"),
           frozenset({"amount_in", "amount_mm"})),
    Layout("materials", ("material", "family", "property", "unit", "temperature"), dict(low="", high=""),
           ("material", "property", "low", "high", "temperature", "by"), frozenset({"unit", "temperature"}), ordered=(("low", "high"),)),
    Layout("roughness", ("process",), dict(ra_low_um="um", ra_high_um="um", ra_low_uin="uin", ra_high_uin="uin"), ("process",),
           ordered=(("ra_low_um", "ra_high_um"), ("ra_low_uin", "ra_high_uin"))),
    Layout("roughness-series", (), dict(ra_um="um", ra_uin="uin"), ("ra_um",)),
)  # fmt: skip
LAYOUTS: Mapping[str, Layout] = {layout.name: layout for layout in _ALL}
"""Every data file by name."""
