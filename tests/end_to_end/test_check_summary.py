"""What ``check`` prints: the verdict first, nothing of what holds, and all figures only where they are asked for."""

from __future__ import annotations

from pathlib import Path

import pytest

from secure_load.cli.main import main

from .test_check import RED

DEMO = Path(__file__).parents[2] / "demo_boats" / "brindlewick.toml"


def printed(capsys: pytest.CaptureFixture[str], *words: str) -> list[str]:
    assert main(["check", *words]) in (0, 1)
    return capsys.readouterr().out.splitlines()


@pytest.mark.long
def test_twelve_weights_take_fewer_than_sixty_lines_of_eighty_columns(capsys, monkeypatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    lines = printed(capsys, str(DEMO))
    assert len(lines) < 60
    assert max(map(len, lines)) <= 80
    assert lines[0].startswith("R fails  Brindlewick")
    # a weight that holds has its line of the table and no more
    holding = [line.split("%")[1].split(maxsplit=1)[1].strip() for line in lines if " G holds " in line]
    assert holding
    for title in holding:
        assert sum(title[:20] in line for line in lines) == 1
    assert any(line.startswith("Indicative only") for line in lines)
    readme = (DEMO.parents[1] / "README.md").read_text(encoding="utf-8")
    shown = readme.split("<!-- printed -->\n```text\n")[1].split("\n```")[0].splitlines()
    assert set(shown) <= {line.rstrip() for line in lines}


def test_weights_of_which_the_same_is_to_be_said_are_told_once(boat, parts, capsys) -> None:
    loose = parts[RED[1]]
    name = loose.split('id = "')[1].split('"')[0]
    other = loose.replace(f'id = "{name}"', f'id = "{name}-2"').replace("at_m = [", "at_m = [1.5, 0.5, 0.5]#[")
    lines = printed(capsys, str(boat(parts["head"], loose, other)))
    told = [line for line in lines if line.startswith("R fails  1, 2 ")]
    assert told == ["R fails  1, 2 Kedge in the locker and 1 other alike"]


@pytest.mark.long
def test_figures_and_sources_are_told_of_the_weights_asked_about(boat, parts, capsys) -> None:
    path = str(boat(parts["head"], *(parts[n] for n in RED)))
    brief, one = printed(capsys, path), printed(capsys, path, "--why", "pigs")
    assert not any("NDS" in line for line in brief)
    assert any("NDS" in line for line in one)
    assert not any("Kedge" in line for line in one)
    every, whole = printed(capsys, path, "--why"), printed(capsys, path, "--all")
    assert any("Kedge" in line for line in every)
    assert set(every) <= set(whole)
    assert any(line == "Scenarios" for line in whole)
    assert main(["check", path, "--why", "pigz"]) == 2
    assert "did you mean 'pigs'?" in capsys.readouterr().err
