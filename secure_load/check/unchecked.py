"""The answer for a weight that could not be worked out, or that no scenario is meant for.

One weight's trouble costs that weight its answer and no other. Each failure is logged with its traceback.
"""

from __future__ import annotations

import logging
from collections.abc import Callable
from typing import TypeVar

from secure_load.boat.models import Weight
from secure_load.catalogue.errors import UnknownRow
from secure_load.check.results import Colour, WeightVerdict
from secure_load.model.group_model import CannotCheck

Result = TypeVar("Result")

LOG = logging.getLogger("secure_load")


def reason_for(problem: Exception, weight: Weight) -> str:
    """An error as a sentence for the owner; where another weight of its group is the cause, that one is named."""
    if isinstance(problem, CannotCheck):
        if problem.weight != weight.id:
            return f"it touches another weight that cannot be checked: {problem}"
        return f"{problem.restraint}: {problem.problem}" if problem.restraint else problem.problem
    if isinstance(problem, UnknownRow):
        return str(problem)
    return f"the program could not work it out ({type(problem).__name__}: {problem})"


def cannot_be_checked(weight: Weight, problem: Exception) -> WeightVerdict:
    """Red, with the reason in words: what cannot be checked is never called sound."""
    LOG.warning("weight '%s' cannot be checked", weight.id, exc_info=problem)
    return _without_figures(weight, "red", f"cannot be checked: {reason_for(problem, weight)}")


def not_run(weight: Weight) -> WeightVerdict:
    """Amber: none of the scenarios asked for is meant for a weight of this kind, so nothing is known of it."""
    reason = f"not run: no scenario asked for is meant for a weight of its kind ({weight.kind or 'not said'})"
    return _without_figures(weight, "amber", reason)


def only_floats(weight: Weight) -> WeightVerdict:
    """Green: the owner says that it is crew or stores, which nothing has to hold."""
    return _without_figures(weight, "green", "floats only: crew or stores; nothing holds it, and nothing was checked")


def attempt(what: str, weight: Weight, work: Callable[[], Result], warnings: list[str]) -> Result | None:
    """What ``work`` returns; where it fails, None, and a warning that ``what`` could not be worked out."""
    try:
        return work()
    except Exception as problem:
        LOG.warning("weight '%s': %s", weight.id, what, exc_info=problem)
        warnings.append(f"{what} could not be worked out: {reason_for(problem, weight)}")
        return None


def _without_figures(weight: Weight, verdict: Colour, reason: str) -> WeightVerdict:
    return WeightVerdict(
        id=weight.id,
        name=weight.title,
        kind=weight.kind or "other",
        mass_kg=weight.mass,
        verdict=verdict,
        reasons=[reason],
        utilisation=None,
        free_to_move=False,
        moves=None,
        unchecked=reason,
        worst=None,
        first_to_go=None,
        restraints=[],
        second_path=False,
        holds_to_heel_deg=None,
        holds_g=None,
        if_loose=None,
        scenarios=[],
        assumptions=[],
    )
