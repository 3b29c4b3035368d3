"""The strips and roses of an open boat, by what they hang on; worked out beside the screen, kept as long as they hold.

A strip comes out of the very working that gave the verdict and costs next to nothing; a rose takes a working of its
own, and is made when it is looked at. Nothing in here knows a terminal.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from secure_load.boat.models import Weight
from secure_load.check.context import CheckContext, GroupSolution
from secure_load.record.drawings.drawing_model import Picture
from secure_load.record.drawings.heel_strip import StripRow, strip_of
from secure_load.record.drawings.rose import rose_picture
from secure_load.screen.session.session import Session

_MOST = 2000
STRIP_STEP = 6.0
"""Degrees from column to column of the strips on screen: 61 columns, no gap where a scenario goes by 5."""


@dataclass
class RetainingContext(CheckContext):
    """A run that holds on to the latest working of every weight, for its strip."""

    latest: dict[str, GroupSolution] = field(default_factory=dict[str, GroupSolution])

    def solved(self, weight: Weight) -> GroupSolution:
        """As the run has it."""
        found = super().solved(weight)
        self.latest[weight.id] = found
        return found


@dataclass(frozen=True)
class DrawingRequest:
    """A picture that is not there yet."""

    weight: Weight
    key: str
    rose: bool = False
    """The rose is wanted, else the strip."""


@dataclass(frozen=True)
class Drawing:
    """A strip or a rose as it was worked out; None where the weight cannot be checked."""

    wanted: DrawingRequest
    strip: StripRow | None = None
    rose: Picture | None = None


class Pictures:
    """What was worked out so far."""

    def __init__(self) -> None:
        self._strips: dict[str, StripRow | None] = {}
        self._roses: dict[str, Picture | None] = {}
        self._last: dict[str, StripRow] = {}

    def missing(self, session: Session, *, rose: bool = False) -> list[DrawingRequest]:
        """The pictures that are not there yet, the chosen weight's first; with ``rose`` also its rose."""
        keys = session.cache_keys()
        found = [DrawingRequest(w, keys[w.id]) for w in session.boat.weight if keys[w.id] not in self._strips]
        found.sort(key=lambda each: each.weight.id != session.chosen)
        weight = session.weight
        if rose and weight is not None and keys[weight.id] not in self._roses:
            found.insert(0, DrawingRequest(weight, keys[weight.id], rose=True))
        return found

    def accept(self, made: Drawing) -> None:
        """Take in what was worked out."""
        if len(self._strips) >= _MOST:
            self._strips.clear()
            self._roses.clear()
        if made.wanted.rose:
            self._roses[made.wanted.key] = made.rose
            return
        self._strips[made.wanted.key] = made.strip
        if made.strip is not None:
            self._last[made.wanted.weight.id] = made.strip

    def strip(self, session: Session, weight_id: str) -> StripRow | None:
        """The strip of a weight as it is now; None until it is there, and where there is none to be had."""
        return self._strips.get(session.cache_keys().get(weight_id, ""))

    def is_known(self, session: Session, weight_id: str) -> bool:
        """True once its strip was worked out, even if there is none to be had."""
        return session.cache_keys().get(weight_id, "") in self._strips

    def rose(self, session: Session, weight_id: str) -> Picture | None:
        """The rose of a weight as it is now; None until it is there."""
        return self._roses.get(session.cache_keys().get(weight_id, ""))

    def strips(self, session: Session) -> dict[str, StripRow]:
        """The strips of all weights by id; an older one until the new one is there."""
        found = {w.id: self.strip(session, w.id) or self._last.get(w.id) for w in session.boat.weight}
        return {i: strip for i, strip in found.items() if strip is not None}


def make(wanted: DrawingRequest, run: CheckContext) -> Drawing:
    """Work out one picture; raises nothing."""
    try:
        if wanted.rose:
            return Drawing(wanted, rose=rose_picture(run.solved(wanted.weight), wanted.weight))
        return Drawing(wanted, strip=strip_of(run.solved(wanted.weight), wanted.weight, STRIP_STEP))
    except Exception:
        # What cannot be checked says so in its verdict; it has no picture.
        return Drawing(wanted)


def strip_from(wanted: DrawingRequest, run: RetainingContext) -> Drawing | None:
    """The strip out of the working of the verdict just given; None where there was none."""
    solved = run.latest.pop(wanted.weight.id, None)
    try:
        return None if solved is None else Drawing(wanted, strip=strip_of(solved, wanted.weight, STRIP_STEP))
    except Exception:
        return None
