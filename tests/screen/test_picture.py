"""The picture for the front page can always be made, and says what the check says."""

from __future__ import annotations

import html
from pathlib import Path

from .picture import picture


async def test_the_picture_shows_the_list_the_form_and_the_verdict(boat_file: Path) -> None:
    svg = html.unescape(await picture(boat_file, "pigs")).replace("\xa0", " ")
    for words in (
        "Dunlin",
        "Weights, as stowed",
        "Form: Pigs abaft the mast",
        "Verdict: Pigs abaft the mast",
        "R fails",
    ):
        assert words in svg
    assert "Timber" in svg  # the open restraint's fields
