"""Completion and the manual page, made from the command line's own description."""

from __future__ import annotations

import shutil
import subprocess

import pytest

from secure_load.cli.main import COMMANDS, main


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_completion_knows_every_command_and_the_shell_takes_it(shell: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["completion", shell]) == 0
    script = capsys.readouterr().out
    for command in COMMANDS:
        assert command in script
    assert "--strict" in script or "-l strict" in script
    assert "timbers" in script
    if shutil.which(shell):
        flag = "--no-execute" if shell == "fish" else "-n"
        subprocess.run([shell, flag], input=script, text=True, check=True)


@pytest.mark.skipif(shutil.which("bash") is None, reason="no bash here")
def test_bash_completes_a_command_and_an_option(capsys: pytest.CaptureFixture[str]) -> None:
    main(["completion", "bash"])
    script = capsys.readouterr().out
    ask = "COMP_WORDS=(secure-load {}); COMP_CWORD={}; _secure_load; echo ${{COMPREPLY[@]}}"
    for words, place, answer in (("comp", 1, "compare"), ("check --stri", 2, "--strict")):
        done = subprocess.run(
            ["bash"], input=f"{script}\n{ask.format(words, place)}", text=True, capture_output=True, check=True
        )
        assert answer in done.stdout.split()


def test_the_manual_names_every_command_and_key(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["manual"]) == 0
    page = capsys.readouterr().out
    assert page.startswith(".TH SECURE-LOAD 1")
    for command in COMMANDS:
        assert f".B {command}" in page
    assert "config.toml" in page
    assert "What would bring the weight to green" in page
    if shutil.which("groff"):
        done = subprocess.run(
            ["groff", "-k", "-man", "-Tutf8", "-ww"], input=page, text=True, capture_output=True, check=True
        )
        assert not done.stderr
