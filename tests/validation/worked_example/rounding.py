"""Rounding to a step, and how close two results must be."""

from __future__ import annotations

from math import ceil, floor

SAME = 1e-6


def up(value: float, step: float) -> float:
    """Round up to the next step."""
    return ceil(value / step - 1e-9) * step


def down(value: float, step: float) -> float:
    """Round down to the step below."""
    return floor(value / step + 1e-9) * step


def near(value: float, step: float) -> float:
    """Round to the nearest step."""
    return round(value / step) * step
