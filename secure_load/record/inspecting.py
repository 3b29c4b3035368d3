"""What is to be looked over, and when: a list made from what is actually aboard.

The day is passed by the caller. What is looked at and how often is common practice, a row each in the catalogue;
what is found is written into the boat file, and its factor then takes strength off the restraint.
"""

from __future__ import annotations

import calendar
import datetime

from secure_load.boat.findings import finding_words, open_findings
from secure_load.boat.models import (
    Anchors,
    AnyRestraint,
    Batten,
    Bed,
    BoatFile,
    BoatParticulars,
    Bolt,
    CableTie,
    Cleat,
    Lashing,
    Screws,
    Strap,
    Weight,
    restraint_ids,
)
from secure_load.catalogue import lookup
from secure_load.catalogue.errors import UnknownRow
from secure_load.catalogue.upkeep import checks_for, figure
from secure_load.check.results import RANK, BoatVerdict, Colour
from secure_load.record.model import Data
from secure_load.record.text.restraint_text import Sources, restraint_words
from secure_load.record.text.words import count, position

_METALS = (("galvanised", ("galvanised",)), ("brass", ("brass",)), ("stainless", ("a2", "a4", "stainless")))
"""Which checks a metal calls for, by the words its id is made of."""


class Due(Data):
    """When she is to be looked over."""

    on: datetime.date
    """The day; today where it is due already for want of any inspection."""
    now: bool
    """True where that day is today or past."""
    every_months: int
    source: str
    """Whose interval that is."""
    why: str
    """In words."""


class RestraintCheck(Data):
    """One restraint and what to look at."""

    id: str
    words: str
    checks: list[str]
    subjects: list[str]
    """What each check is on, such as "screws"; as many as there are checks."""
    open_findings: list[str]
    """Found before and not put right."""
    replace: str | None
    """By when it is replaced however it looks, in words; null for what has no such term."""


class WeightCheck(Data):
    """One weight and what to look at."""

    id: str
    name: str
    position: str
    verdict: Colour | None
    """Null where she was not checked."""
    checks: list[str]
    subjects: list[str]
    restraints: list[RestraintCheck]


class Checklist(Data):
    """What is to be looked over in a boat."""

    boat: str
    date: datetime.date
    due: Due
    checks: list[str]
    """On the boat herself."""
    weights: list[WeightCheck]
    """The worst first where they were checked, else as they stand in the file."""
    source: str
    """Whose checks they are."""


def checklist(boat: BoatFile, today: datetime.date, verdict: BoatVerdict | None = None) -> Checklist:
    """What is to be looked over, and when; made from what is aboard."""
    colours: dict[str, Colour] = {} if verdict is None else {w.id: w.verdict for w in verdict.weights}
    weights = [_weight(w, today, colours.get(w.id)) for w in boat.weights_as_held()]
    return Checklist(
        boat=boat.boat.name,
        date=today,
        due=due(boat.boat, today),
        checks=[c.name for c in checks_for({"boat"})],
        weights=sorted(weights, key=lambda w: -RANK[w.verdict] if w.verdict is not None else 0),
        source="common practice; a maker's instructions and a surveyor's word stand above it",
    )


def due(boat: BoatParticulars, today: datetime.date) -> Due:
    """When the boat's stowage is next to be looked over; at once after hard weather."""
    usual = figure("inspect-every-months")
    given = boat.inspect_every_months
    every = given if given is not None else int(usual.value)
    source = "the owner's own interval" if given is not None else usual.source
    last, hard = boat.inspected_on, boat.hard_weather_on
    if last is None:
        on, why = today, "no inspection is written down yet"
    elif last > today:
        on, why = today, f"the last inspection is written down for {last.isoformat()}, a day still to come"
    elif hard is not None and hard > last:
        on, why = hard, f"hard weather on {hard.isoformat()}, and not looked over since {last.isoformat()}"
    else:
        on = months_after(last, every)
        why = f"last looked over on {last.isoformat()}, every {count(every, 'month')}"
    return Due(on=on, now=on <= today, every_months=every, source=source, why=why)


def months_after(day: datetime.date, months: int) -> datetime.date:
    """The same day so many months later, or the last of that month where it is shorter.

    >>> months_after(datetime.date(2031, 8, 31), 6)
    datetime.date(2032, 2, 29)
    """
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    if year > datetime.MAXYEAR:
        return datetime.date.max
    return datetime.date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))


def replace_words(restraint: AnyRestraint, today: datetime.date) -> str | None:
    """By when plastic or fibre is replaced however it looks; None for all else."""
    if isinstance(restraint, CableTie):
        years = int(figure("replace-cable-tie-years").value)
    elif isinstance(restraint, Lashing | Strap) and _line_tags(restraint.line) & {"rope", "webbing"}:
        years = int(figure("replace-fibre-years").value)
    else:
        return None
    if restraint.fitted_on is None:
        return f"replace after {count(years, 'year')}: write down when it was fitted (fitted_on)"
    last = months_after(restraint.fitted_on, 12 * years)
    return f"replace {'NOW, due' if last <= today else 'by'} {last.isoformat()}"


def _weight(weight: Weight, today: datetime.date, verdict: Colour | None) -> WeightCheck:
    tags = {"weight", weight.kind or "other"} | ({"bundle"} if weight.bundle is not None else set[str]())
    sources = Sources()
    return WeightCheck(
        id=weight.id,
        name=weight.title,
        position=position(weight.at_m),
        verdict=verdict,
        checks=[c.name for c in checks_for(tags)],
        subjects=[c.subject for c in checks_for(tags)],
        restraints=[
            RestraintCheck(
                id=name,
                words=restraint_words(restraint, weight, sources),
                checks=[c.name for c in checks_for(tags_of(restraint))],
                subjects=[c.subject for c in checks_for(tags_of(restraint))],
                replace=replace_words(restraint, today),
                open_findings=[finding_words(f) for f in open_findings(restraint)],
            )
            for name, restraint in zip(restraint_ids(weight), weight.restraint, strict=True)
        ],
    )


def tags_of(restraint: AnyRestraint) -> set[str]:
    """What a restraint is and is made of, as the catalogue's checks call it."""
    tags: set[str] = {restraint.type}
    match restraint:
        case Bed():
            if restraint.pad is not None:
                tags.add("pad")
            if restraint.on == "planking":
                tags.add("bed-planking")
        case Cleat() | Batten():
            tags |= _fastened(restraint.screws)
        case Lashing() | Strap():
            tags |= _line_tags(restraint.line) | _anchor_tags(restraint.anchors) | {"termination"}
            if restraint.shackle is not None:
                tags.add("shackle")
        case Bolt():
            tags |= _metal_tags(restraint.metal)
        case _:
            pass
    return tags


def _fastened(screws: Screws | None) -> set[str]:
    # fastenings that nobody wrote down are there all the same
    if screws is None:
        return {"screws"}
    return {"bolt" if screws.kind == "bolt" else "screws"} | _metal_tags(screws.metal)


def _anchor_tags(anchors: Anchors | None) -> set[str]:
    if anchors is None:
        return {"eye", "screws"}
    if anchors.kind == "frame":
        return {"frame"} | (_fastened(anchors.screws) if anchors.screws is not None else set[str]())
    bolted = {"bolt"} if anchors.kind == "through-bolt" and anchors.screws is None else _fastened(anchors.screws)
    return {"eye"} | bolted


def _metal_tags(metal: str | None) -> set[str]:
    if metal is None:
        return set()
    try:
        words = lookup.metal(metal).id.lower().split("-")
    except UnknownRow:
        words = metal.lower().split("-")
    return {tag for tag, names in _METALS if any(w in names for w in words)}


def _line_tags(line: str | None) -> set[str]:
    if line is None:
        return {"rope"}
    try:
        kind = lookup.line(line).kind
    except UnknownRow:
        return {"rope"}
    return {"chain-line" if kind == "chain" else kind}
