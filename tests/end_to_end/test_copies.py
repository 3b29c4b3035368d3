"""A check that is shared out over copies of the program says to the letter what one program says."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

DEMO = Path(__file__).parents[2] / "demo_boats" / "tansy_pod.toml"
ASK = """
import sys
from secure_load.boat.file import read_boat
from secure_load.check import check
from secure_load.check import pool
boat = read_boat(sys.argv[1])
shared = pool.can_fork(len(boat.weight))
found = [check.check_boat(boat, ["knocked-flat"], copy=copy).model_dump_json() for copy in (True, False)]
print(shared, found[0] == found[1], len(found[0]) > 1000)
"""


@pytest.mark.long
@pytest.mark.skipif(sys.platform != "linux", reason="a program is copied on Linux only")
def test_copies_say_what_one_program_says() -> None:
    done = subprocess.run(
        [sys.executable, "-c", ASK, str(DEMO)], capture_output=True, text=True, timeout=120, check=True
    )
    assert done.stdout.split()[1:] == ["True", "True"]


@pytest.mark.skipif(sys.platform != "linux", reason="a program is copied on Linux only")
def test_what_a_copy_stumbles_over_is_told_in_its_own_words(tmp_path: Path) -> None:
    text = DEMO.read_text(encoding="utf-8").replace('timber = "', 'timber = "no-such-', 1)
    boat = tmp_path / "pod.toml"
    boat.write_text(text, encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-m", "secure_load", "check", str(boat)],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 2
    assert "no-such-" in done.stderr
    assert "line " in done.stderr
    assert "Traceback" not in done.stderr


FALL_BACK = """
import os, sys
from secure_load.boat.file import read_boat
from secure_load.check import check
boat = read_boat(sys.argv[1])
one = check.check_boat(boat, ["knocked-flat"])
check.can_fork = lambda groups: True
if sys.argv[2] == "killed":
    work = check._pool_worker
    check._pool_worker = worker = lambda group: os._exit(9) if group[0] == 3 else work(group)
    worker.__qualname__ = worker.__name__ = "_pool_worker"
    worker.__module__ = check.__name__
else:
    def no_pool():
        raise OSError(38, "Function not implemented")
    check.forked_pool = no_pool
seen = []
found = check.check_boat(boat, ["knocked-flat"], progress=lambda done, whole, _: seen.append((done, whole)), copy=True)
print(found == one, seen == [(n, len(boat.weight)) for n in range(len(boat.weight) + 1)])
"""


@pytest.mark.long
@pytest.mark.skipif(sys.platform != "linux", reason="a program is copied on Linux only")
@pytest.mark.parametrize("trouble", ["killed", "no shared memory"])
def test_the_check_goes_on_in_one_process(trouble: str) -> None:
    done = subprocess.run(
        [sys.executable, "-c", FALL_BACK, str(DEMO), trouble], capture_output=True, text=True, timeout=120, check=False
    )
    assert done.stdout.split() == ["True", "True"], done.stderr
