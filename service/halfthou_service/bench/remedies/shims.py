"""Shims under a bearing cap: the same out of both sides, a leaf at a time, toward the loose half; or none, and why."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from halfthou_specdb.quantity import Quantity
from halfthou_specdb.rules import Open

from ._packs import alike_from_leaves, from_stock, steps_out
from .case import MM, THOU, Case, Family
from .facts import Shims, same_place
from .model import Amount, Remedy

CLEARANCES = {"rod-bearing-running-clearance": ("rod-shim-pack", "crankpin"),
              "main-bearing-running-clearance": ("main-shim-pack", "main-journal")}
UNLIKE = {"rod-shim-side-difference": "rod-bearing-running-clearance", "main-shim-side-difference": "main-bearing-running-clearance"}
DRAG = frozenset({"bearing-drag", "bearing-running-temperature"})
TOOLS = ("micrometer", "plastic gauge strip or telescoping gauge", "marking blue")
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
    """What both sides end at (None where no pack was measured), the clearance then, and the leaves of one side where known."""

    pack: Fraction | None
    clearance: Fraction
    leaves: tuple[Fraction, ...] | None = None


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
        n = steps_out(case.value, Fraction(0), case.high, case.step)
        if n is not None:
            yield case.remedy("bring-looser-side-down", "Take shims out of the looser bearing, both its sides alike", "free",
                              reversible=True,
                              amount=[("each side", n, case.unit)], predicted=case.value - n, steps=STEPS, tools=TOOLS, risk=RISK,
                              after=("main-bearing-clearance-difference", "main-bearing-running-clearance"))  # fmt: skip


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
    if case.value is None or case.both is None or case.loose is None:
        return ""
    if case.stands("babbitt-bond", "stop", "beyond_limit"):
        return "the white metal is loose or weeps at its edge"
    if case.stands("babbitt-thickness", "beyond_limit"):
        return "the white metal is worn too thin"
    if case.side == "high" and case.has("shell-bearings") is True:
        return "thin shells are not shimmed"
    pack, journal = CLEARANCES[case.what.id]
    tight = _tightest(case)
    if case.side == "high" and tight is not None and tight - (case.value - case.loose[1]) < case.both[0]:
        return f"the journal is out of round: another way across it reads {case.say(tight)}, and it would bind there. True the journal first"
    oval = max(case.measured(f"{journal}-out-of-round"), default=Fraction(0))
    if not isinstance(case.wear_high, Open) and case.loose[0] + oval > case.wear_high:
        return f"the journal is out of round by {case.say(oval)}: right where it is tight, it would be worn out where it is loose. True it first"
    mean = packs_of(case, pack).mean
    if case.side == "high" and mean is not None and case.value - mean > case.both[1]:
        return f"even with every shim out it would stand at {case.say(case.value - mean)}" if mean > 0 else "there is no shim left to take out"
    return ""


def _tightest(case: Case) -> Fraction | None:
    """The smallest clearance read another way across the same journal."""
    return min(case.across(), default=None)


def _clearance(case: Case) -> Iterator[Remedy]:
    if case.value is None or case.both is None or not case.side:
        return
    why = no_shims(case)
    if why:
        yield case.nothing(f"Not with shims: {why}")
        return
    pack, journal = CLEARANCES[case.what.id]
    packs = packs_of(case, pack)
    if packs.paper:
        yield _paper(case, packs, pack)
        return
    choice = _choice(case, packs, case.value, case.both)
    if choice is None:
        yield case.nothing("No pack of these leaves lands in the fit", "Thinner leaves are needed.")
        return
    yield _shimmed(case, packs, choice, case.value, case.both, journal)


def _choice(case: Case, packs: Packs, value: Fraction, fit: tuple[Fraction, Fraction]) -> Choice | None:
    """From the leaves that are there; failing that from stock; failing that in whole thous."""
    aim, mean = (fit[0] + fit[1]) / 2, packs.mean
    stock = tuple(t for t in (case.told(q) for q in case.facts.shim_stock) if t is not None and t > 0)
    if mean is not None and (packs.leaves is not None or stock):
        base = mean - value
        heights = base + fit[0], base + aim, base + fit[1]
        kept = alike_from_leaves(packs.leaves, *heights) if packs.leaves is not None else None
        if stock and (kept is None or kept.height < heights[1]):
            kept = from_stock(stock, case.facts.most_leaves, *heights) or kept
        if kept is not None or stock:
            return None if kept is None else Choice(kept.height, kept.height - base, kept.leaves)
    thin = None if packs.left is None or packs.right is None else min(packs.left, packs.right)
    slack = value if mean is None or thin is None else value - (mean - thin)
    for most in (aim, fit[0]):  # the loose half first, then the whole fit; no step wider than where it must land
        for step in (s for s in (case.step, case.step / 2, case.step / 4, case.step / 8) if s <= fit[1] - most or s == case.step / 8):
            out = (slack - most) // step * step
            pack = None if thin is None else thin - out
            if slack - out <= fit[1] and (pack is None or pack >= 0):
                return Choice(pack, slack - out)
    return None


def _shimmed(case: Case, packs: Packs, choice: Choice, value: Fraction, fit: tuple[Fraction, Fraction], journal: str) -> Remedy:
    taken = value - choice.clearance
    amount: list[Amount] = []
    note = []
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
            note.append(f"Leave {' + '.join(case.say(t) for t in choice.leaves) or 'no leaf'} on each side")
        elif packs.leaves is not None:
            note.append("The leaves that are there make no such pack on both sides: others are needed")
    if choice.clearance < (fit[0] + fit[1]) / 2:
        note.append("These leaves miss the loose half: feel for drag all the way round")
    if case.stands(f"{journal}-out-of-round", "beyond_limit"):
        note.append("The journal is past its own limit for roundness: this tides it over, truing it comes first")
    size = case.dimension(journal)
    if size:
        amount.append(("side to side it changes by only", taken**2 / (2 * size), case.unit))
    if taken >= choice.clearance:
        note.append("As much comes out as clearance is left: the bore becomes a lemon, wide at the joint; scrape it round, or pour it again")
    unknown = ((LEAVES, packs.leaves is None), (STOCK, not case.facts.shim_stock))
    asks = () if choice.leaves is not None else tuple(fact for fact, missing in unknown if missing)
    return case.remedy("shim-pack", "Take shims out of both sides" if taken > 0 else "Put shims in on both sides", "free", reversible=True,
                       amount=amount, predicted=choice.clearance, tools=TOOLS, steps=STEPS, risk=RISK, asks=asks, note=". ".join(note),
                       after=(case.what.id, "bearing-drag", "main-bearing-contact"))  # fmt: skip


def _paper(case: Case, packs: Packs, pack: str) -> Remedy:
    """Paper crushes and swells: metal of the crushed height first, then gauge again. Nothing is promised on paper."""
    amount: list[Amount] = []
    if packs.mean is not None:
        amount.append(("crushed height to match on each side", packs.mean, case.unit))
    if case.value is not None and case.aim is not None:
        amount.append((f"clearance then to {'lose' if case.side == 'high' else 'gain'}", abs(case.value - case.aim), case.unit))
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
    tight = bool(now) and fit is not None and not isinstance(fit.low, Open) and min(now) - out / 2 < fit.low
    way = ("into the thinner side", "the clearance grows by") if tight else ("out of the thicker side", "the clearance falls by")
    title = "Make both packs alike" + (", adding to the thinner side, for the other way would bind" if tight else "")
    yield case.remedy("packs-alike", title, "free", reversible=True, amount=[(way[0], out, case.unit), (way[1], out / 2, case.unit)],
                      predicted=Fraction(0), steps=STEPS, tools=TOOLS, risk=RISK, after=(case.what.id, clearance, "main-bearing-contact"),
                      asks=(LEAVES,))  # fmt: skip


FAMILY = Family("shims", frozenset({*CLEARANCES, *UNLIKE, *DRAG, "main-bearing-clearance-difference"}), propose)
