"""Files made to choke the reader are refused in one sentence, soon, and without a word on standard error."""

from __future__ import annotations

import sys
import time

import pytest

from secure_load.boat.file import BoatFileError, parse_boat

HEAD = '[boat]\nname = "A"\n'
WEIGHT = '[[weight]]\nid = "a"\nmass_kg = 1\nat_m = [0, 0, 0]\n'

CHOKING = {
    "a key of thousands of parts": (HEAD + ".".join("a" * 3000) + " = 1", "more than 16 parts"),
    # the square of this many would not fit into any memory
    "a key of very many parts": (HEAD + ".".join("a" * 200_000) + " = 1", "more than 16 parts"),
    "a heading of thousands of parts": (HEAD + "[" + ".".join("b" * 3000) + "]\nx = 1", "more than 16 parts"),
    "a long key in an inline table": (HEAD + "x = { " + ".".join("'b'" for _ in range(3000)) + " = 1 }", "16 parts"),
    "lists in lists": (HEAD + "x = " + "[" * 5000 + "]" * 5000, "too deep"),
    "tables in tables": (HEAD + "x = " + "{ a = " * 5000 + "1" + " }" * 5000, "too deep"),
    "digits": (HEAD + "lwl_m = " + "9" * 5000, "number too long"),
    # Python reads it, and fails to write it out in decimals
    "hexadecimal digits": (HEAD + "lwl_m = 0x" + "f" * 6000, "line 3: has a number too long"),
    "binary digits": (HEAD + "lwl_m = 0b" + "1" * 20_000, "line 3: has a number too long"),
    "unknown keys": (HEAD + "".join(f"k{n} = 1\n" for n in range(15_000)), "and 14999 more"),
    "weights without a word": (HEAD + "[[weight]]\n" * 10_000, "line 3, weight 1, key 'id': is missing"),
    "one id over and over": (HEAD + WEIGHT * 5000, "used twice"),
}


@pytest.mark.parametrize("what", CHOKING)
def test_a_file_made_to_choke_the_reader(what: str, capsys: pytest.CaptureFixture[str], monkeypatch) -> None:
    unraisable: list[object] = []
    monkeypatch.setattr(sys, "unraisablehook", unraisable.append)
    text, needed = CHOKING[what]
    began = time.perf_counter()
    with pytest.raises(BoatFileError) as refused:
        parse_boat(text, "choking.toml")
    # a few tenths of a second here; where the work grew with the square of the size it was minutes
    assert time.perf_counter() - began < 10
    assert needed in refused.value.message
    assert refused.value.message.isprintable()
    assert len(refused.value.message) < 500
    assert unraisable == []
    assert capsys.readouterr() == ("", "")


def test_words_with_dots_and_figures_are_still_words() -> None:
    words = "see, " + ".".join("a" * 16) + " and 0x" + "f" * 150
    text = HEAD + WEIGHT + f"photos = [{words[:190]!r}]\n"
    assert parse_boat(text).weight[0].photos == [words[:190]]
