"""A greased stow as a frame of stiff arms on one-way springs, for a finite-element library (Pynite, MIT licence).

The weight is a star of beams from its centre of gravity to every place where something touches it, some ten thousand
times as stiff as the stiffest link. Beds, cleats and battens are the library's one-way support springs, which it
opens and closes until every one of them agrees with its own displacement. Bolts and bonds are its two-way springs.

A lashing leans, and the library's one-way supports lie along the axes only (its tension-only members lean, but once
let go are never taken up again). So it is a stiff rod to a slide that runs along one axis, with a one-way support on
the slide: with n the line's direction along that axis, a support of k n^2 gives the line its stiffness k. A line set
up tight, or slack, has its slide shifted square to the run.

A support spring a million times softer than the softest link keeps the frame from falling; what it carries tells
held from free.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from Pynite import FEModel3D

from secure_load.solver.springs import Spring

Array = NDArray[np.float64]

ARM = 1e4
"""Arms, and the rods of lashings, over the stiffest link."""
SOFT = 1e-6
"""What keeps the frame from falling over the softest link."""
HELD, FREE = 1e-3, 0.05
"""Share of the load in the soft springs below which the weight is held, above which it is free."""
ROUNDS = 20
"""Of opening and closing all springs at once."""
TURNS = 120
"""Of opening and closing one at a time."""
COMBO = "Combo 1"
WAYS = "XYZ"


@dataclass(frozen=True)
class Answer:
    """What the frame says of one load."""

    force: Array
    """(m,) in every link, N."""
    soft: float
    """Share of the load that the soft springs carry."""


@dataclass(frozen=True)
class _Support:
    """A link's one-way support spring: where, along which axis, and the link's own direction along it."""

    node: str
    axis: int
    along: float

    @property
    def resists(self) -> str:
        """What pushes the weight along +z is pressed along -z."""
        return "-" if self.along > 0 else "+"


@dataclass
class _Frame:
    """The library's model and where each link is in it."""

    model: FEModel3D
    stiff: float
    places: dict[tuple[float, ...], str] = field(default_factory=dict[tuple[float, ...], str])
    supports: dict[int, _Support] = field(default_factory=dict[int, _Support])
    springs: dict[int, str] = field(default_factory=dict[int, str])

    def at(self, point: Array) -> str:
        """The node at a point of the weight, with its arm; links at one point share it."""
        if not np.any(np.abs(point) > 1e-9):
            return "c.g."
        key = tuple(np.round(point, 9) + 0.0)
        if key not in self.places:
            name = self.places[key] = f"p{len(self.places)}"
            self.model.add_node(name, *map(float, point))
            self.model.add_member(f"arm {name}", "c.g.", name, "arm", "arm")
        return self.places[key]

    def spring(self, support: _Support) -> list[float | str | bool | None]:
        """The library's [stiffness, direction, acts] of a support spring."""
        return getattr(self.model.nodes[support.node], f"spring_D{WAYS[support.axis]}")

    def moved(self, node: str) -> Array:
        """Displacement of a node, (3,), m."""
        at = self.model.nodes[node]
        return np.array([at.DX[COMBO], at.DY[COMBO], at.DZ[COMBO]], dtype=float)


def _build(made: list[Spring], f0: Array, load: Array, size: float) -> _Frame:
    k = np.array([link.stiffness for link in made])
    stiff = ARM * float(k.max())
    model = FEModel3D()
    frame = _Frame(model, stiff)
    model.add_material("arm", E=1.0, G=1.0, nu=0.0, rho=0.0)
    model.add_section("arm", A=stiff * size, Iy=stiff * size**3, Iz=stiff * size**3, J=stiff * size**3)
    model.add_node("c.g.", 0.0, 0.0, 0.0)
    soft = SOFT * float(k.min())
    for axis, force in zip(WAYS, load, strict=True):
        model.def_support_spring("c.g.", f"D{axis}", soft)
        model.def_support_spring("c.g.", f"R{axis}", soft * size**2)
        model.add_node_load("c.g.", f"F{axis}", float(force))
    summed: dict[_Support, float] = defaultdict(float)
    for i, link in enumerate(made):
        assert len(link.attachments) == 1, "a line that slides over a corner has no member in the library"
        node, way = frame.at(link.attachments[0].point), link.attachments[0].direction
        axis = int(np.argmax(np.abs(way)))
        along = float(way[axis])
        if not link.one_way:
            _tie(frame, i, node, link, link.stiffness)
            model.def_support(f"boat {i}", True, True, True, True, True, True)
        elif abs(along) > 1.0 - 1e-12:
            assert f0[i] == 0.0, "a bearing starts just touching"
            frame.supports[i] = _Support(node, axis, along)
            summed[frame.supports[i]] += link.stiffness
        else:
            _tie(frame, i, node, link, stiff)
            _slide(frame, i, axis, way * float(f0[i]) / link.stiffness)
            frame.supports[i] = _Support(f"boat {i}", axis, along)
            summed[frame.supports[i]] += link.stiffness * along**2
    for support, stiffness in summed.items():
        model.def_support_spring(support.node, f"D{WAYS[support.axis]}", stiffness, support.resists)
    return frame


def _tie(frame: _Frame, i: int, node: str, link: Spring, stiffness: float) -> None:
    """A spring from the weight to a new node of the boat, one metre off along the link."""
    frame.model.add_node(f"boat {i}", *map(float, link.attachments[0].point + link.attachments[0].direction))
    frame.springs[i] = f"spring {i}"
    frame.model.add_spring(frame.springs[i], node, f"boat {i}", stiffness)


def _slide(frame: _Frame, i: int, axis: int, back: Array) -> None:
    """Let the boat's end of a line run along one axis only, and draw it back by ``back`` (3,) along the line."""
    fixed = [way != WAYS[axis] for way in WAYS]
    frame.model.def_support(f"boat {i}", *fixed, True, True, True)
    square = back.copy()
    square[axis] = 0.0
    if np.any(back):
        # a shift square to the run that lengthens the line by as much as ``back`` along it does
        shift = square * float(back @ back) / float(square @ square)
        for other in np.flatnonzero(fixed):
            frame.model.def_node_disp(f"boat {i}", f"D{WAYS[other]}", float(shift[other]))


def _settles(frame: _Frame) -> bool:
    """Analyse until every one-way spring agrees with its displacement; there is only one such state.

    The library opens and closes all that disagree at once, which now and then goes round in a ring. Then they are
    opened or closed one at a time, always the first in the list (K. G. Murty, Opsearch 11 (1974) 138, memory: this
    rule cannot go in a ring), the library still solving each state and saying when it agrees.
    """
    if _agrees(frame, ROUNDS):
        return True
    springs = list(dict.fromkeys(frame.supports.values()))
    acting = [True] * len(springs)
    for _ in range(TURNS):
        for support, acts in zip(springs, acting, strict=True):
            frame.spring(support)[2] = acts
        if _agrees(frame, 1):
            return True
        first = next(i for i, s in enumerate(springs) if frame.spring(s)[2] != acting[i])
        acting[first] = not acting[first]
    return False


def _agrees(frame: _Frame, rounds: int) -> bool:
    try:
        frame.model.analyze(check_stability=False, max_iter=rounds)
    except Exception as trouble:  # the library has no class of its own for it
        if "diverge" not in str(trouble).lower():
            raise
        return False
    return True


def work(made: list[Spring], f0: Array, load: Array, size: float) -> Answer | None:
    """Link forces of one weight under a force (3,) at its centre of gravity; None where the library does not settle.

    The load must not be square to an open contact to the last digit: its spring would open and close for ever.
    ``f0`` (m,): force in each link at no displacement, N. ``size``: a length of the weight's own, m.
    """
    frame = _build(made, f0, load, size)
    if not _settles(frame):
        return None
    force = np.zeros(len(made))
    for i, name in frame.springs.items():
        # the library counts compression above nil
        force[i] = -float(frame.model.springs[name].axial(COMBO))
    for i, support in frame.supports.items():
        pressed = -support.along * float(frame.moved(support.node)[support.axis])
        force[i] = made[i].stiffness * max(0.0, pressed)
    soft = SOFT * min(link.stiffness for link in made) * np.linalg.norm(frame.moved("c.g."))
    return Answer(force, float(soft / np.linalg.norm(load)))
