"""The picture for the front page can always be made, and says what the check says."""

from __future__ import annotations

import html
import re
from pathlib import Path

import pytest

from .picture import picture


async def test_the_picture_shows_the_table_the_verdict_and_the_form(boat_file: Path) -> None:
    svg = html.unescape(await picture(boat_file, "pigs")).replace("\xa0", " ")
    for words in (
        "Dunlin",
        "1 Pigs abaft the mast",
        "FAILS 2",
        "Section at 3.60 m",
        "R fails",
    ):
        assert words in svg
    assert "Timber" in svg  # the open restraint's fields


def words_of(svg: str) -> list[str]:
    """Every text in a picture, in its order."""
    return [html.unescape(each).replace("\xa0", " ") for each in re.findall(r"<text [^>]*>([^<]*)</text>", svg)]


@pytest.mark.long
async def test_the_picture_on_the_front_page_is_of_the_program_as_it_is() -> None:
    root = Path(__file__).parents[2]
    front = (root / "tests/screen/pictures/main-120x40.svg").read_text(encoding="utf-8")
    made = await picture(root / "demo_boats" / "brindlewick.toml", "service-battery")
    assert words_of(front), "there are no words in it"
    assert words_of(made) == words_of(front), "make it anew: the command is in DEVELOPERS.md"
