"""A sitting with a boat, without a terminal: changing, going back, saving, asking for verdicts."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from secure_load.boat.file import BoatFileError, read_boat
from secure_load.boat.models import BoatFile, BoatParticulars, Cleat, Ingots, Strap, Weight
from secure_load.boat.save import ChangedOnDisk
from secure_load.check.check import check_weight
from secure_load.screen.app.rescue import rescue
from secure_load.screen.form.fields import RESTRAINTS, WEIGHT, Field
from secure_load.screen.form.parsing import number, read, read_mass, rows, text_of, unknown, value_at
from secure_load.screen.session import templates as drafts
from secure_load.screen.session.session import Keys, Session
from secure_load.screen.verdict.words import verdict_lines

BED = {"type": "bed", "friction": 0.2}


def boat(*weights: dict[str, object]) -> BoatFile:
    return BoatFile.model_validate({"boat": {"name": "Dunlin", "lwl_m": 6.4}, "weight": list(weights)})


def pig(**more: object) -> dict[str, object]:
    return {"id": "pig", "mass_kg": 24.0, "at_m": [3.0, 0.4, -0.3], "size_m": [0.4, 0.2, 0.1], **more}


def answer_all(session: Session) -> None:
    run = session.run()
    for question in session.requests():
        session.accept(question, check_weight(question.weight, run))


def test_yes_or_no_is_asked_for_in_those_words() -> None:
    weighed = next(f for f in WEIGHT if f.label == "Weighed")
    assert unknown(weighed, read(weighed, "999")) == "is '999', but must be yes or no"
    assert unknown(weighed, read(weighed, "Yes")) is None
    assert unknown(weighed, read(weighed, "")) is None


def test_a_figure_is_set_and_taken_back() -> None:
    session = Session(boat(pig()))
    assert session.apply_changes({("weight", 0, "mass_kg"): 30.0}, "mass") == []
    assert session.boat.weight[0].mass == 30.0
    assert session.undo() == "mass"
    assert session.boat.weight[0].mass == 24.0
    assert session.redo() == "mass"
    assert session.boat.weight[0].mass == 30.0
    assert session.redo() is None


def test_strokes_with_one_tag_are_one_step_until_sealed() -> None:
    session = Session(boat(pig()))
    for value in (3.0, 36.0):
        session.apply_changes({("weight", 0, "mass_kg"): value}, "mass", tag="mass")
    session.close_undo_group()
    session.apply_changes({("weight", 0, "mass_kg"): 37.0}, "mass", tag="mass")
    session.undo()
    assert session.boat.weight[0].mass == 36.0
    session.undo()
    assert session.boat.weight[0].mass == 24.0
    assert session.undo() is None


def test_what_is_wrong_is_told_and_changes_nothing() -> None:
    session = Session(boat(pig()))
    before = session.boat
    problems = session.apply_changes({("weight", 0, "mass_kg"): -1.0}, "mass")
    assert [p.path for p in problems] == [("weight", 0, "mass_kg")]
    assert "must be at least 0.001 kg" in problems[0].sentence
    assert session.boat is before
    assert session.undo() is None


def test_an_inner_table_comes_and_goes_with_its_figures() -> None:
    session = Session(boat(pig(restraint=[{"type": "cleat", "face": "port"}])))
    keys = ("weight", 0, "restraint", 0, "screws", "gauge")
    session.apply_changes({keys: 10}, "gauge")
    assert value_at(session.boat, keys) == 10
    session.apply_changes({keys: None}, "gauge")
    cleat = session.boat.weight[0].restraint[0]
    assert isinstance(cleat, Cleat)
    assert cleat.screws is None


def test_the_verdict_is_asked_for_only_where_something_changed() -> None:
    session = Session(boat(pig(restraint=[BED]), pig(id="other")))
    session.scenarios = ["on-the-trailer"]
    assert [q.weight.id for q in session.requests()] == ["pig", "other"]
    answer_all(session)
    assert session.requests() == []
    assert session.overall() == "red"
    session.apply_changes({("weight", 0, "mass_kg"): 30.0}, "mass")
    assert [q.weight.id for q in session.requests()] == ["pig"]
    state = session.states()["pig"]
    assert state.working
    assert state.verdict is not None  # the old one stays in sight
    assert session.overall() is None
    session.undo()
    assert session.requests() == []  # the answer is still known
    session.apply_changes({("boat", "bilge"): "dry"}, "bilge")
    assert len(session.requests()) == 2


def test_a_verdict_hangs_on_all_weights_that_touch_one_another() -> None:
    leaning = {"type": "neighbour", "face": "fore", "weight": "b"}
    further = {"type": "neighbour", "face": "fore", "weight": "c"}
    session = Session(boat(pig(id="a", restraint=[leaning]), pig(id="b", restraint=[further]), pig(id="c")))
    session.scenarios = ["on-the-trailer"]
    before = session.cache_keys()
    session.apply_changes({("weight", 2, "mass_kg"): 30.0}, "mass")
    after = session.cache_keys()
    assert all(before[i] != after[i] for i in "abc")


def test_an_answer_to_an_older_question_is_not_shown() -> None:
    session = Session(boat(pig(restraint=[BED])))
    session.scenarios = ["on-the-trailer"]
    old = session.requests()[0]
    run = session.run()
    session.apply_changes({("weight", 0, "mass_kg"): 30.0}, "mass")
    assert session.accept(old, check_weight(old.weight, run)) is False
    assert session.states()["pig"].verdict is None
    answer_all(session)
    found = session.states()["pig"].verdict
    assert found is not None
    assert found.mass_kg == 30.0


def test_the_chosen_weight_is_asked_about_first() -> None:
    session = Session(boat(pig(), pig(id="other")))
    session.chosen = "other"
    assert session.requests()[0].weight.id == "other"


def test_what_cannot_be_checked_is_an_answer_in_words() -> None:
    session = Session(boat(pig(restraint=[{"type": "cleat", "face": "port", "timber": "oka"}]), pig(id="other")))
    answer_all(session)
    found = session.states()["pig"].verdict
    assert found is not None
    assert found.verdict == "red"
    assert "no timber 'oka'" in found.reasons[0]
    assert session.overall() == "red"


def test_saving_opening_and_another_hand(tmp_path: Path) -> None:
    path = tmp_path / "dunlin.toml"
    session = Session(boat(pig()))
    assert session.dirty
    with pytest.raises(BoatFileError, match="has no file yet"):
        session.save()
    session.save(path)
    assert not session.dirty
    assert Session.open(path).boat == session.boat
    session.apply_changes({("weight", 0, "mass_kg"): 30.0}, "mass")
    assert session.dirty
    path.write_text(path.read_text(encoding="utf-8").replace("Dunlin", "Knot"), encoding="utf-8")
    with pytest.raises(ChangedOnDisk):
        session.save()
    assert session.dirty
    session.save(force=True)
    assert read_boat(path) == session.boat


def test_an_example_is_never_saved_over(tmp_path: Path) -> None:
    path = tmp_path / "example.toml"
    Session(boat(pig())).save(path)
    session = Session.open(path).as_example()
    assert not session.dirty
    assert session.path is None
    with pytest.raises(BoatFileError):
        session.save()


def test_unsaved_work_is_rescued_beside_the_file(tmp_path: Path) -> None:
    path = tmp_path / "dunlin.toml"
    session = Session(boat(pig()))
    session.save(path)
    assert rescue(session) is None
    session.apply_changes({("weight", 0, "mass_kg"): 30.0}, "mass")
    kept = [rescue(session), rescue(session)]
    assert [k.name for k in kept if k] == ["dunlin.rescued.toml", "dunlin.rescued-2.toml"]
    assert read_boat(tmp_path / "dunlin.rescued.toml") == session.boat
    assert read_boat(path).weight[0].mass == 24.0


def test_another_short_name_is_followed_where_weights_lean() -> None:
    session = Session(boat(pig(), pig(id="other", restraint=[{"type": "neighbour", "face": "aft", "weight": "pig"}])))
    assert session.rename(0, "fore-pig") == []
    assert session.chosen == "fore-pig"
    assert session.boat.weight[1].restraint[0].weight == "fore-pig"  # type: ignore[union-attr]
    assert "used twice" in session.rename(0, "other")[0].sentence
    assert session.chosen == "fore-pig"


# Starting points ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("choice", [c.id for c in drafts.CHOICES])
def test_every_restraint_that_is_offered_is_sound_and_stands_by_the_weight(choice: str) -> None:
    weight = Weight.model_validate(pig())
    made = drafts.restraints_for(weight, choice)
    assert made
    full = weight.model_copy(update={"restraint": made})
    session = Session(BoatFile(boat=BoatParticulars(name="Dunlin"), weight=[Weight.model_validate(full.model_dump())]))
    session.scenarios = ["on-the-trailer"]
    answer_all(session)
    state = session.states()["pig"]
    assert state.verdict is not None
    if choice == "bond":
        assert state.verdict.verdict != "green"
        return
    assert state.verdict.unchecked is None
    assert len(state.verdict.restraints) == len(made)


def test_four_cleats_fill_only_the_sides_that_have_none() -> None:
    weight = Weight.model_validate(pig(restraint=[{"type": "cleat", "face": "port", "timber": "teak"}]))
    made = drafts.restraints_for(weight, "cleats")
    assert [getattr(r, "face", "") for r in made] == ["starboard", "fore", "aft"]
    assert all(getattr(r, "timber", "") == "teak" for r in made)


def test_a_strap_starts_outside_the_bottom_edges() -> None:
    strap = drafts.restraints_for(Weight.model_validate(pig()), "strap")[0]
    assert isinstance(strap, Strap)
    assert strap.from_m == (3.0, 0.55, -0.35)
    assert strap.to_m == (3.0, 0.25, -0.35)


def test_a_starting_place_is_known_as_such_until_it_is_changed() -> None:
    weight = Weight.model_validate(pig())
    strap = drafts.restraints_for(weight, "strap")[0]
    assert drafts.still_as_put(weight, strap) == {"from_m", "to_m"}
    assert drafts.still_as_put(weight, strap.model_copy(update={"to_m": (3.0, 0.2, -0.35)})) == {"from_m"}
    lashing = drafts.restraints_for(weight, "lashing-aft")[0]
    assert drafts.still_as_put(weight, lashing) == {"from_m", "to_m"}
    assert drafts.still_as_put(weight, drafts.restraints_for(weight, "bed")[0]) == set()
    assert drafts.still_as_put(drafts.new_weight(boat(), "Kedge", 12.0)) == {"at_m"}
    assert drafts.still_as_put(weight) == set()


def test_the_usual_stowage_is_a_bed_four_cleats_and_a_batten_and_adds_only_what_is_missing() -> None:
    bare = Weight.model_validate(pig())
    assert [r.type for r in drafts.restraints_for(bare, "usual")] == ["bed", *["cleat"] * 4, "batten"]
    half = Weight.model_validate(pig(restraint=[BED, {"type": "cleat", "face": "port"}, {"type": "batten"}]))
    made = drafts.restraints_for(half, "usual")
    assert [getattr(r, "face", "") for r in made] == ["starboard", "fore", "aft"]
    whole = half.model_copy(update={"restraint": [*half.restraint, *made]})
    assert drafts.restraints_for(whole, "usual") == []


def test_only_weights_that_stand_close_are_offered_to_lean_on() -> None:
    near, far = pig(id="near", at_m=[3.4, 0.4, -0.3]), pig(id="far", at_m=[5.0, 0.4, -0.3])
    found = boat(pig(), near, far)
    offered = [c for c in drafts.choices_for(found.weight[0], found) if c.id.startswith("neighbour")]
    assert [c.id for c in offered] == ["neighbour-fore-near"]
    (made,) = drafts.restraints_for(found.weight[0], offered[0].id)
    assert (made.type, made.face, made.weight) == ("neighbour", "fore", "near")  # type: ignore[union-attr]


def test_a_bundle_is_entered_field_by_field_and_goes_with_its_stack() -> None:
    session = Session(boat({"id": "p", "ingots": {"count": 4, "each_kg": 12.0}, "at_m": [3.0, 0.0, -0.3]}))
    stack = ("weight", 0, "bundle", "stack")
    assert session.apply_changes({stack: [2, 2, 1]}, "stack") == []
    assert session.apply_changes({("weight", 0, "bundle", "ties", 0, "count"): 2}, "ties") == []
    bundle = session.boat.weight[0].bundle
    assert bundle is not None
    assert (bundle.stack, bundle.ties[0].count) == ((2, 2, 1), 2)
    assert session.apply_changes({stack: [2, 2, 2]}, "stack")[0].sentence
    assert session.apply_changes({stack[:-1]: None}, "stack") == []
    assert session.boat.weight[0].bundle is None


def test_mirrored_twice_is_the_same_and_once_is_the_other_side() -> None:
    strap = {"type": "strap", "id": "port-gripe", "from_m": [3.0, 0.6, -0.3], "to_m": [3.0, 0.2, -0.3]}
    weight = Weight.model_validate(
        pig(id="port-pig", name="Pig to port", restraint=[BED, {"type": "cleat", "face": "port"}, strap])
    )
    once = drafts.mirrored(weight)
    assert once.at_m == (3.0, -0.4, -0.3)
    assert getattr(once.restraint[1], "face", "") == "starboard"
    assert once.restraint[2].id == "starboard-gripe"
    assert once.restraint[2].from_m == (3.0, -0.6, -0.3)  # type: ignore[union-attr]
    assert drafts.mirrored(once) == weight
    twin = drafts.other_side(weight, ["port-pig"])
    assert (twin.id, twin.name) == ("starboard-pig", "Pig to starboard")


def test_the_same_again_stands_clear_of_the_first() -> None:
    weight = Weight.model_validate(
        pig(name="Pig", restraint=[{"type": "cleat", "face": "fore", "at_m": [3.2, 0.4, -0.35]}])
    )
    again = drafts.duplicate(weight, ["pig"])
    assert (again.id, again.name) == ("pig-2", "Pig (2)")
    assert again.at_m == (3.4, 0.4, -0.3)
    assert again.restraint[0].at_m == (3.6, 0.4, -0.35)  # type: ignore[union-attr]
    assert drafts.duplicate(again, ["pig", "pig-2"]).name == "Pig (3)"


# What is typed -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "mass", "ingots"),
    [
        ("48", 48.0, None),
        ("48,5 kg", 48.5, None),
        ("4 x 12 kg", None, {"count": 4, "each_kg": 12.0}),
        ("4x12", None, {"count": 4, "each_kg": 12.0}),
        ("3 × 500 g", None, {"count": 3, "each_kg": 0.5}),
        ("heavy", "heavy", None),
    ],
)
def test_mass_as_it_is_typed(text: str, mass: object, ingots: object) -> None:
    assert read_mass(text) == {"mass_kg": mass, "ingots": ingots}


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [("300", "mm", 300.0), ("0.3 m", "mm", 300.0), ("4 cm", "m", 0.04), ("2 kN", "N", 2000.0), ("4 kg", "mm", "4 kg")],
)
def test_measures_may_carry_their_unit(text: str, unit: str, value: object) -> None:
    assert number(text, unit) == value


ALL_FIELDS = [f for group in (WEIGHT, *RESTRAINTS.values()) for f in group]


@pytest.mark.parametrize("field", ALL_FIELDS, ids=lambda f: ".".join(map(str, f.keys)))
def test_every_field_has_a_meaning_and_a_place_in_the_models(field: Field) -> None:
    assert field.meaning.endswith((".", '".', ")"))
    assert field.measure.endswith((".", "?"))
    assert "secure-load" not in field.meaning
    assert str(field.whole_keys[-1]) in field.model.model_fields
    assert field.kind != "choice" or field.choices
    assert not field.table or rows(field.table)


def test_every_kind_of_restraint_has_its_fields() -> None:
    assert set(RESTRAINTS) == {"bed", "cleat", "batten", "lashing", "strap", "cable_tie", "bolt", "bond", "neighbour"}


def test_what_the_form_shows_reads_back_as_the_same() -> None:
    weight = Weight(id="w", at_m=(1.0, 0.25, -0.3), ingots=Ingots(count=4, each_kg=12.5), measured=True)
    for field in WEIGHT:
        text = text_of(field, weight)
        if field.kind == "mass":
            assert read_mass(text)["ingots"] == {"count": 4, "each_kg": 12.5}
        else:
            assert read(field, text) == value_at(weight, field.keys)


# Words -------------------------------------------------------------------------------------------------------


def test_a_verdict_in_words_has_its_word_its_reasons_and_its_figures() -> None:
    session = Session(boat(pig(restraint=[BED, {"type": "batten"}])))
    session.scenarios = ["trailer-uplift"]
    answer_all(session)
    state = session.states()["pig"]
    names = {"trailer-uplift": "Thrown up"}
    text = "\n".join("".join(t for _, t in line) for line in verdict_lines(state, names, 10_000))
    assert state.verdict is not None
    for reason in (*state.verdict.reasons, *state.verdict.assumptions):
        assert reason in text
    assert "A doubtful" in text
    assert "Thrown up" in text


def test_control_characters_from_a_file_are_shown_and_not_obeyed() -> None:
    session = Session(boat(pig()))
    answer_all(session)
    found = session.states()["pig"].verdict
    assert found is not None
    nasty = found.model_copy(update={"reasons": ["a\x1b[2Jb"]})
    state = type(session.states()["pig"])(nasty, False)
    text = "".join(t for line in verdict_lines(state, {}, 10_000) for _, t in line)
    assert "\x1b" not in text
    assert "\\x1b[2J" in text


def test_the_session_needs_no_terminal() -> None:
    code = (
        "import sys, secure_load.screen.session.session, secure_load.screen.session.templates; "
        "import secure_load.screen.form.parsing, secure_load.screen.verdict.words, secure_load.screen.app.rescue; "
        "sys.exit(any(m.split('.')[0] in ('textual', 'rich') for m in sys.modules))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_of_many_weights_only_the_changed_one_is_made_anew() -> None:
    session = Session(boat(pig(), pig(id="other"), pig(id="third", restraint=[BED])))
    before = session.boat.weight
    keys = dict(session.cache_keys())
    assert session.apply_changes({("weight", 1, "mass_kg"): 30.0}, "mass") == []
    now = session.boat.weight
    assert [a is b for a, b in zip(before, now, strict=True)] == [True, False, True]
    assert session.cache_keys()["pig"] == keys["pig"]
    assert session.cache_keys()["other"] != keys["other"]
    assert session.boat == boat(pig(), pig(id="other", mass_kg=30.0), pig(id="third", restraint=[BED]))
    assert session.cache_keys() == Session(session.boat).cache_keys()


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({("weight", 1, "mass_kg"): -3.0}, "at least"),
        ({("weight", 1, "id"): "pig"}, "used twice"),
        ({("weight", 0, "restraint", 0, "weight"): "nobody"}, "no weight 'nobody'"),
        ({("weight", 0, "restraint", 0, "weight"): "pig"}, "lean against itself"),
        ({("weight", 1, "strange"): 3}, "strange"),
    ],
)
def test_what_is_wrong_with_one_weight_is_said_as_of_the_whole_boat(changes: dict[Keys, object], words: str) -> None:
    leans = {"type": "neighbour", "face": "port", "weight": "other", "friction": 0.3}
    session = Session(boat(pig(restraint=[leans]), pig(id="other")))
    before = session.boat
    (problem,) = session.apply_changes(changes, "figure")
    assert words in f"{problem.path} {problem.sentence}"
    assert problem.path[:2] == next(iter(changes))[:2]
    assert session.boat is before


def test_a_weight_that_is_not_there_is_set_as_before() -> None:
    session = Session(boat(pig()))
    new = pig(id="other")
    assert session.apply_changes({("weight", 1, key): value for key, value in new.items()}, "a weight") == []
    assert [w.id for w in session.boat.weight] == ["pig", "other"]
    assert session.apply_changes({("weight", 1): None}, "out") == []
    assert session.boat == boat(pig())
