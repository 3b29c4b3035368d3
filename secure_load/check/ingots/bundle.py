"""Whether every ingot of a stack stays in it, and what goes first of its ties."""

from __future__ import annotations

import numpy as np

from secure_load.boat.models import Weight
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.lookup import factor
from secure_load.check.ingots.stack import Stack, build_stack_model
from secure_load.check.response import Response, displacement_limits, evaluate
from secure_load.check.results import RANK, BundleVerdict, Colour
from secure_load.check.sampler import worst_over_bounds
from secure_load.check.utilisation import percent
from secure_load.loads.load_cases import LoadCases
from secure_load.model.displacement import greatest_displacements
from secure_load.model.group_model import NOMINAL, GroupModel
from secure_load.model.motion_words import describe_motion, format_heel
from secure_load.model.planking import Boat
from secure_load.solver.arrays import Array, Index

MOST = 16
"""Ingots beyond which a stack is not taken apart."""
MM = 1e-3


def bundle_verdict(weight: Weight, boat: Boat, meant: LoadCases) -> BundleVerdict:
    """Whether every single ingot stays in its bundle, over a coarse choice of a family's loads.

    A stack of more than ``MOST`` is not taken apart: amber, and says so. Raises CannotCheck, in one sentence,
    for what cannot be worked out.
    """
    assert weight.bundle is not None
    assert weight.ingots is not None
    if weight.ingots.count > MOST:
        return BundleVerdict(
            ingot=None,
            tie=None,
            utilisation=None,
            verdict="amber",
            heel_deg=None,
            sentence=f"more than {MOST} ingots are not looked at one by one: enter them as smaller bundles",
        )
    stowed, stack, ties = build_stack_model(weight, boat)
    load = stowed.loads_at(meant.instants.at(meant.unique_rows))
    if stowed.springs.has_preload:
        picked = meant.plan.coarse
        worked = evaluate(stowed, NOMINAL, stowed.springs, load[picked])
        coarse = [picked]
    else:
        picked = np.arange(len(load))
        worked = worst_over_bounds(stowed, load, meant, moved=False)
        coarse = [meant.with_history_ends(bins.representative) for bins in worked.bins[:2]]
    without = bool(ties) and any(_without_ties(stowed, ties, load[at]) for at in coarse)
    found = _judge(weight, stowed, stack, ties, worked, meant, meant.unique_rows[picked], without)
    moved = _moved(stowed, stack, worked, meant.instants.heel_deg[meant.unique_rows[picked]])
    return moved if moved is not None and RANK[moved.verdict] > RANK[found.verdict] else found


def _when(heel: float) -> str:
    words = format_heel(heel)
    return words if words == "upright" else f"at {words}"


def _moved(stowed: GroupModel, stack: Stack, worked: Response, heel: Array) -> BundleVerdict | None:
    """What is to be said of the ingot that moves most before it is held; None where that is little, or one gets out."""
    if worked.free.any():
        return None
    down = [np.array([[0.0, 0.0, -b.mass * factor("g0")]]) for b in stack.bodies]
    rest = evaluate(stowed, NOMINAL, stowed.springs, stowed.total_load(down))
    start = np.zeros(worked.displacement_vector.shape[1]) if rest.free[0] else rest.displacement_vector[0]
    far = greatest_displacements(stack.bodies, worked.displacement_vector - start)
    at, body = (int(i) for i in np.unravel_index(int(far.argmax()), far.shape))
    amber, red = displacement_limits()
    if far[at, body] <= amber:
        return None
    ingot = stack.words(body)
    return BundleVerdict(
        ingot=ingot,
        tie=None,
        utilisation=None,
        verdict="red" if far[at, body] > red else "amber",
        heel_deg=round(float(heel[at]), 2) + 0.0,
        sentence=f"{ingot} moves {far[at, body] / MM:.0f} mm before it is held {_when(float(heel[at]))}",
    )


def _without_ties(stowed: GroupModel, ties: list[int], load: Array) -> bool:
    """True where some ingot gets out once the ties are cut."""
    links = stowed.springs.subset(~np.isin(stowed.springs.restraint, ties))
    return bool(evaluate(stowed, NOMINAL, links, load).unrestrained.any())


def _judge(
    weight: Weight,
    stowed: GroupModel,
    stack: Stack,
    ties: list[int],
    worked: Response,
    meant: LoadCases,
    instant: Index,
    needed: bool,
) -> BundleVerdict:
    heel = meant.instants.heel_deg[instant]
    out = np.flatnonzero(worked.unrestrained.any(axis=1))
    if len(out):
        at = int(out[np.abs(heel[out]).argmin()])
        # of several that go, the one that goes farthest gets out and the others follow
        shift = np.linalg.norm(worked.displacement_vector[at].reshape(-1, 6)[:, :3], axis=1)
        body = int(np.where(worked.unrestrained[at], shift, -1.0).argmax())
        ingot = stack.words(body)
        goes = describe_motion(worked.displacement_vector[at, 6 * body : 6 * body + 6], float(heel[at]))
        return BundleVerdict(
            ingot=ingot,
            tie=None,
            utilisation=None,
            verdict="red",
            heel_deg=round(float(heel[at]), 2) + 0.0,
            sentence=f"{ingot} gets out of the bundle {_when(float(heel[at]))}: it {goes}",
        )
    peaks = [(p.utilisation, t, j) for t in ties for j, p in enumerate(worked.peaks[t])]
    if not peaks:
        return BundleVerdict(
            ingot=None,
            tie=None,
            utilisation=0.0,
            verdict="green",
            heel_deg=None,
            sentence="every ingot is held by the bed, cleats and battens alone; nothing ties them to one another",
        )
    ratio, tie, part = max(peaks)
    peak = worked.peaks[tie][part]
    shift = np.linalg.norm(worked.displacement_vector[peak.at].reshape(-1, 6)[:, :3], axis=1)
    ingot = stack.words(int(shift.argmax()))
    what = stowed.failure_modes[tie][part]
    assert weight.bundle is not None
    only_ties = needed and all(t.line is None for t in weight.bundle.ties)
    colour: Colour = "red" if ratio > assumed("red-over").number else "green"
    if colour == "green" and (ratio > assumed("amber-over").number or only_ties):
        colour = "amber"
    sentence = (
        f"every ingot stays in the bundle; {stowed.restraints[tie].id}, {what.name}, highest use {percent(ratio)}"
    )
    if colour == "red":
        sentence = (
            f"{stowed.restraints[tie].id}, {what.name}, gives way: {peak.demand:.0f} N, {percent(ratio)} used; "
            f"{ingot} goes first"
        )
    elif only_ties:
        sentence += "; cable ties are all that keeps it together"
    return BundleVerdict(
        ingot=ingot,
        tie=stowed.restraints[tie].id,
        utilisation=round(ratio, 4),
        verdict=colour,
        heel_deg=round(float(heel[peak.at]), 2) + 0.0,
        sentence=sentence,
    )
