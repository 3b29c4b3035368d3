"""Killed in the middle, without room, without permission, or two at once: no word of the owner's is lost."""

from __future__ import annotations

import html.parser
import json
import os
import random
import subprocess
import sys
import time
from pathlib import Path

import pytest

from secure_load.boat.file import read_boat, read_document
from secure_load.cli.main import main

ROOT = Path(__file__).resolve().parents[2]

SAVING = """
import sys
from secure_load.boat.file import read_document
from secure_load.boat.save import ChangedOnDisk, save_boat
path, times, two = sys.argv[1], int(sys.argv[2]), sys.argv[3] == "two"
document = read_document(path)
print("ready", flush=True)
saved = 0
for _ in range(times):
    if two:
        document = read_document(path)
    boat = document.boat.model_copy(deep=True)
    for weight in boat.weight:
        weight.mass_kg += 1
    try:
        document = save_boat(document, boat)
    except ChangedOnDisk:
        continue
    saved += 1
    print(boat.weight[0].mass_kg, flush=True)
print("saved", saved, flush=True)
"""


def saving(path: Path, times: int, how: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-P", "-c", SAVING, str(path), str(times), how],
        stdout=subprocess.PIPE,
        text=True,
        env=os.environ | {"PYTHONPATH": str(ROOT)},
    )


@pytest.mark.long
def test_killed_while_saving(boat, parts) -> None:
    path = boat(parts["head"] + parts["held"] + parts["loose"].replace("9.5", "20"))
    dice = random.Random(4)
    for _ in range(4):
        before = read_boat(path).weight[0].mass
        with saving(path, 10_000, "alone") as program:
            assert program.stdout is not None
            program.stdout.readline()
            time.sleep(dice.uniform(0.02, 0.2))
            program.kill()
            said = [float(line) for line in program.stdout.read().split()]
        masses = {w.mass for w in read_boat(path).weight}
        last = said[-1] if said else before
        # what it had said was saved is there, or the one it was at; and never some of each
        assert masses in ({last}, {last + 1})
    assert read_boat(path.with_name(path.name + ".bak")).weight[0].mass == min(masses) - 1
    rest = {p.name for p in path.parent.iterdir()} - {path.name, path.name + ".bak"}
    assert all(name.startswith(".") and name.endswith(".tmp") for name in rest)


@pytest.mark.skipif(sys.platform == "win32", reason="no lock on a folder there")
def test_of_two_programs_that_save_at_once_no_save_is_lost(boat, parts) -> None:
    path = boat(parts["head"] + parts["loose"])
    first = read_boat(path).weight[0].mass
    programs = [saving(path, 40, "two") for _ in range(2)]
    saved = [int(p.communicate(timeout=60)[0].split()[-1]) for p in programs]
    assert min(saved) > 0
    assert read_boat(path).weight[0].mass == first + sum(saved)


@pytest.mark.long
@pytest.mark.skipif(sys.platform == "win32", reason="no limit on the size of files there")
def test_no_room(boat, parts, tmp_path: Path) -> None:
    import resource

    path = boat(parts["head"] + parts["held"])
    table = tmp_path / "table.csv"
    assert main(["export", str(path), "--csv", str(table)]) == 0
    table.write_text(table.read_text(encoding="utf-8").replace("Pigs", "Sows"), encoding="utf-8")
    before, there = path.read_bytes(), sorted(p.name for p in tmp_path.iterdir())
    for words in (["import", path, table], ["record", path, "--out", tmp_path], ["export", path, "--csv", "new.csv"]):
        done = subprocess.run(
            [sys.executable, "-P", "-B", "-m", "secure_load", *map(str, words)],
            capture_output=True,
            text=True,
            cwd=tmp_path,
            env=os.environ | {"PYTHONPATH": str(ROOT)},
            preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (50, 50)),
            check=False,
        )
        assert done.returncode == 2
        assert done.stdout == ""
        assert done.stderr.count("\n") == 1
        assert "the system refused: file too large" in done.stderr
        assert path.read_bytes() == before
        assert sorted(p.name for p in tmp_path.iterdir()) == there


@pytest.mark.parametrize("command", ["export", "sheet"])
@pytest.mark.parametrize("force", [[], ["--force"]])
def test_a_table_never_takes_the_boat_files_place(boat, parts, capsys, command: str, force: list[str]) -> None:
    path = boat(parts["head"] + parts["held"])
    before = path.read_bytes()
    assert main([command, str(path), "--csv", str(path.parent / "." / path.name), *force]) == 2
    assert "is the boat file itself" in capsys.readouterr().err
    assert path.read_bytes() == before


def test_a_clock_set_back_hides_no_change(boat, parts) -> None:
    path = boat(parts["head"] + parts["loose"])
    document = read_document(path)
    os.utime(path, ns=(0, 0))
    assert not document.changed_on_disk()
    path.write_bytes(path.read_bytes().replace(b"Kedge", b"Kedje"))
    for seconds in (0, 4_000_000_000):
        os.utime(path, (seconds, seconds))
        assert document.changed_on_disk()


NAMES = ["../../../x", "..", "CON", "[red]x[/red]", "</style><script>x</script>", '"><img src=x onerror=y>', "🛶 חסידה"]


class _Page(html.parser.HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.words = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        assert not any(name.startswith("on") or name in ("src", "href") for name, _ in attrs)

    def handle_data(self, data: str) -> None:
        self.words += data


@pytest.mark.parametrize("name", NAMES)
def test_a_name_is_only_a_name(boat, parts, capsys, name: str) -> None:
    quoted = json.dumps(name, ensure_ascii=False)
    text = parts["head"].replace('"Whimbrel"', quoted) + parts["loose"].replace('"Kedge in the locker"', quoted)
    path = boat(text.replace('"kedge"', quoted).replace('type = "bed"', f'type = "bed"\nid = {quoted}'))
    before = path.read_bytes()
    assert main(["check", str(path)]) == 1
    assert "".join(name.split()) in "".join(capsys.readouterr().out.split())
    assert main(["check", str(path), "--json"]) == 1
    said = json.loads(capsys.readouterr().out)
    assert (said["boat"], said["weights"][0]["id"]) == (name, name)
    assert main(["record", str(path), "--by", name]) == 0
    records = path.with_name("whimbrel-records")
    assert sorted(p.name for p in path.parent.iterdir()) == ["whimbrel-records", "whimbrel.toml"]
    assert sorted(p.suffix for p in records.iterdir()) == [".csv", ".html", ".json", ".txt"]
    page = _Page()
    written = next(records.glob("*.html")).read_text(encoding="utf-8")
    page.feed(written)
    assert name in page.words
    assert page.tags.isdisjoint({"script", "img", "a", "b"})
    assert "<" not in name or name not in written
    assert path.read_bytes() == before
