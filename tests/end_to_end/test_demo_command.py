"""Demo boats written to a file of the owner's, and the functions a script calls."""

from __future__ import annotations

import zipfile
from pathlib import Path

import pytest

import secure_load
from secure_load.boat.demo import demo_boats
from secure_load.cli.main import main


def test_the_demo_boats_are_listed_and_written_out(capsys, tmp_path, monkeypatch) -> None:
    monkeypatch.chdir(tmp_path)
    assert main(["demo"]) == 0
    listed = capsys.readouterr().out.splitlines()
    assert [line.split()[0] for line in listed] == [path.stem for path in demo_boats()]
    assert main(["demo", "tansy_pod"]) == 0
    assert main(["demo", "tansy_pod", "mine.toml"]) == 0
    written = Path("tansy_pod.toml").read_bytes()
    assert written == Path("mine.toml").read_bytes()
    assert secure_load.read_boat("mine.toml").boat.name == "Tansy Pod"
    capsys.readouterr()
    Path("mine.toml").write_text("schema = 1", encoding="utf-8")
    assert main(["demo", "brindlewick", "mine.toml"]) == 2
    assert Path("mine.toml").read_text(encoding="utf-8") == "schema = 1"
    assert main(["demo", "tansy_pot"]) == 2
    assert "did you mean 'tansy_pod'?" in capsys.readouterr().err


@pytest.mark.long
def test_a_script_reads_checks_and_floats_a_boat() -> None:
    boat = secure_load.read_boat(next(path for path in demo_boats() if path.stem == "tansy_pod"))
    assert {w.id for w in secure_load.check_boat(boat).weights} == {w.id for w in boat.weight}
    assert secure_load.float_report(boat).after.displacement_kg > 0
    with pytest.raises(AttributeError):
        secure_load.no_such_thing  # noqa: B018  (looking it up is what is tested)


def test_a_wheel_holds_the_demo_boats(tmp_path: Path) -> None:
    hatchling = pytest.importorskip("hatchling.build", reason="the build tool is not installed here")
    name = hatchling.build_wheel(str(tmp_path))
    held = zipfile.ZipFile(tmp_path / name).namelist()
    assert {f"secure_load/demo_boats/{path.name}" for path in demo_boats()} <= set(held)
    assert "secure_load/py.typed" in held
