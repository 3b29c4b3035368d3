"""The first sight of a boat is painted before anything heavy is loaded: held in a fresh interpreter, and by reading."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

import secure_load
from secure_load.screen.opening.peek import name_at_a_glance

ROOT = Path(secure_load.__file__).parent.parent
HEAVY = {"numpy", "pydantic", "pydantic_core", "scipy", "tomlkit"}
ROOMS = ("boat", "catalogue", "strength", "solver", "loads", "model", "check", "remedies", "afloat", "record")


def loaded_by(code: str) -> set[str]:
    words = [sys.executable, "-c", f"{code}\nimport sys; print(*sys.modules)"]
    return set(subprocess.run(words, capture_output=True, text=True, check=True, cwd=ROOT).stdout.split())


@pytest.mark.parametrize("code", ["import secure_load.screen.app.app", "import secure_load.cli.main"])
def test_nothing_heavy_is_loaded_for_the_first_paint(code: str) -> None:
    found = loaded_by(code)
    assert "secure_load" in found
    assert not found & HEAVY
    assert not [m for m in found if m.startswith(tuple(f"secure_load.{room}" for room in ROOMS))]


def test_the_opening_screen_makes_its_frame_with_no_more() -> None:
    """What is imported inside functions counts too: the frame is composed and painted, and only then is any loaded."""
    code = """
import asyncio, sys
from pathlib import Path
from secure_load.screen.app.app import SecureLoadApp
from secure_load.screen.opening.screen import OpeningScreen
seen = []
OpeningScreen._read = lambda self: seen.append(set(sys.modules))
async def main():
    async with SecureLoadApp(Path("demo_boats/tansy_pod.toml")).run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        text = "\\n".join("".join(s.text for s in strip) for strip in pilot.app.screen._compositor.render_strips())
        for words in ("Tansy Pod", "reading", "verdict", "? Help"):
            assert words in text, (words, text)
    assert len(seen) == 1
    sys.modules = {name: None for name in seen[0]}
asyncio.run(main())
"""
    found = loaded_by(code)
    assert "secure_load.screen.opening.screen" in found
    assert not found & HEAVY
    assert not [m for m in found if m.startswith(tuple(f"secure_load.{room}" for room in ROOMS))]


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ('[boat]\nname = "Dunlin"\n', "Dunlin"),
        ('\ufeff# hers\n[boat]\nname = "Dunlin"\n\n[[weight]]\nid = "pig"\n', "Dunlin"),
        ('boat = { name = "Dunlin" }\n[[weight]]\nname = "not she"\n', "Dunlin"),
        ('[boat]\nname = "Dunlin"\n[[weight]]\nthis is no TOML', "Dunlin"),
        ('# hers\n[[weight]]\nid = "pig"\n[boat]\nname = "Dunlin"\n', None),  # told only when all of it is read
        ("[boat]\nname = 3\n", None),
        ("boat = 3\n", None),
        ("[boat\nname =", None),
        ("", None),
    ],
)
def test_a_name_at_a_glance(tmp_path: Path, text: str, name: str | None) -> None:
    path = tmp_path / "dunlin.toml"
    path.write_text(text, encoding="utf-8")
    assert name_at_a_glance(path) == name


def test_what_cannot_be_glanced_at_is_no_fault(tmp_path: Path) -> None:
    assert name_at_a_glance(tmp_path / "none.toml") is None
    assert name_at_a_glance(tmp_path) is None
    (tmp_path / "bytes.toml").write_bytes(b'[boat]\nname = "\xff"\n')
    assert name_at_a_glance(tmp_path / "bytes.toml") is None
    (tmp_path / "long.toml").write_text("#" * 50_000 + '\n[boat]\nname = "Dunlin"\n', encoding="utf-8")
    assert name_at_a_glance(tmp_path / "long.toml") is None
