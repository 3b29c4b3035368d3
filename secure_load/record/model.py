"""The record as plain data: what is kept as JSON, what two records are compared by, and what its schema says.

It holds the boat as she was entered and the verdict whole, so that nothing of a record is lost that another
program, or another year, may ask for; beside them the words a person reads.
"""

from __future__ import annotations

import datetime
import json
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from secure_load.afloat.models import FloatReport
from secure_load.boat.findings import finding_words
from secure_load.boat.models import BoatFile, Weight, restraint_ids
from secure_load.check.results import BoatVerdict, schema_text
from secure_load.record.snapshot import Snapshot
from secure_load.record.text.restraint_text import (
    Sources,
    all_restraint_words,
    bundle_words,
    mass_words,
    particulars,
    size_words,
)
from secure_load.record.text.text_layout import plain
from secure_load.record.text.words import position

SCHEMA_FILE = "stowage-record.schema.json"
"""Name of the published schema, beside this module."""


class Data(BaseModel):
    """Base of the record's parts."""

    model_config = ConfigDict(extra="forbid", frozen=True, use_attribute_docstrings=True)


class RestraintWords(Data):
    """One restraint in words from which a second person could rebuild it."""

    id: str
    words: str
    findings: list[str]
    """What inspections found, those put right too."""


class WeightWords(Data):
    """One weight in words."""

    id: str
    name: str
    mass: str
    """With what it is made up of, and whether it was weighed."""
    position: str
    """Where its centre of gravity is."""
    size: str
    bundle: str | None
    """How its ingots lie and are tied."""
    photos: list[str]
    restraints: list[RestraintWords]


class Source(Data):
    """A row of the catalogue that was named, and where its figures come from."""

    what: str
    row: str
    source: str
    mark: str
    """Empty where the figures were seen in print."""


class StowageRecord(Data):
    """One stowage record."""

    record: Literal["stowage"] = "stowage"
    """What kind of file this is."""
    version: Literal[1] = 1
    """Version of this format."""
    program: str
    """Name and version of the program that worked it out."""
    date: datetime.date
    """The day it was made."""
    by: str | None
    """Who made it."""
    file: str | None
    """Name of the boat file, without its folder."""
    particulars: list[tuple[str, str]]
    """The boat herself: labels and words."""
    weights: list[WeightWords]
    """The weights in words, in the order of the file."""
    sources: list[Source]
    """Rows of the catalogue that are named in the words."""
    boat_file: BoatFile
    """The boat as she was entered."""
    verdict: BoatVerdict
    """What was found."""
    afloat: FloatReport | None = Field(default=None)
    """How she floats; null where too little is known of her."""
    sha256: str | None = Field(default=None)
    """Of the boat file it was made from; null where the boat was not as it was saved."""


def stowage_record(shot: Snapshot) -> StowageRecord:
    """The record of a snapshot. The same snapshot gives the same record."""
    sources = Sources()
    about = particulars(shot.boat.boat, sources)
    weights = [weight_in_words(w, sources) for w in shot.boat.weights_as_held()]
    return StowageRecord(
        program=shot.program,
        date=shot.date,
        by=shot.by,
        file=shot.file,
        particulars=about,
        weights=weights,
        sources=[
            Source(what=what, row=row.id, source=row.source, mark=row.mark) for (what, _), row in sources.rows.items()
        ],
        boat_file=shot.boat,
        verdict=shot.verdict,
        afloat=shot.afloat,
        sha256=shot.sha256,
    )


def snapshot_of(record: StowageRecord) -> Snapshot:
    """What a record was made from."""
    return Snapshot(
        record.boat_file,
        record.verdict,
        record.date,
        record.program,
        record.file,
        record.by,
        record.afloat,
        record.sha256,
    )


def weight_in_words(weight: Weight, sources: Sources) -> WeightWords:
    """One weight in words; rows of the catalogue that are named are added to ``sources``."""
    return WeightWords(
        id=plain(weight.id),
        name=plain(weight.title),
        mass=mass_words(weight),
        position=position(weight.at_m),
        size=size_words(weight),
        bundle=bundle_words(weight.bundle, sources) if weight.bundle is not None else None,
        photos=[plain(p) for p in weight.photos],
        restraints=[
            RestraintWords(id=plain(name), words=words, findings=[plain(finding_words(f)) for f in restraint.finding])
            for name, words, restraint in zip(
                restraint_ids(weight), all_restraint_words(weight, sources), weight.restraint, strict=True
            )
        ],
    )


def record_json(record: StowageRecord) -> str:
    """The record as JSON, with a line's end at its end."""
    data = record.model_dump(mode="json", by_alias=True)
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=1) + "\n"


def record_from_json(text: str) -> StowageRecord:
    """A record read back. Raises pydantic.ValidationError (a ValueError) for what is none."""
    return StowageRecord.model_validate_json(text)


def record_schema_text() -> str:
    """The schema as it is published beside this module."""
    return schema_text(StowageRecord)
