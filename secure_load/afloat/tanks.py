"""Liquid that is free to run: what it takes off her stiffness, and where it truly goes at a heel.

A tank is a box. At small heels its free surface takes rho l b^3 / (12 W) off the metacentric height; at a real
heel the liquid in the box is cut by a level surface as the hull is by the sea, and its centre is found. It
runs across only: what it does to her trim is left out, being small in tanks no longer than they are broad.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from secure_load.afloat.hull.arrays import Array, Mask
from secure_load.afloat.hull.clip import Turned, cut

NEARLY = 1e-6
"""Part of a tank below which it is empty, and above one less this much of which it is full."""


@dataclass(frozen=True)
class FreeLiquid:
    """The liquid in one box tank."""

    mass: float
    """kg of liquid."""
    density: float
    """kg/m3."""
    length: float
    """Fore and aft, m."""
    breadth: float
    """m."""
    height: float
    """m."""
    fill: float
    """0 .. 1."""

    @property
    def slack(self) -> bool:
        """Whether it has a free surface."""
        return NEARLY < self.fill < 1.0 - NEARLY

    @property
    def surface_moment(self) -> float:
        """Density times second moment of the free surface, kg m: over the displacement it is the loss of GM."""
        return self.density * self.length * self.breadth**3 / 12.0 if self.slack else 0.0


def liquid_shift(tank: FreeLiquid, heel: Array) -> tuple[Array, Array]:
    """How far the liquid's centre has run from where it lay upright, at heels [H] rad.

    Gives two arrays [H], m: level (to port) and upward, in the turned boat.
    """
    heel = np.asarray(heel, dtype=float)
    if not tank.slack:
        return np.zeros_like(heel), np.zeros_like(heel)
    b, h = 0.5 * tank.breadth, tank.height
    y, z = np.array([b, b, -b, -b]), np.array([0.0, h, h, 0.0])
    c, s = np.cos(heel)[:, None, None], np.sin(heel)[:, None, None]
    u, v = y * c - z * s, y * s + z * c
    rise = np.roll(v, -1, axis=2) - v
    level: Mask = rise == 0.0
    slope: Array = np.where(level, 0.0, (np.roll(u, -1, axis=2) - u) / np.where(level, 1.0, rise))
    turned = Turned(u, v, slope)
    wanted = tank.fill * tank.breadth * h
    low: Array = np.min(v, axis=(1, 2))
    high: Array = np.max(v, axis=(1, 2))
    # The area rises without a break from nil to the whole box: halving cannot fail, and four corners are cheap.
    for _ in range(52):
        middle: Array = 0.5 * (low + high)
        over: Mask = cut(turned, middle[:, None]).area[:, 0] > wanted
        low, high = np.where(over, low, middle), np.where(over, middle, high)
    wet = cut(turned, (0.5 * (low + high))[:, None])
    upright = 0.5 * tank.fill * h
    u0, v0 = -upright * np.sin(heel), upright * np.cos(heel)
    return wet.moment_u[:, 0] / wet.area[:, 0] - u0, wet.moment_v[:, 0] / wet.area[:, 0] - v0
