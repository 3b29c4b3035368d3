"""Stows drawn at random, as a person might write them in a boat file: a bed and a random set of other restraints."""

from __future__ import annotations

from typing import Any

import numpy as np

from secure_load.boat.models import BoatParticulars, Weight
from secure_load.model.contact import RestraintModel
from secure_load.model.group_model import GroupModel

BOAT = BoatParticulars.model_validate({"name": "Whimbrel", "bilge": "wet"})

TYPES = ("bed", "cleat", "batten", "lashing", "strap", "cable_tie", "bolt", "bond")
TIMBERS = ("oak-white", "pine-eastern-white", "larch-western", "khaya")
ROPES = ("polyester-3-strand-8", "polyester-webbing-25", "wire-7x19-4")
SIDES = ("port", "starboard", "fore", "aft")
USUAL = {"cleat": 0.75, "batten": 0.6, "lashing": 0.5, "strap": 0.4, "cable_tie": 0.2, "bolt": 0.08, "bond": 0.08}


def _pick(rng: np.random.Generator, names: tuple[str, ...]) -> str:
    return names[int(rng.integers(len(names)))]


def _rounded(values: Any, digits: int = 4) -> list[float]:
    return [round(float(v), digits) for v in values]


def draw(
    rng: np.random.Generator,
    wanted: str = "bed",
    friction: tuple[float, float] | None = None,
    tight: float = 0.25,
    without: tuple[str, ...] = (),
    slack: float = 0.0,
) -> Weight:
    """One stow that has ``wanted`` among its restraints. Greased unless ``friction`` gives a range to draw from;
    ``tight`` is the share of lines that are set up tight; types in ``without`` are left out; ``slack`` is the share
    of the other restraints that take up only after 0.1 to 3 mm."""
    # whole millimetres, so that a strap drawn straight up and down is straight: leaning by the rounding of a
    # figure it would "hold" sideways by a pull of thousands of times the load, which no tape would show
    size = 2e-3 * np.round(500.0 * np.exp(rng.uniform(np.log(0.1), np.log(0.55), size=3)))
    at = np.round([rng.uniform(0.5, 6.0), rng.uniform(-0.8, 0.8), rng.uniform(-0.4, 0.4)], 3)
    mass = round(float(np.exp(rng.uniform(np.log(3.0), np.log(150.0)))), 2)
    half = 0.5 * size
    made: list[dict[str, Any]] = [_bed(rng, at, size, friction)]
    for kind, usual in USUAL.items():
        if kind in without:
            continue
        if kind == "cleat":
            sides = [side for side in SIDES if rng.random() < usual]
            if wanted == "cleat" and not sides:
                sides = [_pick(rng, SIDES)]
            made.extend(_cleat(rng, side, size, friction) for side in sides)
        elif kind == "lashing":
            count = int(rng.integers(1, 5)) if rng.random() < usual or wanted == kind else 0
            made.extend(_lashing(rng, at, half, mass, tight) for _ in range(count))
        elif rng.random() < usual or wanted == kind:
            made.append(_single(rng, kind, at, half, mass, tight))
    for restraint in made[1:] if slack else []:
        if not restraint.get("tension_N") and rng.random() < slack:
            restraint["slack_mm"] = round(float(np.exp(rng.uniform(np.log(0.1), np.log(3.0)))), 2)
    return Weight.model_validate(
        {"id": "drawn", "mass_kg": mass, "at_m": _rounded(at), "size_m": _rounded(size), "restraint": made}
    )


def _mu(rng: np.random.Generator, friction: tuple[float, float] | None) -> float:
    return 0.0 if friction is None else round(float(rng.uniform(*friction)), 3)


def _bed(rng: np.random.Generator, at: Any, size: Any, friction: tuple[float, float] | None) -> dict[str, Any]:
    bed: dict[str, Any] = {"type": "bed", "on": "floors", "friction": _mu(rng, friction)}
    kind = rng.integers(3)
    if kind == 1:
        bed["timber"] = _pick(rng, TIMBERS)
    elif kind == 2:
        bed["pad"] = {"material": "neoprene-60", "thickness_mm": round(float(rng.uniform(3, 12)), 1)}
    if rng.random() < 0.3:
        bed["size_m"] = _rounded(size[:2] * rng.uniform(0.5, 1.0, size=2))
    return bed


def _cleat(rng: np.random.Generator, side: str, size: Any, friction: tuple[float, float] | None) -> dict[str, Any]:
    length = float(size[0] if side in ("port", "starboard") else size[1])
    cleat: dict[str, Any] = {
        "type": "cleat",
        "face": side,
        "timber": _pick(rng, TIMBERS),
        "length_mm": round(length * 1000 * float(rng.uniform(0.3, 1.0)), 1),
        "height_mm": round(float(rng.uniform(20, 60)), 1),
        "depth_mm": round(float(rng.uniform(20, 50)), 1),
        "screws": _screws(rng),
    }
    if friction is not None and rng.random() < 0.3:
        cleat["friction"] = _mu(rng, friction)
    return cleat


def _screws(rng: np.random.Generator) -> dict[str, Any]:
    return {
        "kind": "wood-screw",
        "gauge": int(rng.choice((8, 10, 12, 14))),
        "count": int(rng.integers(2, 7)),
        "penetration_mm": round(float(rng.uniform(25, 45)), 1),
        "into": _pick(rng, TIMBERS),
        "member": "keel",
        "metal": "silicon-bronze",
    }


def _tension(rng: np.random.Generator, mass: float, tight: float) -> float:
    return round(mass * 9.8 * float(rng.uniform(0.05, 1.0)), 1) if rng.random() < tight else 0.0


def _lashing(rng: np.random.Generator, at: Any, half: Any, mass: float, tight: float) -> dict[str, Any]:
    corner = half * rng.choice([-1.0, 1.0], size=3)
    corner[2] = half[2] * rng.uniform(-0.5, 1.0)
    outward = np.array([*rng.uniform(0.05, 0.6, size=2), -rng.uniform(0.05, 0.5)])
    outward[:2] *= np.sign(corner[:2])
    return {
        "type": "lashing",
        "from_m": _rounded(at + corner),
        "to_m": _rounded(at + corner + outward),
        "line": _pick(rng, ROPES),
        "turns": int(rng.integers(1, 4)),
        "tension_N": _tension(rng, mass, tight),
    }


def _single(rng: np.random.Generator, kind: str, at: Any, half: Any, mass: float, tight: float) -> dict[str, Any]:
    if kind == "batten":
        return {
            "type": "batten",
            "timber": _pick(rng, TIMBERS),
            "span_mm": round(float(2 * half[1] * 1000 + rng.uniform(20, 150)), 1),
            "width_mm": round(float(min(rng.uniform(30, 90), 2000 * half[0])), 1),
            "depth_mm": round(float(rng.uniform(15, 35)), 1),
            "screws": _screws(rng),
        }
    if kind in ("strap", "cable_tie"):
        way = int(rng.integers(2))
        beside = np.zeros(3)
        beside[way] = half[way] + (rng.uniform(0.02, 0.3) if rng.random() < 0.7 else 0.0)
        beside[1 - way] = rng.uniform(-0.5, 0.5) * half[1 - way]
        other = beside.copy()
        other[way] *= -1.0
        beside[2] = other[2] = -half[2]
        ends = {"from_m": _rounded(at + beside), "to_m": _rounded(at + other)}
        if kind == "cable_tie":
            return {"type": kind, "tie": "standard-50", "count": int(rng.integers(1, 5)), **ends}
        return {"type": kind, "line": _pick(rng, ROPES), "tension_N": _tension(rng, mass, tight), **ends}
    if kind == "bolt":
        return {
            "type": kind,
            "size": _pick(rng, ("M6", "M8", "M10")),
            "count": int(rng.integers(1, 5)),
            "metal": "A4-70",
            "into": _pick(rng, TIMBERS),
            "thickness_mm": round(float(rng.uniform(20, 60)), 1),
        }
    return {"type": "bond", "strength_N": round(float(rng.uniform(500, 5000)), 1)}


def rows_of(stowed: GroupModel, fitting: RestraintModel) -> np.ndarray[Any, np.dtype[np.int64]]:
    """Normal rows of one fitting among its weight's links."""
    return np.flatnonzero(stowed.springs.restraint == fitting.index)


def loads(rng: np.random.Generator, mass: float, count: int) -> np.ndarray[Any, np.dtype[np.float64]]:
    """Loads (count, 3) in N: every direction, up to three times the weight; the first is the weight at rest."""
    way = rng.normal(size=(count, 3))
    way /= np.linalg.norm(way, axis=1)[:, None]
    drawn = way * (mass * 9.80665 * rng.uniform(0.1, 3.0, size=count))[:, None]
    drawn[0] = (0.0, 0.0, -mass * 9.80665)
    return drawn
