"""Contrast by WCAG 2.2's formulas of relative luminance and contrast ratio (W3C Recommendation)."""

from __future__ import annotations

from collections.abc import Sequence


def luminance(colour: Sequence[float]) -> float:
    """Relative luminance of an sRGB colour of 0-255 components."""
    linear = [
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4
        for c in (component / 255.0 for component in colour)
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(first: Sequence[float], second: Sequence[float]) -> float:
    """The contrast ratio of two colours, 1-21."""
    low, high = sorted((luminance(first), luminance(second)))
    return (high + 0.05) / (low + 0.05)
