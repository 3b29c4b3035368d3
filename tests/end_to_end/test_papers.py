"""``record``, ``compare``, ``inspect``, ``sheet``, ``export`` and ``import``, as a person runs them."""

from __future__ import annotations

import json
import threading
from pathlib import Path

import pytest

from secure_load.cli.main import main


def test_a_season_of_records(boat, parts, capsys) -> None:
    """Recorded, changed, compared; found wanting, compared again; the records stand as they were."""
    path = boat(parts["head"], "# hers\n", parts["held"])
    assert main(["compare", str(path)]) == 2
    assert "no record" in capsys.readouterr().err
    assert main(["record", str(path), "--by", "A. Wright"]) == 0
    text = Path(capsys.readouterr().out.strip())
    assert text == path.with_name("whimbrel-records") / "whimbrel-stowage-0001.txt"
    assert "Made by        A. Wright" in text.read_text(encoding="utf-8")
    kept = {p: p.read_bytes() for p in text.parent.iterdir()}
    assert main(["compare", str(path)]) == 0
    assert "Nothing differs." in capsys.readouterr().out
    finding = 'id = "port-cleat"\n[[weight.restraint.finding]]\ndate = 2031-04-05\nnote = "gone soft"\nfactor = 0.0\n'
    words = path.read_text(encoding="utf-8")
    start = words.index('id = "port-cleat"')
    end = words.index("[[weight", start)
    found = finding.split("\n", 1)[1]
    path.write_text(words[:end] + found + "\n" + words[end:], encoding="utf-8")
    assert main(["check", str(path), "--why", "pigs"]) == 1
    assert "gone soft" in capsys.readouterr().out
    assert main(["record", str(path)]) == 0
    capsys.readouterr()
    assert main(["compare", str(path), "1", "2", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert [(v["id"], v["before"], v["after"]) for v in told["verdicts"]] == [("pigs", "green", "red")]
    assert [r["what"] for r in told["restraints"]] == ["found"]
    assert main(["compare", str(path), "3"]) == 2
    assert "no record 3; there is 1, 2" in capsys.readouterr().err
    assert all(p.read_bytes() == data for p, data in kept.items())
    (text.parent / "whimbrel-stowage-0001.json").write_text("{}", encoding="utf-8")
    assert main(["compare", str(path), "1"]) == 2
    assert "is not a stowage record" in capsys.readouterr().err


@pytest.mark.long
def test_two_writers_at_once_lose_nothing(boat, parts, program, tmp_path: Path) -> None:
    path = boat(parts["head"], parts["loose"])
    done: list[int] = []
    out = tmp_path / "out"

    def write() -> None:
        done.append(program("record", path, "--out", out).returncode)

    threads = [threading.Thread(target=write) for _ in range(2)]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    assert done == [0, 0]
    assert sorted(p.name for p in out.iterdir()) == [
        f"whimbrel-stowage-{n:04d}.{ending}" for n in (1, 2) for ending in ("csv", "html", "json", "txt")
    ]


def test_a_table_goes_out_and_comes_back(boat, parts, tmp_path: Path, capsys) -> None:
    path = boat(parts["head"], "# her pigs\n", parts["held"])
    before = path.read_bytes()
    table = tmp_path / "weights.csv"
    assert main(["export", str(path), "--csv", str(table)]) == 0
    assert main(["export", str(path), "--csv", str(table)]) == 2
    assert "is there already" in capsys.readouterr().err
    assert main(["import", str(path), str(table)]) == 0
    assert "0 added, 0 changed, 1 as before" in capsys.readouterr().out
    assert path.read_bytes() == before
    table.write_text(table.read_text(encoding="utf-8").replace("20.0", "21.5"), encoding="utf-8")
    assert main(["import", str(path), str(table), "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == {"added": [], "changed": ["pigs"], "alike": 0}
    assert path.read_bytes() == before.replace(b"mass_kg = 20.0", b"mass_kg = 21.5").replace(
        b"schema = 1", b"schema = 2"
    )
    changed = path.read_bytes()
    table.write_text("id,mass [kg]\npigs,3\npigs2,heavy\n", encoding="utf-8")
    assert main(["import", str(path), str(table)]) == 2
    said = capsys.readouterr().err
    assert "weights.csv, row 3, column 'mass': is 'heavy'" in said
    assert "nothing was taken in" in said
    table.write_bytes(b"id,name\npigs,\xff\n")
    assert main(["import", str(path), str(table)]) == 2
    assert "row 2: is not text in UTF-8" in capsys.readouterr().err
    assert main(["import", str(path), str(tmp_path)]) == 2
    assert main(["import", str(path), str(tmp_path / "none.csv"), "--json"]) == 2
    assert "no such file" in json.loads(capsys.readouterr().out)["error"]
    assert path.read_bytes() == changed


def test_inspect_and_sheet(boat, parts, tmp_path: Path, capsys) -> None:
    path = boat(parts["head"], parts["held"], parts["loose"])
    assert main(["inspect", str(path), "--date", "2031-04-05"]) == 0
    said = capsys.readouterr().out
    assert "due now: no inspection" in " ".join(said.split())
    assert "2031-04-05" in said
    assert main(["inspect", str(path), "--json", "--date", "2031-04-05"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["due"]["now"] is True
    assert [w["id"] for w in told["weights"]] == ["kedge", "pigs"]  # nothing holds the kedge
    assert main(["sheet", str(path)]) == 0
    assert "18 (16 and spare) x coach screws" in " ".join(capsys.readouterr().out.split())
    table = tmp_path / "sheet.csv"
    assert main(["sheet", str(path), "--csv", str(table)]) == 0
    assert table.read_bytes().startswith(b"list,what,material,size,")
    capsys.readouterr()
    assert main(["sheet", str(path), "--csv", "-"]) == 0
    assert capsys.readouterr().out.splitlines()[1].startswith("cut,")
