"""``secure-load check`` in a process of its own: exit codes, JSON, colour, width, pipes."""

from __future__ import annotations

import json
import math
import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from secure_load.cli.main import main

ROOT = Path(__file__).resolve().parents[2]
RED = ["held", "loose"]


@pytest.mark.long
@pytest.mark.parametrize(
    ("names", "strict", "expected"),
    [
        (["held"], False, 0),
        (["held"], True, 0),
        (["doubtful"], False, 0),
        (["doubtful"], True, 1),
        (RED, False, 1),
        ([], False, 0),
    ],
)
def test_exit_code(program, boat, parts, names: list[str], strict: bool, expected: int) -> None:
    path = boat(parts["head"], *(parts[n] for n in names))
    before = path.read_bytes()
    done = program("check", path, *(["--strict"] if strict else []))
    assert done.returncode == expected, done.stderr
    assert done.stderr == b""
    assert path.read_bytes() == before
    assert [each.name for each in path.parent.iterdir()] == [path.name]


def test_scenarios_asked_for_are_the_ones_run(program, boat, parts) -> None:
    path = boat(parts["head"], parts["held"])
    done = program("check", path, "--json", "--scenario", "knocked-flat", "--scenario", "on-the-trailer")
    found = json.loads(done.stdout)
    assert [s["id"] for s in found["scenarios"]] == ["knocked-flat", "on-the-trailer"]


NUMBER = (int, float)
NONE = type(None)
WEIGHT_KEYS: dict[str, tuple[type, ...]] = {
    "id": (str,),
    "mass_kg": NUMBER,
    "verdict": (str,),
    "reasons": (list,),
    "utilisation": (*NUMBER, NONE),
    "free_to_move": (bool,),
    "moves": (str, NONE),
    "worst": (dict,),
    "first_to_go": (dict, NONE),
    "restraints": (list,),
    "second_path": (bool,),
    "holds_to_heel_deg": (dict,),
    "holds_g": (dict,),
    "if_loose": (dict,),
}
INNER: dict[str, dict[str, tuple[type, ...]]] = {
    "worst": {
        "scenario": (str,),
        "heel_deg": NUMBER,
        "pitch_deg": NUMBER,
        "load_factor": NUMBER,
        "demand_N": (list,),
    },
    "first_to_go": {
        "restraint": (str,),
        "part": (str,),
        "demand_N": NUMBER,
        "strength_N": (*NUMBER, NONE),
        "basis": (str,),
    },
    "holds_to_heel_deg": {"port": (*NUMBER, NONE), "starboard": (*NUMBER, NONE)},
    "holds_g": {
        **dict.fromkeys(("down", "up", "port", "starboard", "fore", "aft", "weakest"), (*NUMBER, NONE)),
        "weakest_direction": (str,),
    },
    "if_loose": {"fall_m": NUMBER, "energy_J": NUMBER, "plank_absorbs_J": (*NUMBER, NONE)},
}


def check_types(table: dict, keys: dict[str, tuple[type, ...]]) -> None:
    for key, types in keys.items():
        assert key in table, key
        assert type(table[key]) in types, (key, table[key])


@pytest.mark.long
def test_json_keeps_its_contract(program, boat, parts) -> None:
    path = boat(parts["head"], *(parts[n] for n in RED))
    done = program("check", path, "--json", PYTHONIOENCODING="ascii")

    def no_constant(word: str) -> None:
        pytest.fail(f"{word} is no JSON")

    found = json.loads(done.stdout.decode("utf-8"), parse_constant=no_constant)
    check_types(
        found, {"boat": (str,), "scenarios": (list,), "verdict": (str,), "cautions": (list,), "weights": (list,)}
    )
    assert found["boat"] == "Whimbrel"
    assert found["verdict"] == "red"
    assert all(isinstance(c, str) for c in found["cautions"])
    assert len(found["cautions"]) >= 3
    assert [w["id"] for w in found["weights"]] == ["pigs", "kedge"]
    for weight in found["weights"]:
        check_types(weight, WEIGHT_KEYS)
        for name, keys in INNER.items():
            if weight[name] is not None:
                check_types(weight[name], keys)
        assert weight["verdict"] in ("green", "amber", "red")
        assert len(weight["worst"]["demand_N"]) == 3
        assert weight["reasons"]
        for restraint in weight["restraints"]:
            check_types(
                restraint,
                {
                    "id": (str,),
                    "utilisation": NUMBER,
                    "part": (str,),
                    "demand_N": NUMBER,
                    "strength_N": (*NUMBER, NONE),
                },
            )
    held, loose = found["weights"]
    assert held["utilisation"] > 0
    assert not held["free_to_move"]
    assert held["moves"] is None
    assert loose["utilisation"] is None
    assert loose["free_to_move"]
    assert loose["moves"]
    assert math.isclose(loose["mass_kg"], 9.5)
    # the person's table says the same
    said = program("check", path).stdout.decode()
    assert f"{100 * held['utilisation']:.0f} %" in said


@pytest.mark.long
def test_piped_text_is_plain_and_80_wide(program, boat, parts) -> None:
    path = boat(parts["head"], *(parts[n] for n in RED))
    for variables in ({}, {"NO_COLOR": "1", "TERM": "dumb"}):
        said = program("check", path, **variables).stdout.decode("utf-8")
        assert "\x1b" not in said
        assert max(map(len, said.splitlines())) <= 80
        for needed in ("G holds", "R fails", "Pigs amidships", "Kedge in the locker", "free to move", "Indicative"):
            assert needed in said
        assert said.splitlines()[0].startswith("R fails  Whimbrel (")
        assert "1 of 2 weights fails, 1 holds." in " ".join(said.splitlines()[:2])


@pytest.mark.parametrize("width", [30, 44, 64, 120])
def test_any_width(boat, parts, capsys, monkeypatch, width: int) -> None:
    monkeypatch.setenv("COLUMNS", str(width))
    assert main(["check", str(boat(parts["head"], *(parts[n] for n in RED)))]) == 1
    said = capsys.readouterr().out
    assert max(map(len, said.splitlines())) <= width
    assert "R fails" in said
    assert "Kedge" in said


@pytest.mark.long
@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "cp437"])
def test_a_poor_encoding_loses_no_word(program, boat, parts, encoding: str) -> None:
    path = boat(parts["head"], parts["held"].replace("Pigs amidships", "Pigs – 漣 Ørn"))
    done = program("check", path, PYTHONIOENCODING=encoding, PYTHONUTF8="0")
    assert done.returncode == 0, done.stderr
    said = done.stdout.decode(encoding)
    assert "G holds" in said
    # the dash has a plainer one, the sign has none; both are known before the columns are measured
    assert "Pigs - \\u6f23" in said


def test_markup_in_a_name_is_shown_as_written(boat, parts, capsys, monkeypatch) -> None:
    monkeypatch.setenv("COLUMNS", "140")
    name = "[red]Pigs[/red] [/] [bold"
    path = boat(parts["head"].replace("Whimbrel", "[link=x]Whim"), parts["held"].replace("Pigs amidships", name))
    assert main(["check", str(path)]) == 0
    said = capsys.readouterr().out
    assert name in said
    assert "[link=x]Whim" in said


def test_marks_that_hide_are_made_visible(boat, parts, capsys, monkeypatch) -> None:
    monkeypatch.setenv("COLUMNS", "140")
    # U+200B takes no room and U+200F turns letters round; neither is refused in a file
    path = boat(parts["head"], parts["held"].replace("Pigs amidships", "Pi\u200bgs\u200f"))
    assert main(["check", str(path)]) == 0
    said = capsys.readouterr().out
    assert "\u200b" not in said
    assert "\u200f" not in said
    assert "Pi\\u200bgs\\u200f" in said


needs_posix = pytest.mark.skipif(os.name != "posix", reason="pipes, terminals and signals of POSIX")


@pytest.mark.long
@needs_posix
@pytest.mark.parametrize(("names", "expected"), [(["held"], 0), (RED, 1)])
@pytest.mark.parametrize("extra", [[], ["--json"]])
def test_a_pipe_that_is_closed_early_is_quiet_and_keeps_the_verdict(
    boat, parts, extra: list[str], names: list[str], expected: int
) -> None:
    path = boat(parts["head"], *(parts[n] for n in names))
    reading, writing = os.pipe()
    os.close(reading)
    with os.fdopen(writing, "wb") as stream:
        done = subprocess.run(
            [sys.executable, "-m", "secure_load", "check", str(path), *extra],
            stdout=stream,
            stderr=subprocess.PIPE,
            cwd=ROOT,
            timeout=60,
            check=False,
        )
    assert done.stderr == b""
    assert done.returncode == expected


@pytest.mark.long
@needs_posix
def test_a_full_disk_is_an_error(boat, parts) -> None:
    full = Path("/dev/full")
    if not full.exists():
        pytest.skip("no /dev/full here")
    path = boat(parts["head"], *(parts[n] for n in RED))
    with full.open("wb") as stream:
        done = subprocess.run(
            [sys.executable, "-m", "secure_load", "check", str(path)],
            stdout=stream,
            stderr=subprocess.PIPE,
            cwd=ROOT,
            timeout=60,
            check=False,
        )
    assert done.returncode == 2
    assert b"could not be written" in done.stderr


def on_a_terminal(words: list[str], interrupt_at: bytes | None = None, **variables: str) -> tuple[int, str]:
    """Exit code, and what a terminal of 100 columns is sent; Ctrl-C is pressed once something is seen on it."""
    import fcntl
    import pty
    import struct
    import termios

    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 30, 100, 0, 0))
    kept = {k: v for k, v in os.environ.items() if k not in ("COLUMNS", "LINES", "NO_COLOR", "FORCE_COLOR")}
    work = subprocess.Popen(
        # the bar comes at once: how long the work takes is not to the point here
        [
            sys.executable,
            "-c",
            # and where the tests run in the background, an interrupt would be ignored
            "import signal; signal.signal(signal.SIGINT, signal.default_int_handler); "
            f"from secure_load.cli import main as cli; cli._BAR_AFTER_S = -1; cli.sys.exit(cli.main({words!r}))",
        ],
        stdin=theirs,
        stdout=theirs,
        stderr=theirs,
        cwd=ROOT,
        env=kept | {"TERM": "xterm-256color"} | variables,
    )
    os.close(theirs)
    sent = b""
    pressed = False
    while True:
        try:
            piece = os.read(ours, 65536)
        except OSError:  # Linux says so when the other end is closed
            break
        if not piece:
            break
        sent += piece
        if interrupt_at is not None and interrupt_at in sent and not pressed:
            pressed = True
            work.send_signal(signal.SIGINT)
    code = work.wait(timeout=60)
    os.close(ours)
    return code, sent.decode("utf-8")


@pytest.mark.long
@needs_posix
def test_interrupt_says_stopped_without_a_traceback(boat, parts) -> None:
    code, sent = on_a_terminal(["check", str(boat(parts["head"], fleet(parts, 1000)))], interrupt_at=b"checking")
    assert code == 130
    assert sent.rstrip().endswith("stopped")
    assert "Traceback" not in sent
    assert "Whimbrel" not in sent


def fleet(parts: dict[str, str], count: int) -> str:
    """Many weights, for work that takes a while."""
    # far enough apart not to lie in one place
    return "".join(
        parts["held"].replace('id = "pigs"', f'id = "pigs-{n}"').replace("at_m = [3.00", f"at_m = [{1.0 + 0.5 * n:.2f}")
        for n in range(count)
    )


@pytest.mark.long
@needs_posix
def test_a_terminal_gets_colour_unless_it_asks_for_none(boat, parts) -> None:
    path = boat(parts["head"], *(parts[n] for n in RED))
    _, coloured = on_a_terminal(["check", str(path)])
    assert "\x1b[1;31mR fails" in coloured
    assert "\x1b[1;32mG holds" in coloured
    _, plain = on_a_terminal(["check", str(path)], NO_COLOR="1")
    assert "R fails" in plain
    assert not any(f"3{digit}m" in plain for digit in range(8))


@pytest.mark.long
@needs_posix
def test_long_work_shows_a_bar_and_takes_it_away(boat, parts) -> None:
    code, sent = on_a_terminal(["check", str(boat(parts["head"], fleet(parts, 3))), "--json"])
    assert code == 0
    assert "checking" in sent
    assert "/3" in sent
    # the last thing done to the bar's line is to erase it, and then there is the JSON and nothing else
    rest = sent[sent.rindex("checking") :]
    assert "\x1b[2K" in rest
    assert len(json.loads(rest[rest.index("{") :])["weights"]) == 3
