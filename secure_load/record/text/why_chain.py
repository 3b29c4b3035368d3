"""Why a weight is judged as it is: the chain of figures for the restraint that governs, line by line.

Load, share, part, factors, strength, utilisation; each with whose figure it is. All of it is taken from the verdict.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from secure_load.catalogue.lookup import factor, factor_row
from secure_load.check.results import PartFigure, RestraintVerdict, WeightVerdict
from secure_load.record.text.text_layout import plain
from secure_load.record.text.words import heel, movement, percent

Step = Literal["load", "movement", "share", "part", "factors", "breaking", "strength", "utilisation"]
"""``breaking``: what it breaks at, which stands beside the working strength and is not in the utilisation."""
ENGINE = "equilibrium of the weight on its restraints, the worst over the bounds of stiffness and friction"


@dataclass(frozen=True)
class ChainLine:
    """One figure of the chain."""

    step: Step
    text: str
    source: str


def governing(verdict: WeightVerdict) -> tuple[RestraintVerdict, PartFigure] | None:
    """The restraint and the part that are worked hardest; None where nothing has a strength."""
    found = [(r, p) for r in verdict.restraints for p in r.parts]
    return max(found, key=lambda each: each[1].utilisation, default=None)


def why_chain(verdict: WeightVerdict, names: dict[str, str] | None = None) -> list[ChainLine]:
    """The chain for the governing restraint; ``names`` gives the scenarios' names by id."""
    worst = verdict.worst
    if worst is None:
        return []
    scenario = plain((names or {}).get(worst.scenario, worst.scenario))
    size = sum(f * f for f in worst.demand_N) ** 0.5
    pitch = f", bow {'down' if worst.pitch_deg > 0 else 'up'} {abs(worst.pitch_deg):.0f} degrees"
    chain = [
        ChainLine(
            "load",
            f"{verdict.mass_kg:g} kg feel {size:.0f} N {heel(worst.heel_deg)}"
            f"{pitch if abs(worst.pitch_deg) >= 0.5 else ''}, {worst.load_factor:g} times gravity",
            f"scenario: {scenario}; inertia in the boat's own axes (d'Alembert)",
        )
    ]
    if verdict.movement_mm > 0.0:
        limits = "iso10133-movement", "cfr183-movement"
        allowed = " and ".join(f"{1000 * factor(each):.0f} mm by {factor_row(each).source}" for each in limits)
        chain.append(
            ChainLine(
                "movement",
                f"{movement(verdict)}, before it is held; a battery is allowed {allowed}",
                "displacement of the corners of its box from its place at rest upright, the worst over the bounds",
            )
        )
    if verdict.free_to_move:
        moves = plain(verdict.moves) if verdict.moves else "it goes"
        chain.append(ChainLine("share", f"nothing takes it up: it {moves}", ENGINE))
    found = governing(verdict)
    if found is None:
        return chain
    restraint, part = found
    if part.demand_N > 0.0:
        chain.append(_share(verdict, restraint, part, size))
    assumed = " (rests on an assumption)" if part.assumed else ""
    chain.append(ChainLine("part", f"weakest part: {plain(part.part)}{assumed}", plain(part.basis)))
    basis = plain(part.basis)
    chain += [ChainLine("factors", plain(each), basis) for each in part.why if not _of_breaking(each)]
    if part.strength_N is not None:
        strength = f"{part.strength_N:.0f} N working strength, on the same basis as the demand (allowable, ten minutes)"
        chain.append(ChainLine("strength", strength, basis))
        ratio = f"{part.demand_N:.0f} N on {part.strength_N:.0f} N: {percent(part.utilisation)} used"
    else:
        ratio = f"{percent(part.utilisation)} used"
    chain.append(ChainLine("utilisation", ratio, "demand over working strength"))
    chain += [
        ChainLine("breaking", plain(each), "beside the working strength") for each in part.why if _of_breaking(each)
    ]
    return chain


def _of_breaking(line: str) -> bool:
    return line.startswith(("breaks", "crushed for good"))


def _share(verdict: WeightVerdict, restraint: RestraintVerdict, part: PartFigure, size: float) -> ChainLine:
    text = f"demand on {plain(restraint.id)}: {part.demand_N:.0f} N"
    # where the weight is free at its worst instant, what is held is asked for its most at another
    if verdict.free_to_move:
        return ChainLine("share", f"{text} at its own worst, while the weight is still held", ENGINE)
    if size > 0.0:
        text += f", {part.demand_N / size:.2f} of the load"
        if part.demand_N > size:
            text += " (it is pried at, or set up tight)"
    return ChainLine("share", text, ENGINE)
