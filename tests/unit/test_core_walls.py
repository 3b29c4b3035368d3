"""The walls between the rooms, tested twice: by reading imports, and in a fresh interpreter.

screen, cli -> record, remedies -> check, afloat -> model -> solver, loads, strength -> catalogue, boat. The rooms below
the screen know no terminal: they import neither textual nor rich and never print.
"""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

import secure_load.boat

PACKAGE = Path(secure_load.boat.__file__).resolve().parent.parent
LEVEL = {
    "boat": 0,
    "catalogue": 0,
    "solver": 1,
    "strength": 1,
    "loads": 2,
    "model": 3,
    "check": 4,
    "afloat": 4,
    "remedies": 5,
    "record": 5,
}
"""A room may import its own level's and lower ones; ``screen`` and ``cli`` stand on top of all."""
ALOUD = {"print", "input"}


def modules(room: str) -> list[Path]:
    return sorted((PACKAGE / room).rglob("*.py"))


def dotted(path: Path) -> str:
    parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imported(path: Path) -> set[str]:
    """Full names of all that a module imports, wherever in it the import stands."""
    name = dotted(path)
    package = name.split(".") if path.name == "__init__.py" else name.split(".")[:-1]
    return imports_of(path.read_text(encoding="utf-8"), package)


def imports_of(source: str, package: list[str]) -> set[str]:
    """The same for the text of a module in a package."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = package[: len(package) - node.level + 1] if node.level else []
            stem = ".".join([*base, *(node.module.split(".") if node.module else [])])
            found.add(stem)
            found.update(f"{stem}.{alias.name}" for alias in node.names)
    return found


CORE = [path for room in LEVEL for path in modules(room)]
NAMES = [dotted(path) for path in CORE]


def test_there_are_rooms_to_look_at() -> None:
    rooms = {name.split(".")[1] for name in NAMES}
    assert set(LEVEL) == rooms


@pytest.mark.parametrize("path", CORE, ids=NAMES)
def test_core_knows_no_terminal(path: Path) -> None:
    for name in imported(path):
        assert name.split(".")[0] not in ("textual", "rich", "argparse", "curses"), name
        assert not name.startswith(("secure_load.screen", "secure_load.cli")), name


@pytest.mark.parametrize("path", CORE, ids=NAMES)
def test_imports_run_one_way(path: Path) -> None:
    own = LEVEL[dotted(path).split(".")[1]]
    for name in imported(path):
        parts = name.split(".")
        if parts[0] == "secure_load" and len(parts) > 1:
            assert parts[1] in LEVEL, f"{name} is no room of the core"
            assert LEVEL[parts[1]] <= own, f"{name} is above"


@pytest.mark.parametrize("path", CORE, ids=NAMES)
def test_core_is_silent(path: Path) -> None:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in ALOUD, f"line {node.lineno}"
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id == "sys":
            assert node.attr not in ("stdout", "stderr", "stdin", "exit"), f"line {node.lineno}"


def test_this_test_sees_imports() -> None:
    """A wall that sees nothing lets everything through."""
    source = "from ..screen import mend\nfrom . import store\ndef f():\n    import rich.table\n"
    assert imports_of(source, ["secure_load", "record"]) == {
        "secure_load.screen",
        "secure_load.screen.mend",
        "secure_load.record",
        "secure_load.record.store",
        "rich.table",
    }


def test_a_fresh_interpreter_loads_no_terminal() -> None:
    code = (
        "import importlib, sys\n"
        f"for name in {NAMES!r}: importlib.import_module(name)\n"
        "print(sorted(m for m in sys.modules if m.split('.')[0] in ('textual', 'rich')))\n"
        "print(sorted(m for m in sys.modules if m.startswith(('secure_load.screen', 'secure_load.cli'))))\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, timeout=60, cwd=PACKAGE.parent, check=False
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout == "[]\n[]\n"
