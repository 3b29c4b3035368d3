"""How contacts are spread over points: exact where all of a patch bears, and near enough where it tips."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from secure_load.boat.models import BoatParticulars, Scenario, Weight
from secure_load.check.response import evaluate
from secure_load.loads.load_cases import instants
from secure_load.model import contact
from secure_load.model.contact_patch import lobatto, quarters
from secure_load.model.model_builder import build_single_model
from secure_load.solver.arrays import Array

BOAT = BoatParticulars.model_validate({"name": "Turnstone", "bilge": "wet"})
SCREWS = {"kind": "wood-screw", "gauge": 12, "count": 4, "penetration_mm": 38, "into": "oak-white", "metal": "A4-80"}


@pytest.mark.parametrize("count", [2, 3, 4, 5, 8])
def test_quadrature_is_exact_to_its_degree(count: int) -> None:
    nodes, weights = lobatto(count)
    assert (nodes[0], nodes[-1]) == (-1.0, 1.0)
    # the mean of x^p over -1 to 1 is 1 / (p + 1) for even p; exact to the degree 2 n - 3
    for power in range(0, 2 * count - 2, 2):
        assert weights @ nodes**power == pytest.approx(1.0 / (power + 1))


def test_quarters_of_a_leaning_pressure() -> None:
    """Pressure 1 + x on -1 to 1 each way: the mean over the half beyond x = 0 is 1.5, before it 0.5."""
    nodes, weights = lobatto(3)
    forces = np.outer(weights * (1.0 + nodes), weights).ravel()
    assert sorted(quarters((3, 3)) @ forces) == pytest.approx([0.125, 0.125, 0.375, 0.375])


def test_an_evenly_elastic_patch_resists_tipping_as_one() -> None:
    """k b^2 / 12 about its middle for a patch of stiffness k and breadth b; any text on the strength of materials."""
    bed = {"type": "bed", "stiffness_N_per_mm": 600.0, "friction": 0.0}
    weight = {"id": "w", "mass_kg": 10.0, "at_m": [0, 0, 0], "size_m": [0.4, 0.2, 0.1], "restraint": [bed]}
    links = build_single_model(Weight.model_validate(weight), BOAT).springs
    stiffness = links.direction.T @ (links.stiffness[:, None] * links.direction)
    rho = links.rotation_scale[0]
    assert stiffness[2, 2] == pytest.approx(600e3)
    assert stiffness[3, 3] * rho**2 == pytest.approx(600e3 * 0.2**2 / 12.0)
    assert stiffness[4, 4] * rho**2 == pytest.approx(600e3 * 0.4**2 / 12.0)


def bed(**more: Any) -> dict[str, Any]:
    return {"type": "bed", "friction": 0.2, "timber": "oak-white", **more}


def cleat(face: str, length: float, height: float = 40.0, **more: Any) -> dict[str, Any]:
    cut = {"type": "cleat", "face": face, "timber": "oak-white", "length_mm": length, "height_mm": height}
    return cut | {"depth_mm": 50.0, "screws": SCREWS, **more}


def batten(span: float, width: float = 60.0, **more: Any) -> dict[str, Any]:
    cut = {"type": "batten", "timber": "oak-white", "span_mm": span, "width_mm": width, "depth_mm": 30.0}
    return cut | {"screws": SCREWS, **more}


def four(long: float, short: float, height: float = 40.0) -> list[dict[str, Any]]:
    return [
        cleat(f, long if f in ("port", "starboard") else short, height) for f in ("port", "starboard", "fore", "aft")
    ]


def strap(y: float, z: float) -> dict[str, Any]:
    ends = {"from_m": [0.0, y, z], "to_m": [0.0, -y, z]}
    return {"type": "strap", "line": "polyester-webbing-25", "anchors": {"kind": "frame"}, **ends}


Stow = tuple[tuple[float, float, float], list[dict[str, Any]]]
TIPPING: dict[str, Stow] = {
    "box": ((0.34, 0.18, 0.2), [bed(), *four(340, 180), batten(240)]),
    "tall battery": ((0.25, 0.17, 0.35), [bed(), *four(250, 170), batten(240)]),
    "tall on a pad": (
        (0.25, 0.17, 0.35),
        [bed(pad={"material": "neoprene-60", "thickness_mm": 6}), *four(250, 170), batten(240)],
    ),
    "flat pigs": ((0.5, 0.3, 0.06), [bed(), *four(400, 250), batten(380)]),
    "batten off the middle": ((0.4, 0.2, 0.15), [bed(), *four(300, 160), batten(280, at_m=[0.05, 0.0, 0.075])]),
    "batten along": ((0.4, 0.2, 0.15), [bed(), *four(300, 160), batten(480, along="fore-and-aft")]),
    "wide board": ((0.34, 0.18, 0.1), [bed(), *four(300, 160), batten(260, 200)]),
    "short cleats": ((0.4, 0.2, 0.2), [bed(), *four(80, 60), batten(280)]),
    "two battens": (
        (0.6, 0.25, 0.15),
        [bed(), *four(500, 200), batten(330, at_m=[0.2, 0.0, 0.075]), batten(330, at_m=[-0.2, 0.0, 0.075])],
    ),
    "strap": ((0.34, 0.18, 0.2), [bed(), *four(340, 180), strap(0.18, -0.12)]),
    "tall under a strap": ((0.2, 0.2, 0.4), [bed(), *four(200, 200), strap(0.18, -0.2)]),
    "cleats askew": (
        (0.4, 0.2, 0.2),
        [
            bed(),
            cleat("port", 150, at_m=[0.1, 0.1, -0.1]),
            cleat("starboard", 150, at_m=[-0.1, -0.1, -0.1]),
            cleat("fore", 160),
            cleat("aft", 160),
            batten(280),
        ],
    ),
    "half a bed": ((0.4, 0.3, 0.2), [bed(size_m=[0.2, 0.15]), *four(300, 200), batten(380)]),
    "tall and narrow": ((0.3, 0.12, 0.3), [bed(), *four(300, 100, 30), batten(200, 40)]),
}


def hardest(made: Stow, turns: Array) -> float:
    size, held = made
    weight = {"id": "w", "mass_kg": 40.0, "at_m": [0.0, 0.0, 0.0], "size_m": list(size), "restraint": held}
    stowed = build_single_model(Weight.model_validate(weight), BOAT)
    found = evaluate(stowed, "as worked out", stowed.springs, turns)
    assert not found.free.any()
    return float(found.by_restraint.max())


@pytest.mark.parametrize("name", TIPPING)
def test_few_points_are_worked_as_many_are(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    scenario = {"id": "over", "heel_deg": {"to": 180, "step": 30}, "load_factor": [2.0], "surge_g": [0.0, 0.5]}
    moments = instants(Scenario.model_validate(scenario))[0]
    turns = 40.0 * 9.80665 * (2.0 * _down(moments.heel_deg) - moments.acceleration_g)
    few = hardest(TIPPING[name], turns)
    for contacts in ("FACE", "CLEAT", "BATTEN"):
        monkeypatch.setattr(contact, contacts, (24, 24))
    assert few == pytest.approx(hardest(TIPPING[name], turns), rel=0.05)


def _down(heel_deg: Array) -> Array:
    heel = np.radians(heel_deg)
    return np.column_stack([np.zeros(len(heel)), -np.sin(heel), -np.cos(heel)])
