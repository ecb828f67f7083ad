"""What a sheet may tell beside the readings: shim leaves, surveys, pistons to be had, walls. All of it may be left out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from functools import lru_cache

from halfthou_specdb.quantity import Quantity, decimal_of
from halfthou_specdb.units import Unit

from ..surveys.survey import SurveyAnswer

APART = ({"left", "right"}, {"gear", "pulley"}, {"inlet", "intake", "exhaust"}, {"drive", "far"}, {"closed", "open"}, {"blade", "block"},
         {"inner", "outer"}, {"suction", "delivery"})  # fmt: skip
SAME = {"intake": "inlet"}
DERIVED = frozenset({"out-of-round", "signed-out-of-round", "taper", "wear", "spread"})
"""Figures of a survey that are a characteristic of their own."""


@dataclass(frozen=True, slots=True)
class Measured:
    """A value of some characteristic, read on this engine or told: a mate's size, a pack, a margin."""

    characteristic: str
    value: Quantity
    instance: str = ""
    station: str = ""
    axis: str = ""
    state: str = "as_found"


@dataclass(frozen=True, slots=True)
class Found:
    """A finding or verdict elsewhere on the sheet that bears on other parts."""

    characteristic: str
    verdict: str
    word: str = ""
    instance: str = ""


@dataclass(frozen=True, slots=True)
class Shims:
    """The shims of one bearing. ``left`` and ``right``: the leaves on each side; or only the height of each pack.

    ``bearing``: ``rod`` or ``main``; left out it stands for whichever is asked about.
    """

    instance: str = ""
    left: tuple[Quantity, ...] | None = None
    right: tuple[Quantity, ...] | None = None
    pack_left: Quantity | None = None
    pack_right: Quantity | None = None
    paper: bool | None = None
    bearing: str = ""


@dataclass(frozen=True, slots=True)
class Cylinder:
    """Pistons and rings to be had, the piston in hand (measured), and the wall."""

    piston_oversizes: tuple[Quantity, ...] = ()
    ring_oversizes: tuple[Quantity, ...] = ()
    piston: Quantity | None = None
    wall: Quantity | None = None
    least_wall: Quantity | None = None
    honing_allowance: Quantity | None = None
    axis_offset: Quantity | None = None
    score_depth: Quantity | None = None
    tried: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Journal:
    """Undersizes of bearing to be had (none for metal poured to suit), and how the grinder finds the pin."""

    undersizes: tuple[Quantity, ...] = ()
    axis_offset: Quantity | None = None
    score_depth: Quantity | None = None
    tried: Quantity | None = None
    least: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Ring:
    """Widths of ring to be had, for a groove cut wider; how hot ring and bore run (a bore not told is taken not to grow)."""

    widths: tuple[Quantity, ...] = ()
    temperature: Quantity | None = None
    bore_temperature: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Bush:
    """A bush and its boss, to work out how far its bore closes when pressed. Moduli default to bronze in grey iron."""

    outside: Quantity | None = None
    boss_outside: Quantity | None = None
    interference: Quantity | None = None
    modulus: Quantity | None = None
    boss_modulus: Quantity | None = None
    pin: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Valve:
    """Seat angle and pits, heights of both valves, the lash screw's thread."""

    seat_angle: Quantity | None = None
    pit_depth: Quantity | None = None
    sunk_below_other: Quantity | None = None
    screw_threads: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Gear:
    """How the teeth are cut, and whether their centres can be moved."""

    pressure_angle: Quantity | None = None
    centres_adjust: bool | None = None
    cam_gear_teeth: int | None = None


@dataclass(frozen=True, slots=True)
class Spring:
    """The force wanted of a spring and its rate."""

    wanted: Quantity | None = None
    rate: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Circuit:
    """A battery ignition circuit."""

    supply: Quantity | None = None
    resistance: Quantity | None = None
    source_resistance: Quantity | None = None
    wanted_current: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Magneto:
    """Volts and speed before the work, and the speed of the reading on the sheet."""

    before_voltage: Quantity | None = None
    before_speed: Quantity | None = None
    speed: Quantity | None = None
    oscillating: bool | None = None


@dataclass(frozen=True, slots=True)
class Strainer:
    """Cloth to be had and the screen it is for."""

    wire: Quantity | None = None
    screen_area: Quantity | None = None
    pipe_bore: Quantity | None = None


@dataclass(frozen=True, slots=True)
class Coating:
    """The paint's own sheet: share of solids by volume and thinner for one of paint."""

    volume_solids: Quantity | None = None
    thinner: Quantity | None = None


@dataclass(frozen=True, slots=True)
class RemedyFacts:
    """Everything a sheet may supply. ``found`` is filled from the sheet itself and may be given as well."""

    measured: tuple[Measured, ...] = ()
    found: tuple[Found, ...] = ()
    shims: tuple[Shims, ...] = ()
    shim_stock: tuple[Quantity, ...] = ()
    most_leaves: int = 6
    washers: tuple[Quantity, ...] = ()
    surveys: tuple[SurveyAnswer, ...] = ()
    cylinder: Cylinder = field(default_factory=Cylinder)
    journal: Journal = field(default_factory=Journal)
    ring: Ring = field(default_factory=Ring)
    bush: Bush = field(default_factory=Bush)
    valve: Valve = field(default_factory=Valve)
    gear: Gear = field(default_factory=Gear)
    spring: Spring = field(default_factory=Spring)
    circuit: Circuit = field(default_factory=Circuit)
    magneto: Magneto = field(default_factory=Magneto)
    strainer: Strainer = field(default_factory=Strainer)
    coating: Coating = field(default_factory=Coating)

    def sizes(self, characteristic: str) -> Iterator[Measured]:
        """Every value known of a characteristic: told, read, or surveyed (a survey without one goes by its own id)."""
        yield from (m for m in self.measured if m.characteristic == characteristic)
        for answer in self.surveys:
            kind = answer.kind
            if characteristic in (kind.diameter, kind.id):
                for spot, size in answer.sizes.items():
                    at = answer.place(spot)
                    yield Measured(characteristic, exactly(size, answer.unit), at.instance, at.station, at.axis, answer.survey.state)
            for figure in answer.figures:
                if figure.characteristic == characteristic and figure.name in DERIVED:
                    yield Measured(characteristic, exactly(figure.value, figure.unit), answer.survey.instance, figure.where, "",
                                   answer.survey.state)  # fmt: skip


def exactly(value: Fraction, unit: Unit) -> Quantity:
    """A quantity of an exact fraction."""


    return Quantity(decimal_of(value), unit, value)


def same_place(a: str, b: str) -> bool:
    """Whether two names of an instance can mean one part: a name left out fits all; left and right, ring 1 and ring 2 do not."""
    if not a or not b:
        return True
    first, second = tokens(a), tokens(b)
    for group in APART:
        mine, other = first & group, second & group
        if mine and other and not mine & other:
            return False
    one, two = {t for t in first if t.isdigit()}, {t for t in second if t.isdigit()}
    return not one or not two or bool(one & two)


@lru_cache(maxsize=8192)
def tokens(name: str) -> frozenset[str]:
    """The words of an instance's name."""
    return frozenset(SAME.get(word, word) for word in name.lower().replace("-", " ").replace(",", " ").split())
