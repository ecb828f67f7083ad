"""What the service answers, as frozen records. Unknown fields are kept in ``raw``; nothing is dropped."""

from ..quantities import Quantity
from .limits import Bound, Evidence, Interval, LimitAnswer
from .standards import Cell, FitAnswer, FitPart, StandardAnswer, StandardRow
from .table import Caution, Characteristic, Edition, EngineClass, Instrument, Material, UnitRecord, Work
from .verdicts import MissingItem, Overall, SheetAnswer, Verdict

__all__ = [
    "Bound",
    "Caution",
    "Cell",
    "Characteristic",
    "Edition",
    "EngineClass",
    "Evidence",
    "FitAnswer",
    "FitPart",
    "Instrument",
    "Interval",
    "LimitAnswer",
    "Material",
    "MissingItem",
    "Overall",
    "Quantity",
    "SheetAnswer",
    "StandardAnswer",
    "StandardRow",
    "UnitRecord",
    "Verdict",
    "Work",
]
