"""What the service answers, as frozen records. Unknown fields are kept in ``raw``; nothing is dropped."""

from ..quantities import Quantity
from .calculations import CalculationAnswer, CalculationFlag, CalculationInput, CalculationOutput, CalculationRecord
from .limits import Bound, Evidence, Interval, LimitAnswer
from .own import EditionChange, Guess, Guesses, OverlayChange, OverlayCheck, OverlayFault, OverlayInUse
from .standards import Cell, FitAnswer, FitPart, StandardAnswer, StandardRow
from .surveys import SurveyAnswer, SurveyFigure
from .table import (
    Caution,
    Characteristic,
    Dimension,
    Edition,
    EngineClass,
    Feature,
    Instrument,
    Material,
    UnitRecord,
    Work,
)
from .verdicts import MissingItem, Overall, SecondOpinion, SheetAnswer, Verdict

__all__ = [
    "Bound",
    "CalculationAnswer",
    "CalculationFlag",
    "CalculationInput",
    "CalculationOutput",
    "CalculationRecord",
    "Caution",
    "Cell",
    "Characteristic",
    "Dimension",
    "Edition",
    "EditionChange",
    "EngineClass",
    "Evidence",
    "Feature",
    "FitAnswer",
    "FitPart",
    "Guess",
    "Guesses",
    "Instrument",
    "Interval",
    "LimitAnswer",
    "Material",
    "MissingItem",
    "Overall",
    "OverlayChange",
    "OverlayCheck",
    "OverlayFault",
    "OverlayInUse",
    "Quantity",
    "SecondOpinion",
    "SheetAnswer",
    "StandardAnswer",
    "StandardRow",
    "SurveyAnswer",
    "SurveyFigure",
    "UnitRecord",
    "Verdict",
    "Work",
]
