"""Play along a shaft: a thrust washer from stock where it is much, the face eased where it is little."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from ._packs import from_stock
from .case import Case, Family
from .model import Remedy

PLACES = {
    "crankshaft-end-float": ("Set the hub or collar closer, or fit a thrust washer", "Move the hub that sets it, or face the flange back"),
    "camshaft-end-play": ("Fit a thrust washer of the right thickness", "Ease the washer"),
    "wrist-pin-end-play": ("Fit a spacer or a longer pin", "Face the end of pin or bush back"),
    "rod-side-clearance": ("Build up or pour the flanges again and face to suit", "Face the flanges of the bearing back evenly"),
}  # fmt: skip
METAL = frozenset({"rod-side-clearance"})
MOST_WASHERS = 2


def propose(case: Case) -> Iterator[Remedy]:
    """Washers that land in the loose half; else a washer made to size; else facing."""
    if case.value is None or case.both is None or case.aim is None or not case.side:
        return
    more, less = PLACES[case.what.id]
    steps = ("Push the shaft hard one way, set the indicator to nothing, push it the other.",
             "Look first why it moved: a loose key, a broken flange.")
    tools, after = ("dial indicator", "feeler gauge"), (case.what.id, "turnover-freedom")
    if case.side == "low":
        yield case.remedy("face-back", less, "machine" if case.what.id in METAL else "hand",
                          amount=[("to gain", case.aim - case.value, case.unit)],
                          predicted=case.aim, steps=steps, tools=tools, after=after,
                          risk="No play at all burns the face as the shaft warms.")  # fmt: skip
        return
    if case.what.id in METAL:
        yield case.remedy("build-up-flange", more, "machine", amount=[("to take up", case.value - case.aim, case.unit)], predicted=case.aim,
                          steps=steps,
                          tools=tools, after=after, risk="Poured flanges must be faced square, or the rod walks.", cautions=("C056",))  # fmt: skip
        return
    chosen = _washers(case, case.value, case.both)
    pack = None if chosen is None else sum(chosen, Fraction(0))
    predicted = case.aim if pack is None else case.value - pack
    note = "" if chosen is None else f"Washers on the list: {' + '.join(case.say(t) for t in chosen)}"
    yield case.remedy("thrust-washer", more, "free", reversible=True, amount=[("to take up", case.value - predicted, case.unit)],
                      predicted=predicted, steps=steps,
                      tools=tools, after=after, note=note,
                      risk="A washer that can turn on the shaft wears through; peg or fit it so that it stays.",
                      asks=() if case.facts.washers else ("washer thicknesses on hand",))  # fmt: skip


def _washers(case: Case, value: Fraction, fit: tuple[Fraction, Fraction]) -> tuple[Fraction, ...] | None:
    """Up to two washers: the thinnest sum that brings the play under the upper bound and leaves it loose."""
    stock = tuple(t for t in (case.told(q) for q in case.facts.washers) if t is not None and t > 0)
    if not stock:
        return None
    low, high = fit
    room = (high - low) / 8
    kept = from_stock(stock, MOST_WASHERS, value - high + room, value - high + room, value - (low + high) / 2)
    kept = kept or from_stock(stock, MOST_WASHERS, value - high, value - high, value - low)
    return None if kept is None else kept.leaves


FAMILY = Family("floats", frozenset(PLACES), propose)
