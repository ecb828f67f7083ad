"""The next size that cleans a worn bore or journal up."""

from __future__ import annotations

from collections.abc import Sequence

from .frame import Flag, Input, Output

ROUNDING = 1e-9
"""m; a size this close to the clean-up counts as reaching it."""


def next_size(sizes: Sequence[float], needed: float, tried: float | None = None) -> float | None:
    """The smallest of ``sizes`` that takes off ``needed`` and is over a size already ``tried``; None past the last.

    >>> next_size((0.04, 0.02, 0.03), 0.014), next_size((0.02, 0.03, 0.04), 0.014, tried=0.02), next_size((0.02,), 0.03)
    (0.02, 0.03, None)
    """
    fit = [s for s in sizes if s >= needed - ROUNDING and (tried is None or s > tried + ROUNDING)]
    return min(fit, default=None)


SHARED = (
    Input("axis_offset", "length", "thou", "how far the cutter's axis lies from the worn one", low=0.0, high=0.01, default=0.0),
    Input("score_depth", "length", "thou", "depth of the deepest score below the measured wall", low=0.0, high=0.01, default=0.0),
    Input("margin", "length", "thou", "extra on the diameter to be sure of clean metal", low=0.0, high=0.005, default=0.001 * 0.0254),
)
TRIED = Input("tried", "length", "thou", "a size already cut that did not clean up", low=0.0, high=0.02, required=False)
CLEAN_UP = Output("clean_up", "length", "in", "mm", "diameter that just cleans up")


def no_offset_flag(axis_offset: float) -> list[Flag]:
    """A flag where the cutter is taken to follow the wear."""
    if axis_offset > 0.0:
        return []
    return [Flag("axis-follows-wear", "The cutter was taken to centre on the worn hole or journal. Kept on the first axis it needs twice the "
                 "offset more."),]  # fmt: skip
