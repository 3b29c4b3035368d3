"""Words of help: the keys, and how to come by the figures."""

from __future__ import annotations

from secure_load.check.cautions import cautions
from secure_load.screen.form.fields import Field

KEYS = """\
Where you are
  F2 list   F3 form   F4 verdict   F5 drawing   Tab and arrows move on
  F1 help, in a field: what it means and how to measure it
  F9 what would mend it        Ctrl+T what she is put through, and your own
  F10 (or Ctrl+L) how she floats           F12 cautions
  F11 (or Ctrl+R) her records: what changed, what to look over, what to buy
  Ctrl+P everything by name

In the list of weights
  a  add a weight           d  the same again, further forward
  x  take it out            o  the same again on the other side
  m  mirror: port for starboard            Enter  its form
  s  sort: as stowed, or the gravest first
  w  why: the chain of figures             r  what would mend it
  g  the drawing            b  the boat herself: her planking, her bilge

In the form
  Enter  the field's list, or the next field
  F6     the figure shown as assumed is true: write it down;
         on a restraint's line: all that is assumed of it
  F7     add a restraint; first in the list is the usual stowage
  F8     take one out
  Ctrl+F what was found of a restraint when she was looked over
  Mass may be written 48, 48 kg or 4 x 12 kg.
  Lengths may carry mm, cm or m.

In the drawing
  Left and right  another heel      Space  play the roll
  Up and down     another weight    0  upright, Home and End rolled over
  1 section   2 plan   3 rose       z  nearer, or all of her

Anywhere
  Ctrl+S save     Ctrl+Z undo        Ctrl+Y redo
  Ctrl+O open     Ctrl+N new boat    Ctrl+Q leave
  Ctrl+G stops a check that is running, and begins it again

What the words mean
  Worked to 45 %  what is asked of a part, of what it may be asked for
  free            nothing stops it: it moves
  second path     something else takes over should one restraint fail
  assumed         nobody has looked: a cautious figure stands in for it
  g               1 g is as hard as gravity pulls; at 2 g a thing weighs
                  twice itself
  N               newton, a push or pull: 10 N is what 1 kg weighs.
                  Where N is asked for, 20 kg may be written as well
  kPa             pressing on a surface: 10 kPa is a tonne on a square metre

Nothing is lost: what is not saved is kept, and offered again after a
crash or a closed terminal.

How to measure
  Place: forward from the after end of the waterline, to port of the
  middle line (to starboard with a minus), up from the waterline
  (below it with a minus). A thread stretched fore and aft at the
  height of the waterline, and a tape from it, will do.
  Mass: stand on a bathroom scale with it and without it.
  Screws: the gauge is on the packet; the thread in the timber is
  the screw's length less what it goes through first.
  What is left blank is taken on the cautious side and shown as
  assumed. A weight that leans on it is never better than doubtful."""


def field_text(field: Field) -> str:
    """What a field means, and how it is come by."""
    return f"{field.meaning}\n\n{field.measure}"


def cautions_text() -> str:
    """All cautions, a paragraph each."""
    return "\n\n".join(cautions())
