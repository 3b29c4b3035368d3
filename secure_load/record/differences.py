"""What differs between two records: what was moved, added or taken away, and which verdicts changed with it.

Weights are told apart by their ids, restraints by theirs.
"""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from typing import Any, Literal, cast

from secure_load.boat.findings import finding_words
from secure_load.boat.models import AnyRestraint, BoatFile, Part, Weight, restraint_ids
from secure_load.boat.render import plain_table
from secure_load.check.results import BoatVerdict, Colour, WeightVerdict
from secure_load.record.model import Data, StowageRecord
from secure_load.record.text.restraint_text import Sources, restraint_words

_LEAST_MOVE_M = 5e-4
"""Half a millimetre: nobody measures a boat closer."""


class Which(Data):
    """One of the two that are compared."""

    name: str
    """Such as "record 3"; "as she is now" for what is no record yet."""
    date: datetime.date
    program: str
    verdict: Colour
    mass_kg: float
    """All the weights together."""


class Named(Data):
    """A weight that only one of the two has."""

    id: str
    name: str
    mass_kg: float
    at_m: tuple[float, float, float]
    verdict: Colour | None
    """On it in the one record that has it; null where it was not checked."""


class Renamed(Data):
    """A weight that is the same but for its id."""

    before: str
    after: str


class Moved(Data):
    """A weight that stands elsewhere; by_m is [forward, to port, up]."""

    id: str
    name: str
    before_m: tuple[float, float, float]
    after_m: tuple[float, float, float]
    by_m: tuple[float, float, float]


class MassChange(Data):
    """A weight that weighs more or less."""

    id: str
    name: str
    before_kg: float
    after_kg: float


class KeyChange(Data):
    """One key of the boat file; null where it was not given."""

    weight: str | None
    """Null for the boat herself."""
    restraint: str | None
    key: str
    before: Any
    after: Any


class RestraintChange(Data):
    """A restraint that was added or taken away, or what was found of it or put right."""

    weight: str
    restraint: str
    what: Literal["added", "gone", "found", "put right"]
    words: str


class ScenarioChange(Data):
    """One scenario whose verdict on a weight changed; null where only one of the two has it."""

    scenario: str
    before: Colour | None
    after: Colour | None


class VerdictChange(Data):
    """A weight whose verdict changed, over all or in some scenario."""

    id: str
    name: str
    before: Colour
    after: Colour
    use_before: float | None
    """Utilisation; null where it was free to move."""
    use_after: float | None
    scenarios: list[ScenarioChange]
    why: str
    """The gravest reason for what it is now."""


class Differences(Data):
    """All that differs."""

    boat: str
    before: Which
    after: Which
    added: list[Named]
    gone: list[Named]
    renamed: list[Renamed]
    moved: list[Moved]
    masses: list[MassChange]
    restraints: list[RestraintChange]
    keys: list[KeyChange]
    verdicts: list[VerdictChange]
    cautions: list[str]
    """What may lead a reader astray, a sentence each."""

    @property
    def none(self) -> bool:
        """True where boat and verdicts are alike."""
        lists = (self.added, self.gone, self.renamed, self.moved, self.masses, self.restraints, self.keys)
        return not any(lists) and not self.verdicts


def compare(before: StowageRecord, after: StowageRecord, names: tuple[str, str]) -> Differences:
    """What differs between two records; ``names`` are what they are called, such as "record 3"."""
    old, new = before.boat_file, after.boat_file
    renamed = _renamed(old.weight, new.weight)
    known = {renamed.get(w.id, w.id): w for w in old.weights_as_held()}
    pairs = [(known[w.id], w) for w in new.weights_as_held() if w.id in known]
    left = {w.id for w in new.weight}
    return Differences(
        boat=new.boat.name,
        before=_which(before, names[0]),
        after=_which(after, names[1]),
        added=[_named(w, after.verdict) for w in new.weight if w.id not in known],
        gone=[_named(w, before.verdict) for name, w in known.items() if name not in left],
        renamed=[Renamed(before=a, after=b) for a, b in renamed.items()],
        moved=[_moved(a, b) for a, b in pairs if _far(a.at_m, b.at_m)],
        masses=[
            MassChange(id=b.id, name=b.title, before_kg=a.mass, after_kg=b.mass) for a, b in pairs if a.mass != b.mass
        ],
        restraints=[change for a, b in pairs for change in _restraints(a, b)],
        keys=[*_boat_keys(old, new), *(change for a, b in pairs for change in _weight_keys(a, b))],
        verdicts=_verdicts(before.verdict, after.verdict, renamed),
        cautions=_cautions(before, after),
    )


def _which(record: StowageRecord, name: str) -> Which:
    return Which(
        name=name,
        date=record.date,
        program=record.program,
        verdict=record.verdict.verdict,
        mass_kg=sum(w.mass for w in record.boat_file.weight),
    )


def _cautions(before: StowageRecord, after: StowageRecord) -> list[str]:
    said: list[str] = []
    if before.program != after.program:
        said.append(
            f"They were worked out by different versions ({before.program}, {after.program}): a verdict may have "
            "changed for that alone."
        )
    if before.boat_file.boat.name != after.boat_file.boat.name:
        said.append(f"The boats are called differently: {before.boat_file.boat.name}, {after.boat_file.boat.name}.")
    return said


def _renamed(old: Sequence[Weight], new: Sequence[Weight]) -> dict[str, str]:
    """Ids that changed while the weight, its name and all that holds it stayed just the same."""
    here, there = {w.id for w in new}, {w.id for w in old}
    fresh = [w for w in new if w.id not in there]
    found: dict[str, str] = {}
    for weight in old:
        if weight.id in here:
            continue
        twin = next((w for w in fresh if w.model_copy(update={"id": weight.id}) == weight), None)
        if twin is not None:
            fresh.remove(twin)
            found[weight.id] = twin.id
    return found


def _named(weight: Weight, verdict: BoatVerdict) -> Named:
    found: Colour | None = next((w.verdict for w in verdict.weights if w.id == weight.id), None)
    return Named(id=weight.id, name=weight.title, mass_kg=weight.mass, at_m=weight.at_m, verdict=found)


def _far(a: Sequence[float], b: Sequence[float]) -> bool:
    return any(abs(x - y) > _LEAST_MOVE_M for x, y in zip(a, b, strict=True))


def _moved(a: Weight, b: Weight) -> Moved:
    by = [round(y - x, 6) for x, y in zip(a.at_m, b.at_m, strict=True)]
    return Moved(id=b.id, name=b.title, before_m=a.at_m, after_m=b.at_m, by_m=(by[0], by[1], by[2]))


def _restraints(a: Weight, b: Weight) -> list[RestraintChange]:
    old = dict(zip(restraint_ids(a), a.restraint, strict=True))
    new = dict(zip(restraint_ids(b), b.restraint, strict=True))
    changes: list[RestraintChange] = []

    def add(name: str, what: Literal["added", "gone", "found", "put right"], words: str) -> None:
        changes.append(RestraintChange(weight=b.id, restraint=name, what=what, words=words))

    for name, restraint in old.items():
        if name not in new:
            add(name, "gone", restraint_words(restraint, a, Sources()))
    for name, restraint in new.items():
        if name not in old:
            add(name, "added", restraint_words(restraint, b, Sources()))
        for finding in restraint.finding:
            before = old[name].finding if name in old else []
            if finding.fixed and finding.model_copy(update={"fixed": False}) in before:
                add(name, "put right", finding_words(finding))
            elif finding not in before:
                add(name, "found", finding_words(finding))
    return changes


def _boat_keys(old: BoatFile, new: BoatFile) -> list[KeyChange]:
    a, b = plain_table(old.boat), plain_table(new.boat)
    # who looked when is no change to her stowage
    skip = {"inspected_on", "hard_weather_on", "inspect_every_months", "photos"}
    return [_key(None, None, k, x, y) for k, x, y in _differing(a, b) if k.split(".")[0] not in skip]


def _weight_keys(a: Weight, b: Weight) -> list[KeyChange]:
    skip = {"restraint", "at_m", "mass_kg", "photos", "id"}
    changes = [
        _key(b.id, None, k, x, y)
        for k, x, y in _differing(plain_table(a), plain_table(b))
        if k.split(".")[0] not in skip
    ]
    old = dict(zip(restraint_ids(a), a.restraint, strict=True))
    for name, restraint in zip(restraint_ids(b), b.restraint, strict=True):
        if name in old:
            both = (_without_findings(old[name]), _without_findings(restraint))
            changes += [_key(b.id, name, k, x, y) for k, x, y in _differing(*both)]
    return changes


def _without_findings(restraint: AnyRestraint) -> dict[str, Any]:
    part: Part = restraint
    return {k: v for k, v in plain_table(part).items() if k != "finding"}


def _key(weight: str | None, restraint: str | None, key: str, before: Any, after: Any) -> KeyChange:
    return KeyChange(weight=weight, restraint=restraint, key=key, before=before, after=after)


def _differing(a: Mapping[str, Any], b: Mapping[str, Any], above: str = "") -> list[tuple[str, Any, Any]]:
    """(key, before, after) for every key that differs, tables within tables with their path."""
    found: list[tuple[str, Any, Any]] = []
    for key in dict.fromkeys([*a, *b]):
        x, y = a.get(key), b.get(key)
        if x == y:
            continue
        if isinstance(x, dict) and isinstance(y, dict):
            found += _differing(cast("dict[str, Any]", x), cast("dict[str, Any]", y), f"{above}{key}.")
        else:
            found.append((f"{above}{key}", cast("Any", x), cast("Any", y)))
    return found


def _verdicts(old: BoatVerdict, new: BoatVerdict, renamed: dict[str, str]) -> list[VerdictChange]:
    known = {renamed.get(w.id, w.id): w for w in old.weights}
    return [
        change
        for after in new.weights
        if after.id in known and (change := _verdict(known[after.id], after)) is not None
    ]


def _verdict(before: WeightVerdict, after: WeightVerdict) -> VerdictChange | None:
    old: dict[str, Colour] = {s.scenario: s.verdict for s in before.scenarios}
    new: dict[str, Colour] = {s.scenario: s.verdict for s in after.scenarios}
    scenarios = [
        ScenarioChange(scenario=s, before=old.get(s), after=new.get(s))
        for s in dict.fromkeys([*old, *new])
        if old.get(s) != new.get(s)
    ]
    if before.verdict == after.verdict and not scenarios:
        return None
    return VerdictChange(
        id=after.id,
        name=after.name,
        before=before.verdict,
        after=after.verdict,
        use_before=before.utilisation,
        use_after=after.utilisation,
        scenarios=scenarios,
        why=after.reasons[0],
    )
