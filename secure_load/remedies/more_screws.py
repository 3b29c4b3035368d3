"""More, deeper, larger screws in cleats and battens as they stand, in ever stouter sizes."""

from __future__ import annotations

from secure_load.boat.models import Batten, Cleat, Screws, Weight
from secure_load.catalogue.strengths import Service
from secure_load.remedies.labour_estimate import by_id, jobs_between, minutes
from secure_load.remedies.materials import (
    MM,
    SOFT_METALS,
    TIMBER_OVER_DEPTH,
    Change,
    Materials,
    SizeSeries,
    with_pieces,
)
from secure_load.remedies.screw_layout import (
    LONGEST_MM,
    MOST_SCREWS,
    WASHER_DIAMETERS,
    at_an_end,
    diameter,
    known,
    row_of_screws,
    thickest_screw,
    utilisation_per_newton,
)
from secure_load.strength.fastenings import fastening

COACH_SCREWS_MM = (6.0, 8.0, 10.0, 12.0)
DEPTHS_MM = (40.0, 50.0, 60.0)


def _options(was: Screws, widest: float, materials: Materials, move: bool, sheared: bool) -> list[Screws]:
    """Screws that could stand in place of some: deeper, or coach screws; count left as it is.

    ``move``: into the base of the new pieces, not where they stand now. Where nobody measured the timber, no deeper.
    """
    if move:
        size = float(was.gauge) if was.gauge is not None else diameter(was)
        depth = min(was.penetration_mm or 0.0, materials.base.deepest_mm)
        was = materials.screws(was.kind, size, depth, sheared=sheared, count=was.count, washer_mm=was.washer_mm)
    now = was.penetration_mm or 0.0
    deepest = was.stock_mm / TIMBER_OVER_DEPTH if was.stock_mm is not None else now
    found: list[Screws] = [was]
    if was.kind == "bolt":
        return found
    made_of = "silicon-bronze" if was.metal in SOFT_METALS else was.metal
    for deep in (now, *(each for each in DEPTHS_MM if now < each <= deepest)):
        found.append(was.model_copy(update={"penetration_mm": deep}))
        for d in COACH_SCREWS_MM:
            if diameter(was) - 0.01 <= d <= max(widest, diameter(was)):
                washer = max(was.washer_mm or 0.0, WASHER_DIAMETERS * d)
                coach = {"kind": "coach-screw", "gauge": None, "diameter_mm": d, "metal": made_of}
                found.append(was.model_copy(update={**coach, "washer_mm": washer, "penetration_mm": deep}))
    return found


def more_screws(
    weight: Weight, names: list[str], materials: Materials, service: Service, *, move: bool = False
) -> SizeSeries:
    """More, deeper, larger screws in the cleats or battens as they are. Empty where a screw is not known."""
    have = by_id(weight)
    pieces = {n: r for n in names if isinstance(r := have[n], Cleat | Batten) and r.strength_N is None}
    if not pieces or not all(known(p.screws) and p.timber for p in pieces.values()):
        return []
    if move and materials.base.kind == "welded":
        return []
    # the stoutest there are: none is to be given thinner or shorter ones than it has
    first = max((p.screws for p in pieces.values() if p.screws), key=lambda s: (diameter(s), s.penetration_mm or 0.0))
    options: list[tuple[float, int, Weight]] = []
    widest = min(thickest_screw(_breadth(p)) for p in pieces.values())
    sheared = any(isinstance(piece, Cleat) for piece in pieces.values())
    for screws in _options(first, widest, materials, move, sheared):
        for step in range(MOST_SCREWS):
            changed = _with_screws(pieces, screws, step)
            if changed is None:
                break
            new = with_pieces(weight, dict(changed))
            if new != weight and not any(_too_long(piece) for piece in changed.values()):
                ratio = max(_ratio(p, service) for p in changed.values())
                options.append((ratio, minutes(jobs_between(weight, new)), new))
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
        result[name] = piece.model_copy(update={"screws": screws.model_copy(update={"count": count})})
    return result


def _ratio(piece: Cleat | Batten, service: Service) -> float:
    """Utilisation per newton, roughly."""
    assert piece.screws is not None
    if isinstance(piece, Cleat):
        each = fastening(piece.screws, service, piece.timber, (piece.height_mm or 25.0) * MM)
        return utilisation_per_newton(each, piece.screws.count, piece.height_mm or 25.0, piece.depth_mm or 25.0)
    each = fastening(piece.screws, service, piece.timber, (piece.depth_mm or 16.0) * MM)
    return 1.0 / (max(piece.screws.count // 2, 1) * max(each.pull, 1e-9))
