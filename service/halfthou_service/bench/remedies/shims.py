"""Shims under a bearing cap: the same out of both sides, a leaf at a time, toward the loose half; or none, and why."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.rules import Open

from ._oval import CLEARANCES, Oval, out_of_round, oval_of, too_oval
from ._packs import alike_from_leaves, steps_out, with_stock
from .case import MM, THOU, Case, Family
from .facts import Shims, same_place
from .model import Amount, Remedy

UNLIKE = {"rod-shim-side-difference": "rod-bearing-running-clearance", "main-shim-side-difference": "main-bearing-running-clearance"}
DRAG = frozenset({"bearing-drag", "bearing-running-temperature"})
TOOLS = ("micrometer", "plastic gauge strip or telescoping gauge", "marking blue")
NEAR = Fraction(3, 4)
"""Share of the allowed difference of two mains that is aimed for: never its end."""
MOST_ON_A_SIDE = 24
"""More leaves than this on one side are taken as a height only."""
LEAVES, STOCK = "leaves on each side", "leaf thicknesses on hand"
RISK = "A cap drawn down on unlike packs leans and pinches at one edge; one leaf too many out and the metal burns."
STEPS = ("Block the wheels, ignition dead, before a cap comes off.", "Tag every leaf: this step can be undone.",
         "Change both sides alike, one thin leaf at a time.", "Draw the cap down on both packs, never to pinch; gauge it again.",
         "Turn the shaft all the way round by hand and feel for drag.")  # fmt: skip


@dataclass(frozen=True, slots=True)
class Packs:
    """Heights of the two packs (this unit; None unknown) and their leaves, where told."""

    left: Fraction | None = None
    right: Fraction | None = None
    leaves: tuple[tuple[Fraction, ...], tuple[Fraction, ...]] | None = None
    paper: bool | None = None

    @property
    def mean(self) -> Fraction | None:
        """Half of both heights: what the clearance hangs on."""
        return None if self.left is None or self.right is None else (self.left + self.right) / 2


@dataclass(frozen=True, slots=True)
class Choice:
    """What both sides end at (None where no pack was measured), the tightest clearance then, and the leaves of one side where known.

    ``new``: which of them come from stock.
    """

    pack: Fraction | None
    clearance: Fraction
    leaves: tuple[Fraction, ...] | None = None
    new: tuple[Fraction, ...] = ()


def propose(case: Case) -> Iterator[Remedy]:
    """Clearance by shims; packs made alike; a tight bearing eased by a leaf."""
    if case.what.id in CLEARANCES:
        yield from _clearance(case)
    elif case.what.id in UNLIKE:
        yield from _alike(case)
    elif case.what.id in DRAG:
        leaf = ("each side", Fraction(1, 50), MM) if case.bench.rules.units == "metric" else ("each side", Fraction(1), THOU)
        yield case.remedy("slack-a-leaf", "Put one thin leaf more under both sides of the tight cap", "free", reversible=True,
                          amount=[leaf],
                          steps=STEPS, tools=TOOLS, risk=RISK, after=("bearing-drag", "main-bearing-running-clearance"),
                          asks=("which cap is tight",))  # fmt: skip
    elif case.value is not None and case.side == "high" and not isinstance(case.high, Open):
        yield from _level(case, case.value, case.high)


def _level(case: Case, value: Fraction, most: Fraction) -> Iterator[Remedy]:
    """Two mains that differ: by their own remedies where one of them is out of its fit, else the looser brought down as far as it may be."""
    main = "main-bearing-running-clearance"
    known, fit = case.measured(main, anywhere=True), case.limit(main)
    after = ("main-bearing-clearance-difference", main)
    spare: Fraction | None = None
    if fit is not None and not isinstance(fit.low, Open) and not isinstance(fit.high, Open):
        low, high = fit.low, fit.high
        if any(not low <= one <= high for one in known):
            case.as_written = False
            yield case.remedy("set-both", "Set both mains by their own remedies, to one figure, and do nothing more for this", "free",
                              reversible=True, amount=[("clearance of both from", (low + high) / 2, case.unit), ("to", high, case.unit)],
                              steps=STEPS, tools=TOOLS, risk=RISK, after=after,
                              note=f"Read both again then: apart by {case.say(most)} at most")  # fmt: skip
            return
        spare = max(known) - low if known else None
    tried = (steps_out(value, Fraction(0), most * share, case.step) for share in (1 - NEAR, Fraction(1, 2), NEAR))
    n = next((n for n in tried if n is not None and (spare is None or n < spare)), None)
    if n is None:
        yield case.nothing("Shims out of the looser main would make it too tight before the two are alike", "Scrape the tighter one to blue.")
    else:
        yield case.remedy("bring-looser-side-down", "Take shims out of the looser bearing, both its sides alike", "free", reversible=True,
                          amount=[("each side", n, case.unit)], predicted=value - n, steps=STEPS, tools=TOOLS, risk=RISK, after=after)  # fmt: skip


def packs_of(case: Case, pack: str) -> Packs:
    """What is known of the packs at this bearing: told with the sheet, or read as pack heights."""
    bearing = pack.partition("-")[0]
    given = next((s for s in case.facts.shims if s.bearing in ("", bearing) and same_place(s.instance, case.instance)), None)
    if given is not None:
        return _given(case, given)
    read = case.measured(pack)
    if len(read) == 2:
        return Packs(read[0], read[1])
    return Packs(read[0], read[0]) if len(read) == 1 else Packs()


def _given(case: Case, given: Shims) -> Packs:
    def side(leaves: tuple[Quantity, ...] | None, height: Quantity | None) -> tuple[tuple[Fraction, ...] | None, Fraction | None]:
        told = None if leaves is None else tuple(leaf.to(case.unit) for leaf in leaves)
        return told, sum(told, Fraction(0)) if told is not None else case.told(height)

    (one, left), (two, right) = side(given.left, given.pack_left), side(given.right, given.pack_right)
    both = (one, two) if one is not None and two is not None and max(len(one), len(two)) <= MOST_ON_A_SIDE else None
    return Packs(left if left is not None else right, right if right is not None else left, both, given.paper)


def no_shims(case: Case) -> str:
    """Why no shim can mend this bearing, or the empty string."""
    if case.value is None or case.both is None:
        return ""
    if case.stands("babbitt-bond", "stop", "beyond_limit"):
        return "the white metal is loose or weeps at its edge"
    if case.stands("babbitt-thickness", "beyond_limit"):
        return "the white metal is worn too thin"
    if case.side == "high" and case.has("shell-bearings") is True:
        return "thin shells are not shimmed"
    pack, journal = CLEARANCES[case.what.id]
    if too_oval(case):
        oval = oval_of(case, case.value, journal)
        seen = f"another way across it reads {case.say(oval.tight)}, and it would bind there" if oval.read else (
            "right where it is smallest, it would bind where it is largest")
        return f"the journal is out of round by {case.say(oval.across)}, as much as the fit is wide or more: {seen}. True the journal first"
    mean = packs_of(case, pack).mean
    if case.side == "high" and mean is not None and case.value - mean > case.both[1]:
        return f"even with every shim out it would stand at {case.say(case.value - mean)}" if mean > 0 else "there is no shim left to take out"
    return ""


def _clearance(case: Case) -> Iterator[Remedy]:
    if case.value is None or case.both is None or not case.side:
        return
    why = no_shims(case)
    if why:
        case.as_written = False
        yield case.nothing(f"Not with shims: {why}")
        return
    pack, journal = CLEARANCES[case.what.id]
    packs = packs_of(case, pack)
    oval = oval_of(case, case.value, journal)
    if packs.paper:
        yield _paper(case, packs, pack, oval)
        return
    fit = case.both[0], case.both[1] - oval.across
    aim = (fit[0] + fit[1]) / 2
    near = _with_mate(case, fit)
    choice = _choice(case, packs, oval.tight, near, aim if near[0] <= aim < near[1] else (near[0] + near[1]) / 2)
    choice = choice or _choice(case, packs, oval.tight, fit, aim)
    if choice is None:
        yield case.nothing("No pack of these leaves lands in the fit", "Thinner leaves are needed.")
        return
    yield _shimmed(case, packs, choice, case.value, fit, journal, oval)


def _with_mate(case: Case, fit: tuple[Fraction, Fraction]) -> tuple[Fraction, Fraction]:
    """Where a main should land to stay within the allowed difference of its mate: of the mate as it is, or of what both are brought to."""
    allowed, other = case.limit("main-bearing-clearance-difference"), mates(case)
    if case.what.id != "main-bearing-running-clearance" or allowed is None or isinstance(allowed.high, Open) or not other:
        return fit
    near = allowed.high * NEAR
    right = fit[0] <= min(other) and max(other) <= fit[1]
    low, high = (max(other) - near, min(other) + near) if right else (fit[1] - near, fit[1])
    low, high = max(fit[0], low), min(fit[1], high)
    return (low, high) if low < high else fit


def mates(case: Case) -> list[Fraction]:
    """Clearances known of the other main."""
    return case.known.once(("mates", case.instance, case.state, case.unit.token), lambda: _mates(case))


def _mates(case: Case) -> list[Fraction]:
    known = [m for m in case.known.of("main-bearing-running-clearance") if m.value.unit.dimension == case.unit.dimension
             and m.instance and case.instance and not same_place(m.instance, case.instance)]  # fmt: skip
    return [m.value.to(case.unit) for m in [m for m in known if m.state == case.state] or known]


def _choice(case: Case, packs: Packs, value: Fraction, fit: tuple[Fraction, Fraction], aim: Fraction) -> Choice | None:
    """From the leaves that are there, with as few from stock as can be; failing that in whole thous. Clearances are the tightest ones."""
    mean = packs.mean
    stock = tuple(t for t in (case.told(q) for q in case.facts.shim_stock) if t is not None and t > 0)
    if mean is not None and (packs.leaves is not None or stock):
        base = mean - value
        heights = base + fit[0], base + aim, base + fit[1]
        kept = alike_from_leaves(packs.leaves, *heights) if packs.leaves is not None else None
        if stock and (kept is None or kept.height < heights[1]):
            there = () if packs.leaves is None else tuple((Counter(packs.leaves[0]) & Counter(packs.leaves[1])).elements())
            kept = with_stock(there, stock, case.facts.most_leaves, *heights) or kept
        if kept is not None or stock:
            return None if kept is None else Choice(kept.height, kept.height - base, kept.leaves, kept.new)
    thin = None if packs.left is None or packs.right is None else min(packs.left, packs.right)
    slack = value if mean is None or thin is None else value - (mean - thin)
    for most in (aim, fit[0] + (fit[1] - fit[0]) / 16):  # the loose half first, then the whole fit; no step wider than where it must land
        for step in (s for s in (case.step, case.step / 2, case.step / 4, case.step / 8) if s <= fit[1] - most or s == case.step / 8):
            out = (slack - most) // step * step
            pack = None if thin is None else thin - out
            if slack - out <= fit[1] and (pack is None or pack >= 0):
                return Choice(pack, slack - out)
    return None


def _shimmed(case: Case, packs: Packs, choice: Choice, value: Fraction, fit: tuple[Fraction, Fraction], journal: str, oval: Oval) -> Remedy:
    taken = oval.tight - choice.clearance
    amount: list[Amount] = []
    note = [oval.taken] if oval.taken else []
    if oval.across:
        note.append(f"On the largest diameter that is {case.say(choice.clearance)}, the least it may be there {case.say(fit[0])}")
    if choice.pack is None or packs.left is None or packs.right is None:
        amount.append(("each side", abs(taken), case.unit))
    else:
        sides = {"each side": packs.left - choice.pack} if packs.left == packs.right else {
            "one side": packs.left - choice.pack, "the other side": packs.right - choice.pack}
        amount += [(f"{'out of' if out >= 0 else 'into'} {name}", abs(out), case.unit) for name, out in sides.items() if out]
        amount.append(("pack left on both sides", choice.pack, case.unit))
        if len(sides) > 1:
            note.append("The packs that are there differ: both must end alike")
        if choice.leaves is not None:
            new = f", {' + '.join(case.say(t) for t in choice.new)} of it from stock" if choice.new and packs.leaves is not None else ""
            note.append(f"Leave {' + '.join(case.say(t) for t in choice.leaves) or 'no leaf'} on each side{new}")
        elif packs.leaves is not None:
            note.append("The leaves that are there make no such pack on both sides: others are needed")
    if choice.clearance < (fit[0] + fit[1]) / 2:
        note.append("These leaves miss the loose half: feel for drag all the way round")
    if case.stands(f"{journal}-out-of-round", "beyond_limit"):
        note.append("The journal is past its own limit for roundness: this tides it over, truing it comes first")
    size = case.dimension(journal)
    if size:
        amount.append(("side to side it changes by", taken**2 / (2 * size), case.unit))
    if taken >= choice.clearance > 0:
        note.append("As much comes out as clearance is left: the bore becomes a lemon, wide at the joint; scrape it round, or pour it again")
    unknown = ((LEAVES, packs.leaves is None), (STOCK, not case.facts.shim_stock))
    asks = () if choice.leaves is not None else tuple(fact for fact, missing in unknown if missing)
    return case.remedy("shim-pack", "Take shims out of both sides" if taken > 0 else "Put shims in on both sides", "free", reversible=True,
                       amount=amount, predicted=value - taken, tools=TOOLS, steps=STEPS, risk=RISK, asks=asks, note=". ".join(note),
                       after=(case.what.id, "bearing-drag", "main-bearing-contact"))  # fmt: skip


def _paper(case: Case, packs: Packs, pack: str, oval: Oval) -> Remedy:
    """Paper crushes and swells: metal of the crushed height first, then gauge again. Nothing is promised on paper."""
    amount: list[Amount] = []
    if packs.mean is not None:
        amount.append(("crushed height to match on each side", packs.mean, case.unit))
    if case.aim is not None and case.both is not None:
        aim = case.aim if not oval.across else (case.both[0] + case.both[1] - oval.across) / 2
        amount.append((f"clearance then to {'lose' if case.side == 'high' else 'gain'}", abs(oval.tight - aim), case.unit))
    return case.remedy("paper-to-metal",
                       "Replace paper or card by brass or steel of the crushed height, alike on both sides, and gauge again",
                       "free", reversible=True, amount=amount, tools=TOOLS, risk="Paper crushes, soaks oil and lets the cap nuts go slack.",
                       steps=("Measure the old pack as it was crushed, not as it springs up.", *STEPS), after=(case.what.id, pack),
                       asks=(STOCK, "height of the pack under the nuts"))  # fmt: skip


def _alike(case: Case) -> Iterator[Remedy]:
    """Stacks made alike: the clearance moves by half of what goes in or comes out of one side."""
    if case.value is None or case.side != "high":
        return
    clearance = UNLIKE[case.what.id]
    out, now, fit = case.value, case.measured(clearance), case.limit(clearance)
    oval = out_of_round(case, CLEARANCES[clearance][1])
    low = None if fit is None or isinstance(fit.low, Open) else fit.low
    high = None if fit is None or isinstance(fit.high, Open) else fit.high
    tight = bool(now) and low is not None and min(now) - oval - out / 2 < low
    loose = bool(now) and high is not None and max(now) + out / 2 > high
    title, thicker, thinner = "Make both packs alike", out, Fraction(0)
    if tight and loose:
        title += ", half out of one side and half into the other, so that the clearance stays"
        thicker, thinner = out / 2, out / 2
    elif tight:
        title += ", adding to the thinner side, for the other way would bind"
        thicker, thinner = Fraction(0), out
    moved = (("out of the thicker side", thicker), ("into the thinner side", thinner), ("the clearance falls by", (thicker - thinner) / 2),
             ("the clearance grows by", (thinner - thicker) / 2))  # fmt: skip
    yield case.remedy("packs-alike", title, "free", reversible=True, amount=[(*one, case.unit) for one in moved if one[1] > 0],
                      predicted=Fraction(0), steps=STEPS, tools=TOOLS, risk=RISK, after=(case.what.id, clearance, "main-bearing-contact"),
                      asks=(LEAVES,))  # fmt: skip


FAMILY = Family("shims", frozenset({*CLEARANCES, *UNLIKE, *DRAG, "main-bearing-clearance-difference"}), propose)
