"""Which fastenings waste in a wet bilge: a metal in a timber that attacks it, or two metals side by side."""

from __future__ import annotations

from secure_load.boat.models import AnyRestraint, Batten, Bolt, Cleat, Lashing, Strap, Weight, restraint_ids
from secure_load.catalogue.errors import UnknownRow
from secure_load.catalogue.lookup import corrosion, metal, timber


def corrosion_warnings(weight: Weight) -> list[str]:
    """A sentence for each piece whose fastenings waste, named first. Only what the owner wrote is looked at."""
    metals = {
        name: found
        for name, restraint in zip(restraint_ids(weight), weight.restraint, strict=True)
        if (found := _of(restraint)) is not None
    }
    all_metals = {made_of for made_of, _ in metals.values()}
    return [
        f"{name}: {row.name}"
        for row in corrosion().values()
        for name, (made_of, under) in metals.items()
        if made_of in row.metals
        and (not row.timbers or under in row.timbers)
        and (not row.beside or all_metals & set(row.beside))
    ]


def _of(restraint: AnyRestraint) -> tuple[str, str | None] | None:
    """Metal of a restraint's fastenings and timber under them, as rows of the catalogue; None where it is not known."""
    match restraint:
        case Cleat() | Batten():
            fastened = restraint.screws
        case Lashing() | Strap():
            fastened = restraint.anchors.screws if restraint.anchors is not None else None
        case Bolt():
            fastened = restraint
        case _:
            return None
    if fastened is None or fastened.metal is None:
        return None
    try:
        return metal(fastened.metal).id, timber(fastened.into).id if fastened.into is not None else None
    except UnknownRow:
        return None
