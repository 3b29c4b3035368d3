"""Guards shared by the formulas: each names the quantity, what came in and what is allowed."""

from __future__ import annotations

import math


def finite(quantity: str, value: float) -> float:
    """Give ``value`` back, or raise ValueError when it is not a finite number."""
    if not math.isfinite(value):
        raise ValueError(f"{quantity} must be a finite number, got {value!r}")
    return value


def positive(quantity: str, value: float, unit: str = "") -> float:
    """Give ``value`` back, or raise ValueError when it is not a finite number above 0."""
    finite(quantity, value)
    if value <= 0:
        raise ValueError(f"{quantity} must be more than 0{_unit(unit)}, got {value:g}")
    return value


def not_negative(quantity: str, value: float, unit: str = "") -> float:
    """Give ``value`` back, or raise ValueError when it is not a finite number of 0 or more."""
    finite(quantity, value)
    if value < 0:
        raise ValueError(f"{quantity} must be 0{_unit(unit)} or more, got {value:g}")
    return value


def within(quantity: str, value: float, low: float, high: float, unit: str = "") -> float:
    """Give ``value`` back, or raise ValueError when it lies outside ``low`` .. ``high`` (ends allowed)."""
    finite(quantity, value)
    if not low <= value <= high:
        raise ValueError(f"{quantity} must lie between {low:g} and {high:g}{_unit(unit)}, got {value:g}")
    return value


def one_of(quantity: str, value: str, allowed: tuple[str, ...]) -> str:
    """Give ``value`` back, or raise ValueError when it is not one of ``allowed``."""
    if value not in allowed:
        raise ValueError(f"{quantity} must be one of {', '.join(allowed)}, got {value!r}")
    return value


def specific_gravity(value: float) -> float:
    """Specific gravity of a timber: the heaviest known timbers stay below 1.4, so more means a density in
    kg/m3."""
    return within("specific gravity (ovendry mass over ovendry volume)", value, 0.05, 1.4)


def _unit(unit: str) -> str:
    return f" {unit}" if unit else ""
