"""What she is built of where weights lie: floors, keel, sole, bulkheads and bearers, said once for the whole boat."""

# ruff: noqa: RUF012 (pydantic copies a default list for every new model, so none is shared)

from __future__ import annotations

from typing import Annotated, Any, cast

from pydantic import BeforeValidator, Field, model_validator

from .base import Coordinate, Id, InOrder, Millimetres, Part, Whole
from .hull import Height, Planking, Sole
from .restraints import Screws

Stations = Annotated[list[Coordinate], InOrder, Field(min_length=1, max_length=200)]


class Floors(Part):
    """The floors: the timbers across her bottom, over the keel."""

    timber: Id | None = None
    """Timber they are made of, a name from ``secure-load list timbers``."""
    sided_mm: Millimetres | None = None
    """Their width along her."""
    moulded_mm: Millimetres | None = None
    """Their depth from their top down to the keel."""
    first_at_m: Coordinate | None = None
    """Middle of the aftermost one, forward of the after end of the waterline."""
    spacing_mm: Annotated[Millimetres, Field(ge=50)] | None = None
    """From the middle of one to the middle of the next."""
    count: Annotated[Whole, Field(ge=1, le=200)] | None = None
    """How many there are; up to the fore end of the waterline unless given."""
    at_m: Stations | None = None
    """Or the middle of each, where they are not evenly spaced."""
    bolts: Screws | None = None
    """What holds one floor down to the keel: its own bolts or drifts."""

    @model_validator(mode="after")
    def _placed(self) -> Floors:
        if self.at_m is not None and (self.first_at_m is not None or self.spacing_mm is not None):
            raise ValueError("give 'at_m' or 'first_at_m' with 'spacing_mm', one of the two and not both")
        return self

    def stations(self, length: float | None) -> list[float]:
        """The middle of each floor, m, from aft; none where that was not said. length: of the waterline, m."""
        if self.at_m is not None:
            return sorted(self.at_m)
        if self.first_at_m is None or self.spacing_mm is None:
            return []
        step = self.spacing_mm / 1000.0
        count = self.count or (max(int((length - self.first_at_m) / step + 1e-9), 0) + 1 if length else 1)
        return [self.first_at_m + number * step for number in range(min(count, 200))]


def _list_of_stations(value: Any) -> Any:
    return {"at_m": cast("list[Any]", value)} if isinstance(value, list) else value


class Keel(Part):
    """The keel, or the keelson where weights lie on one."""

    timber: Id | None = None
    """Timber it is made of, a name from ``secure-load list timbers``."""
    width_mm: Millimetres | None = None
    """Its width on top."""
    top_m: Annotated[list[Annotated[tuple[Coordinate, Height], InOrder]], InOrder, Field(max_length=200)] = []
    """[place along her, height] of its top, from aft."""


class Bulkhead(Part):
    """A bulkhead across her."""

    at_m: Coordinate
    """Where it stands, forward of the after end of the waterline."""
    timber: Id | None = None
    """What it is made of, a name from ``secure-load list timbers``."""
    thickness_mm: Millimetres | None = None
    """Its thickness."""


class Bearers(Part):
    """The bearers under the sole, or along her beside the keel."""

    timber: Id | None = None
    """Timber they are made of, a name from ``secure-load list timbers``."""
    sided_mm: Millimetres | None = None
    """Their width."""
    moulded_mm: Millimetres | None = None
    """Their depth."""


class Structure(Part):
    """Her structure, said once."""

    planking: Planking | None = None
    """Her planking, where it is not under [boat]."""
    floors: Annotated[Floors, BeforeValidator(_list_of_stations)] | None = None
    """Her floors: evenly spaced, or a list of where they stand."""
    keel: Keel | None = None
    """Her keel."""
    sole: Sole | None = None
    """Her sole, where it is not under [boat]."""
    bulkheads: Annotated[list[Bulkhead], InOrder, Field(max_length=50)] = []
    """Her bulkheads."""
    bearers: Bearers | None = None
    """Her bearers."""
