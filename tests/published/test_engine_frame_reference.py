"""How one-way supports share a load: the load engine against a finite-element frame.

Reference: Pynite (D. C. Brinck, "Simple Finite Element Analysis in Python", MIT licence), a general-purpose structural
library whose support springs and members may be compression-only or tension-only; ``tests.reference.frame`` builds
the stow in it. Both are given the same places, directions and stiffnesses; nothing else is shared.

Every link's force agrees within 1 % of itself and a thousandth of the load (most within two parts in a hundred
thousand of the load; the arms have a little give). Held or free agrees wherever the frame is clear about it. Straps and
ties over the top are left out: a line that slides over two corners has no member in the library.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
import pytest

from secure_load.boat.file import read_boat
from secure_load.boat.models import Weight
from secure_load.loads.load_cases import gravity_direction
from secure_load.model import contact
from secure_load.model.group_model import GroupModel
from secure_load.model.model_builder import build_single_model
from secure_load.solver.equilibrium import solve
from secure_load.solver.springs import SpringSet
from tests.reference import stows

pytest.importorskip("Pynite", reason="the finite-element library is not installed (pip install PyNiteFEA)")

from tests.reference import frame  # needs the library

G = 9.80665
OVER_THE_TOP = ("strap", "cable_tie")
KINDS = tuple(kind for kind in stows.TYPES if kind not in OVER_THE_TOP)
DEMO = sorted((Path(__file__).parents[2] / "demo_boats").glob("*.toml"))
LEANING = G * np.array([0.03, -0.1, -1.0])
"""m/s2: at rest but for a little heel and trim."""


@pytest.fixture(autouse=True)
def _bearing_at_corners(monkeypatch: pytest.MonkeyPatch) -> None:
    """Contacts of four points each: the frame's own opening and closing seldom settles with more."""
    for contacts in ("FACE", "CLEAT", "BATTEN"):
        monkeypatch.setattr(contact, contacts, (2, 2))


@dataclass
class _Tally:
    """What was compared."""

    count: Counter[str] = field(default_factory=Counter[str])
    worst: float = 0.0

    def compare(self, stowed: GroupModel, links: SpringSet, load: np.ndarray, where: str) -> None:
        """One stow under loads (n, 3), N, link by link."""
        made = [link for fitting in stowed.restraints for link in fitting.springs]
        found = solve(links, load)
        for i, force in enumerate(load):
            answer = frame.work(made, links.preload, force, links.rotation_scale[0])
            if answer is None:
                self.count["unsettled"] += 1
                continue
            if answer.soft > frame.FREE:
                assert found.free[i], f"{where}, load {i}: the frame is free"
                self.count["free"] += 1
            elif answer.soft < frame.HELD:
                assert not found.free[i], f"{where}, load {i}: the frame holds"
                size = float(np.linalg.norm(force))
                off = np.abs(found.normal[i] - answer.force)
                assert np.all(off <= 0.01 * np.abs(answer.force) + 1e-3 * size), f"{where}, load {i}: {off / size}"
                self.worst = max(self.worst, float(off.max()) / size)
                self.count["held"] += 1
                one_way = links.one_way
                self.count["slack"] += int(np.count_nonzero(answer.force[one_way] == 0.0))
                self.count["bearing"] += int(np.count_nonzero(answer.force[one_way] > 1e-3 * size))
            else:
                self.count["between"] += 1


@pytest.mark.long
@pytest.mark.parametrize("kind", KINDS)
def test_link_forces_agree_with_a_frame_on_stows_drawn_at_random(kind: str) -> None:
    rng = np.random.default_rng([60, KINDS.index(kind)])
    tally = _Tally()
    for number in range(8):
        weight = stows.draw(rng, kind, without=OVER_THE_TOP)
        stowed = build_single_model(weight, stows.BOAT)
        load = stows.loads(rng, weight.mass, 5)
        load[0] = weight.mass * LEANING
        tally.compare(stowed, stowed.springs, load, f"stow {number}")
    done = tally.count
    assert done["held"] >= 20, done
    assert done["unsettled"] + done["between"] <= 4, done
    # the one-way springs are put to the test: many let go, many bear
    assert done["slack"] >= 40, done
    assert done["bearing"] >= 100, done


def _lashed(tension: tuple[float, ...], slack: tuple[float, ...]) -> GroupModel:
    """A greased box on a bed between low cleats, with a lashing at each upper corner out and down to the boat."""
    size = np.array([0.40, 0.26, 0.18])
    half = 0.5 * size
    held: list[dict[str, object]] = [{"type": "bed", "friction": 0.0, "timber": "oak-white"}]
    held += [
        {"type": "cleat", "face": face, "height_mm": 25.0, "strength_N": 4e3, "stiffness_N_per_mm": 1500.0}
        for face in ("port", "aft")
    ]
    corners = [(1, 1), (1, -1), (-1, 1), (-1, -1)]
    for number, ((x, y), pull, give) in enumerate(zip(corners, tension, slack, strict=True)):
        start = half * np.array([x, y, 1.0])
        end = start + np.array([x * (0.10 + 0.05 * number), y * 0.22, -0.30 + 0.03 * number])
        line = {"type": "lashing", "id": f"line {number}", "line": "polyester-webbing-25", "turns": 1 + number % 2}
        held.append(line | {"from_m": start.tolist(), "to_m": end.tolist(), "tension_N": pull, "slack_mm": give})
    weight = {"id": "box", "mass_kg": 55.0, "at_m": [0.0, 0.0, 0.0], "size_m": size.tolist(), "restraint": held}
    return build_single_model(Weight.model_validate(weight), stows.BOAT)


@pytest.mark.long
@pytest.mark.parametrize(
    ("tension", "slack"),
    [
        ((0.0, 0.0, 0.0, 0.0), (0.0, 0.0, 0.0, 0.0)),
        ((60.0, 60.0, 60.0, 60.0), (0.0, 0.0, 0.0, 0.0)),
        ((120.0, 0.0, 0.0, 120.0), (0.0, 0.0, 0.0, 0.0)),
        ((0.0, 0.0, 0.0, 0.0), (3.0, 0.0, 0.0, 6.0)),
        ((0.0, 100.0, 0.0, 0.0), (0.0, 0.0, 5.0, 1.0)),
    ],
    ids=["just taut", "tight", "two tight", "two slack", "tight and slack"],
)
def test_several_lashings_share_as_a_frame_does(tension: tuple[float, ...], slack: tuple[float, ...]) -> None:
    """Heeled both ways to beyond ninety degrees: most of the lashings work, here and there one goes slack."""
    stowed = _lashed(tension, slack)
    heel = np.radians([-150.0, -115.0, -80.0, -35.0, 20.0, 65.0, 100.0, 140.0])
    load = 55.0 * G * gravity_direction(heel, np.full(len(heel), 0.1))
    tally = _Tally()
    tally.compare(stowed, stowed.springs, load, "lashed")
    assert tally.count["held"] == len(heel), tally.count
    lines = [f.index for f in stowed.restraints if f.restraint.type == "lashing"]
    pulls = solve(stowed.springs, load).normal[:, np.isin(stowed.springs.restraint, lines)]
    assert np.count_nonzero(pulls <= 0.0) >= 2, pulls
    assert np.count_nonzero(pulls > 20.0) >= 12, pulls


@pytest.mark.long
@pytest.mark.parametrize("path", DEMO, ids=lambda p: p.stem)
def test_the_demo_boats_weights_bear_as_frames_do(path: Path) -> None:
    """Greased, at heels to both sides and thrown up: every weight that no line goes over."""
    boat = read_boat(path)
    heel = np.radians([25.0, -70.0, 100.0, -140.0])
    tally = _Tally()
    for weight in boat.weight:
        if any(r.type in (*OVER_THE_TOP, "neighbour") for r in weight.restraint):
            continue
        stowed = build_single_model(weight, boat.boat)
        load = weight.mass * G * gravity_direction(heel, np.radians([4.0, -6.0, 8.0, 3.0]))
        tally.compare(stowed, stowed.springs.frictionless(), load, weight.id)
    assert tally.count["held"] >= 8, tally.count
    # the frame's own iteration over its one-way members does not settle everywhere
    assert tally.count["unsettled"] + tally.count["between"] <= 1, tally.count
