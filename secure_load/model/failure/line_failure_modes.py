"""The parts of lashings, straps and ties in series: the line, its ends, a shackle in it, the eye, its fastenings.

Each carries the whole pull, so the weakest governs (CSS Code Annex 13, 4.4). Turns of line share it; a shackle and
an eye, through which all the turns go, do not.
"""

from __future__ import annotations

from secure_load.boat.models import Anchors, CableTie, Lashing, Screws, Strap
from secure_load.catalogue.lookup import bolt_of_diameter, factor, metal, termination
from secure_load.catalogue.lookup import line as line_row
from secure_load.catalogue.strengths import Service
from secure_load.model.failure.failure_mode import OWNER_GIVEN, FailureMode, total_mode
from secure_load.strength.fastenings import fastening
from secure_load.strength.gear import Gear, bare_line, eye_bolt_gear, line_gear, shackle_gear, tie_gear

_CALLED = {"rope": "line", "webbing": "line", "wire": "wire", "chain": "chain"}
_NOT_KNOWN = "the metal of the eye itself is not known and not checked"


def line_parts(line: Lashing | Strap, service: Service, assumed: bool) -> list[FailureMode]:
    """Line, ends, shackle and eye of a lashing or strap without gaps."""
    assert line.line is not None
    row = line_row(line.line)
    end = termination(line.termination or row.termination)
    called = _CALLED[row.kind]
    parts = [_in_turns(called, bare_line(line.line), line.turns, assumed)]
    if end.efficiency < 1.0:
        ending = f"{called} at its {end.name[0].lower()}{end.name[1:]}"
        parts.append(_in_turns(ending, line_gear(line.line, line.termination), line.turns, assumed))
    if line.shackle is not None:
        gear = shackle_gear(line.shackle)
        what = "turnbuckle" if gear.basis.startswith("Turnbuckle") else "shackle"
        parts.append(total_mode(what, gear.working, gear.breaking, gear.basis, gear.why, assumed))
    if line.anchors is not None:
        parts.extend(_anchor(line.anchors, service, assumed))
    return parts


def _in_turns(name: str, gear: Gear, turns: int, assumed: bool) -> FailureMode:
    working, breaking = gear.working * turns, gear.breaking * turns
    shared = f"{turns} parts: {working:.0f} N; break at {breaking:.0f} N"
    why = [*gear.why, shared] if turns > 1 else gear.why
    return total_mode(name, working, breaking, gear.basis, why, assumed)


def _anchor(anchors: Anchors, service: Service, assumed: bool) -> list[FailureMode]:
    """One eye: every end of a line carries the whole pull, and the eyes are alike."""
    if anchors.strength_N is not None:
        return [given_part("eye", anchors.strength_N)]
    if anchors.kind == "frame":
        return []
    assert anchors.screws is not None
    screws = eye_screws(anchors)
    each = fastening(screws, service)
    count = anchors.screws.count
    # which way the surface lies under the eye is not known: the weaker of sheared and drawn is taken
    strength = count * min(each.shear, each.pull)
    breaking = count * min(each.breaking_shear, each.breaking_pull)
    eye = "pad eye" if anchors.kind == "pad-eye" else "eye"
    bolted = anchors.kind == "through-bolt" or anchors.screws.kind == "bolt"
    parts = [
        total_mode(
            f"bolt of the {eye}" if bolted else f"screws of the {eye}",
            strength,
            breaking,
            each.basis,
            [
                *each.why,
                f"{count} to an eye, the weaker of sheared and drawn: {strength:.0f} N",
                *each.breaking_why,
                *([] if anchors.kind == "through-bolt" else [_NOT_KNOWN]),
            ],
            assumed,
        )
    ]
    if anchors.kind == "through-bolt":
        assert screws.metal is not None
        assert screws.diameter_mm is not None
        bolt, made_of = bolt_of_diameter(screws.diameter_mm), metal(screws.metal)
        gear = eye_bolt_gear(f"Eye of {bolt.name}, {made_of.name}", bolt.stress_area, made_of.fu)
        parts.append(
            total_mode("eye itself", gear.working * count, gear.breaking * count, gear.basis, gear.why, assumed)
        )
    return parts


def eye_screws(anchors: Anchors) -> Screws:
    """The fastenings of an eye; a through-bolt is a bolt whatever its screws were called."""
    assert anchors.screws is not None
    if anchors.kind == "through-bolt" and anchors.screws.kind != "bolt" and anchors.screws.diameter_mm is not None:
        return anchors.screws.model_copy(update={"kind": "bolt"})
    return anchors.screws


def tie_parts(tie: CableTie) -> list[FailureMode]:
    """The ties, side by side."""
    assert tie.tie is not None
    gear = tie_gear(tie.tie)
    working, breaking = gear.working * tie.count, gear.breaking * tie.count
    why = [*gear.why, f"{tie.count} of them: {working:.0f} N; break at {breaking:.0f} N"]
    return [total_mode("ties", working, breaking, gear.basis, why, assumed=True)]


def given_words(strength: float) -> list[str]:
    """Why a strength the owner gave is what it is, and what it is taken to break at."""
    safety = factor("css-safety-factor")
    return [
        f"{strength:.0f} N {OWNER_GIVEN}",
        f"breaks at {strength * safety:.0f} N: {safety:g} times what was given, an assumption (safety factor of "
        "the CSS Code, Annex 13, 6)",
    ]


def given_part(name: str, strength: float) -> FailureMode:
    """A part whose working strength the owner gave, N."""
    breaking = strength * factor("css-safety-factor")
    return total_mode(name, strength, breaking, "given", given_words(strength))
