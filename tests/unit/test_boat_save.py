"""Saving keeps the owner's words, loses nothing when it fails, and never overwrites another's work."""

from __future__ import annotations

import os
import stat
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from secure_load.boat import save
from secure_load.boat.file import BoatDocument, BoatFileError, parse_boat, read_boat, read_document
from secure_load.boat.models import Bed, BoatFile, Bolt, FloatData, HullSection, Ingots, Screws, Strap, Weight
from secure_load.boat.save import AlreadyThere, ChangedOnDisk, create_new, new_boat_text, new_text, save_boat

TEXT = """\
# Stow of the Wheatear, by her owner.

schema = 2

[boat]
name = "Wheatear"     # launched in spring
displacement_kg = 900
bilge = "wet"         # said though it goes without saying

# The heavy ones.
[[weight]]
id = "pigs"
mass_kg = 48          # weighed
at_m = [3.60, 0.00,   # by tape
        -0.32]

# Bed of the pigs.
[[weight.restraint]]
type = "bed"
friction = 0.20       # wet

[[weight.restraint]]
id = "port-cleat"
type = "cleat"
face = "port"
screws = { kind = "wood-screw", gauge = 10, count = 3 }  # new ones

# Not to be forgotten: the port locker leaks.

# Under the cockpit.
[[weight]]
id = "battery"
kind = "battery"
at_m = [1.2, 0.3, 0.1]
ingots = { count = 2, each_kg = 11.5 }

[[scenario]]
id = "flat"
heel_deg = 90         # just the one
"""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    made = tmp_path / "wheatear.toml"
    made.write_bytes(TEXT.encode())
    return made


def edited(change: Callable[[BoatFile], object], text: str = TEXT) -> str:
    """The text after a change, as it would be saved; it must say what the changed boat says."""
    boat = parse_boat(text)
    changed = boat.model_copy(deep=True)
    change(changed)
    document = BoatDocument(Path("w.toml"), text, boat, save.Signature(0, 0, ""))
    result, kept = new_text(document, changed)
    assert kept
    assert parse_boat(result) == changed
    return result


def lines_changed(change: Callable[[BoatFile], object]) -> tuple[list[str], list[str]]:
    before, after = TEXT.splitlines(), edited(change).splitlines()
    return [b for b in before if b not in after], [a for a in after if a not in before]


def set_(target: Callable[[BoatFile], object], **values: object) -> Callable[[BoatFile], None]:
    def change(boat: BoatFile) -> None:
        for key, value in values.items():
            setattr(target(boat), key, value)

    return change


@pytest.mark.parametrize(
    ("change", "gone", "come"),
    [
        (
            set_(lambda b: b.weight[0], mass_kg=50.0),
            ["mass_kg = 48          # weighed"],
            ["mass_kg = 50          # weighed"],
        ),
        (
            set_(lambda b: b.weight[0], mass_kg=50.5),
            ["mass_kg = 48          # weighed"],
            ["mass_kg = 50.5        # weighed"],
        ),
        (
            set_(lambda b: b.weight[0], at_m=(3.6, 0.25, -0.32)),
            ["at_m = [3.60, 0.00,   # by tape"],
            ["at_m = [3.60, 0.25,   # by tape"],
        ),
        (
            set_(lambda b: b.weight[0].restraint[1].screws, gauge=12),
            ['screws = { kind = "wood-screw", gauge = 10, count = 3 }  # new ones'],
            ['screws = { kind = "wood-screw", gauge = 12, count = 3 }  # new ones'],
        ),
        (
            set_(lambda b: b.weight[0].restraint[0], friction="rubber-wet"),
            ["friction = 0.20       # wet"],
            ['friction = "rubber-wet" # wet'],
        ),
        (set_(lambda b: b.weight[1], name="The two batteries"), [], ['name = "The two batteries"']),
        (set_(lambda b: b.weight[1], id="accus"), ['id = "battery"'], ['id = "accus"']),
        (set_(lambda b: b.boat, displacement_kg=None), ["displacement_kg = 900"], []),
        (set_(lambda b: b.weight[1].ingots, count=3),
         ["ingots = { count = 2, each_kg = 11.5 }"], ["ingots = { count = 3, each_kg = 11.5 }"]),
    ],
)  # fmt: skip
def test_only_the_changed_line_is_rewritten(
    change: Callable[[BoatFile], object], gone: list[str], come: list[str]
) -> None:
    assert lines_changed(change) == (gone, come)


def test_defaults_are_not_added_and_those_written_stay() -> None:
    after = edited(set_(lambda b: b.boat, bilge="dry"))
    assert 'bilge = "dry"         # said though' in after
    assert edited(set_(lambda b: b.boat, bilge="wet"), after) == TEXT
    new = edited(lambda b: b.weight.append(Weight(id="chain", mass_kg=9, at_m=(5, 0, 0), restraint=[Bed()])))
    assert new.count("measured") == new.count("turns") == 0


def test_a_weight_taken_out_goes_with_its_heading_comment_and_no_other() -> None:
    after = edited(lambda b: b.weight.pop(0))
    assert "# The heavy ones." not in after
    assert "# Bed of the pigs." not in after
    for kept in ("# Stow of the Wheatear", "# launched in spring", "# Not to be forgotten", "# Under the cockpit."):
        assert kept in after
    assert TEXT.endswith(after[after.index("# Under the cockpit.") :])


def test_weights_put_in_another_order_take_their_comments_along() -> None:
    after = edited(lambda b: b.weight.reverse())
    assert sorted(after.splitlines()) == sorted(TEXT.splitlines())
    places = [after.index(t) for t in ("# Under the cockpit.", '"battery"', "# The heavy ones.", '"pigs"', '"flat"')]
    assert places == sorted(places)


def test_restraints_come_go_and_change_their_kind() -> None:
    strap = Strap(from_m=(1, 1, 0), to_m=(1, -1, 0), line="polyester-webbing-25")

    def change(boat: BoatFile) -> None:
        boat.weight[0].restraint[0] = strap
        boat.weight[1].restraint = [Bed(friction=0.3)]

    after = edited(change)
    assert '[[weight.restraint]]\nid = "port-cleat"' in after
    assert "# new ones" in after
    assert edited(lambda b: b.weight[0].restraint.clear()).count("[[weight.restraint]]") == 0


def test_a_face_that_went_without_saying_is_said_for_the_new_kind() -> None:
    # A batten is on top unasked; a bolt comes out of the bottom unless told otherwise.
    text = TEXT.replace('type = "bed"\nfriction = 0.20       # wet', 'type = "batten"')

    def change(boat: BoatFile) -> None:
        boat.weight[0].restraint[0] = Bolt(face="top")

    assert 'type = "bolt"\nface = "top"' in edited(change, text)


def test_the_float_table_is_started_and_dropped() -> None:
    sections = [HullSection(x_m=x, points_m=[(0, -0.5), (1, 0.5)]) for x in (0, 1)]
    after = edited(set_(lambda b: b, float_=FloatData(kg_m=0.8, section=sections)))
    assert after.startswith(TEXT)
    assert edited(set_(lambda b: b, float_=None), after) == TEXT


def test_a_mass_becomes_ingots() -> None:
    def change(boat: BoatFile) -> None:
        boat.weight[0] = boat.weight[0].model_copy(update={"mass_kg": None, "ingots": Ingots(count=4, each_kg=12)})

    assert "mass_kg" not in edited(change)


@pytest.mark.parametrize(
    "text",
    [
        'boat = { name = "A" } # b\nweight = [\n  # one\n  { id = "a", mass_kg = 1, at_m = [0,0,0] }, # a\n]\n',
        'boat.name = "A" # b\n# one\nweight = [ { id = "a", mass_kg = 1, at_m = [0,0,0] } ] # a\n',
        '# one\n[[weight]]\nid = "a" # a\nat_m=[0,0,0]\nmass_kg=1\n[boat]\nname = "A" # b',
    ],
)
def test_other_layouts_are_kept_too(text: str) -> None:
    def change(boat: BoatFile) -> None:
        boat.boat.rig = "lug"
        boat.weight[0].mass_kg = 3
        boat.weight.append(Weight(id="b", mass_kg=2, at_m=(0, 0, 0)))
        boat.weight[0].restraint = [Bed()]

    after = edited(change, text)
    assert all(mark in after for mark in ("# one", "# a", "# b"))


def test_saving_keeps_the_version_before_and_gives_the_next_document(path: Path) -> None:
    first = read_document(path)
    boat = first.boat.model_copy(deep=True)
    for mass in (50.0, 51.0):
        before = path.read_bytes()
        boat.weight[0].mass_kg = mass
        first = save_boat(first, boat)
        assert read_boat(path).weight[0].mass == mass
        assert save.backup_of(path).read_bytes() == before
        assert not first.changed_on_disk()
    assert sorted(p.name for p in path.parent.iterdir()) == ["wheatear.toml", "wheatear.toml.bak"]


def test_saving_what_is_there_already_writes_nothing(path: Path) -> None:
    document = read_document(path)
    save_boat(document, document.boat)
    assert read_document(path).signature == document.signature
    assert not save.backup_of(path).exists()


def test_a_boat_changed_in_place_is_saved_all_the_same(path: Path) -> None:
    document = read_document(path)
    document.boat.weight[0].mass_kg = 50
    document = save_boat(document, document.boat)
    document.boat.weight[0].mass_kg = 51
    save_boat(document, document.boat)
    assert read_boat(path).weight[0].mass == 51


def test_mark_and_line_ends_stay(path: Path) -> None:
    path.write_bytes(("\ufeff" + TEXT.replace("\n", "\r\n")).encode())
    document = read_document(path)
    boat = document.boat.model_copy(deep=True)
    boat.weight[0].mass_kg = 50
    boat.weight.append(Weight(id="chain", mass_kg=9, at_m=(5, 0, 0)))
    save_boat(document, boat)
    data = path.read_bytes()
    assert data.startswith(b"\xef\xbb\xbf# Stow")
    assert data.count(b"\n") == data.count(b"\r\n")
    assert read_boat(path) == boat


def test_another_programs_edit_is_not_overwritten(path: Path) -> None:
    document = read_document(path)
    boat = document.boat.model_copy(deep=True)
    boat.weight[0].mass_kg = 50
    # Same length and same time, so only the words themselves tell.
    path.write_bytes(TEXT.replace("Wheatear", "Whinchat").encode())
    os.utime(path, ns=(document.signature.mtime_ns, document.signature.mtime_ns))
    theirs = path.read_bytes()
    with pytest.raises(ChangedOnDisk, match="was changed by another program since it was read"):
        save_boat(document, boat)
    assert path.read_bytes() == theirs
    save_boat(document, boat, force=True)
    assert read_boat(path) == boat
    assert save.backup_of(path).read_bytes() == theirs


def test_a_file_taken_away_is_not_put_back_unasked(path: Path) -> None:
    document = read_document(path)
    path.unlink()
    assert document.changed_on_disk()
    with pytest.raises(ChangedOnDisk, match="removed"):
        save_boat(document, document.boat)
    assert not path.exists()
    save_boat(document, document.boat, force=True)
    assert path.read_text() == TEXT


def test_a_mere_touch_is_no_change(path: Path) -> None:
    document = read_document(path)
    os.utime(path, ns=(1, 1))
    assert not document.changed_on_disk()
    boat = document.boat.model_copy(deep=True)
    boat.boat.rig = "lug"
    save_boat(document, boat)


@pytest.mark.parametrize("fails", ["fsync", "replace", "link-and-copy"])
def test_a_failure_leaves_the_file_and_no_litter(path: Path, fails: str, monkeypatch: pytest.MonkeyPatch) -> None:
    document = read_document(path)
    boat = document.boat.model_copy(deep=True)
    boat.weight[0].mass_kg = 50

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        if fails == "fsync":
            patch.setattr(os, "fsync", full)
        elif fails == "replace":
            patch.setattr(Path, "replace", full)
        else:
            patch.setattr(os, "link", full)
            patch.setattr("shutil.copy2", full)
        with pytest.raises(BoatFileError, match="was not saved: the system refused: no space left on device"):
            save_boat(document, boat)
    assert path.read_text() == TEXT
    assert [p.name for p in path.parent.iterdir()] == ["wheatear.toml"]
    save_boat(document, boat)
    assert read_boat(path) == boat


def test_a_file_system_without_links_will_do(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_links(*_: object, **__: object) -> None:
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr(os, "link", no_links)
    document = read_document(path)
    boat = document.boat.model_copy(deep=True)
    boat.boat.rig = "lug"
    save_boat(document, boat)
    assert save.backup_of(path).read_text() == TEXT
    new = path.with_name("new.toml")
    create_new(new)
    with pytest.raises(AlreadyThere):
        create_new(new)


@pytest.mark.skipif(sys.platform == "win32", reason="rights and links are other things there")
def test_rights_are_kept_links_followed_and_read_only_respected(path: Path) -> None:
    link = path.parent / "link.toml"
    link.symlink_to(path.name)
    path.chmod(0o640)
    document = read_document(link)
    boat = document.boat.model_copy(deep=True)
    boat.boat.rig = "lug"
    document = save_boat(document, boat)
    assert link.is_symlink()
    assert read_boat(path) == boat
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    path.chmod(0o440)
    boat.boat.rig = "gaff"
    with pytest.raises(BoatFileError, match="is marked read-only"):
        save_boat(document, boat)


def test_a_boat_spoilt_behind_the_models_back_is_not_saved(path: Path) -> None:
    document = read_document(path)
    boat = document.boat.model_copy(deep=True)
    boat.weight.append(boat.weight[0])
    with pytest.raises(BoatFileError, match="cannot be saved: the weight id 'pigs' is used twice"):
        save_boat(document, boat)
    boat = document.boat.model_copy(deep=True)
    boat.scenario[0].load_factor.append(float("nan"))
    with pytest.raises(BoatFileError, match="cannot be saved: is nan"):
        save_boat(document, boat)
    assert path.read_text() == TEXT


def test_a_new_file_is_neat_and_takes_no_ones_place(path: Path) -> None:
    boat = parse_boat(TEXT)
    boat.weight[0].restraint[1].screws = Screws(gauge=8)
    new = path.with_name("copy.toml")
    save_boat(new, boat)
    assert read_boat(new) == boat
    assert new.read_text(encoding="utf-8").startswith("#:schema boat-file.schema.json\n# Weights stowed in the boat")
    with pytest.raises(AlreadyThere):
        save_boat(path, boat)
    assert path.read_text() == TEXT
    assert save_boat(path, boat, force=True).comments_kept
    assert "# launched in spring" in path.read_text()


@pytest.mark.parametrize("name", ["Sandpiper", 'Say "when"', "back\\slash", "חסידה", "@NAME@"])
def test_the_starter_reads_back(name: str) -> None:
    boat = parse_boat(new_boat_text(name))
    assert boat.boat.name == name
    assert {r.type for r in boat.weight[0].restraint} == {"bed", "cleat", "batten"}
    sample = [line[2:] for line in new_boat_text(name).splitlines() if line.startswith("# ")]
    taught = "\n".join(sample[sample.index("[[scenario]]") :])
    assert len(parse_boat(new_boat_text(name) + taught).scenario) == 1


def test_a_name_no_boat_can_have_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="must hold no control characters"):
        new_boat_text("a\x1bb")
    with pytest.raises(BoatFileError, match="must not be blank"):
        create_new(tmp_path / "x.toml", "")
    assert list(tmp_path.iterdir()) == []


def test_create_new_never_overwrites(tmp_path: Path) -> None:
    path = tmp_path / "reed-bunting.toml"
    document = create_new(path)
    assert document.boat.boat.name == "Reed bunting"
    assert not document.changed_on_disk()
    before = path.read_bytes()
    with pytest.raises(AlreadyThere, match="already a file of this name"):
        create_new(path)
    assert path.read_bytes() == before
    assert [p.name for p in tmp_path.iterdir()] == [path.name]
    with pytest.raises(BoatFileError, match="no such file or folder"):
        create_new(tmp_path / "nowhere" / "x.toml")


def test_a_layout_that_cannot_be_kept_is_written_afresh_and_said_so(tmp_path: Path) -> None:
    # The restraint stands apart from its weight, so the weights cannot change places as pieces of text.
    one, two = ('[[weight]]\nid = "a"\nmass_kg = 1\nat_m = [0, 0, 0]\n'.replace('"a"', n) for n in ('"a"', '"b"'))
    path = tmp_path / "odd.toml"
    path.write_text(f'{one}[boat] # hers\nname = "A"\n[[weight.restraint]]\ntype = "bed"\n{two}')
    document = read_document(path)
    boat = document.boat.model_copy(deep=True)
    boat.weight.reverse()
    saved = save_boat(document, boat)
    assert not saved.comments_kept
    assert read_boat(path) == boat
    assert "# hers" in save.backup_of(path).read_text()
