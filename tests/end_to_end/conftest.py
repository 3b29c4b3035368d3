"""Boats of invented names, and the program run as a person runs it: in a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.boats import head, larch

ROOT = Path(__file__).resolve().parents[2]

HEAD = head("Whimbrel", lwl_m=6.10, bwl_m=1.95, planking=larch(18, 180, "larch-western"), bilge="wet")


INTO = 'into="oak-white", member="keel", metal="A4"'


def cleat(face: str, length_mm: int) -> str:
    """A stout cleat against one side."""
    return f"""
[[weight.restraint]]
id = "{face}-cleat"
type = "cleat"
face = "{face}"
timber = "oak-white"
length_mm = {length_mm}
height_mm = 50
depth_mm = 60
screws = {{ kind="coach-screw", diameter_mm=8, count=4, penetration_mm=60, washer_mm=24, {INTO} }}
"""


# every way stopped by something stout, so that nothing is worked hard
HELD = (
    """
[[weight]]
id = "pigs"
name = "Pigs amidships"
kind = "ballast"
mass_kg = 20.0
at_m = [3.00, 0.00, -0.30]
size_m = [0.40, 0.20, 0.12]
measured = true

[[weight.restraint]]
id = "bed"
type = "bed"
on = "floors"
friction = 0.2

[[weight.restraint]]
id = "hold-down"
type = "batten"
timber = "oak-white"
span_mm = 300
width_mm = 60
depth_mm = 25
"""
    f'screws = {{ kind="coach-screw", diameter_mm=8, count=4, penetration_mm=50, washer_mm=24, {INTO} }}\n'
    + cleat("port", 300)
    + cleat("starboard", 300)
    + cleat("fore", 180)
    + cleat("aft", 180)
)

# the same, but borne by the planking, which is a doubt and no failure
DOUBTFUL = HELD.replace('on = "floors"', 'on = "planking"')

LOOSE = """
[[weight]]
id = "kedge"
name = "Kedge in the locker"
kind = "anchor"
mass_kg = 9.5
at_m = [5.20, 0.40, 0.10]

[[weight.restraint]]
type = "bed"
"""


@pytest.fixture
def boat(tmp_path: Path) -> Callable[..., Path]:
    """Writes a boat file and gives its path."""

    def write(*parts: str | bytes, name: str = "whimbrel.toml") -> Path:
        path = tmp_path / name
        path.write_bytes(b"".join(p if isinstance(p, bytes) else p.encode("utf-8") for p in parts))
        return path

    return write


Run = Callable[..., "subprocess.CompletedProcess[bytes]"]


@pytest.fixture(scope="session")
def program() -> Run:
    """Runs ``python -m secure_load`` with words, and variables of the environment, in a folder."""

    def run(*words: str | Path, cwd: Path | None = None, **variables: str) -> subprocess.CompletedProcess[bytes]:
        kept = {k: v for k, v in os.environ.items() if k not in ("COLUMNS", "NO_COLOR", "FORCE_COLOR", "TERM")}
        # -P and PYTHONPATH: the program under test, and not whatever stands in the folder it is run from
        return subprocess.run(
            [sys.executable, "-P", "-m", "secure_load", *map(str, words)],
            capture_output=True,
            timeout=60,
            cwd=cwd,
            stdin=subprocess.DEVNULL,
            env=kept | {"PYTHONPATH": str(ROOT)} | variables,
            check=False,
        )

    return run


@pytest.fixture(scope="session")
def parts() -> dict[str, str]:
    """Pieces of boat files by name."""
    return {"head": HEAD, "held": HELD, "doubtful": DOUBTFUL, "loose": LOOSE}
