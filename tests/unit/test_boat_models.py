"""The models take what a person may write, refuse the rest, and coerce nothing in silence."""

from __future__ import annotations

import math
from typing import Any

import pytest
from pydantic import BaseModel, ValidationError

from secure_load.boat import models
from secure_load.boat.file import BoatFileError, parse_boat
from secure_load.boat.models import (
    Batten,
    Bed,
    BoatFile,
    Cleat,
    HeelRange,
    Ingots,
    Lashing,
    Scenario,
    Weight,
    restraint_id,
    restraint_ids,
)
from secure_load.boat.render import render_boat
from secure_load.model.model_builder import build_single_model


def weight(**changes: Any) -> dict[str, Any]:
    return {"id": "pigs", "mass_kg": 48, "at_m": [3.6, 0, -0.32], **changes}


def boat(*weights: dict[str, Any], **more: Any) -> BoatFile:
    return BoatFile.model_validate({"boat": {"name": "Sandpiper"}, "weight": list(weights), **more})


def test_every_name_of_the_contract_is_at_the_door() -> None:
    for name in models.__all__:
        assert getattr(models, name) is not None
    assert {"BoatFile", "Weight", "AnyRestraint", "Screws", "HullSection", "HalfPoint", "Set"} <= set(models.__all__)


def test_every_field_has_a_sentence_for_the_owner() -> None:
    seen: set[type[BaseModel]] = set()
    for name in models.__all__:
        found = getattr(models, name)
        if isinstance(found, type) and issubclass(found, BaseModel):
            seen.add(found)
            for key, field in found.model_fields.items():
                assert field.description, f"{name}.{key}"
    assert len(seen) > 20


def test_whole_numbers_and_lists_will_do() -> None:
    made = Weight.model_validate(weight(size_m=[1, 2, 3]))
    assert made.mass == 48.0
    assert isinstance(made.mass_kg, float)
    assert made.at_m == (3.6, 0.0, -0.32)


@pytest.mark.parametrize("value", ["48", True, None, [48], math.nan, math.inf, -math.inf, 0, -1, 1_000_001, 10**400])
def test_what_is_not_a_mass_is_refused(value: Any) -> None:
    with pytest.raises(ValidationError):
        Weight.model_validate(weight(mass_kg=value))


@pytest.mark.parametrize(
    "value",
    [[0, 0], [0, 0, 0, 0], [0, 0, "1"], [0, 0, False], [0, 0, math.nan], [0, 0, 1000.1], {1.0, 2.0, 3.0}, "123"],
)
def test_what_is_not_a_place_is_refused(value: Any) -> None:
    with pytest.raises(ValidationError):
        Weight.model_validate(weight(at_m=value))


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("size_m", [0, 1, 1]),
        ("size_m", [101, 1, 1]),
        ("measured", 1),
        ("measured", "yes"),
        ("kind", "balast"),
        ("ingots", {"count": 4, "each_kg": 12}),  # a mass is given too
        ("weight", 1),
    ],
)
def test_other_slips_in_a_weight_are_refused(key: str, value: Any) -> None:
    with pytest.raises(ValidationError):
        Weight.model_validate(weight(**{key: value}))


def test_ingots_stand_in_for_a_mass_and_neither_is_refused() -> None:
    assert Weight(id="a", at_m=(0, 0, 0), ingots=Ingots(count=4, each_kg=12)).mass == 48
    with pytest.raises(ValidationError, match="needs 'mass_kg'"):
        Weight(id="a", at_m=(0, 0, 0))
    with pytest.raises(ValidationError, match="at most"):
        Weight(id="a", at_m=(0, 0, 0), ingots=Ingots(count=1000, each_kg=1001))


@pytest.mark.parametrize("mark", ["\x1b", "\n", "\r", "\t", "\0", "\x7f", "\x9b", "\u2028", "\u202e", "\u2066"])
def test_control_characters_are_refused_in_ids_and_names(mark: str) -> None:
    for key in ("id", "name"):
        with pytest.raises(ValidationError, match="must hold no control characters, but character 2 is U"):
            Weight.model_validate(weight(**{key: f"a{mark}b"}))


@pytest.mark.parametrize("name", ["חסידה", "لنگر", "Sturmvögel [bold]", "錨 ⚓", "a\u200cb"])
def test_any_printable_name_is_taken(name: str) -> None:
    assert Weight.model_validate(weight(name=name)).title == name


def test_an_id_is_neither_blank_nor_padded() -> None:
    for bad in ("", "  ", " a", "a "):
        with pytest.raises(ValidationError):
            Weight.model_validate(weight(id=bad))


def test_friction_is_a_number_or_a_pair() -> None:
    assert Bed(friction=1).friction == 1.0
    assert Bed(friction="rubber-oiled-wood").friction == "rubber-oiled-wood"
    for bad in (True, -0.1, 2.1, math.nan, "", []):
        with pytest.raises(ValidationError):
            Bed.model_validate({"friction": bad})


def test_schema_is_a_whole_number() -> None:
    for bad in (True, 2.0, 3, "2"):
        with pytest.raises(ValidationError):
            boat(schema=bad)


def test_a_plain_number_means_one_heel() -> None:
    made = Scenario.model_validate({"id": "flat", "heel_deg": 90})
    assert (made.heel_deg.from_, made.heel_deg.to, made.heel_deg.count) == (90.0, 90.0, 1)
    for bad in (True, "90", math.nan, 181, [90]):
        with pytest.raises(ValidationError):
            Scenario.model_validate({"id": "flat", "heel_deg": bad})


@pytest.mark.parametrize(
    ("first", "last", "step", "count"), [(0, 110, 1, 111), (0, 10, 3, 5), (0, 0.3, 0.1, 4), (5, 5, 1, 1)]
)
def test_heels_are_counted_with_both_ends(first: float, last: float, step: float, count: int) -> None:
    assert HeelRange.model_validate({"from": first, "to": last, "step": step}).count == count


def test_an_endless_scenario_is_refused_with_its_size() -> None:
    many = [float(n) for n in range(50)]
    # 181 heels of 49^3 together, none, and 3 x 49 alone
    wide = {"id": "x", "heel_deg": {"to": 180}, "surge_g": many, "sway_g": many, "heave_g": many}
    with pytest.raises(ValidationError, match="21,321,257 combinations"):
        Scenario.model_validate(wide)
    assert Scenario.model_validate({**wide, "one_at_a_time": True}).instants == 181 * (3 * 49 + 1 + 3 * 49)


def test_a_line_of_no_length_is_refused() -> None:
    with pytest.raises(ValidationError, match="no length"):
        Lashing(from_m=(1, 0, 0), to_m=(1, 0, 0))


def test_ids_used_twice_are_refused() -> None:
    with pytest.raises(ValidationError, match="the weight id 'pigs' is used twice"):
        boat(weight(), weight())
    twice = [{"id": "a", "type": "bed"}, {"id": "a", "type": "bond"}]
    with pytest.raises(ValidationError, match="the restraint id 'a' is used twice"):
        boat(weight(restraint=twice))


def test_a_neighbour_must_be_another_weight_in_the_file() -> None:
    def leaning(on: str) -> dict[str, Any]:
        return weight(restraint=[{"type": "neighbour", "face": "port", "weight": on}])

    assert boat(leaning("anchor"), weight(id="anchor")).weight[0].restraint[0].type == "neighbour"
    with pytest.raises(ValidationError, match="did you mean 'anchor'"):
        boat(leaning("ankor"), weight(id="anchor"))
    with pytest.raises(ValidationError, match="cannot lean against itself"):
        boat(leaning("pigs"))


def test_an_assignment_is_checked_too() -> None:
    made = Weight.model_validate(weight())
    with pytest.raises(ValidationError):
        made.mass_kg = math.nan
    assert made.mass_kg == 48


def test_unnamed_restraints_get_names_no_two_alike() -> None:
    cleats = [Cleat(face="port"), Cleat(id="port-cleat-2", face="port"), Cleat(face="port"), Cleat(face="port")]
    made = Weight(id="a", mass_kg=1, at_m=(0, 0, 0), restraint=[Bed(), *cleats])
    ids = restraint_ids(made)
    assert ids == ["bottom-bed", "port-cleat", "port-cleat-2", "port-cleat-3", "port-cleat-4"]
    assert [restraint_id(made, n) for n in range(5)] == ids


def test_default_lists_are_not_shared() -> None:
    one, two = Weight.model_validate(weight()), Weight.model_validate(weight())
    one.restraint.append(Bed())
    assert two.restraint == []


TOP_CLEAT = {"id": "bar", "type": "cleat", "face": "top", "timber": "oak-white", "length_mm": 320.0, "height_mm": 50.0}


def _with(restraint: dict[str, Any]) -> BoatFile:
    pig = {"id": "pig", "mass_kg": 20.0, "at_m": [2.0, 0.0, -0.3], "size_m": [0.4, 0.2, 0.1], "restraint": [restraint]}
    return BoatFile.model_validate({"boat": {"name": "Phalarope"}, "weight": [pig]})


def test_a_cleat_over_the_top_is_a_batten_and_stays_as_it_was_written() -> None:
    boat = _with(TOP_CLEAT)
    (bar,) = boat.weight[0].restraint
    assert isinstance(bar, Batten)
    written = render_boat(boat)
    for words in ('type = "cleat"', 'face = "top"', "length_mm = 320", "height_mm = 50"):
        assert words in written
    assert parse_boat(written) == boat


def test_a_cleat_over_the_top_is_worked_as_a_batten_and_said_to_be_one() -> None:
    batten = {"id": "bar", "type": "batten", "timber": "oak-white", "span_mm": 320.0, "width_mm": 50.0}
    found = [build_single_model(boat.weight[0], boat.boat) for boat in (_with(TOP_CLEAT), _with(batten))]
    assert [link.attachments[0].point.tolist() for link in found[0].restraints[0].springs] == [
        link.attachments[0].point.tolist() for link in found[1].restraints[0].springs
    ]
    assert found[0].members[0].notes.doubts[0].startswith("bar: a cleat over the top is taken as a batten")


def test_a_misspelt_key_of_a_cleat_over_the_top_is_told_with_those_it_has() -> None:
    text = render_boat(_with(TOP_CLEAT)).replace("length_mm", "spam_mm")
    with pytest.raises(BoatFileError, match=r"key 'spam_mm': unknown key; did you mean 'span_mm'\?"):
        parse_boat(text)
