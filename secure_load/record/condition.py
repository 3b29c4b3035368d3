"""In what condition she was when a record was made, and clauses of rules that her stowage is laid beside."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib import resources

from secure_load.boat.models import BoatFile, Weight
from secure_load.catalogue.errors import UnknownRow
from secure_load.catalogue.lookup import density
from secure_load.check.results import BoatVerdict, Colour, WeightVerdict
from secure_load.record.snapshot import Snapshot
from secure_load.record.text.text_layout import plain
from secure_load.record.text.words import mass

MET, NOT_MET, NOT_ASKED = "met", "not met", "not asked"
NOT_SAID = "not written down"
DISCLAIMER = "Laid beside these figures only: no certificate. Those who hold a rule decide on it."


@dataclass(frozen=True)
class Clause:
    """One clause of a rule, as a row of ``clauses.toml``."""

    id: str
    name: str
    of: list[str]
    scenarios: list[str]
    source: str


@cache
def clauses() -> tuple[Clause, ...]:
    """All of them, in the order of the file."""
    text = resources.files("secure_load.catalogue").joinpath("clauses.toml").read_text(encoding="utf-8")
    return tuple(Clause(**row) for row in tomllib.loads(text)["clause"])


def clause_rows(boat: BoatFile, verdict: BoatVerdict) -> list[tuple[Clause, str, str]]:
    """(clause, met or not met or not asked, why) for each clause.

    Met is only what holds in all the scenarios that show it with nothing left to ask; a doubtful weight does not meet
    a clause until its question is answered.
    """
    run = {s.id for s in verdict.scenarios}
    return [(clause, *_state(clause, boat, verdict, run)) for clause in clauses()]


def _state(clause: Clause, boat: BoatFile, verdict: BoatVerdict, run: set[str]) -> tuple[str, str]:
    found = {w.id: w for w in verdict.weights}
    meant = [w for w in boat.weight if not w.float_only and (not clause.of or w.kind in clause.of)]
    unknown = [w.id for w in boat.weight if w.kind is None and not w.float_only and clause.of]
    if unknown:
        return NOT_MET, f"not said what it is: {', '.join(map(plain, unknown))}"
    if not meant:
        return NOT_ASKED, "she has none"
    if not set(clause.scenarios) <= run:
        return NOT_ASKED, f"not run: {', '.join(s for s in clause.scenarios if s not in run)}"
    short = [w.id for w in meant if not _holds(found[w.id], clause)]
    return (NOT_MET, ", ".join(map(plain, short))) if short else (MET, f"all {len(meant)}")


def _holds(found: WeightVerdict, clause: Clause) -> bool:
    colours: dict[str, Colour] = {s.scenario: s.verdict for s in found.scenarios}
    return found.verdict == "green" and all(colours.get(s) == "green" for s in clause.scenarios or colours)


def condition_rows(shot: Snapshot) -> list[tuple[str, str]]:
    """Labels and words: who weighed and how, the water, freeboards, tanks, crew, and which file it was."""
    boat, data = shot.boat, shot.boat.float_
    weighed = sum(w.measured for w in boat.weight)
    rows = [
        ("Weighed", f"{weighed} of {len(boat.weight)} weights; by whom, on what: {boat.boat.weighed or NOT_SAID}"),
        ("Water", _water(None if data is None else data.water)),
    ]
    read = None if data is None else data.freeboards
    if read is None:
        rows.append(("Freeboards", NOT_SAID))
    else:
        sides = (("stem", read.stem_m), ("stern", read.stern_m), ("port", read.port_m), ("stbd", read.starboard_m))
        aboard = "with" if read.weights_aboard else "without"
        rows.append(("Freeboards", f"{', '.join(f'{at} {m:.3f} m' for at, m in sides)}; {aboard} these weights"))
    tanks = [w for w in boat.weight if w.tank is not None or w.kind == "tank"]
    rows.append(("Tanks", "; ".join(map(_tank, tanks)) or "none"))
    crew = [f"{w.title} {mass(w.mass)} kg" for w in boat.weight if w.float_only]
    rows.append(("Crew, stores", "; ".join(crew) or "none aboard"))
    digest = shot.sha256
    rows.append(("File SHA-256", f"{digest[:32]} {digest[32:]}" if digest else "changed since it was saved"))
    return [(label, plain(words)) for label, words in rows]


def _tank(weight: Weight) -> str:
    return f"{weight.title} {'fill not said' if weight.tank is None else f'{weight.tank.fill:.0%} full'}"


def _water(name: str | None) -> str:
    try:
        row = density(name or "sea-water")
    except UnknownRow:
        return name or NOT_SAID
    return f"{row.name}, {row.kg_m3:g} kg/m3{'' if name else ' (assumed)'}"
