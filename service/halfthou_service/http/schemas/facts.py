"""Schemas of what a sheet may tell beside its readings: for remedies, work orders and readiness. Every part may be left out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from marshmallow import ValidationError, fields, validate

from ..faults import Fault
from ..quantities import a, wrong_dimension
from .fields import Flag, Number, QuantityField, Strict, Text, Word

MOST_LISTED = 24
MOST_TOLD = 200
MOST_STOCK = 15


class Measure(QuantityField):
    """A quantity of one kind, above zero, or zero as well where ``zero``."""

    def __init__(self, dimension: str, *, zero: bool = False, **kwargs: Any) -> None:
        self.dimension, self.zero = dimension, zero
        super().__init__(metadata={"description": a(dimension)} | kwargs.pop("metadata", {}), **kwargs)

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, partial: Any = None, **kwargs: Any) -> Any:
        found = super()._deserialize(value, attr, data, partial, **kwargs)
        if found.unit.dimension != self.dimension:
            raise ValidationError([wrong_dimension(found.unit, self.dimension, "/unit")])
        if self.dimension != "temperature" and (found.canonical < 0 or (found.canonical == 0 and not self.zero)):
            raise ValidationError([Fault("not-positive", f"{found} is given; it is {'not under' if self.zero else 'above'} zero", "/value")])
        return found


class Whole(fields.Integer):
    """A whole JSON number between two bounds."""

    def __init__(self, low: int, high: int, **kwargs: Any) -> None:
        self.low, self.high = low, high
        super().__init__(metadata={"minimum": low, "maximum": high} | kwargs.pop("metadata", {}), **kwargs)

    def _deserialize(self, value: Any, attr: str | None, data: Mapping[str, Any] | None, **kwargs: Any) -> int:
        number = Number()._deserialize(value, attr, data)
        if number != number.to_integral_value() or not self.low <= number <= self.high:
            detail = f"{number} is given; a whole number from {self.low} to {self.high} is wanted"
            raise ValidationError([Fault("bad-field", detail)])
        return int(number)


def _length(says: str = "", *, zero: bool = False) -> Measure:
    return Measure("length", zero=zero, metadata={"description": says} if says else {})


def _lengths(says: str, *, zero: bool = False, most: int = MOST_LISTED) -> fields.List[Any]:
    return fields.List(Measure("length", zero=zero), validate=validate.Length(max=most), metadata={"description": says})


class MeasuredSchema(Strict):
    """A size known beside the readings: a mate's, a pack's, a margin."""

    characteristic = Text(80, required=True)
    value = QuantityField(required=True)
    instance = Text(80)
    station = Text(80)
    axis = Text(80)
    state = Word(("as_found", "as_made"), metadata={"default": "as_found"})


class FoundSchema(Strict):
    """A finding made elsewhere."""

    characteristic = Text(80, required=True)
    word = Text(200, required=True, metadata={"description": "one of the words of the characteristic"})
    instance = Text(80)


class ShimsSchema(Strict):
    """The shims of one bearing: leaves by side, or only the height of each pack. Front and rear of a main stand for left and right."""

    bearing = Word(("rod", "main"), required=True)
    instance = Text(80)
    left = _lengths("leaves of the left side", most=MOST_LISTED)
    right = _lengths("leaves of the right side", most=MOST_LISTED)
    pack_left = _length("height of the left pack", zero=True)
    pack_right = _length("height of the right pack", zero=True)
    paper = Flag(metadata={"description": "whether leaves are of paper or card"})


class CylinderSchema(Strict):
    """Pistons and rings to be had, the piston in hand, the wall."""

    piston_oversizes = _lengths("pistons to be had, over nominal", zero=True)
    ring_oversizes = _lengths("rings to be had, over nominal", zero=True)
    piston = _length("the piston in hand, measured across the thrust")
    wall = _length("the thinnest wall met")
    least_wall = _length("the wall to be left")
    honing_allowance = _length("left by the boring bar for the hone", zero=True)
    axis_offset = _length("how far the bar's centre may stand off the worn bore's", zero=True)
    score_depth = _length("the deepest score", zero=True)
    tried = _length("an oversize to try, over nominal", zero=True)


class JournalSchema(Strict):
    """Undersizes of bearing to be had; how the grinder finds the pin."""

    undersizes = _lengths("bearings to be had, under nominal", zero=True)
    axis_offset = _length("how far the ground centre may stand off the worn pin's", zero=True)
    score_depth = _length("the deepest score", zero=True)
    tried = _length("an undersize to try", zero=True)
    least = _length("the least diameter the pin may be ground to")


class RingSchema(Strict):
    """Rings to be had, and how hot ring and bore run."""

    widths = _lengths("ring widths to be had")
    temperature = Measure("temperature")
    bore_temperature = Measure("temperature")


class BushSchema(Strict):
    """A bush and its boss."""

    outside = _length("of the bush")
    boss_outside = _length("of the boss it is pressed into")
    interference = _length("on the diameter", zero=True)
    modulus = Measure("pressure", metadata={"description": "stiffness of the bush; bronze where it is left out"})
    boss_modulus = Measure("pressure", metadata={"description": "stiffness of the boss; grey iron where it is left out"})
    pin = _length("the pin it is for, measured")


class ValveSchema(Strict):
    """Seat angle and pits, heights of both valves, the lash screw."""

    seat_angle = Measure("angle")
    pit_depth = _length(zero=True)
    sunk_below_other = _length(zero=True)
    screw_threads = Measure("linear_frequency")


class GearSchema(Strict):
    """How the timing gear is cut."""

    pressure_angle = Measure("angle")
    centres_adjust = Flag(metadata={"description": "whether the centres can be moved"})
    cam_gear_teeth = Whole(8, 400)


class SpringSchema(Strict):
    """The force wanted of a spring, and its rate."""

    wanted = Measure("force")
    rate = Measure("stiffness")


class CircuitSchema(Strict):
    """A battery ignition circuit."""

    supply = Measure("voltage")
    resistance = Measure("resistance", zero=True)
    source_resistance = Measure("resistance", zero=True)
    wanted_current = Measure("current")


class MagnetoSchema(Strict):
    """Volts and speed before the work, and the speed of the reading on the sheet."""

    before_voltage = Measure("voltage")
    before_speed = Measure("rotational_speed")
    speed = Measure("rotational_speed")
    oscillating = Flag()


class StrainerSchema(Strict):
    """Cloth to be had, and the screen it is for."""

    wire = _length("wire diameter")
    screen_area = Measure("area")
    pipe_bore = _length()


class CoatingSchema(Strict):
    """What the paint's own sheet says."""

    volume_solids = Measure("ratio")
    thinner = Measure("ratio", zero=True, metadata={"description": "parts of thinner to one of paint"})


class FactsSchema(Strict):
    """What is known beside the readings; each part sharpens some remedy."""

    measured = fields.List(fields.Nested(MeasuredSchema), validate=validate.Length(max=MOST_TOLD))
    found = fields.List(fields.Nested(FoundSchema), validate=validate.Length(max=MOST_TOLD))
    shims = fields.List(fields.Nested(ShimsSchema), validate=validate.Length(max=MOST_LISTED))
    shim_stock = _lengths("thicknesses of leaf to be had", most=MOST_STOCK)
    most_leaves = Whole(1, 6, metadata={"description": "most leaves on one side", "default": 6})
    washers = _lengths("end-float washers to be had", most=MOST_STOCK)
    cylinder = fields.Nested(CylinderSchema)
    journal = fields.Nested(JournalSchema)
    ring = fields.Nested(RingSchema)
    bush = fields.Nested(BushSchema)
    valve = fields.Nested(ValveSchema)
    gear = fields.Nested(GearSchema)
    spring = fields.Nested(SpringSchema)
    circuit = fields.Nested(CircuitSchema)
    magneto = fields.Nested(MagnetoSchema)
    strainer = fields.Nested(StrainerSchema)
    coating = fields.Nested(CoatingSchema)


__all__ = ["FactsSchema", "Measure", "Whole"]
