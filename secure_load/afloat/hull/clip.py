"""Cutting sections with the water surface: areas and moments of what is under, exact for straight pieces.

A section is turned so that the water is level and cut at v = t. By Green's theorem every sum over the wetted
part is a sum over its outline, and the cut itself lies level, so it adds nothing to an integral over dv:

    area = oint u dv      first moments: oint u^2/2 dv (about v) and oint u v dv (about u)

Each straight piece is shortened to its part below t and integrated in closed form. No outline has to be put
together, so a section may fall into several wetted parts and all heels and stations go through at once.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from secure_load.afloat.hull.arrays import Array, Pick
from secure_load.afloat.hull.section_arrays import Hull

CHUNK = 60_000
"""Corners worked on at once: so many that numpy's calls cost little, so few that they stay near the processor."""


@dataclass(frozen=True, eq=False)
class Turned:
    """Sections turned by some heels, ready to be cut."""

    u: Array
    """[H, S, N] level coordinate of where a piece begins, to the port side, m."""
    v: Array
    """[H, S, N] height of where it begins, m."""
    slope: Array
    """[H, S, N] du/dv along the piece; 0 where it lies level."""

    def __len__(self) -> int:
        return len(self.u)

    def pick(self, heels: Pick) -> Turned:
        """Those of some heels, by index or mask."""
        return Turned(self.u[heels], self.v[heels], self.slope[heels])


@dataclass(frozen=True, eq=False)
class Wetted:
    """What is under water of each section, [H, S] each."""

    area: Array
    """m2."""
    moment_u: Array
    """Of area, about the vertical: integral of u, m3."""
    moment_v: Array
    """Of area, about the level: integral of v, m3."""
    breadth: Array
    """Of the waterline, all its parts together, m."""


def turn(hull: Hull, heel: Array) -> Turned:
    """Sections of ``hull`` at heels [H], rad, starboard down positive."""
    c, s = np.cos(heel)[:, None, None], np.sin(heel)[:, None, None]
    u = hull.y * c - hull.z * s
    v = hull.y * s + hull.z * c
    rise = np.roll(v, -1, axis=2) - v
    level = rise == 0.0
    slope = (np.roll(u, -1, axis=2) - u) / np.where(level, 1.0, rise)
    slope[level] = 0.0
    return Turned(u, v, slope)


def cut(turned: Turned, level: Array) -> Wetted:
    """Wetted areas and moments of turned sections below ``level`` [H, S], m. Exact for straight pieces."""
    heels, stations, corners = turned.u.shape
    step = max(1, CHUNK // (stations * corners))
    out = np.empty((4, heels, stations))
    for start in range(0, heels, step):
        part = slice(start, start + step)
        _cut(turned.u[part], turned.v[part], turned.slope[part], level[part, :, None], out[:, part])
    return Wetted(out[0], out[1], out[2], out[3])


def _cut(u: Array, v: Array, slope: Array, t: Array, out: Array) -> None:
    under = np.minimum(v, t)
    at = u + slope * (under - v)  # where the piece (or what is left of it) begins
    end = np.concatenate([under[..., 1:], under[..., :1]], axis=-1)
    at_end = at + slope * (end - under)
    fall = end - under
    both = at + at_end
    out[0] = 0.5 * np.einsum("hsn,hsn->hs", fall, both)
    # u1^2 + u1 u2 + u2^2 = (u1 + u2)^2 - u1 u2, and 2 u1 v1 + u1 v2 + u2 v1 + 2 u2 v2 likewise.
    out[1] = np.einsum("hsn,hsn->hs", fall, both * both - at * at_end) / 6.0
    out[2] = np.einsum("hsn,hsn->hs", fall, both * (under + end) + at * under + at_end * end) / 6.0
    dry = (v > t).astype(float)
    crossing = np.concatenate([dry[..., 1:], dry[..., :1]], axis=-1) - dry  # +1 going up through the surface
    out[3] = np.einsum("hsn,hsn->hs", crossing, u + slope * (t - v))


def waterline(turned: Turned, level: Array) -> tuple[Array, Array, Array]:
    """Of each section's waterline: its breadth, the integral of u along it and that of u^2. [H, S] each."""
    t = level[:, :, None]
    dry = (turned.v > t).astype(float)
    crossing = np.roll(dry, -1, axis=2) - dry
    at = turned.u + turned.slope * (t - turned.v)
    breadth = np.sum(crossing * at, axis=2)
    first = np.sum(crossing * at**2, axis=2) / 2.0
    second = np.sum(crossing * at**3, axis=2) / 3.0
    return breadth, first, second
