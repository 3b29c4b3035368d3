"""Boxes on a level pad that is tilted slowly, in a physics engine (MuJoCo, Apache 2.0 licence).

Nothing is balanced here: the boxes are let go, time runs, and what moves, moves. The heel at which they first do is
found by halving. Boxes are given by their sizes and places, contacts by who touches whom with what friction; no link,
stiffness or load of ``secure_load`` comes in.

Settings, and why:

- gravity is turned, not the pad: the same thing, and the corners stay where they were;
- elliptic friction cones: the law is Coulomb's disc, not a pyramid over it;
- ``impratio`` 1000: the library's friction yields a little under any load (it is solved as a soft constraint), so that
  a box that should stand creeps; with friction a thousand times harder than the contact it creeps at nanometres a
  second;
- time constant of the contacts 4 ms at critical damping, impedance 0.999, steps of 1 ms (twice two steps is the least
  the library takes): boxes sink less than a micrometre, a hundred-thousandth of their height, so that the edge they
  tip about is where it is drawn;
- tilted evenly over half a second, a hundred times slower than the contacts answer; then a wait of a second and a half,
  in which a box half a per cent over its angle goes a centimetre and more;
- moved: by more than a millimetre, or turned by more than half a degree; what stands has crept by less than a
  micrometre.

Source: E. Todorov, T. Erez and Y. Tassa, "MuJoCo: A physics engine for model-based control", IROS 2012, 5026-5033
(memory); the settings are the library's own documentation's words for them.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import mujoco
import numpy as np

G = 9.80665
STEP = 1e-3
"""s"""
TILTING, WAITING = 0.5, 1.5
"""s"""
FAR, TURNED = 1e-3, math.radians(0.5)
"""m and rad: beyond, it has moved."""
FOOT, PROUD = 5e-3, 1e-3
"""m, of a round foot."""
PAD = "pad"


@dataclass(frozen=True)
class Box:
    """A box that stands with its sides along the axes: y to port, z up; or, without a mass, one made fast."""

    name: str
    size: tuple[float, float, float]
    """m: fore-and-aft, athwartships, height."""
    at: tuple[float, float, float]
    """m: its middle, over the pad's face at z = 0."""
    mass: float = 0.0
    """kg"""
    pressed: float = 0.0
    """N, square to the pad, whatever the heel: what tight straps straight over the top do."""
    feet: tuple[Foot, ...] = ()

    def xml(self) -> str:
        half, at = _numbers(*(0.5 * s for s in self.size)), _numbers(*self.at)
        if not self.mass:
            return f'<geom name="{self.name}" type="box" size="{half}" pos="{at}"/>'
        geom = f'<geom name="{self.name}" type="box" size="{half}" mass="{self.mass}"/>'
        feet = "".join(foot.xml(-0.5 * self.size[2]) for foot in self.feet)
        return f'<body name="{self.name}" pos="{at}" user="{self.pressed}"><freejoint/>{geom}{feet}</body>'


@dataclass(frozen=True)
class Foot:
    """A small round foot let into the bottom of a box so that it stands 1 mm proud, without mass of its own."""

    name: str
    x: float
    y: float
    """m, from the box's middle."""

    def xml(self, bottom: float) -> str:
        at = _numbers(self.x, self.y, bottom + FOOT - PROUD)
        return f'<geom name="{self.name}" type="sphere" size="{FOOT}" mass="0" pos="{at}"/>'


def _numbers(*values: float) -> str:
    return " ".join(f"{value:.9f}" for value in values)


@dataclass(frozen=True)
class Touch:
    """Two things that touch, by name, and the friction between them."""

    one: str
    other: str
    friction: float = 0.0

    def xml(self) -> str:
        law = f'condim="3" friction="{self.friction} {self.friction}"' if self.friction else 'condim="1"'
        soft = 'solref="0.004 1" solimp="0.999 0.999 0.001 0.5 2"'
        return f'<pair geom1="{self.one}" geom2="{self.other}" {law} {soft}/>'


def scene(boxes: Sequence[Box], touches: Sequence[Touch]) -> mujoco.MjModel:
    """The boxes on the pad."""
    option = f'timestep="{STEP}" cone="elliptic" impratio="1000" solver="Newton" iterations="200" tolerance="1e-12"'
    world = "".join(box.xml() for box in boxes)
    pairs = "".join(touch.xml() for touch in touches)
    pad = f'<geom name="{PAD}" type="plane" size="5 5 0.1"/>'
    return mujoco.MjModel.from_xml_string(
        # only the pairs named collide: left to itself the library gives all others a friction of one
        f'<mujoco><size nuser_body="1"/><option {option}/><default><geom contype="0" conaffinity="0"/></default>'
        f"<worldbody>{pad}{world}</worldbody><contact>{pairs}</contact></mujoco>"
    )


def moves(model: mujoco.MjModel, heel_deg: float, far: float = FAR) -> list[bool]:
    """Which boxes have moved, by more than ``far`` in m, by some time after the pad was tilted, starboard side down.

    In the order of the scene.
    """
    data = mujoco.MjData(model)
    data.xfrc_applied[1:, 2] = -model.body_user[1:, 0]
    start = data.qpos.reshape(-1, 7).copy()
    tilting = round(TILTING / STEP)
    for i in range(tilting + round(WAITING / STEP)):
        heel = math.radians(heel_deg) * min(1.0, (i + 1) / tilting)
        model.opt.gravity[:] = (0.0, -G * math.sin(heel), -G * math.cos(heel))
        mujoco.mj_step(model, data)
    end = data.qpos.reshape(-1, 7)
    went = np.linalg.norm(end[:, :3] - start[:, :3], axis=1)
    # the angle between two attitudes, from the scalar product of their quaternions
    turned = 2.0 * np.arccos(np.minimum(np.abs((end[:, 3:] * start[:, 3:]).sum(axis=1)), 1.0))
    return [bool(x) for x in (went > far) | (turned > TURNED * far / FAR)]


def heel_where_it_moves(model: mujoco.MjModel, low: float = 1.0, high: float = 85.0) -> float:
    """The least heel in degrees at which anything moves, to a fiftieth of a degree."""
    assert not any(moves(model, low))
    assert any(moves(model, high))
    while high - low > 0.02:
        middle = 0.5 * (low + high)
        low, high = (low, middle) if any(moves(model, middle)) else (middle, high)
    return 0.5 * (low + high)
