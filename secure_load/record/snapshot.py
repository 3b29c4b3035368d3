"""What a record is made from, held still: the boat as she was entered, the verdict, the day and the program."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from secure_load.afloat.models import FloatReport
from secure_load.boat.models import BoatFile
from secure_load.check.results import BoatVerdict
from secure_load.record.version import program_version


@dataclass(frozen=True)
class Snapshot:
    """A boat on one day."""

    boat: BoatFile
    verdict: BoatVerdict
    date: datetime.date
    program: str
    """Name and version of the program that worked it out."""
    file: str | None = None
    """Name of the boat file, without its folder."""
    by: str | None = None
    """Who made the record."""
    afloat: FloatReport | None = None
    """How she floats, where enough is known of her to say."""
    sha256: str | None = None
    """Of the boat file; None where the boat is not as it was saved."""


def snapshot(
    boat: BoatFile,
    verdict: BoatVerdict,
    now: datetime.datetime | datetime.date,
    file: str | None = None,
    by: str | None = None,
    afloat: FloatReport | None = None,
    sha256: str | None = None,
) -> Snapshot:
    """A snapshot on the day of ``now``; the hour is left out, so that a day's records are alike."""
    day = now.date() if isinstance(now, datetime.datetime) else now
    return Snapshot(boat, verdict, day, program_version(), file, by, afloat, sha256)
