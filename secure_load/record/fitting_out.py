"""What is to be cut and bought for the restraints as they were entered: a cutting list and a shopping list.

Nothing is added to what the owner wrote but spare screws, the ends of lines and of battens; what he left out is
said to be left out and not guessed.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from secure_load.boat.models import (
    Anchors,
    Batten,
    Bed,
    BoatFile,
    Bolt,
    Bond,
    CableTie,
    Cleat,
    Lashing,
    Screws,
    SharedBatten,
    SharedCleat,
    Strap,
    Weight,
    restraint_ids,
)
from secure_load.catalogue.upkeep import figure
from secure_load.model.body import nearest_top_edge
from secure_load.record.drawings.weight_shapes import body_of
from secure_load.record.model import Data

Which = Literal["cut", "buy"]
_AXIS = {"fore": 0, "aft": 0, "port": 1, "starboard": 1, "top": 2, "bottom": 2}
_KIND = {"wood-screw": "wood screws", "coach-screw": "coach screws", "bolt": "bolts"}
_EYE = {"eye": "eyes", "pad-eye": "pad eyes", "through-bolt": "through-bolts for a line"}
_GIVEN = "not given"


class SheetRow(Data):
    """One line of a list."""

    list: Which
    what: str
    material: str
    size: str
    count: int
    """As fitted."""
    buy: int
    """With spare, where spare is usual."""
    uses: list[str]
    """Weight and restraint, one after another."""
    note: str = ""


class Sheet(Data):
    """The fitting-out sheet of a boat."""

    boat: str
    rows: list[SheetRow]


@dataclass
class _Rows:
    """Rows as they are gathered; like things are counted together."""

    found: dict[tuple[str, ...], tuple[int, list[str]]] = field(
        default_factory=dict[tuple[str, ...], tuple[int, list[str]]]
    )

    def add(
        self, which: Which, what: str, material: str | None, size: str, count: int, use: str, note: str = ""
    ) -> None:
        key = (which, what, _GIVEN if material is None else material, size, note)
        before, uses = self.found.get(key, (0, []))
        self.found[key] = (before + count, uses if use in uses else [*uses, use])


def fitting_out(boat: BoatFile) -> Sheet:
    """What is to be cut and bought, in the order it is met with aboard."""
    rows = _Rows()
    shared: set[str] = set()
    for weight in boat.weights_as_held():
        for name, restraint in zip(restraint_ids(weight), weight.restraint, strict=True):
            if isinstance(restraint, SharedBatten | SharedCleat):
                if name in shared:
                    continue
                shared.add(name)
            use = f"{weight.id}: {name}"
            match restraint:
                case Cleat():
                    _cleat(restraint, use, rows)
                case Batten():
                    _batten(restraint, use, rows)
                case Bed():
                    _bed(restraint, weight, use, rows)
                case Lashing() | Strap():
                    _line(restraint, weight, use, rows)
                case CableTie():
                    _ties(restraint, weight, use, rows)
                case Bolt():
                    _bolts(restraint, weight, use, rows)
                case Bond():
                    area = _area(restraint.face, restraint.size_m, weight)
                    rows.add("buy", "adhesive", restraint.adhesive, area, 1, use)
                case _:
                    pass
        for tie in weight.bundle.ties if weight.bundle is not None else []:
            what = "line round a bundle" if tie.line is not None else "cable ties round a bundle"
            rows.add("buy", what, tie.line or tie.tie, _round(weight, tie.around), tie.count, f"{weight.id}: bundle")
    made = [_row(key, count, uses) for key, (count, uses) in rows.found.items()]
    return Sheet(boat=boat.boat.name, rows=sorted(made, key=_order))


def _order(row: SheetRow) -> tuple[int, str]:
    """What is cut first, one timber after another; what is bought after it, kind by kind."""
    return (0, row.material) if row.list == "cut" else (1, row.what)


def _row(key: tuple[str, ...], count: int, uses: list[str]) -> SheetRow:
    which, what, material, size, note = key
    spare = what in ("wood screws", "coach screws") or what.startswith("washers")
    return SheetRow(
        list="cut" if which == "cut" else "buy",
        what=what,
        material=material,
        size=size,
        count=count,
        buy=with_spare(count) if spare else count,
        uses=uses,
        note=note,
    )


def with_spare(count: int) -> int:
    """So many and the spare ones, rounded up.

    >>> with_spare(3), with_spare(10), with_spare(11)
    (4, 11, 13)
    """
    # 10 x 0.1 is a hair over 1 in binary, and one screw too many is bought
    return count + math.ceil(count * figure("screw-spare").value - 1e-9)


def _mm(*values: float | None) -> str:
    return " x ".join("?" if v is None else f"{v:g}" for v in values) + " mm"


def _cleat(cleat: Cleat, use: str, rows: _Rows) -> None:
    size = _mm(cleat.length_mm, cleat.height_mm, cleat.depth_mm)
    rows.add("cut", "cleat", cleat.timber, size, 1, use, "length x height x thickness in the direction of the thrust")
    _screws(cleat.screws, cleat.height_mm, 1, use, rows)


def _batten(batten: Batten, use: str, rows: _Rows) -> None:
    landing = figure("batten-landing").value
    whole = None if batten.span_mm is None else batten.span_mm + 2.0 * landing
    note = f"length x width x thickness; the length has {landing:g} mm on its landing at each end"
    rows.add("cut", "batten", batten.timber, _mm(whole, batten.width_mm, batten.depth_mm), 1, use, note)
    _screws(batten.screws, batten.depth_mm, 1, use, rows)


def _screws(screws: Screws | None, through_mm: float | None, times: int, use: str, rows: _Rows) -> None:
    if screws is None:
        rows.add("buy", "fastenings", None, _GIVEN, 1, use, "kind, size and number were not entered")
        return
    size = "size not given"
    if screws.gauge is not None:
        size = f"No {screws.gauge}"
    elif screws.diameter_mm is not None:
        size = f"{screws.diameter_mm:g} mm"
    if screws.penetration_mm is None:
        size += ", length not given"
    elif screws.kind == "bolt" and through_mm is not None:
        size += f", through {screws.penetration_mm + through_mm:g} mm, and washer and nut"
    elif through_mm is None:
        size += f", {screws.penetration_mm:g} mm in the timber, and what it goes through"
    else:
        size += f", at least {screws.penetration_mm + through_mm:g} mm under the head"
    count = screws.count * times
    rows.add("buy", _KIND[screws.kind], screws.metal, size, count, use)
    if screws.washer_mm is not None:
        rows.add(
            "buy", "washers", screws.metal, f"{screws.washer_mm:g} mm across, for {size.split(',')[0]}", count, use
        )


def _bed(bed: Bed, weight: Weight, use: str, rows: _Rows) -> None:
    if bed.pad is not None:
        size = f"{_area(bed.face, bed.size_m, weight)}, {bed.pad.thickness_mm:g} mm thick"
        rows.add("buy", "pads", bed.pad.material, size, 1, use)


def _area(face: str, size_m: tuple[float, float] | None, weight: Weight) -> str:
    if size_m is None and weight.size_m is not None:
        across = [weight.size_m[i] for i in range(3) if i != _AXIS[face]]
        size_m = (across[0], across[1])
    if size_m is None:
        return "size not given"
    a, b = size_m
    return f"{1000 * a:.0f} x {1000 * b:.0f} mm, {1e4 * a * b:.0f} cm2"


def _line(line: Lashing | Strap, weight: Weight, use: str, rows: _Rows) -> None:
    ends = figure("line-ends").value
    if isinstance(line, Lashing):
        run, eyes, guess = math.dist(line.from_m, line.to_m), 1, False
    else:
        run, eyes, guess = _over(weight, line.from_m, line.to_m), 2, weight.size_m is None
    note = f"with {ends:g} m for its ends" + ("; the weight's size is not given, so measure it" if guess else "")
    what = "straps" if isinstance(line, Strap) else "lashings"
    # up to the next 0.1 m: a line is not bought by the millimetre
    length = math.ceil(10.0 * (run * line.turns + ends) - 1e-9) / 10.0
    rows.add("buy", what, line.line, f"{length:.1f} m", 1, use, note)
    if line.shackle is not None:
        rows.add("buy", "shackles or turnbuckles", line.shackle, "", 1, use)
    _eyes(line.anchors, eyes, use, rows)


def _over(weight: Weight, start: tuple[float, float, float], end: tuple[float, float, float]) -> float:
    """Length of a line over a weight, m: up to its rim, across its top, down again."""
    body = body_of(weight)
    ends = [body.to_own(np.array(p)) for p in (start, end)]
    rims = [nearest_top_edge(body, p) for p in ends]
    legs = sum(float(np.linalg.norm(p - r)) for p, r in zip(ends, rims, strict=True))
    return legs + float(np.linalg.norm(rims[0] - rims[1]))


def _eyes(anchors: Anchors | None, eyes: int, use: str, rows: _Rows) -> None:
    if anchors is None:
        rows.add("buy", "what a line is made fast to", None, _GIVEN, eyes, use, "it was not entered")
        return
    # a bolt right through is what its own fastenings say it is
    if anchors.kind != "frame" and not (anchors.kind == "through-bolt" and anchors.screws is not None):
        size = f"working strength {anchors.strength_N:g} N or more" if anchors.strength_N is not None else ""
        rows.add("buy", _EYE[anchors.kind], "", size, eyes, use)
    if anchors.screws is not None:
        _screws(anchors.screws, None, eyes, use, rows)


def _ties(tie: CableTie, weight: Weight, use: str, rows: _Rows) -> None:
    size = "length not given"
    if tie.from_m is not None and tie.to_m is not None:
        size = f"{1000 * _over(weight, tie.from_m, tie.to_m):.0f} mm and its lock"
    elif weight.size_m is not None:
        size = f"{1000 * (weight.size_m[1] + 2 * weight.size_m[2]):.0f} mm and its lock"
    rows.add("buy", "cable ties", tie.tie, size, tie.count, use, "not load rated: a lashing is better")


def _round(weight: Weight, around: str) -> str:
    if weight.size_m is None:
        return "length not given"
    left_out = {"athwartships": 0, "fore-and-aft": 1}.get(around, 2)
    a, b = (weight.size_m[i] for i in range(3) if i != left_out)
    return f"{2000 * (a + b):.0f} mm round, and its ends"


def _bolts(bolt: Bolt, weight: Weight, use: str, rows: _Rows) -> None:
    size = bolt.size or "size not given"
    if weight.size_m is not None and bolt.thickness_mm is not None:
        through = 1000 * weight.size_m[_AXIS[bolt.face]] + bolt.thickness_mm
        size += f", at least {through:.0f} mm between head and nut"
    else:
        size += ", length not given"
    rows.add("buy", "bolts", bolt.metal, size, bolt.count, use)
    washer = "size not given" if bolt.washer_mm is None else f"{bolt.washer_mm:g} mm across, for {bolt.size or 'it'}"
    rows.add("buy", "washers", bolt.metal, washer, bolt.count, use)
