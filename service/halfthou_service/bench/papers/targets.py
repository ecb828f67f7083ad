"""Finished sizes for the machinist: both limits, on the diameter, with the sum they come from.

A size is worked out only from sizes on the sheet, the engine's nominal sizes and the limits of the table; nothing is proposed that the same
table would refuse. Where a size is missing the target is a relation ("your finished pin + 1.82 to 3.21 thou") and says what to measure.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction

from halfthou_specdb.rules import Open

from .clean_up import guide_too_small, pit_depth, wished_too_far
from .figures import Told, size, sizes, span
from .order_case import INCH, OrderCase, Size, inches, whose
from .target_parts import (
    GRIND_BAND,
    MARGIN,
    PIN_BAND,
    Mate,
    Target,
    at_most,
    between,
    bored_to,
    clean_journal,
    measured,
    sized,
    spread,
)

Found = tuple[list[Target], list[Mate], list[str]]
"""Targets (the first is printed largest), mates, and questions the owner must answer first."""


def targets_of(case: OrderCase, part: str) -> Found:
    """Targets, mates and open questions of one part."""
    maker: Callable[[OrderCase], Found] = MAKERS[part]
    found, mates, asks = maker(case)
    wish = case.wish(part)
    if wish.low is not None and wish.high is not None:
        low, high = wish.low.to(INCH), wish.high.to(INCH)
        own = OWN_SIZE[part]
        stands_for = [t for t in found if t.boxes.startswith(own.boxes)] or [own]
        found = [*(sized(case, t.what, t.characteristic, low, high, "yours", "the owner's own size", t.boxes) for t in stands_for),
                 *(t for t in found if t not in stands_for)]  # fmt: skip
        asks = [*(ask for ask in asks if ask == METHOD), *wished_too_far(case, part, wish.low, wish.high)]
    return found, mates, asks


METHOD = "Say before it goes: sleeved back to the nominal bore (as written here), or bored to a piston you have in hand?"
BORED_TO = "Bored to what? Give the piston's measured size (mate), or low and high."


def _own(what: str, characteristic: str, boxes: str) -> Target:
    return Target(what, characteristic, Told(""), None, None, "", "", boxes)


OWN_SIZE: Mapping[str, Target] = {
    "crankshaft": _own("Crankpin, every station, both lines", "crankpin-diameter", "Crankpin"),
    "rod-bearing": _own("Rod bearing bore, cap tight on its shims", "rod-bearing-running-clearance", "Rod bearing bore"),
    "main-bearings": _own("Main bearing bore, cap tight", "main-bearing-running-clearance", "Main bearing bore"),
    "cylinder": _own("Finished bore, every depth, both lines", "cylinder-bore-diameter", "Cylinder bore"),
    "piston": _own("New piston, skirt, thrust line", "piston-skirt-diameter", "Piston skirt"),
    "wrist-pin": _own("Bush, reamed in place", "wrist-pin-bush-clearance", "Wrist-pin bush bore"),
    "flywheel-hub": _own("Hub bore, both ends", "flywheel-bore-fit", "Bore"),
}  # fmt: skip
"""What an owner's own size stands for, part by part; a part that is not here takes none, since it has no one size."""


def ordered(case: OrderCase, part: str) -> tuple[Fraction, Fraction] | None:
    """Both limits of a part's first size, as ordered."""
    found = targets_of(case, part)[0]
    return (found[0].low, found[0].high) if found and found[0].low is not None and found[0].high is not None else None


# -- parts --------------------------------------------------------------------------------------------------------


def _crankshaft(case: OrderCase) -> Found:
    pin = case.sizes("crankpin-diameter")
    asks: list[str] = []
    found: list[Target | None] = []
    bad_pin = case.bad(("crankpin-out-of-round", "crankpin-taper", "crankpin-parallelism", "journal-score-depth"))
    if not pin:
        asks.append("No crankpin size is on the sheet: measure it at three stations on two lines before it goes.")
    elif bad_pin or spread(pin) > MARGIN:
        found.append(clean_journal(case, "Crankpin", "crankpin-diameter", pin, "Crankpin"))
    for instance in MAINS:
        if case.bad(("main-journal-out-of-round", "main-journal-taper"), (instance,)):
            mains = tuple(s for s in case.sizes("main-journal-diameter") if s.place.instance == instance)
            if mains:
                found.append(clean_journal(case, _main_name(instance), "main-journal-diameter", mains, ""))
    if None in found:
        asks.append("Sizes of one journal differ by more than wear can: one is a slip. Measure again; no size is ordered from them.")
    sizes_found = [t for t in found if t is not None]
    if case.bad(("crankshaft-runout",)) or not sizes_found:
        sizes_found += at_most(case, "crankshaft-runout", "Straighten: runout at each flywheel seat, whole reading", "Runout")
    return sizes_found, [Mate("Rod bearing, poured to this pin afterwards", "to suit", False)], asks


MAINS = ("left main", "right main")


def _main_name(instance: str) -> str:
    return f"Main journal, {instance}"


def _rod(case: OrderCase) -> Found:
    mates, pin = _pin_mate(case)
    what = "Rod bearing bore, cap tight on its shims"
    return bored_to(case, what, "rod-bearing-running-clearance", "finished crankpin", pin, "Rod bearing bore"), mates, []


def _pin_mate(case: OrderCase) -> tuple[list[Mate], tuple[Fraction, Fraction] | None]:
    stated = case.mate("rod-bearing")
    if stated is not None:
        return [Mate("Crankpin", str(size(stated, INCH, case.system)), True)], (stated, stated)
    made = case.sizes("crankpin-diameter", "as_made")
    if made:
        low, high = min(s.exact for s in made), max(s.exact for s in made)
        return [Mate("Crankpin", measured(case, made), True)], (low, high)
    found = targets_of(case, "crankshaft")[0] if case.bad(CRANK_SENDS) else []
    first = next((t for t in found if t.characteristic == "crankpin-diameter"), None)
    if first is not None and first.low is not None and first.high is not None:
        return [Mate("Crankpin", f"ordered {first.told}; measure it when it is back", False)], (first.low, first.high)
    old = case.sizes("crankpin-diameter")
    if old:
        return [Mate("Crankpin", measured(case, old), True)], (min(s.exact for s in old), max(s.exact for s in old))
    return [Mate("Crankpin", "not measured yet", False)], None


CRANK_SENDS = ("crankpin-out-of-round", "crankpin-taper", "main-journal-out-of-round", "main-journal-taper", "journal-score-depth",
               "crankshaft-runout", "crankpin-parallelism")  # fmt: skip


def _mains(case: OrderCase) -> Found:
    targets: list[Target] = []
    mates: list[Mate] = []
    ground = targets_of(case, "crankshaft")[0] if case.bad(CRANK_SENDS) else []
    for instance in MAINS:
        made = tuple(s for s in case.sizes("main-journal-diameter", "as_made") if s.place.instance == instance)
        old = made or tuple(s for s in case.sizes("main-journal-diameter") if s.place.instance == instance)
        order = next((t for t in ground if t.what.startswith(_main_name(instance))), None)
        known = (max(s.exact for s in old),) * 2 if old else None
        told = measured(case, old) if old else "not measured yet"
        if order is not None and order.low is not None and order.high is not None and not made:
            known, told = (order.low, order.high), f"ordered {order.told}; measure it when it is back"
        mates.append(Mate(_main_name(instance), told, bool(old) and not told.startswith("ordered")))
        targets += bored_to(case, f"Main bearing bore, {instance}, cap tight", "main-bearing-running-clearance",
                            f"largest diameter of the {instance}", known, f"Main bearing bore, cap tight, {instance}")  # fmt: skip
    return targets, mates, []


def _cylinder(case: OrderCase) -> Found:
    wish = case.wish("cylinder")
    nominal, piston = case.nominal("bore"), wish.mate.to(INCH) if wish.mate else None
    fit, bores = case.fit("piston-to-bore-clearance"), case.sizes("cylinder-bore-diameter")
    asks = [] if wish.method else [METHOD]
    boxes = "Cylinder bore"
    if piston is not None and fit is not None and wish.method != "sleeve":
        middle = (fit[0] + 3 * fit[1]) / 4
        low, high = piston + middle - GRIND_BAND / 2, piston + middle + GRIND_BAND / 2
        how = f"the piston in hand {size(piston, INCH, case.system)} plus a clearance in the loose half of {span(fit[0], fit[1], INCH, case.system)}"
        first = sized(case, "Finished bore, every depth, both lines", "cylinder-bore-diameter", low, high, fit[2], how, boxes)
        asks += _too_small(case, low, bores)
        return [first, *_hone(case)], [Mate("Piston in hand", str(size(piston, INCH, case.system)), True)], asks
    if wish.method == "bore":  # never the size, nor the press, of a sleeve
        more = span(fit[0], fit[1], INCH, case.system) if fit else None
        told = [Target("Finished bore, every depth, both lines", "cylinder-bore-diameter", Told(f"your piston + {more.number}", more.unit),
                       None, None, fit[2], "measure the piston first", boxes), *_hone(case)] if fit and more else []  # fmt: skip
        return told, [Mate("Piston in hand", "not measured yet", False)], [*asks, BORED_TO]
    if nominal is None:
        return [], [], [*asks, "The nominal bore is not stated: no finished size can be given."]
    how = f"nominal bore {size(nominal, INCH, case.system)}, at most {span(GRIND_BAND, GRIND_BAND, INCH, case.system)} over it, nothing under"
    what = "Finished bore of the sleeve, every depth, both lines"
    first = sized(case, what, "cylinder-bore-diameter", nominal, nominal + GRIND_BAND, "ours", how, boxes)
    press = between(case, "sleeve-interference", "Sleeve press: sleeve outside less hole")
    return [first, *press, *_hone(case)], [Mate("Piston, made to the measured bore afterwards", "to suit", False)], asks


def _too_small(case: OrderCase, low: Fraction, bores: tuple[Size, ...]) -> list[str]:
    pits = pit_depth(case)
    if bores and low < max(s.exact for s in bores) + max(MARGIN, 2 * pits):
        deep = f", with pits {span(pits, pits, INCH, case.system)} deep" if pits else ""
        return [f"That bore does not clean up: the cylinder already measures {size(max(s.exact for s in bores), INCH, case.system)}{deep}. "
                "A larger piston, or a sleeve."]  # fmt: skip
    return []


def _hone(case: OrderCase) -> list[Target]:
    return between(case, "boring-allowance-for-hone", "Leave for the hone, on the diameter")


def _piston(case: OrderCase) -> Found:
    fit = case.fit("piston-to-bore-clearance")
    made = case.sizes("cylinder-bore-diameter", "as_made")
    stated = case.mate("piston")
    found: list[Target] = []
    bore = (min(s.exact for s in made), max(s.exact for s in made)) if made else ordered(case, "cylinder")
    if stated is not None:
        bore, told = (stated, stated), str(size(stated, INCH, case.system))
    elif made:
        told = measured(case, made)
    else:
        told = f"ordered {sizes(*bore, INCH, case.system)}; measure it when it is back" if bore else "not measured yet"
    mates = [Mate("Finished bore", told, bool(made or stated))]
    if fit is not None:
        relation = span(fit[0], fit[1], INCH, case.system)
        if bore is not None:
            low, high = bore[1] - fit[1], bore[0] - (fit[0] + fit[1]) / 2
            low, high = (low, high) if low < high else (low, bore[0] - fit[0])
            how = f"measured bore less {relation}, on the diameter, aimed at the loose half"
            found.append(sized(case, "New piston, skirt, thrust line", "piston-skirt-diameter", low, high, fit[2], how, "Piston skirt"))
        else:
            found.append(Target("New piston, skirt, thrust line", "piston-skirt-diameter", Told(f"your bore less {relation.number}", relation.unit),
                                None, None, fit[2], "measure the finished bore first", "Piston skirt"))  # fmt: skip
    found += between(case, "ring-side-clearance", "Rings in their grooves, side clearance")
    return found, mates, []


def _wrist_pin(case: OrderCase) -> Found:
    nominal, pins = case.nominal("wrist-pin"), case.sizes("wrist-pin-diameter", "as_made")
    asks: list[str] = []
    found: list[Target] = []
    pin: tuple[Fraction, Fraction] | None = None
    stated = case.mate("wrist-pin")
    if stated is not None:
        pin = (stated, stated)
        mates = [Mate("Wrist pin", str(size(stated, INCH, case.system)), True)]
    elif pins:
        pin = (min(s.exact for s in pins), max(s.exact for s in pins))
        mates = [Mate("Wrist pin", measured(case, pins), True)]
    elif nominal is not None:
        pin = (nominal, nominal + PIN_BAND)
        mates = [Mate("Wrist pin", f"new, ordered {sizes(*pin, INCH, case.system)}; ream to the pin in your hand", False)]
        how = f"nominal {size(nominal, INCH, case.system)}, nothing under"
        found.append(sized(case, "New pin, whole length", "wrist-pin-diameter", *pin, "ours", how, "Wrist pin"))
    else:
        mates = [Mate("Wrist pin", "not measured yet", False)]
        asks.append("The nominal wrist pin is not stated: measure the pin in its bosses, where it never ran.")
    bush = bored_to(case, "Bush, reamed in place", "wrist-pin-bush-clearance", "finished pin", pin, "Wrist-pin bush bore")
    mates.append(Mate("Rod eye and piston bosses", "tried with the same pin", False))
    return [*bush, *found], mates, asks


def _valves(case: OrderCase) -> Found:
    found: list[Target] = []
    asks: list[str] = []
    stated = case.mate("valves")
    stem = None if stated is None else (stated, stated)
    for valve in ("exhaust", "inlet"):
        clearance = f"{valve}-valve-guide-clearance"
        if case.bad((clearance,)) or any(valve in i.place for i in case.bad(("valve-stem-wear",))):
            guide = bored_to(case, f"{valve.capitalize()} guide bore", clearance, "stem of the valve that will run", stem, "Guide bore")
            asks += guide_too_small(case, valve, guide)
            found += guide
    found += between(case, "valve-seat-width", "Seat width, along the slope")
    if stated is not None:
        return found, [Mate("Stem of the valve that will run", str(size(stated, INCH, case.system)), True)], asks
    return found, [Mate("The valves in the box", "measure the stems; they are new", False)], []


def _hub(case: OrderCase) -> Found:
    shaft = case.wish("flywheel-hub").mate
    resolved = case.limit("flywheel-bore-fit")
    if resolved is None or resolved.fit is None:
        return [], [], ["The shaft under the wheel is not stated: measure it at both ends."]
    high = inches(resolved.fit)[1]
    if isinstance(high, Open):
        return [], [], []
    told, word = span(Fraction(0), high, INCH, case.system), whose(resolved, ("fit_high",))
    if shaft is None:
        target = Target("Hub bore, both ends", "flywheel-bore-fit", Told(f"your shaft + {told.number}", told.unit), None, None, word,
                        "slides on by hand, key out; measure the shaft under the hub first", "Bore")  # fmt: skip
        return [target], [Mate("Shaft seat", "not measured yet", False)], ["Measure the shaft under the hub, both ends, two lines."]
    low = shaft.to(INCH)
    how = f"shaft {size(low, INCH, case.system)} plus {told}; slides on by hand, key out"
    target = sized(case, "Hub bore, both ends", "flywheel-bore-fit", low, low + high, word, how, "Bore")
    return [target], [Mate("Shaft seat", str(size(low, INCH, case.system)), True)], []


def _magneto(case: OrderCase) -> Found:
    how = "one steady speed, one meter, the machine assembled"
    target = Target("No size: the same volts or spark, better after than before", "", Told("measure before and after"), None, None, "", how)
    return [target], [Mate("Trip and igniter of this engine", "stays with me", False)], []


MAKERS: Mapping[str, Callable[[OrderCase], Found]] = {
    "crankshaft": _crankshaft, "rod-bearing": _rod, "main-bearings": _mains, "cylinder": _cylinder, "piston": _piston,
    "wrist-pin": _wrist_pin, "valves": _valves, "flywheel-hub": _hub, "magneto": _magneto,
}  # fmt: skip
