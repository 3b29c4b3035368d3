"""The owner's settings: read where they are sound, told where they are not."""

from __future__ import annotations

from pathlib import Path

import pytest

from secure_load.cli.config import Config, read_config


def test_without_a_file_everything_is_as_usual(tmp_path: Path) -> None:
    assert read_config(tmp_path / "config.toml") == Config()


def test_settings_are_read(tmp_path: Path) -> None:
    file = tmp_path / "config.toml"
    file.write_text('theme = "light"\nglyphs = "quadrant"\nstart = "form"\nby = "J. Smith, shipwright"\n')
    assert read_config(file) == Config("light", "quadrant", "form", "J. Smith, shipwright")


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('colour = "blue"', "there is no setting 'colour'"),
        ('theme = "pink"', "'theme' is 'pink', but must be dark or light"),
        ("by = 3", "must be text in quotes"),
        ('by = "a\\nb"', "on one line"),
        ("theme = ", "cannot be read"),
    ],
)
def test_what_is_wrong_is_told_in_a_sentence_and_the_rest_holds(tmp_path: Path, text: str, said: str) -> None:
    file = tmp_path / "config.toml"
    file.write_text(f'start = "form"\n{text}\n')
    found = read_config(file)
    assert said in found.problem
    assert found.start == ("table" if "cannot be read" in said else "form")
    assert found.theme == "dark"
