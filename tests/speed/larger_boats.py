"""Boats of any number of weights, checked in a program of its own: ``python -m tests.speed.larger_boats``.

``edits 24``: each weight of such a boat is checked by itself, as after an edit. ``boats 6 12 24 48``: whole boats, as
the command checks them. ``tiers 1 2 4 8 11 16``: ingots in two layers, each leaning on the next, chocked at the ends;
also the processor's seconds to the first verdict on one of them.
Prints one JSON object: by number, seconds (wall and of the processors), and the most memory the program had.
"""

from __future__ import annotations

import itertools
import json
import os
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from secure_load.boat.file import read_boat
from secure_load.boat.models import BoatFile, Weight
from secure_load.check.check import check_boat, check_stages, check_weight
from secure_load.check.context import make_context

DEMO = Path(__file__).parents[2] / "demo_boats"


def boat_of(count: int) -> BoatFile:
    """A boat with so many weights: those of the demo boat that lean on no other, over and over."""
    boat = read_boat(DEMO / "brindlewick.toml")
    alone = [w for w in boat.weight if w.bundle is None and all(r.type != "neighbour" for r in w.restraint)]
    drawn = itertools.islice(itertools.cycle(alone), count)
    weights = [w.model_copy(update={"id": f"{w.id}-{number}"}) for number, w in enumerate(drawn)]
    return boat.model_copy(update={"weight": weights})


def tier_of(count: int) -> BoatFile:
    """A boat with so many ingots in two layers, of which the lower may be one longer and is held down there."""
    long = (count + 1) // 2
    weights = [_ingot(0, place, long) for place in range(long)] + [
        _ingot(1, place, count - long) for place in range(count - long)
    ]
    if count % 2:
        weights[long - 1]["restraint"].append({"type": "batten", "face": "top", "timber": "oak-white"})
    return BoatFile.model_validate({"schema": 1, "boat": {"name": "Whimbrel", "bilge": "dry"}, "weight": weights})


def _ingot(layer: int, place: int, long: int) -> dict[str, Any]:
    restraint: list[dict[str, Any]] = [
        {"type": "bed", "friction": 0.3}
        if layer == 0
        else {"type": "neighbour", "weight": f"ingot-0-{place}", "face": "bottom", "friction": 0.3}
    ]
    sides = ["port", "starboard"]
    if place > 0:
        restraint.append({"type": "neighbour", "weight": f"ingot-{layer}-{place - 1}", "face": "aft", "friction": 0.3})
    else:
        sides.append("aft")
    if place == long - 1:
        sides.append("fore")
    restraint += [{"type": "cleat", "face": side, "timber": "oak-white"} for side in sides]
    if layer == 1:
        restraint.append({"type": "batten", "face": "top", "timber": "oak-white"})
    return {
        "id": f"ingot-{layer}-{place}",
        "mass_kg": 10.0,
        "at_m": [2.0 + 0.1 * place, 0.0, -0.3 + 0.1 * layer],
        "size_m": [0.1, 0.2, 0.1],
        "measured": True,
        "restraint": restraint,
    }


def edits(count: int) -> dict[str, list[float]]:
    """Seconds for each weight of a boat checked by itself, once it and all like it have been checked before."""
    boat = boat_of(count)
    run = make_context(boat)

    def one(weight: Weight) -> dict[str, float]:
        return timed(lambda: check_weight(weight, run))

    for weight in boat.weight[:2]:
        one(weight)
    each = [one(weight) for weight in boat.weight for _ in range(2)]
    return {key: [spent[key] for spent in each] for key in ("wall", "cpu")}


def timed(work: Callable[[], object]) -> dict[str, float]:
    """Seconds on the wall's clock and of the processors, those of copies of the program included."""
    wall, before = time.perf_counter(), os.times()
    work()
    after = os.times()
    return {"wall": time.perf_counter() - wall, "cpu": sum(after[:4]) - sum(before[:4])}


def peak_mb() -> float | None:
    """The most memory this program and the largest of its copies had, MB; None where the system does not tell."""
    try:
        import resource
    except ImportError:
        return None
    unit = 1e6 if sys.platform == "darwin" else 1e3
    return sum(resource.getrusage(who).ru_maxrss for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)) / unit


def main() -> None:
    """Do what the words after the name ask for."""
    what, *numbers = sys.argv[1:]
    found: dict[str, Any] = {}
    for number in map(int, numbers):
        if what == "edits":
            found[str(number)] = edits(number)
        else:
            boat = boat_of(number) if what == "boats" else tier_of(number)
            check_weight(boat.weight[0], make_context(boat, ["knocked-flat"]))  # modules and tables are loaded
            found[str(number)] = timed(lambda boat=boat: check_boat(boat, copy=what == "boats"))
            if what == "tiers":
                found[str(number)]["first"] = timed(
                    lambda boat=boat: next(check_stages(boat.weight[0], make_context(boat)))
                )["cpu"]
    print(json.dumps({"found": found, "peak_mb": peak_mb()}))  # noqa: T201  this is what it is for


if __name__ == "__main__":
    main()
