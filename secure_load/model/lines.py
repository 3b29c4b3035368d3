"""Lashings, straps and ties as springs: lines that only pull.

A line that goes over the weight has one tension all along it: it is one link whose direction is the sum of
its legs' (corners are taken as smooth).
"""

from __future__ import annotations

import numpy as np

from secure_load.boat.models import CableTie, Lashing, Strap
from secure_load.model.body import Body, nearest_top_edge
from secure_load.model.contact import RestraintModel
from secure_load.solver.arrays import Array
from secure_load.solver.springs import Attachment, Spring


def lashing(body: Body, restraint: Lashing, name: str, index: int, axial: float, tension: float) -> RestraintModel:
    """A line from the weight to the boat; ``axial`` is EA of all its parts, N.

    A stiffness the owner measured takes the place of EA / L. Raises ValueError where it has no length.
    """
    start = np.array(restraint.from_m) - body.at
    context = np.array(restraint.to_m) - np.array(restraint.from_m)
    length = float(np.linalg.norm(context))
    if length < 1e-6:
        raise ValueError("has no length: from_m and to_m are the same point")
    direction = context / length
    link = Spring(
        restraint=index,
        attachments=[Attachment(start, direction)],
        stiffness=_stiffness(restraint, axial, length),
        preload=tension,
    )
    return _line(restraint, name, index, link, [-direction])


def strap(
    body: Body,
    restraint: Strap | CableTie,
    name: str,
    index: int,
    axial: float,
    ends: tuple[Array, Array],
    tension: float,
) -> RestraintModel:
    """A line over the weight between two points on the boat (from the centre of gravity)."""
    edges = [body.from_own(nearest_top_edge(body, body.to_own(end + body.at))) for end in ends]
    legs: list[Attachment] = []
    length = float(np.linalg.norm(edges[0] - edges[1]))
    for edge, end in zip(edges, ends, strict=True):
        context = end - edge
        length_of_leg = float(np.linalg.norm(context))
        if length_of_leg < 1e-6:
            raise ValueError("has an end on the weight's own top edge: give the point on the boat")
        legs.append(Attachment(edge, context / length_of_leg))
        length += length_of_leg
    link = Spring(restraint=index, attachments=legs, stiffness=_stiffness(restraint, axial, length), preload=tension)
    return _line(restraint, name, index, link, [-leg.direction for leg in legs])


def _line(
    restraint: Lashing | Strap | CableTie, name: str, index: int, link: Spring, ends: list[Array]
) -> RestraintModel:
    return RestraintModel(
        restraint=restraint,
        id=name,
        index=index,
        springs=[link],
        height=np.zeros(1),
        along=np.zeros(1),
        ends=ends,
    )


def _stiffness(restraint: Lashing | Strap | CableTie, axial: float, length: float) -> float:
    """EA / L, or as measured; N/m."""
    if restraint.stiffness_N_per_mm is not None:
        return restraint.stiffness_N_per_mm * 1e3
    return axial / length
