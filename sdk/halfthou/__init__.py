"""What a measurement on an old single-cylinder engine should be, who says so, and what your reading means.

::

    from halfthou import Client

    with Client.embedded() as shop:  # or Client("http://shop.local:8070")
        limit = shop.limit("rod-bearing-running-clearance", engine_class="slow-open-crank", size="2-1/4 in")

Nothing heavy is imported until it is used.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .client import Client
    from .errors import (
        AnswerTooBig,
        HalfthouError,
        NotFound,
        NotInstalled,
        ProblemDocument,
        ProblemEntry,
        QuantityError,
        Refused,
        ServerFault,
        ServiceError,
        SheetError,
        TimedOut,
        TooLarge,
        TooManyRequests,
        Unauthorised,
        Unavailable,
        UnexpectedAnswer,
        Unreachable,
        UsageError,
    )
    from .models import (
        Bound,
        CalculationAnswer,
        CalculationInput,
        CalculationOutput,
        CalculationRecord,
        Caution,
        Cell,
        Characteristic,
        Dimension,
        Edition,
        EditionChange,
        EngineClass,
        Evidence,
        Feature,
        FitAnswer,
        FitPart,
        Guess,
        Guesses,
        Instrument,
        Interval,
        LimitAnswer,
        Material,
        MissingItem,
        Overall,
        OverlayChange,
        OverlayCheck,
        OverlayFault,
        OverlayInUse,
        SecondOpinion,
        SheetAnswer,
        StandardAnswer,
        StandardRow,
        SurveyAnswer,
        SurveyFigure,
        UnitRecord,
        Verdict,
        Work,
    )
    from .models.back import BackLine, ComparedPlace, Comparison, PartsBack
    from .models.orders import PartOrder, WorkOrder
    from .models.readiness import Against, NotLookedAt, Readiness
    from .models.remedies import Remedy
    from .models.sheets import AsFoundSheet, FilledSheet, LimitsSheet
    from .quantities import Quantity

    __version__: str

_ERRORS = """AnswerTooBig HalfthouError NotFound NotInstalled ProblemDocument ProblemEntry QuantityError Refused
    ServerFault ServiceError SheetError TimedOut TooLarge TooManyRequests Unauthorised Unavailable UnexpectedAnswer
    Unreachable UsageError"""
_MODELS = """Bound CalculationAnswer CalculationInput CalculationOutput CalculationRecord Caution Cell Characteristic
    Dimension Edition EditionChange EngineClass Evidence Feature FitAnswer FitPart Guess Guesses Instrument Interval
    LimitAnswer Material MissingItem Overall SecondOpinion OverlayChange OverlayCheck OverlayFault OverlayInUse
    SheetAnswer StandardAnswer StandardRow SurveyAnswer SurveyFigure UnitRecord Verdict Work"""
_PAPERS = {
    "back": "BackLine ComparedPlace Comparison PartsBack",
    "orders": "PartOrder WorkOrder",
    "readiness": "Against NotLookedAt Readiness",
    "remedies": "Remedy",
    "sheets": "AsFoundSheet FilledSheet LimitsSheet",
}
_MODULE_OF = {"Client": "client", "Quantity": "quantities"}
_MODULE_OF |= {name: f"models.{module}" for module, names in _PAPERS.items() for name in names.split()}
_MODULE_OF |= dict.fromkeys(_ERRORS.split(), "errors") | dict.fromkeys(_MODELS.split(), "models")

__all__ = [
    "Against",
    "AnswerTooBig",
    "AsFoundSheet",
    "BackLine",
    "Bound",
    "CalculationAnswer",
    "CalculationInput",
    "CalculationOutput",
    "CalculationRecord",
    "Caution",
    "Cell",
    "Characteristic",
    "Client",
    "ComparedPlace",
    "Comparison",
    "Dimension",
    "Edition",
    "EditionChange",
    "EngineClass",
    "Evidence",
    "Feature",
    "FilledSheet",
    "FitAnswer",
    "FitPart",
    "Guess",
    "Guesses",
    "HalfthouError",
    "Instrument",
    "Interval",
    "LimitAnswer",
    "LimitsSheet",
    "Material",
    "MissingItem",
    "NotFound",
    "NotInstalled",
    "NotLookedAt",
    "Overall",
    "OverlayChange",
    "OverlayCheck",
    "OverlayFault",
    "OverlayInUse",
    "PartOrder",
    "PartsBack",
    "ProblemDocument",
    "ProblemEntry",
    "Quantity",
    "QuantityError",
    "Readiness",
    "Refused",
    "Remedy",
    "SecondOpinion",
    "ServerFault",
    "ServiceError",
    "SheetAnswer",
    "SheetError",
    "StandardAnswer",
    "StandardRow",
    "SurveyAnswer",
    "SurveyFigure",
    "TimedOut",
    "TooLarge",
    "TooManyRequests",
    "Unauthorised",
    "Unavailable",
    "UnexpectedAnswer",
    "UnitRecord",
    "Unreachable",
    "UsageError",
    "Verdict",
    "Work",
    "WorkOrder",
    "__version__",
]


def __getattr__(name: str) -> Any:
    if name == "__version__":
        from .version import version

        value: Any = version()
    elif name in _MODULE_OF:
        value = getattr(import_module(f".{_MODULE_OF[name]}", __name__), name)
    else:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
