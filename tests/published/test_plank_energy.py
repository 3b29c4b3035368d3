"""What a plank takes before it breaks, and what a loose weight brings.

Work to maximum load in bending: USDA Wood Handbook (FPL-GTR-282, 2021), Tables 5-3a (kJ/m3) and 5-3b (in-lbf/in3),
seen in copies of both tables; that the two agree checks the units and the catalogue's copy. Specimens and
their volume: ASTM D143, 2 x 2 in on a span of 28 in (memory). The elastic energy that any beam holds at its breaking
stress is a lower bound from mechanics: bent by a load at mid-span, sigma^2 / (18 E) on the mean over its volume (any
text on the strength of materials). The fall of the weight is worked by hand.
"""

from __future__ import annotations

import pytest

from secure_load.boat.models import BoatFile
from secure_load.catalogue.lookup import timbers
from secure_load.catalogue.strengths import timber_strengths
from secure_load.check.check import check_weight
from secure_load.check.context import make_context
from secure_load.strength.timber import plank_energy
from secure_load.strength.units import INCH, POUND_FORCE

# species: kJ/m3 green and at 12 %, in-lbf/in3 green and at 12 %
PRINTED = {
    "oak-white": ((80, 102), (11.6, 14.8)),
    "oak-red-northern": ((91, 100), (13.2, 14.5)),
    "elm-american": ((81, 90), (11.8, 13.0)),
    "elm-rock": ((137, 132), (19.8, 19.2)),
    "beech-american": ((82, 104), (11.9, 15.1)),
    "birch-yellow": ((111, 143), (16.1, 20.8)),
    "sitka-spruce": ((43, 65), (6.3, 9.4)),
    "douglas-fir-coast": ((52, 68), (7.6, 9.9)),
    "larch-western": ((71, 87), (10.3, 12.6)),
    "pine-eastern-white": ((36, 47), (5.2, 6.8)),
}
SERVICES = ("wet", "dry")


@pytest.mark.parametrize("species", PRINTED)
def test_work_to_maximum_load_is_as_both_tables_have_it(species: str) -> None:
    metric, inch_pound = PRINTED[species]
    for service, kilojoules, pounds in zip(SERVICES, metric, inch_pound, strict=True):
        work = timber_strengths(species, service).work_to_max_J_m3
        assert work is not None
        assert work / 1e3 == pytest.approx(kilojoules, abs=0.51)
        assert work == pytest.approx(pounds * POUND_FORCE / INCH**2, rel=1e-4)


def test_a_standard_specimen_takes_what_its_work_times_its_volume_gives() -> None:
    """White oak, green: 11.6 in-lbf/in3 x 2 x 2 x 28 in = 1299.2 in-lbf."""
    work = timber_strengths("oak-white", "wet").work_to_max_J_m3
    assert work is not None
    assert plank_energy(work, 2 * INCH, 2 * INCH, 28 * INCH) == pytest.approx(1299.2 * POUND_FORCE * INCH, rel=1e-4)


@pytest.mark.parametrize("service", SERVICES)
def test_no_timber_takes_less_than_it_springs(service: str) -> None:
    """Wood yields before it breaks: more than its elastic energy at the breaking stress, and not ten times as much."""
    compared = 0
    for row in timbers().values():
        strengths = timber_strengths(row, service)  # type: ignore[arg-type]  # one of the two
        if strengths.work_to_max_J_m3 is None or "work_to_max" in strengths.estimated:
            continue
        elastic = strengths.mor**2 / (18.0 * strengths.moe)
        assert 1.0 < strengths.work_to_max_J_m3 / elastic < 10.0, row.id
        compared += 1
    assert compared >= 25


def test_a_pig_that_falls_across_the_boat() -> None:
    """40 kg at y = 0.6 m in a boat 2.4 m broad falls 1.2 + 0.6 - 0.1 m: at 2.5 g 40 x 9.80665 x 2.5 x 1.7 = 1667 J,
    against larch, green, 71 kJ/m3 x 18 mm x 0.12 m x 0.18 m = 27.6 J."""
    boat = BoatFile.model_validate(
        {
            "boat": {
                "name": "Whimbrel",
                "bilge": "wet",
                "bwl_m": 2.4,
                "planking": {"timber": "larch-western", "thickness_mm": 18.0, "frame_spacing_mm": 180.0},
            },
            "scenario": [{"id": "flat", "heel_deg": 90.0, "load_factor": [1.0, 2.5]}],
            "weight": [{"id": "pig", "mass_kg": 40.0, "at_m": [3.0, 0.6, -0.2], "size_m": [0.3, 0.2, 0.12]}],
        }
    )
    loose = check_weight(boat.weight[0], make_context(boat, ["flat"])).if_loose
    assert loose.fall_m == pytest.approx(1.7, abs=1e-3)
    assert loose.energy_J == pytest.approx(1667.1, abs=0.1)
    assert loose.plank_absorbs_J == pytest.approx(10.3 * 6894.76 * 0.018 * 0.12 * 0.18, abs=0.1)
