"""Whatever a weight is held by, what is proposed for it is what a full check then says, and least work first."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from secure_load.boat.models import Bed, BoatFile, restraint_ids
from secure_load.check.check import check_weight
from secure_load.check.context import make_context
from secure_load.check.results import RANK
from secure_load.remedies import remedies
from secure_load.remedies.labour_estimate import fastenings

FEW = settings(
    max_examples=12, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow], database=None
)
SCENARIOS = ["knocked-flat", "rolled-over"]
_MEMBERS = {"floors": "floor", "keel": "keel", "frames": "frame"}


def _screws(draw: st.DrawFn) -> dict[str, Any]:
    coach = draw(st.booleans())
    size = {"diameter_mm": draw(st.sampled_from([6, 8, 10]))} if coach else {"gauge": draw(st.sampled_from([6, 8, 12]))}
    kind = "coach-screw" if coach else "wood-screw"
    rest = {"count": draw(st.integers(2, 4)), "penetration_mm": draw(st.sampled_from([25, 40, 50]))}
    made: dict[str, Any] = {"into": draw(st.sampled_from(["larch", "oak-white"]))}
    made |= {"metal": draw(st.sampled_from(["brass", "A4-70"]))}
    made |= draw(st.sampled_from([{}, {"member": "planking"}, {"member": "floor", "stock_mm": 60}, {"member": "keel"}]))
    return {"kind": kind} | size | rest | (made if draw(st.booleans()) else {})


@st.composite
def boats(draw: st.DrawFn) -> BoatFile:
    """One weight, held by any of a bed, cleats, a batten, a strap and ties."""
    size = [draw(st.sampled_from([0.15, 0.3, 0.5])) for _ in range(2)] + [draw(st.sampled_from([0.06, 0.12, 0.3]))]
    held: list[dict[str, Any]] = []
    if draw(st.booleans()):
        timber = draw(st.sampled_from([{}, {"timber": "oak-white"}]))
        held.append({"type": "bed", "on": draw(st.sampled_from(["floors", "planking", "sole"]))} | timber)
    for face in draw(st.lists(st.sampled_from(["port", "starboard", "fore", "aft"]), unique=True)):
        side = size[0 if face in ("port", "starboard") else 1] * 1000
        piece = {"type": "cleat", "face": face, "length_mm": 0.9 * side, "height_mm": 40, "depth_mm": 40}
        held.append(piece | {"timber": "oak-white", "screws": _screws(draw)})
    if draw(st.booleans()):
        sizes = {"width_mm": 50, "depth_mm": draw(st.sampled_from([10, 20, 30])), "span_mm": size[1] * 1000 + 100}
        held.append({"type": "batten", "timber": "oak-white", "screws": _screws(draw) | {"count": 4}} | sizes)
    if draw(st.booleans()):
        out = 0.5 * size[1] + 0.1
        ends = {"from_m": [3.0, out, -0.3], "to_m": [3.0, -out, -0.3]}
        held.append(
            {"type": "strap", "line": "polyester-webbing-25", "tension_N": draw(st.sampled_from([0, 150]))} | ends
        )
    if draw(st.booleans()):
        held.append({"type": "cable_tie", "count": 2})
    weight = {
        "id": "it",
        "kind": draw(st.sampled_from(["ballast", "battery", "gas", "chain", "tools"])),
        "mass_kg": draw(st.sampled_from([4.0, 15.0, 30.0])),
        "at_m": [3.0, draw(st.sampled_from([0.0, 0.5])), -0.2],
        "size_m": size,
        "restraint": held,
    }
    planking = {"timber": "larch", "thickness_mm": 19, "frame_spacing_mm": 190}
    boat = {"name": "Teal", "bwl_m": 2.0, "planking": planking, "bilge": draw(st.sampled_from(["wet", "dry"]))}
    return BoatFile.model_validate({"schema": 1, "boat": boat, "weight": [weight]})


@pytest.mark.long
@FEW
@given(boats())
def test_what_is_promised_is_what_the_check_says(boat: BoatFile) -> None:
    run = make_context(boat, SCENARIOS)
    weight = boat.weight[0]
    now = check_weight(weight, run)
    found = remedies(weight, run, now)
    assert bool(found) == (now.verdict != "green")
    changes = [r for r in found if r.kind == "change"]
    green = [r for r in found if r.kind != "none" and r.verdict == "green"]
    if green:
        assert [r.minutes for r in found] == sorted(r.minutes for r in found)
    else:
        # nothing serves, or it is not known what could
        assert not found or found[-1].kind in ("none", "measure")
    for remedy in found:
        assert remedy.change
        if remedy.kind != "change":
            assert remedy.weight is None
    said = {(s.member, s.into) for s in fastenings(weight)}
    carried = {(_MEMBERS.get(r.on or ""), r.timber) for r in weight.restraint if isinstance(r, Bed)}
    for remedy in changes:
        assert RANK[remedy.verdict] < RANK[now.verdict]
        assert remedy.weight is not None
        assert remedy.minutes > 0
        assert len(set(restraint_ids(remedy.weight))) == len(remedy.weight.restraint)
        for screws in fastenings(remedy.weight):
            # into timber that the owner named, or into a bearer or landing that is proposed with it
            assert (screws.member, screws.into) in said | carried or screws.member in ("bearer", "landing")
            if screws not in fastenings(weight):
                assert screws.member not in (None, "planking", "sole")
                assert screws.kind == "bolt" or (screws.penetration_mm or 0.0) <= 0.75 * (screws.stock_mm or 0.0) + 0.1
        again = BoatFile.model_validate(boat.model_copy(update={"weight": [remedy.weight]}).model_dump(by_alias=True))
        proposed = check_weight(again.weight[0], make_context(again, SCENARIOS))
        assert any(each.startswith("proposed, not built: ") for each in proposed.reasons)
        pieces = [r.model_copy(update={"proposed": False}) for r in again.weight[0].restraint]
        then = check_weight(again.weight[0].model_copy(update={"restraint": pieces}), make_context(again, SCENARIOS))
        assert then.verdict == remedy.verdict
        assert then.utilisation == remedy.utilisation
