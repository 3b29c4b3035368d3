"""The kinds of figure and text a boat file may hold, and the base of all its models.

Nothing is coerced in silence: the text "48" is not a mass, ``true`` is not a number, and neither is ``nan``.
A whole number will do for a number, and a list for a point or a size. The limits are there to catch a slipped
decimal or a millimetre written for a metre; they are far beyond any small boat and stand for nothing else.
"""

from __future__ import annotations

import datetime
import re
import unicodedata
from typing import Annotated, Any, Literal, cast, get_args

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field, Strict
from pydantic_core import PydanticCustomError

# Marks that turn the direction of all text after them: they could make a line on screen read as another.
# Right-to-left letters need none of them.
_TURNING_MARKS = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def visible(text: str, limit: int = 60) -> str:
    """Text from a file made fit for a message: unprintable characters escaped, long text cut short."""
    cut = text if len(text) <= limit else text[: limit - 3] + "..."
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode("ascii") for c in cut)


def _no_control_characters(text: str) -> str:
    for place, character in enumerate(text, start=1):
        if unicodedata.category(character) in ("Cc", "Cs", "Zl", "Zp") or character in _TURNING_MARKS:
            raise PydanticCustomError(
                "boat_text",
                "must hold no control characters, but character {place} is {which}",
                {"place": place, "which": f"U+{ord(character):04X}"},
            )
    if not text.strip():
        raise PydanticCustomError("boat_text", "must not be blank")
    return text


def _no_outer_space(text: str) -> str:
    if text != text.strip():
        raise PydanticCustomError("boat_text", "must not begin or end with a space")
    return text


def _in_order(value: Any) -> Any:
    """Only a list or a tuple has an order a person wrote; sets, mappings and streams are refused."""
    if isinstance(value, (list, tuple)):
        return cast("list[Any] | tuple[Any, ...]", value)
    raise PydanticCustomError("boat_list", "must be a list")


def _is_whole(value: Any) -> Any:
    """A choice between numbers takes a whole number only: python holds ``True`` and ``1.0`` equal to 1."""
    if type(value) is int:
        return value
    raise PydanticCustomError("boat_whole", "must be a whole number")


def _day(value: Any) -> Any:
    """A day, as TOML writes it or in quotes. A time of day is refused: it would be dropped without a word."""
    if isinstance(value, datetime.date) and not isinstance(value, datetime.datetime):
        return value
    if isinstance(value, str) and re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
        try:
            return datetime.date.fromisoformat(value)
        except ValueError:
            raise PydanticCustomError("boat_day", "there is no such day in the calendar") from None
    raise PydanticCustomError("boat_day", "must be a day, written such as 2031-04-05")


InOrder = BeforeValidator(_in_order)
WholeChoice = BeforeValidator(_is_whole)

Number = Annotated[float, Strict()]
Whole = Annotated[int, Strict()]
YesNo = Annotated[bool, Strict()]

Finite = Annotated[Number, Field(allow_inf_nan=False, ge=-1e9, le=1e9)]
NotNegative = Annotated[Number, Field(ge=0, le=1e9, allow_inf_nan=False)]

Mass = Annotated[Number, Field(ge=0.001, le=1e5, allow_inf_nan=False)]
"""Kilograms, from 1 g to 100 t."""
Coordinate = Annotated[Number, Field(ge=-1000, le=1000, allow_inf_nan=False)]
"""Metres from the boat's origin."""
Length = Annotated[Number, Field(ge=0.001, le=50, allow_inf_nan=False)]
"""Metres, from 1 mm to 50 m."""
Millimetres = Annotated[Number, Field(ge=0.1, le=50_000, allow_inf_nan=False)]
"""Down to a tenth, for the thickness of a pad."""
Force = Annotated[Number, Field(ge=0.001, le=1e8, allow_inf_nan=False)]
"""Newtons."""
Tension = Annotated[Number, Field(ge=0, le=1e6, allow_inf_nan=False)]
"""Newtons; may be nil."""
Stiffness = Annotated[Number, Field(ge=1e-6, le=1e9, allow_inf_nan=False)]
"""Newtons per millimetre."""
FrictionNumber = Annotated[Number, Field(ge=0, le=2, allow_inf_nan=False)]
Coefficient = Annotated[Number, Field(ge=0.01, le=1, allow_inf_nan=False)]
Share = Annotated[Number, Field(ge=0, le=1, allow_inf_nan=False)]
"""From nil to the whole, 0 to 1."""
Angle = Annotated[Number, Field(ge=-180, le=180, allow_inf_nan=False)]
"""Degrees."""
Acceleration = Annotated[Number, Field(ge=-100, le=100, allow_inf_nan=False)]
"""In g."""
RollRate = Annotated[Number, Field(ge=-3600, le=3600, allow_inf_nan=False)]
"""Degrees per second."""
RollAcceleration = Annotated[Number, Field(ge=-36_000, le=36_000, allow_inf_nan=False)]
"""Degrees per second, per second."""

Point = Annotated[tuple[Coordinate, Coordinate, Coordinate], InOrder]
Size = Annotated[tuple[Length, Length, Length], InOrder]
Patch = Annotated[tuple[Length, Length], InOrder]

Label = Annotated[str, Strict(), Field(min_length=1, max_length=200), AfterValidator(_no_control_characters)]
"""What people call a thing: any printable text, right-to-left letters too, on one line."""
Id = Annotated[Label, AfterValidator(_no_outer_space)]
"""Short name by which one thing in the file, or in the catalogue, is found."""
Words = Annotated[str, Strict(), Field(min_length=1, max_length=2000), AfterValidator(_no_control_characters)]
"""A sentence or two, on one line."""
Day = Annotated[datetime.date, BeforeValidator(_day)]
"""A day of the calendar, year-month-day."""
Friction = FrictionNumber | Id

SideFace = Literal["port", "starboard", "fore", "aft"]
Face = Literal["bottom", "top", "port", "starboard", "fore", "aft"]
Kind = Literal["ballast", "battery", "chain", "anchor", "tank", "gas", "tools", "stores", "engine", "other"]
Edge = Literal["bottom-port", "bottom-starboard", "bottom-fore", "bottom-aft"]
Shape = Literal["box", "ingot", "cylinder-upright", "cylinder-lying", "loose"]
_SUPPORTS = {
    "floor": "floors",
    "frame": "frames",
    "bulkheads": "bulkhead",
    "knees": "knee",
    "stringers": "stringer",
    "bearer": "bearers",
    "engine bed": "engine-bed",
    "engine beds": "engine-bed",
    "wedges": "wedge",
}
Support = Annotated[
    Literal[
        "floors", "keel", "frames", "sole", "bulkhead", "planking",
        "knee", "stringer", "bearers", "deadwood", "engine-bed", "wedge",
    ],
    BeforeValidator(lambda word: _SUPPORTS.get(word, word) if isinstance(word, str) else word),
]  # fmt: skip
"""What carries a weight; one or more of it is taken alike."""
_MEMBERS = {
    "floors": "floor",
    "frames": "frame",
    "stringers": "stringer",
    "bearers": "bearer",
    "knees": "knee",
    "engine bed": "engine-bed",
}
_Member = Literal[
    "floor", "keel", "frame", "stringer", "bearer", "beam", "bulkhead", "sole", "landing", "planking",
    "knee", "deadwood", "engine-bed",
]  # fmt: skip
Member = Annotated[_Member, BeforeValidator(lambda word: _MEMBERS.get(word, word) if isinstance(word, str) else word)]
"""Part of the boat that fastenings go into; one or more of it is taken alike."""
MEMBER_WORDS: frozenset[str] = frozenset((*get_args(_Member), *_MEMBERS))


class Part(BaseModel):
    """Base of all models: unknown keys are refused, nothing is coerced in silence, values are checked."""

    model_config = ConfigDict(extra="forbid", validate_assignment=True, use_attribute_docstrings=True)
