"""One weight's trouble costs only itself: its own answer is red with the reason, and the others' answers stand."""

from __future__ import annotations

import json
import logging
import re
from pathlib import Path

import pytest

from secure_load.boat.file import read_boat
from secure_load.check import check
from secure_load.check import failure_order as failure
from secure_load.check.check import check_boat
from secure_load.check.context import CheckContext, GroupSolution, make_context
from secure_load.cli.main import main
from secure_load.remedies import with_remedies

OTHER = """
[[weight]]
id = "anvil"
kind = "ballast"
mass_kg = 12.0
at_m = [2.00, 0.00, -0.30]
size_m = [0.20, 0.10, 0.10]
measured = true
"""


def spoilt(text: str, key: str, bad: str) -> str:
    """A boat's text with a name in her hold-down that is in no table."""
    before, after = text.split('id = "hold-down"')
    return before + 'id = "hold-down"' + re.sub(rf'{key} *= *"[^"]+"', f'{key} = "{bad}"', after, count=1)


UNCHECKED = {"timber": ("oka-white", "oak-white"), "metal": ("silicon-bronse", "silicon-bronze")}
"""A key; a name that is in no table; and a name near it that is said."""


@pytest.fixture
def two(boat, parts) -> Path:
    return boat(parts["head"] + parts["held"] + OTHER)


@pytest.mark.parametrize("what", UNCHECKED)
def test_an_unknown_name_costs_its_own_weight(boat, parts, capsys, what: str) -> None:
    bad, near = UNCHECKED[what]
    text = parts["head"] + parts["held"] + OTHER
    sound = check_boat(read_boat(boat(text)), ["knocked-flat"])
    text = spoilt(text, what, bad)
    line = 1 + next(n for n, words in enumerate(text.splitlines()) if bad in words)
    path = boat(text)
    assert main(["check", str(path), "--scenario", "knocked-flat", "--json"]) == 1
    out, err = capsys.readouterr()
    for word in (f"line {line},", "pigs", "hold-down", bad, near):
        assert word in err
    assert err.count("\n") == 1
    pigs, anvil = json.loads(out)["weights"]
    assert pigs["verdict"] == "red"
    assert pigs["reasons"][0].startswith("cannot be checked: ")
    assert (pigs["utilisation"], pigs["free_to_move"], pigs["worst"]) == (None, False, None)
    assert anvil == json.loads(sound.weights[1].model_dump_json())


def test_the_page_and_the_record_of_such_a_boat(boat, parts, capsys, tmp_path: Path) -> None:
    path = boat(spoilt(parts["head"] + parts["held"] + OTHER, "timber", "oka-white"))
    assert main(["check", str(path), "--scenario", "knocked-flat", "--mend"]) == 1
    out = capsys.readouterr().out
    assert "R fails  1 Pigs amidships" in out
    assert "cannot be checked: hold-down: no timber 'oka-white'" in " ".join(out.split())
    assert main(["record", str(path), "--out", str(tmp_path / "kept")]) == 0
    (text,) = (tmp_path / "kept").glob("*.txt")
    assert "cannot be checked" in text.read_text(encoding="utf-8")


def test_a_fault_of_the_program_in_one_weight(two: Path, monkeypatch: pytest.MonkeyPatch, caplog) -> None:
    boat = read_boat(two)
    sound = check_boat(boat, ["knocked-flat"])
    solved = CheckContext.solved

    def broken(self: CheckContext, weight) -> GroupSolution:
        if weight.id == "pigs":
            raise ZeroDivisionError("by nothing")
        return solved(self, weight)

    monkeypatch.setattr(CheckContext, "solved", broken)
    with caplog.at_level(logging.WARNING, "secure_load"):
        found = check_boat(boat, ["knocked-flat"])
    pigs, anvil = found.weights
    assert pigs.verdict == "red"
    assert "ZeroDivisionError: by nothing" in pigs.reasons[0]
    assert anvil == sound.weights[1]
    assert found.verdict == "red"
    assert found.scenarios[0].verdict == "red"
    (logged,) = caplog.records
    assert logged.exc_info is not None
    assert logged.exc_info[0] is ZeroDivisionError
    pigs, _ = with_remedies(found, make_context(boat, ["knocked-flat"])).weights
    assert pigs.remedies[0].kind == "none"


def test_the_same_where_the_work_is_shared_out(two: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    boat = read_boat(two)
    boat = boat.model_copy(
        update={"weight": [boat.weight[0], *(boat.weight[1].model_copy(update={"id": f"anvil-{n}"}) for n in range(4))]}
    )

    def broken(*_: object) -> None:
        raise ZeroDivisionError("by nothing")

    failed: list[str] = []
    monkeypatch.setattr(check, "judge", broken)
    found = check_boat(boat, ["knocked-flat"], copy=True, failed=lambda weight, _: failed.append(weight.id))
    assert {w.verdict for w in found.weights} == {"red"}
    assert failed == [w.id for w in boat.weight]


def test_an_order_of_failure_that_fails_costs_only_itself(two: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    boat = read_boat(two)
    sound = check_boat(boat, ["knocked-flat"])

    def broken(*_: object) -> None:
        raise ValueError("no order")

    monkeypatch.setattr(failure, "breaking_order", broken)
    found = check_boat(boat, ["knocked-flat"])
    pigs = found.weights[0]
    assert pigs.order_of_failure == []
    assert any("what gives way in which order could not be worked out" in w for w in pigs.warnings)
    assert (pigs.verdict, pigs.utilisation) == (sound.weights[0].verdict, sound.weights[0].utilisation)


def test_remedies_that_fail_cost_only_themselves(two: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    boat = read_boat(two)
    found = check_boat(boat, ["knocked-flat"])

    def broken(*_: object, **__: object) -> None:
        raise ValueError("no remedy")

    monkeypatch.setattr("secure_load.remedies.proposals.proposals", broken)
    for weight in with_remedies(found, make_context(boat, ["knocked-flat"])).weights:
        if weight.verdict != "green":
            (only,) = weight.remedies
            assert "No proposal could be worked out" in only.change
            assert only.kind == "none"


def test_a_scenario_for_no_weight_of_hers(two: Path, capsys) -> None:
    assert main(["check", str(two), "--scenario", "battery-pull", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["verdict"] == "amber"
    for weight in found["weights"]:
        assert weight["verdict"] == "amber"
        assert weight["reasons"] == ["not run: no scenario asked for is meant for a weight of its kind (ballast)"]
        assert (weight["utilisation"], weight["worst"], weight["scenarios"]) == (None, None, [])
    assert main(["check", str(two), "--scenario", "battery-pull", "--mend"]) == 0
    assert "not run" in capsys.readouterr().out


def test_a_scenario_for_one_of_her_weights(boat, parts, capsys) -> None:
    path = boat(parts["head"] + parts["held"] + OTHER.replace('"ballast"', '"battery"'))
    assert main(["check", str(path), "--scenario", "battery-pull", "--json"]) == 1
    pigs, anvil = json.loads(capsys.readouterr().out)["weights"]
    assert pigs["unchecked"].startswith("not run")
    assert (anvil["verdict"], anvil["free_to_move"], anvil["unchecked"]) == ("red", True, None)


def test_debug_names_a_log_with_the_traceback(boat, parts, capsys, monkeypatch, tmp_path: Path) -> None:
    monkeypatch.setattr("secure_load.cli.log.user_log_dir", lambda *_, **__: str(tmp_path / "logs"))
    path = boat(spoilt(parts["head"] + parts["held"] + OTHER, "timber", "oka-white"))
    assert main(["check", str(path), "--scenario", "knocked-flat", "--debug"]) == 1
    err = capsys.readouterr().err
    (log,) = (tmp_path / "logs").iterdir()
    assert str(log) in err
    assert "Traceback" in log.read_text(encoding="utf-8")
    assert "oka-white" in log.read_text(encoding="utf-8")
    assert "Traceback" not in err
