"""Calculations a rebuilder needs beside limits: pure functions, SI floats inside, one module a system.

``CALCULATIONS`` holds every calculation by id; :func:`frame.calculate` runs one with quantities in and out.
"""

from __future__ import annotations

from .frame import Answer, Calculation, CalculationError, calculate
from .registry import CALCULATIONS

__all__ = ["CALCULATIONS", "Answer", "Calculation", "CalculationError", "calculate"]
