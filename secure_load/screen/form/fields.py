"""The form's fields: what each is called, its unit, how it is read and written, what choices it has.

What a field means is not said here: that is the docstring under it in the boat's models.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, Literal

from pydantic import BaseModel

from secure_load.boat import models
from secure_load.boat.models import Restraint, Weight
from secure_load.screen.form.measuring_help import how_to_measure
from secure_load.screen.session.session import Keys

Kind = Literal[
    "text",
    "word",
    "number",
    "whole",
    "yesno",
    "choice",
    "row",
    "mass",
    "friction",
    "numbers",
    "words",
    "day",
    "percent",
]


@dataclass(frozen=True)
class Field:
    """One line of the form."""

    keys: Keys
    """From the weight or restraint it belongs to; a last number is the place in a point or size."""
    label: str
    kind: Kind = "number"
    unit: str = ""
    choices: tuple[str, ...] = ()
    """For a choice: the words the file knows."""
    table: str = ""
    """For a row of the catalogue: which table."""
    model: type[BaseModel] = Weight
    late: bool = False
    """Taken in when the cursor leaves it and not at every stroke."""
    needs: tuple[str | Keys, tuple[str, ...]] | None = field(default=None)
    """Shown only where the figure beside it, or that of other keys, has one of these values."""
    with_part: tuple[str, ...] = ()
    """Shown only where the weight has all of these parts."""
    line: str = ""
    """Fields after one another with the same line stand side by side under this label."""
    caption: str = ""
    """What stands behind a field of such a line."""

    @property
    def part(self) -> int | None:
        """Place in a point or a size; None for a figure of its own."""
        last = self.keys[-1]
        return last if isinstance(last, int) else None

    @property
    def whole_keys(self) -> Keys:
        """Keys of the figure itself: of the whole point, where this is one of its parts."""
        return self.keys[:-1] if self.part is not None else self.keys

    @property
    def is_required(self) -> bool:
        """True where the file must say it."""
        info = self.model.model_fields.get(str(self.whole_keys[-1]))
        return info is not None and info.is_required()

    @property
    def meaning(self) -> str:
        """What the field is, from its docstring in the models."""
        name = str(self.whole_keys[-1])
        fields = self.model.model_fields
        info = fields.get(name) or fields.get(f"{name}_")  # from_: a word that python keeps for itself
        words = (info.description or "") if info else ""
        words = re.sub(r"a name from ``secure-load list \w+``", "enter opens the list", words)
        words = re.sub(r"a pair from ``secure-load list \w+``", "a named pair (enter opens the list)", words)
        if self.kind == "mass":
            words = "Its mass; several alike may be written 4 x 12 kg."
        if self.kind == "percent":
            words = "What is left of its strength, in hundredths, as you judge it."
        return " ".join(words.replace("``", "'").split())

    def has_place_in(self, part: object) -> bool:
        """True where the weight has the parts that this belongs to."""
        return all(getattr(part, name, None) is not None for name in self.with_part)

    @property
    def measure(self) -> str:
        """How it is come by on the boat."""
        return how_to_measure(self.model.__name__, str(self.whole_keys[-1]))


def choices_of(model: type[BaseModel], name: str) -> tuple[str, ...]:
    """The words a figure may be, from the model itself."""
    found: list[str] = []

    def look(annotation: Any) -> None:
        if getattr(annotation, "__origin__", None) is Literal:
            found.extend(str(a) for a in annotation.__args__)
        else:
            for each in getattr(annotation, "__args__", ()):
                look(each)

    look(model.model_fields[name].annotation)
    return tuple(found)


def _side_by_side(key: Keys, line: str, captions: Sequence[str], model: type[BaseModel], **more: Any) -> list[Field]:
    kind, unit = more.pop("kind", "number"), more.pop("unit", "m")
    return [
        Field((*key, n), f"{line}, {caption}", kind, unit, model=model, line=line, caption=caption, **more)
        for n, caption in enumerate(captions)
    ]


def _point(key: str, line: str, model: type[BaseModel]) -> list[Field]:
    return _side_by_side((key,), line, ("fwd", "port", "up m"), model)


def _slope(keys: Keys, label: str, model: type[BaseModel]) -> Field:
    return Field(keys, label, "number", "degrees", model=model)


def choice(keys: Keys, label: str, model: type[BaseModel]) -> Field:
    return Field(keys, label, "choice", choices=choices_of(model, str(keys[-1])), model=model)


def _row(keys: Keys, label: str, table: str, model: type[BaseModel]) -> Field:
    return Field(keys, label, "row", table=table, model=model)


def _screws(model: type[BaseModel], before: Keys = ("screws",)) -> list[Field]:
    s = models.Screws
    by_gauge: tuple[str, tuple[str, ...]] = ("kind", ("", "wood-screw"))
    washered: tuple[str, tuple[str, ...]] = ("kind", ("coach-screw", "bolt"))
    return [
        choice((*before, "kind"), "Fastened by", s),
        Field((*before, "count"), "How many", "whole", model=s),
        Field((*before, "gauge"), "Gauge", "whole", model=s, needs=by_gauge),
        Field((*before, "diameter_mm"), "Diameter", "number", "mm", model=s),
        Field((*before, "penetration_mm"), "Thread penetration", "number", "mm", model=s),
        _row((*before, "into"), "Into timber", "timbers", s),
        choice((*before, "member"), "Part of the boat", s),
        Field((*before, "stock_mm"), "Thickness of it", "number", "mm", model=s),
        Field((*before, "sided_mm"), "Sided", "number", "mm", model=s),
        _row((*before, "metal"), "Metal", "metals", s),
        Field((*before, "washer_mm"), "Washer", "number", "mm", model=s, needs=washered),
        Field((*before, "end_grain"), "Into end grain", "yesno", model=s),
    ]


def _held_by(before: Keys, whose: str, **shown: Any) -> list[Field]:
    """The fastenings of what a piece is screwed to, shown only where there is such a thing."""
    s = models.Screws
    return [
        Field((*before, "kind"), f"{whose} held by", "choice", choices=choices_of(s, "kind"), model=s, **shown),
        Field((*before, "count"), f"{whose}, how many", "whole", model=s, **shown),
        Field((*before, "gauge"), f"{whose}, gauge", "whole", model=s, **shown),
        Field((*before, "diameter_mm"), f"{whose}, diameter", "number", "mm", model=s, **shown),
        Field((*before, "penetration_mm"), f"{whose}, penetration", "number", "mm", model=s, **shown),
        Field((*before, "into"), f"{whose}, into timber", "row", table="timbers", model=s, **shown),
        Field((*before, "member"), f"{whose}, screwed to", "choice", choices=choices_of(s, "member"), model=s, **shown),
        Field((*before, "metal"), f"{whose}, metal", "row", table="metals", model=s, **shown),
    ]


def _strength(model: type[BaseModel]) -> Field:
    return Field(("strength_N",), "Working load, if known", "number", "N", model=model)


def _slack(model: type[BaseModel]) -> Field:
    return Field(("slack_mm",), "Slack", "number", "mm", model=model)


def _given(model: type[BaseModel]) -> list[Field]:
    return [_strength(model), _slack(model)]


def _proposed(model: type[BaseModel], before: Keys = (), label: str = "Only proposed") -> Field:
    """The tick of a proposal; not shown for what is built."""
    return Field((*before, "proposed"), label, "yesno", model=model, needs=("proposed", ("yes",)))


def _line(model: type[BaseModel]) -> list[Field]:
    anchors: Keys = ("anchors", "screws")
    a = models.Anchors
    return [
        _proposed(model),
        _row(("line",), "Line", "lines", model),
        Field(("turns",), "Turns", "whole", model=model),
        _row(("termination",), "Termination", "terminations", model),
        _row(("shackle",), "Shackle or turnbuckle", "shackles", model),
        Field(("tension_N",), "Tension set up", "number", "N", model=model),
        Field(("tension_loss",), "Tension lost (0 to 1)", "number", model=model),
        *_point("from_m", "From", model),
        *_point("to_m", "To", model),
        choice(("anchors", "kind"), "Drawing fast to", a),
        Field(("anchors", "strength_N"), "Eye working load, if known", "number", "N", model=a),
        *_screws(model, anchors),
        *_given(model),
    ]


_FRICTION = "Friction"


def _bundle() -> list[Field]:
    """How several ingots lie and are tied, and the first kind of tie; more kinds are written in the file."""
    tie: Keys = ("bundle", "ties", 0)
    stack = _side_by_side(("bundle", "stack"), "Ingots", ("long", "wide", "high"), models.Bundle, kind="whole", unit="",
                          with_part=("ingots",))  # fmt: skip
    bundled = ("ingots", "bundle")
    b = models.BundleTie
    joined = Field(("ingots", "joined"), "Joined", "choice", choices=choices_of(models.Ingots, "joined"),
                   model=models.Ingots, with_part=("ingots",))  # fmt: skip
    return [
        joined,
        *stack,
        Field(("bundle", "friction"), "Friction between ingots", "friction", table="frictions", model=models.Bundle,
              with_part=bundled),
        Field((*tie, "tie"), "Tied by", "row", table="cable_ties", model=b, with_part=bundled),
        Field((*tie, "line"), "or by line", "row", table="lines", model=b, with_part=bundled),
        Field((*tie, "count"), "Ties", "whole", model=b, with_part=bundled),
        Field((*tie, "around"), "Ties run", "choice", choices=choices_of(b, "around"), model=b,
              with_part=bundled),
        Field((*tie, "tension_N"), "Tie tension", "number", "N", model=b, with_part=bundled),
        _proposed(b, tie, "Ties only proposed"),
    ]  # fmt: skip


WEIGHT: list[Field] = [
    Field(("name",), "Name", "text"),
    Field(("mass_kg",), "Mass", "mass", "kg", line="Mass", caption="kg"),
    Field(("measured",), "Weighed", "yesno", line="Mass", caption="weighed"),
    Field(("kind",), "Kind", "choice", choices=choices_of(Weight, "kind"), line="Mass", caption="kind"),
    *_point("at_m", "Centre", Weight),
    *_side_by_side(("size_m",), "Size", ("long", "wide", "high m"), Weight),
    Field(("drained_locker",), "Drained gas locker", "yesno", needs=("kind", ("gas",))),
    Field(("id",), "Id", "text", late=True),
    *_bundle(),
]

IN_FORM = frozenset(str(f.keys[0]) for f in WEIGHT) | {"restraint", "ingots", "bundle"}
"""Keys of a weight that the form has; the sheet of the weight has the others."""

RESTRAINTS: dict[str, list[Field]] = {
    "bed": [
        _proposed(models.Bed),
        choice(("face",), "Face", models.Bed),
        choice(("edge",), "Or a lower edge", models.Bed),
        _slope(("slope_deg",), "It rises by", models.Bed),
        choice(("on",), "Carried by", models.Bed),
        Field(("friction",), _FRICTION, "friction", table="frictions", model=models.Bed),
        _row(("timber",), "Timber", "timbers", models.Bed),
        _row(("pad", "material"), "Pad", "pads", models.Pad),
        Field(("pad", "thickness_mm"), "Pad thickness", "number", "mm", model=models.Pad),
        *_side_by_side(("size_m",), "Bearing", ("long", "wide m"), models.Bed),
        *_point("at_m", "Bearing at", models.Bed),
        _slack(models.Bed),
    ],
    "cleat": [
        _proposed(models.Cleat),
        choice(("face",), "Face", models.Cleat),
        _slope(("slope_deg",), "Its face rises by", models.Cleat),
        _row(("timber",), "Timber", "timbers", models.Cleat),
        Field(("length_mm",), "Length", "number", "mm", model=models.Cleat),
        Field(("height_mm",), "Height", "number", "mm", model=models.Cleat),
        Field(("depth_mm",), "Thickness", "number", "mm", model=models.Cleat),
        *_screws(models.Cleat),
        Field(("friction",), _FRICTION, "friction", table="frictions", model=models.Cleat),
        *_given(models.Cleat),
        *_point("at_m", "Foot at", models.Cleat),
    ],
    "batten": [
        _proposed(models.Batten),
        choice(("along",), "Direction", models.Batten),
        _row(("timber",), "Timber", "timbers", models.Batten),
        Field(("span_mm",), "Span", "number", "mm", model=models.Batten),
        Field(("width_mm",), "Width", "number", "mm", model=models.Batten),
        Field(("depth_mm",), "Thickness", "number", "mm", model=models.Batten),
        *_screws(models.Batten),
        *_held_by(("landing",), "Landings", needs=(("screws", "member"), ("landing",))),
        Field(("friction",), _FRICTION, "friction", table="frictions", model=models.Batten),
        *_given(models.Batten),
        *_point("at_m", "Middle", models.Batten),
    ],
    "lashing": _line(models.Lashing),
    "strap": _line(models.Strap),
    "cable_tie": [
        _proposed(models.CableTie),
        _row(("tie",), "Class of tie", "cable_ties", models.CableTie),
        Field(("count",), "How many", "whole", model=models.CableTie),
        *_point("from_m", "From", models.CableTie),
        *_point("to_m", "To", models.CableTie),
        *_given(models.CableTie),
    ],
    "bolt": [
        _proposed(models.Bolt),
        choice(("face",), "Face", models.Bolt),
        _row(("size",), "Thread", "bolts", models.Bolt),
        Field(("count",), "How many", "whole", model=models.Bolt),
        _row(("metal",), "Metal", "metals", models.Bolt),
        _row(("into",), "Through timber", "timbers", models.Bolt),
        choice(("member",), "Part of the boat", models.Bolt),
        Field(("thickness_mm",), "Timber thickness", "number", "mm", model=models.Bolt),
        Field(("washer_mm",), "Washer", "number", "mm", model=models.Bolt),
        _strength(models.Bolt),
        *_point("at_m", "Middle", models.Bolt),
    ],
    "bond": [
        _proposed(models.Bond),
        choice(("face",), "Face", models.Bond),
        Field(("adhesive",), "Bedded in", "text", model=models.Bond),
        _strength(models.Bond),
        *_side_by_side(("size_m",), "Patch", ("long", "wide m"), models.Bond),
        *_point("at_m", "Patch at", models.Bond),
    ],
    "neighbour": [
        _proposed(models.Neighbour),
        choice(("face",), "Face", models.Neighbour),
        Field(("weight",), "Bears against", "text", model=models.Neighbour),
        Field(("friction",), _FRICTION, "friction", table="frictions", model=models.Neighbour),
        _slack(models.Neighbour),
    ],
}

_FACES = {"bottom": "under", "top": "over the top", "port": "port side", "starboard": "starboard side",
          "fore": "forward end", "aft": "after end"}  # fmt: skip
_TYPES = {"cable_tie": "cable ties", "bolt": "bolts", "bond": "bedded in adhesive", "neighbour": "another weight"}


def form_of(restraint: models.AnyRestraint) -> str:
    """Which fields a restraint has, by the type they go under: a cleat over the top has those of a batten."""
    return "batten" if isinstance(restraint, models.TopCleat) else restraint.type


def restraint_words(restraint: Restraint) -> str:
    """A restraint as it is spoken of: "port side: cleat"."""
    kind = str(getattr(restraint, "type", ""))
    face = getattr(restraint, "face", None)
    if kind in ("strap", "cable_tie"):
        face = "top"
    what = _TYPES.get(kind, kind)
    return f"{_FACES[face]}: {what}" if face else what
