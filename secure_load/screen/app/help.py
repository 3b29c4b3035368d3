"""Words of help: the keys, and how to come by the figures."""

from __future__ import annotations

from collections.abc import Iterable

from textual.binding import Binding

from secure_load.check.cautions import cautions
from secure_load.screen.app.footer import key_words
from secure_load.screen.app.keys import MAIN_KEYS, TABLE_KEYS
from secure_load.screen.form.fields import Field

_FORM = """\
  Enter      the field's list, or the next field
  F6         accept what is shown as assumed; on a restraint's line: all
             that is assumed of it
  F7, F8     add a restraint, remove it
  Ctrl+F     findings of a restraint, from an inspection
  Mass may be written 48, 48 kg, 4 x 12 kg or 12 lb 8 oz. Any figure may
  carry its unit: mm cm m in ft kg g t lb oz st N kN kn; 5' 3 1/2" too."""

_WORDS = """\
What the words mean
  use 45 %        demand on a part, of its working strength
  loose           nothing stops it: it moves
  back-up         something else takes over should one restraint fail
  assumed         nobody has looked: a cautious figure stands in for it
  g               1 g is as hard as gravity pulls; at 2 g a thing weighs
                  twice itself
  N               newton, a push or pull: 10 N is what 1 kg weighs.
                  Where N is asked for, 20 kg may be written as well
  kPa             pressing on a surface: 10 kPa is a tonne on a square metre

Nothing is lost: what is not saved is kept, and offered again after a
crash or a closed terminal; what you discard can be recovered for a day
from the start screen.

How to measure
  Place: forward from the after end of the waterline, to port of the
  centreline (to starboard with a minus), up from the waterline
  (below it with a minus). A string line stretched fore and aft at the
  height of the waterline, and a tape from it, will do.
  Mass: stand on a bathroom scale with it and without it.
  Screws: the gauge is on the packet; the thread in the timber is
  the screw's length less what it goes through first.
  What is left blank is taken on the cautious side and shown as
  assumed. A weight that leans on it is never better than doubtful."""


def _listed(bindings: Iterable[Binding]) -> str:
    found: dict[str, Binding] = {}
    for each in bindings:
        found.setdefault(each.action, each)
    return "\n".join(f"  {key_words(b.key):<9}  {b.tooltip or b.description}" for b in found.values())


def keys_text() -> str:
    """Every key of the main screen, and what the words mean."""
    parts = ("In the table of weights", _listed(TABLE_KEYS)), ("In the form", _FORM), ("Anywhere", _listed(MAIN_KEYS))
    return "\n\n".join(f"{head}\n{text}" for head, text in parts) + f"\n\n{_WORDS}"


def field_text(field: Field) -> str:
    """What a field means, and how it is come by."""
    return f"{field.meaning}\n\n{field.measure}"


def cautions_text() -> str:
    """All cautions, a paragraph each."""
    return "\n\n".join(cautions())
