"""Which weights have to be looked at together."""

from __future__ import annotations

from collections.abc import Sequence

from secure_load.boat.models import Neighbour, SharedBatten, SharedCleat, Weight


def groups_of(weights: Sequence[Weight], shared: Sequence[SharedBatten | SharedCleat]) -> list[list[int]]:
    """Places of the weights that touch through ``neighbour`` or are held by one piece, in the order of the file."""
    places = {w.id: i for i, w in enumerate(weights)}
    group = list(range(len(weights)))

    def root(i: int) -> int:
        while group[i] != i:
            group[i] = group[group[i]]
            i = group[i]
        return i

    pairs = [(w.id, r.weight) for w in weights for r in w.restraint if isinstance(r, Neighbour)]
    pairs += [(piece.over[0], other) for piece in shared for other in piece.over[1:]]
    for one, other in pairs:
        if one in places and other in places:
            a, b = sorted((root(places[one]), root(places[other])))
            group[b] = a
    found: dict[int, list[int]] = {}
    for i in range(len(weights)):
        found.setdefault(root(i), []).append(i)
    return list(found.values())
