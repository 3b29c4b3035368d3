"""From the start of the program to what is seen, as ratios to an empty Textual app in the same run.

Run on request: pytest tests/speed/test_first_paint_speed.py --run-speed -s. Every figure is of a process of its own in
a terminal of its own (a pty of 120 by 40), from the moment the process is started to the moment the last byte of the
picture has come out of it; the two programs take turns. The empty app counts as painted when every cell of the screen
has been written once; this one only when its title, its headings, the keys at its foot and the boat's name are there
too.
"""

from __future__ import annotations

import contextlib
import os
import re
import select
import signal
import statistics
import struct
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from secure_load.boat.file import read_boat

pytestmark = [
    pytest.mark.speed,
    pytest.mark.skipif(sys.platform == "win32", reason="a pty is wanted"),
]

ROOT = Path(__file__).parents[2]
DEMOS = sorted((ROOT / "demo_boats").glob("*.toml"))
WIDE, HIGH = 120, 40
TURNS = 7
MOST = 1.5
"""First paint: no later than so many times that of an empty app."""
GIVE_UP_S = 20.0
_CONTROL = re.compile(rb"\x1b\[[0-9;?<>=]*[ -/]*[@-~]|\x1b[PX^_\]].*?(?:\x1b\\|\x07)|\x1b[()].|\x1b.|[\r\n]", re.DOTALL)
_VERDICT = re.compile(r"[GAR] (holds|doubtful|fails)")
_EMPTY = [sys.executable, "-c", "from textual.app import App; App().run()"]

Seen = Callable[[str], bool]


def whole(text: str) -> bool:
    """Every cell was written."""
    return len(text) >= WIDE * HIGH


def timed(words: list[str], marks: dict[str, Seen], home: Path) -> dict[str, float]:
    """Seconds from the start of a program until its output, without what steers the terminal, passes each mark."""
    import fcntl
    import pty
    import termios

    kept = {k: v for k, v in os.environ.items() if k not in ("COLUMNS", "LINES", "NO_COLOR", "PYTEST_CURRENT_TEST")}
    env = {**kept, "TERM": "xterm-256color", "COLORTERM": "truecolor", "XDG_STATE_HOME": str(home)}
    size = struct.pack("HHHH", HIGH, WIDE, 0, 0)
    begun = time.perf_counter()
    child, terminal = pty.fork()
    if child == 0:
        with contextlib.suppress(BaseException):
            fcntl.ioctl(0, termios.TIOCSWINSZ, size)
            os.chdir(ROOT)
            os.execve(words[0], words, env)
        os._exit(127)
    fcntl.ioctl(terminal, termios.TIOCSWINSZ, size)
    sent, found = b"", dict[str, float]()
    try:
        while len(found) < len(marks):
            if not select.select([terminal], [], [], GIVE_UP_S)[0]:
                break
            try:
                sent += os.read(terminal, 1 << 16)
            except OSError:
                break
            now = time.perf_counter() - begun
            text = _CONTROL.sub(b"", sent).decode("utf-8", "replace")
            for name, seen in marks.items():
                if name not in found and seen(text):
                    found[name] = now
    finally:
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        os.close(terminal)
    assert len(found) == len(marks), f"only {list(found)} of {list(marks)}:\n{text[-3000:]}"
    return found


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_first_paint_against_an_empty_app(tmp_path: Path, path: Path) -> None:
    boat = read_boat(path)
    frame = ("Weights", "Verdict", "Goes first", "F1 Help", "F3 Form", boat.boat.name, path.name)
    marks: dict[str, Seen] = {
        "first paint": lambda text: whole(text) and all(words in text for words in frame),
        "list shown": lambda text: boat.weight[0].title in text and boat.weight[1].title in text,
        "first verdict": lambda text: _VERDICT.search(text) is not None,
    }
    empty: list[float] = []
    ours: dict[str, list[float]] = {name: [] for name in marks}
    for _ in range(TURNS):
        empty.append(timed(_EMPTY, {"first paint": whole}, tmp_path)["first paint"])
        for name, took in timed([sys.executable, "-m", "secure_load", str(path)], marks, tmp_path).items():
            ours[name].append(took)
    # the best of several: whatever else the machine does can only make it slower
    print(f"\n{path.stem}: an empty app {_ms(min(empty))} (median {_ms(statistics.median(empty))})")  # noqa: T201  a benchmark is run to be read
    for name, took in ours.items():
        median = statistics.median(took)
        of_empty = f"{min(took) / min(empty):.2f} times (medians {median / statistics.median(empty):.2f})"
        print(f"  {name:<14} {_ms(min(took)):>8} (median {_ms(median)}), {of_empty}")  # noqa: T201
    assert min(ours["first paint"]) <= MOST * min(empty)


def _ms(seconds: float) -> str:
    return f"{1e3 * seconds:.0f} ms"
