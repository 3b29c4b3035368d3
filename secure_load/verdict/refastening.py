"""More, deeper, larger screws in cleats and battens as they stand: a ladder of ``changes``."""

from __future__ import annotations

from secure_load.boat.models import Batten, BoatFile, Cleat, Screws, Weight
from secure_load.catalogue.lookup import metal, wood_screws
from secure_load.catalogue.strengths import Service
from secure_load.strength.fastenings import fastening
from secure_load.verdict.changes import DEEPEST_MM, MM, Change, Ladder, in_planking, with_pieces
from secure_load.verdict.screw_room import (
    LONGEST_MM,
    MOST_SCREWS,
    WASHER_DIAMETERS,
    at_an_end,
    diameter,
    give,
    known,
    row_of_screws,
    thickest_screw,
)
from secure_load.verdict.work_of_change import jobs_between, minutes, named

HARDER = "A4-70"
"""Metal to go to where the screws themselves give."""


def _fastenings_for(was: Screws, widest: float, boat: BoatFile) -> list[Screws]:
    """Screws that could stand in place of some: deeper, larger, and coach screws; count left as it is."""
    fixed = in_planking(was, boat)
    found: list[Screws] = [was]
    if was.metal is not None and metal(was.metal).fu_MPa < metal(HARDER).fu_MPa:
        found.append(was.model_copy(update={"metal": HARDER}))
    for gauge, d in [(r.gauge, r.d_mm) for r in wood_screws().values() if r.gauge is not None and r.gauge <= 16]:
        if was.kind != "wood-screw" or d > max(widest, diameter(was)) or d < diameter(was) - 0.01:
            continue
        deepest = min(DEEPEST_MM, 10.0 * d // 5 * 5)
        for depth in _depths(was, deepest, fixed):
            update = {"kind": "wood-screw", "gauge": gauge, "diameter_mm": None, "penetration_mm": depth}
            found.append(was.model_copy(update=update))
    for d in (6.0, 8.0, 10.0, 12.0):
        if was.kind == "bolt" or d < diameter(was) - 0.01 or d > max(widest, diameter(was)):
            continue
        made_of = "galvanised-steel" if was.metal in ("brass", "copper") else was.metal
        found.extend(
            was.model_copy(
                update={
                    "kind": "coach-screw",
                    "gauge": None,
                    "diameter_mm": d,
                    "penetration_mm": depth,
                    "metal": made_of,
                    "washer_mm": max(was.washer_mm or 0.0, WASHER_DIAMETERS * d),
                }
            )
            for depth in _depths(was, DEEPEST_MM, fixed)
        )
    return found


def _depths(was: Screws, deepest: float, fixed: bool) -> list[float]:
    now = was.penetration_mm
    if now is None:
        return []
    return [now] if fixed else [now, *(d for d in (40.0, 50.0, 60.0) if now < d <= deepest)]


def refastened(weight: Weight, names: list[str], boat: BoatFile, service: Service) -> Ladder:
    """More, deeper, larger screws in the cleats or battens as they are. Empty where a screw is not known."""
    have = named(weight)
    pieces = {n: r for n in names if isinstance(r := have[n], Cleat | Batten) and r.strength_N is None}
    if not pieces or not all(known(p.screws) and p.timber for p in pieces.values()):
        return []
    # the stoutest there are: none is to be given thinner or shorter ones than it has
    held = [p.screws for p in pieces.values() if p.screws is not None]
    first = max(held, key=lambda s: (diameter(s), s.penetration_mm or 0.0))
    options: list[tuple[float, int, Weight]] = []
    widest = min(thickest_screw(_breadth(p)) for p in pieces.values())
    for screws in _fastenings_for(first, widest, boat):
        for step in range(MOST_SCREWS):
            changed = _with_screws(pieces, screws, step)
            if changed is None:
                break
            new = with_pieces(weight, dict(changed))
            if new != weight and not any(_too_long(piece) for piece in changed.values()):
                how = max(_piece_give(p, service) for p in changed.values())
                options.append((how, minutes(jobs_between(weight, new)), new))
    best: list[tuple[float, int, Weight]] = []
    for option in sorted(options, key=lambda o: o[:2]):
        if not best or option[1] < best[-1][1]:
            best.append(option)
    return [Change("more or larger screws", w) for _, _, w in best[::-1]]


def _too_long(piece: Cleat | Batten) -> bool:
    """True where no such fastening is to be had: as long as the piece is high and the screw goes deep."""
    assert piece.screws is not None
    through = piece.height_mm if isinstance(piece, Cleat) else piece.depth_mm
    return (through or 0.0) + (piece.screws.penetration_mm or 0.0) > LONGEST_MM[piece.screws.kind]


def _breadth(piece: Cleat | Batten) -> float:
    return (piece.depth_mm if isinstance(piece, Cleat) else piece.width_mm) or 0.0


def _with_screws(pieces: dict[str, Cleat | Batten], screws: Screws, step: int) -> dict[str, Cleat | Batten] | None:
    """Pieces with other screws and so many steps more of them; None where there is no room for them."""
    result: dict[str, Cleat | Batten] = {}
    d = diameter(screws)
    for name, piece in pieces.items():
        assert piece.screws is not None
        if isinstance(piece, Cleat):
            count = piece.screws.count + step
            room = min(row_of_screws(piece.length_mm or 0.0, d), MOST_SCREWS)
        else:
            count = piece.screws.count + 2 * step
            room = 2 * at_an_end(piece.width_mm or 0.0, d)
        same = diameter(piece.screws) == d
        if count > room and not (same and step == 0):
            return None
        own = screws.model_copy(update={"count": count, "into": piece.screws.into})
        result[name] = piece.model_copy(update={"screws": own})
    return result


def _piece_give(piece: Cleat | Batten, service: Service) -> float:
    assert piece.screws is not None
    if isinstance(piece, Cleat):
        each = fastening(piece.screws, service, piece.timber, (piece.height_mm or 25.0) * MM)
        return give(each, piece.screws.count, piece.height_mm or 25.0, piece.depth_mm or 25.0)
    each = fastening(piece.screws, service, piece.timber, (piece.depth_mm or 16.0) * MM)
    return 1.0 / (max(piece.screws.count // 2, 1) * max(each.pull, 1e-9))
