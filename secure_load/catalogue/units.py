"""Amounts as people write them, with or without a unit: "0.3 m", "12 lb 8 oz", "5' 3 1/2\\"", "4 kg" for a force.

A comma may be the decimal point. A comma before exactly three figures may as well part thousands, so it is refused.
"""

from __future__ import annotations

import re
from functools import cache

from secure_load.boat.base import visible
from secure_load.catalogue.lookup import factor

_NUMBER = r"(?:\d+(?:[.,]\d*)?|[.,]\d+)"
_VALUE = rf"(?:{_NUMBER}\s+\d+/\d+|\d+/\d+|{_NUMBER})"
_PART = re.compile(rf"({_VALUE})\s*([A-Za-z'\"\u2032\u2033/%]*)\s*")
_THOUSANDS = re.compile(r"(?<![\d.,])([1-9]\d{0,2}(?:,\d{3})*),(\d{3})(?![\d.])")
_NAMES = {
    "'": "ft", "\u2032": "ft", '"': "in", "\u2033": "in", "lbs": "lb", "kgs": "kg", "foot": "ft", "feet": "ft",
    "inch": "in", "inches": "in", "kts": "kn", "knots": "kn", "knot": "kn", "tonne": "t", "tonnes": "t",
    "deg": "degrees", "degree": "degrees",
}  # fmt: skip
_FINER = {"ft": ("in",), "lb": ("oz",), "st": ("lb", "oz"), "kg": ("g",), "m": ("cm", "mm")}
"""What may follow a unit in a compound amount."""


class BadAmount(ValueError):
    """What was written is no amount in the unit wanted; the message follows on from the name of the figure."""


@cache
def _units() -> dict[str, tuple[str, float]]:
    """The kind of amount and the SI value of every unit."""
    inch, pound = factor("inch"), factor("pound")
    return {
        "mm": ("length", 0.001), "cm": ("length", 0.01), "m": ("length", 1.0), "in": ("length", inch),
        "ft": ("length", 12 * inch), "kg": ("mass", 1.0), "g": ("mass", 0.001), "t": ("mass", 1000.0),
        "lb": ("mass", pound), "oz": ("mass", pound / 16), "st": ("mass", 14 * pound), "N": ("force", 1.0),
        "kN": ("force", 1000.0), "m/s": ("speed", 1.0), "kn": ("speed", factor("nautical-mile") / 3600.0),
    }  # fmt: skip


def read_amount(text: str, unit: str = "") -> float:
    """The amount that was written, in ``unit``; for a force also the mass that weighs as much.

    >>> read_amount("12 lb 8 oz", "kg")
    5.669904625
    >>> read_amount("5' 3 1/2\\"", "m")
    1.6129

    Raises BadAmount.
    """
    written = text.strip()
    doubtful = _THOUSANDS.search(written)
    if doubtful:
        whole, rest = doubtful[1].replace(",", ""), doubtful[2]
        raise BadAmount(f"is '{visible(written)}': write {whole}{rest}, or {whole}.{rest.rstrip('0') or '0'}")
    sign, body = (-1.0, written[1:].lstrip()) if written.startswith("-") else (1.0, written.removeprefix("+").lstrip())
    parts: list[tuple[float, str]] = []
    at = 0
    while at < len(body) and (found := _PART.match(body, at)):
        parts.append((_value(found[1]), _name(found[2])))
        at = found.end()
    if not parts or at < len(body):
        raise BadAmount(f"is '{visible(written)}', but must be a number")
    if len(parts) == 2 and not parts[1][1]:  # 5 ft 3, 12 st 4
        parts[1] = parts[1][0], {"ft": "in", "st": "lb"}.get(parts[0][1], "")
    names = [name for _, name in parts]
    if len(parts) > 1 and any(n not in _FINER.get(names[0], ()) for n in names[1:]):
        raise BadAmount(f"is '{visible(written)}', but must be one number")
    return sign * sum(_in_unit(value, name, unit, written) for value, name in parts)


def _value(text: str) -> float:
    total = 0.0
    for part in text.split():
        over, _, under = part.replace(",", ".").partition("/")
        if under and not float(under):
            raise BadAmount(f"is '{visible(text)}', but must be a number")
        total += float(over) / float(under or 1)
    return total


def _name(text: str) -> str:
    known = _units()
    for each in (text, _NAMES.get(text.lower(), text.lower())):
        if each in known or each in ("degrees", "%", ""):
            return each
    return text


def _in_unit(value: float, name: str, unit: str, written: str) -> float:
    if name in ("", unit):
        return value
    known = _units()
    kind, factor_in = known.get(name, ("", 1.0))
    wanted, factor_out = known.get(unit, ("", 1.0))
    if unit in ("N", "kN") and kind == "mass":
        return round(value * factor_in * factor("g0") / factor_out, 1)  # what a spring balance shows
    if not kind or kind != wanted:
        allowed = [n for n, (k, _) in known.items() if k == wanted] if wanted else []
        need = f"in {', '.join(allowed[:-1])} or {allowed[-1]}" if allowed else "a number without a unit"
        raise BadAmount(f"is '{visible(written)}', but must be {need}")
    return round(value * factor_in / factor_out, 9)
