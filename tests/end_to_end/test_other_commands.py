"""``record``, ``list``, ``new``, help, and the way into the form."""

from __future__ import annotations

import json
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

from secure_load.catalogue import LISTINGS
from secure_load.cli.main import main

ROOT = Path(__file__).resolve().parents[2]


def test_record_writes_numbered_files(program, boat, parts, tmp_path: Path) -> None:
    path = boat(parts["head"], parts["held"])
    out = tmp_path / "records" / "deep"
    for number in (1, 2):
        done = program("record", path, "--out", out)
        assert done.returncode == 0, done.stderr
        said = Path(done.stdout.decode().strip())
        assert said == out / f"whimbrel-stowage-{number:04d}.txt"
        assert said.is_file()
        assert b"whimbrel-stowage" in done.stderr
    assert {p.suffix for p in out.iterdir()} == {".txt", ".html", ".json", ".csv"}
    first, second = sorted(out.glob("*.txt"))
    assert first.read_bytes() == second.read_bytes()
    assert "Whimbrel" in first.read_text(encoding="utf-8")
    assert path.name in first.read_text(encoding="utf-8")


def test_record_is_written_of_a_red_boat_too(boat, parts, tmp_path: Path, capsys) -> None:
    assert main(["record", str(boat(parts["head"], parts["loose"])), "--out", str(tmp_path)]) == 0
    written = Path(capsys.readouterr().out.strip())
    assert "R fails" in written.read_text(encoding="utf-8")


def test_record_into_a_file_is_refused(boat, parts, capsys) -> None:
    path = boat(parts["head"], parts["held"])
    assert main(["record", str(path), "--out", str(path)]) == 2
    assert "is a file, not a folder" in capsys.readouterr().err


@pytest.mark.parametrize("what", ["scenarios", *LISTINGS])
def test_each_row_of_a_list_has_its_source(capsys, what: str) -> None:
    assert main(["list", what, "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)[what]
    assert rows
    assert all(row["source"] for row in rows)
    assert main(["list", what]) == 0
    said = capsys.readouterr().out
    flat = " ".join(said.split())
    for row in rows:
        assert row["id"] in said, row["id"]
        assert " ".join(row["source"].split()) in flat, row["source"]
    assert max(map(len, said.splitlines())) <= 80


def test_rows_not_checked_in_print_say_so(capsys) -> None:
    assert main(["list", "lines", "--json"]) == 0
    rows = {row["id"]: row["mark"] for row in json.loads(capsys.readouterr().out)["lines"]}
    assert main(["list", "lines"]) == 0
    shown = {line.split()[0]: line for line in capsys.readouterr().out.splitlines() if line.strip()}
    unchecked = [i for i, mark in rows.items() if mark == "not checked in print"]
    assert unchecked
    assert all("(n)" in shown[i].split("[")[1] for i in unchecked)


def test_new_starts_a_file_that_can_be_checked(program, tmp_path: Path) -> None:
    path = tmp_path / "little-grebe.toml"
    assert program("new", path).returncode == 0
    assert tomllib.loads(path.read_text(encoding="utf-8"))["boat"]["name"] == "Little grebe"
    assert program("check", path).returncode in (0, 1)
    before = path.read_bytes()
    again = program("new", path)
    assert again.returncode == 2
    assert b"already" in again.stderr
    assert path.read_bytes() == before


@pytest.mark.parametrize("words", [["--help"], ["check", "--help"], ["list", "--help"], ["--version"]])
def test_help_is_no_error(capsys, words: list[str]) -> None:
    assert main(words) == 0
    out, err = capsys.readouterr()
    assert "secure-load" in out
    assert err == ""


def test_the_form_needs_a_terminal(program, boat, parts) -> None:
    done = program(boat(parts["head"]))
    assert done.returncode == 2
    assert b"needs a terminal" in done.stderr


@pytest.mark.parametrize(
    ("words", "kept_out"),
    [
        (["--help"], ("numpy", "pydantic", "rich", "textual", "tomlkit")),
        (["list", "timbers"], ("textual", "tomlkit", "secure_load.boat.models")),
        (["list", "scenarios", "--json"], ("textual", "tomlkit", "rich")),
        (["new", "{tmp}/x.toml"], ("textual", "tomlkit", "numpy")),
        (["check", "{boat}"], ("textual", "tomlkit")),
        (["check", "{boat}", "--json"], ("textual", "tomlkit", "rich")),
        (["record", "{boat}", "--out", "{tmp}"], ("textual", "tomlkit", "rich")),
    ],
)
def test_only_what_is_needed_is_loaded(
    boat, parts, tmp_path: Path, words: list[str], kept_out: tuple[str, ...]
) -> None:
    path = boat(parts["head"], parts["held"])
    filled = [w.format(boat=path, tmp=tmp_path) for w in words]
    code = (
        "import sys; from secure_load.cli.main import main; "
        f"code = main({filled!r}); print(code, [m for m in {kept_out!r} if m in sys.modules], file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, timeout=60, cwd=ROOT, check=False)
    assert done.stderr.decode().splitlines()[-1] == "0 []"
