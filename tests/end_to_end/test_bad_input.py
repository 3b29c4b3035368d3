"""Bad input gets one clear sentence, exit code 2, and the file stays as it was."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from secure_load.cli.main import main


def change(old: str, new: str):
    """A boat in which one thing was changed; it must have been there."""

    def apply(text: str) -> str:
        assert old in text
        return text.replace(old, new, 1)

    return apply


BAD = {
    "wrong type": (change("mass_kg = 20.0", 'mass_kg = "20"'), ["line 14", "mass_kg", "pigs"]),
    "missing key": (change("at_m = [3.00, 0.00, -0.30]\n", ""), ["at_m", "pigs"]),
    "unknown key": (change("measured = true", "mesured = true"), ["line 17", "mesured", "measured"]),
    "unknown timber of the planking": (change("larch-western", "larch-westren"), ["line 7", "larch-western"]),
    "negative mass": (change("mass_kg = 20.0", "mass_kg = -20.0"), ["line 14", "mass_kg"]),
    "nan": (change("mass_kg = 20.0", "mass_kg = nan"), ["line 14", "mass_kg", "nan"]),
    "inf": (change("[3.00, 0.00, -0.30]", "[3.00, inf, -0.30]"), ["line 15", "at_m"]),
    "duplicate id": (lambda t: t + t[t.index("[[weight]]") :], ["pigs", "twice"]),
    "escape codes in a name": (change("Pigs amidships", "\\u001b[31mPigs"), ["line 12", "name", "control"]),
    "a name turned round": (change("Pigs amidships", "Pigs\u202egnp"), ["line 12", "name", "U+202E"]),
    "no TOML": (lambda t: t + "what is this", ["line"]),
    "nothing at all": (lambda t: "", ["boat"]),
}


@pytest.mark.parametrize("what", BAD)
def test_one_clear_sentence(boat, parts, capsys, what: str) -> None:
    spoil, needed = BAD[what]
    path: Path = boat(spoil(parts["head"] + parts["held"]))
    before = path.read_bytes()
    assert main(["check", str(path)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert err.startswith(f"secure-load: {path.name}")
    assert err.count("\n") == 1
    assert err.rstrip("\n").isprintable()
    assert "fault in this program" not in err
    for word in needed:
        assert word in err, err
    assert path.read_bytes() == before


@pytest.mark.parametrize("what", BAD)
def test_the_same_as_json(boat, parts, capsys, what: str) -> None:
    path = boat(BAD[what][0](parts["head"] + parts["held"]))
    assert main(["check", str(path), "--json"]) == 2
    out, err = capsys.readouterr()
    said = json.loads(out)
    assert set(said) == {"error"}
    assert err == f"secure-load: {said['error']}\n"


@pytest.mark.parametrize(
    ("data", "needed"),
    [
        (b"#" * 10_000_000, "larger than"),
        (b"\x7fELF\x02\x01\x01\x00\x00\xff\xfe", "not text"),
        (b"schema = 1\n\0", "not a text file"),
    ],
    ids=["10 MB", "binary", "zero byte"],
)
def test_what_is_no_boat_file(program, boat, data: bytes, needed: str) -> None:
    path = boat(data)
    done = program("check", path)
    assert done.returncode == 2
    assert done.stdout == b""
    assert needed in done.stderr.decode()
    assert done.stderr.count(b"\n") == 1
    assert path.read_bytes() == data


@pytest.mark.parametrize("command", [["check"], ["record", "--out", "x"], []])
def test_a_file_that_is_not_there(program, tmp_path: Path, command: list[str]) -> None:
    done = program(*command[:1], tmp_path / "none.toml", *command[1:], cwd=tmp_path)
    assert done.returncode == 2
    assert done.stderr.count(b"\n") == 1
    assert list(tmp_path.iterdir()) == []
    if command:
        assert b"no such file" in done.stderr


def test_a_folder(capsys, tmp_path: Path) -> None:
    assert main(["check", str(tmp_path)]) == 2
    assert "folder" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "needed"),
    [
        (["check"], "FILE"),
        (["check", "a", "b"], "b"),
        (["check", "a", "--scenari", "x"], "--scenari"),
        (["chek", "a.toml"], "did you mean 'check'?"),
        (["list", "tmbers"], "did you mean 'timbers'?"),
        (["list"], "WHAT"),
        (["record", "a.toml", "--out"], "--out"),
        (["export", "a.toml"], "--csv"),
        (["compare", "a.toml", "0"], "no number of a record"),
        (["inspect", "a.toml", "--date", "2031-02-30"], "no such day"),
        (["record", "a.toml", "--by", " "], "blank"),
        (["insepct", "a.toml"], "did you mean 'inspect'?"),
        (["--nonsense"], "--nonsense"),
        (["check", "a", "\x1b[31mb"], "\\x1b[31mb"),
    ],
)
def test_words_that_make_no_command(capsys, words: list[str], needed: str) -> None:
    assert main(words) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert needed in err
    assert err.count("\n") == 1
    assert main([*words, "--json"]) == 2
    out, err = capsys.readouterr()
    assert needed in json.loads(out)["error"]


def test_an_unknown_scenario_names_a_near_one(boat, parts, capsys) -> None:
    path = boat(parts["head"], parts["held"])
    assert main(["check", str(path), "--scenario", "knoked-flat"]) == 2
    err = capsys.readouterr().err
    assert "did you mean 'knocked-flat'" in err
    assert path.name in err


def test_a_fault_of_the_program_is_no_verdict(boat, parts, capsys, monkeypatch) -> None:
    def broken(*_: object, **__: object) -> None:
        raise ZeroDivisionError("oh")

    monkeypatch.setattr("secure_load.cli.check_command.check_boat", broken)
    assert main(["check", str(boat(parts["head"], parts["held"]))]) == 2
    err = capsys.readouterr().err
    assert "a fault in this program, not in your file: ZeroDivisionError: oh at test_bad_input.py" in err


@pytest.mark.parametrize("name", ["naïve 漣.toml", "two  spaces.toml", "[bold]x.toml"])
def test_odd_file_names(program, boat, parts, name: str) -> None:
    done = program("check", boat(parts["head"], parts["held"], name=name))
    assert done.returncode == 0, done.stderr
    assert name in done.stdout.decode("utf-8")
