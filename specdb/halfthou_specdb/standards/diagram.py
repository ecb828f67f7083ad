"""The tolerance zones of a fit, drawn: an SVG in black on white, with a title and a description for those who cannot see it.

The hole is hatched, the shaft is plain, and both are named; nothing is told by colour. Up is larger; the dashed line is the nominal size.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from xml.sax.saxutils import escape

from ..quantity import decimal_of, plain
from ..units import Unit
from .fits import Fit, Part

WIDTH, HEIGHT = 420, 260
TOP, BOTTOM = 44, 226
HOLE_X, SHAFT_X, ZONE_WIDTH = 120, 230, 70
TEXT_HEIGHT = 15
HATCH = 8
KINDS = {"clearance": "always play", "transition": "play or interference", "interference": "always interference"}


def said(value: Fraction) -> str:
    """A deviation with its sign: ``+21``, ``0``, ``-7``; four figures."""
    text = plain(decimal_of(abs(value), 4))
    return "0" if not value else f"{'+' if value > 0 else '-'}{text}"


def describe(fit: Fit, unit: Unit | None = None) -> str:
    """The drawing in one sentence."""
    wanted = unit or fit.unit
    times = fit.unit.factor / wanted.factor
    parts = [f"{'hole' if part.hole else 'shaft'} {part.zone} from {said(part.lower * times)} to {said(part.upper * times)} {wanted.symbol}"
             for part in (fit.hole, fit.shaft)]  # fmt: skip
    clearance = f"clearance {said(fit.tightest * times)} to {said(fit.loosest * times)} {wanted.symbol}"
    return f"{'; '.join(parts)}; {KINDS[fit.kind]}, {clearance}. Deviations from {fit.size}."


def draw(fit: Fit, unit: Unit | None = None) -> str:
    """The SVG of a fit, to stand in a page by itself; deviations in ``unit``, that of the standard where left out."""
    wanted = unit or fit.unit
    times = fit.unit.factor / wanted.factor
    levels = [Fraction(0), fit.hole.upper, fit.hole.lower, fit.shaft.upper, fit.shaft.lower]
    low, high = min(levels), max(levels)
    span = (high - low) or Fraction(1)

    def y(value: Fraction) -> float:
        return round(float(TOP + (high - value) / span * (BOTTOM - TOP)), 1)

    zero = y(Fraction(0))
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" width="{WIDTH}" height="{HEIGHT}" viewBox="0 0 {WIDTH} {HEIGHT}" '
        'aria-labelledby="fit-title fit-desc" font-family="sans-serif" font-size="12" fill="black">',
        f'<title id="fit-title">{escape(f"Tolerance zones of {fit.designation} at {fit.size}")}</title>',
        f'<desc id="fit-desc">{escape(describe(fit, wanted))}</desc>',
        f'<rect x="0" y="0" width="{WIDTH}" height="{HEIGHT}" fill="white"/>',
        _text(8, zero + 4, str(fit.size)),
        *_zone(fit.hole, HOLE_X, y, times),
        *_zone(fit.shaft, SHAFT_X, y, times),
        f'<line x1="84" y1="{zero}" x2="{WIDTH - 60}" y2="{zero}" stroke="black" stroke-dasharray="8 3 2 3"/>',
        _text(8, 18, f"{fit.designation}: {KINDS[fit.kind]}, {said(fit.tightest * times)} to {said(fit.loosest * times)} {wanted.symbol}"),
        "</svg>",
    ]  # fmt: skip
    return "\n".join(parts)


def _zone(part: Part, x: int, y: Callable[[Fraction], float], times: Fraction) -> list[str]:
    top, bottom = y(part.upper), y(part.lower)
    height = max(bottom - top, 1.0)
    lines = [f'<rect x="{x}" y="{top}" width="{ZONE_WIDTH}" height="{height:.1f}" fill="white" stroke="black"/>']
    if part.hole:
        lines += _hatching(x, top, height)
    upper, lower = _apart(top, bottom)
    edge, anchor = (x - 6, "end") if part.hole else (x + ZONE_WIDTH + 6, "start")
    lines += [_text(edge, at + 4, said(value * times), anchor) for at, value in ((upper, part.upper), (lower, part.lower)) if value]
    return [*lines, _text(x + ZONE_WIDTH / 2, 248, f"{'hole' if part.hole else 'shaft'} {part.zone}", "middle")]


def _hatching(x: int, top: float, height: float) -> list[str]:
    """Strokes rising to the right, cut at the edges of the zone."""
    lines = []
    bottom = top + height
    for start in range(-int(height), ZONE_WIDTH, HATCH):
        left, right = max(start, 0), min(start + height, ZONE_WIDTH)
        if right > left:
            y1, y2 = bottom - (left - start), bottom - (right - start)
            lines.append(f'<line x1="{x + left:.1f}" y1="{y1:.1f}" x2="{x + right:.1f}" y2="{y2:.1f}" stroke="black" stroke-width="0.6"/>')
    return lines


def _apart(top: float, bottom: float) -> tuple[float, float]:
    """Heights of two labels, moved apart where they would touch."""
    gap = bottom - top
    if gap >= TEXT_HEIGHT:
        return top, bottom
    push = (TEXT_HEIGHT - gap) / 2
    return top - push, bottom + push


def _text(x: float, y: float, words: str, anchor: str = "start") -> str:
    return f'<text x="{x:g}" y="{y:.1f}" text-anchor="{anchor}">{escape(words)}</text>'
