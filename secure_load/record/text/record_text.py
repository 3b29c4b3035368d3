"""The stowage record as plain text, 78 columns: to print, to pin up inside a locker, to lay beside the next one.

It says what was entered in words from which a second person could rebuild it, what was found and on whose
figures, what is still assumed, and leaves room for a name and a date. The same snapshot gives the same text.
"""

from __future__ import annotations

from secure_load.boat.findings import finding_words
from secure_load.boat.models import Weight, restraint_ids
from secure_load.check.results import LETTER, WORD, RestraintVerdict, WeightVerdict
from secure_load.loads.scenarios import choose
from secure_load.record.afloat import afloat_text
from secure_load.record.card import Card, card
from secure_load.record.condition import DISCLAIMER, clause_rows, clauses, condition_rows
from secure_load.record.snapshot import Snapshot
from secure_load.record.text.restraint_text import (
    Sources,
    all_restraint_words,
    bundle_words,
    factor_words,
    mass_words,
    particulars,
    size_words,
)
from secure_load.record.text.text_layout import WIDTH, bullet, heading, labelled, labelled_list, plain, wrapped
from secure_load.record.text.words import (
    colour,
    heel,
    holds_g,
    holds_to,
    if_loose,
    instant,
    mass,
    movement,
    number,
    percent,
    position,
    remedy_words,
    scenario_figures,
    tally,
)

_RULE = "_" * 34


def record_text(shot: Snapshot, full: bool = False) -> str:
    """The card, a part for each weight and the sources; with ``full`` every figure. Lines ended with LF."""
    sources = Sources()
    names = {s.id: s.name for s in shot.verdict.scenarios}
    found = {w.id: w for w in shot.verdict.weights}
    lines = [*_head(shot, sources), *_card(card(shot)), *_end(shot)]
    for place, weight in enumerate(shot.boat.weights_as_held(), start=1):
        lines.extend(_weight(place, weight, found[weight.id], names, sources, full))
    if full:
        lines.extend(_scenarios(shot))
    if shot.afloat is not None:
        lines.extend(afloat_text(shot.afloat))
    lines.extend(_condition(shot))
    lines.extend(_sources(sources))
    return "\n".join(lines) + "\n"


def _head(shot: Snapshot, sources: Sources) -> list[str]:
    lines = ["STOWAGE RECORD", "=" * WIDTH]
    for label, words in particulars(shot.boat.boat, sources):
        lines += labelled(label, words)
    lines += labelled("Date", shot.date.isoformat())
    if shot.file:
        lines += labelled("Boat file", plain(shot.file))
    if shot.by:
        lines += labelled("Made by", plain(shot.by))
    if shot.boat.boat.photos:
        lines += labelled_list("Photographs", [plain(p) for p in shot.boat.boat.photos])
    lines += labelled("Calculated by", shot.program)
    letter = f"{colour(shot.verdict.verdict)}: " if shot.verdict.weights else ""
    lines += labelled("Verdict", letter + tally(shot.verdict))
    lines += ["", *wrapped(shot.verdict.cautions[0])] if shot.verdict.cautions else []
    return lines


def _condition(shot: Snapshot) -> list[str]:
    lines = heading("Condition when this was made")
    for label, words in condition_rows(shot):
        lines += labelled(label, words)
    lines += heading("Clauses of rules")
    for clause, state, why in clause_rows(shot.boat, shot.verdict):
        lines += bullet(f"{state}: {clause.name} ({why})")
    return lines + wrapped(DISCLAIMER)


def _card(found: Card) -> list[str]:
    if not found.rows:
        return []
    lines = heading("Weights", f"{'kg':>8}  {'verdict':<10}  {'check again':<16}")
    for row in found.rows:
        room = WIDTH - 41 - len(f"{row.number}. ")
        name = row.name if len(row.name) <= room else row.name[: room - 3] + "..."
        figures = f"{mass(row.mass_kg):>8}  {colour(row.verdict):<10}  {row.check_again:<16}"
        lines.append(f"{row.number}. {name}".ljust(WIDTH - len(figures)) + figures)
        lines += wrapped(f"{row.place}; {row.held_by}", 4)
    lines.append(f"{'Total':<{WIDTH - 38}}{mass(sum(r.mass_kg for r in found.rows)):>8}")
    lines += wrapped("Metres forward of the after end of the waterline, from the centreline, from the waterline.")
    if found.defects:
        lines += heading("Open defects, worst first")
    for each in found.defects:
        said = f"{colour(each.verdict)}  {each.number}. {each.name}: {each.reason}. Put right {each.by_when}."
        lines += wrapped(said, 0, 4)
    return lines


def _weight(
    place: int, weight: Weight, found: WeightVerdict, names: dict[str, str], sources: Sources, full: bool
) -> list[str]:
    lines = heading(f"{place}. {plain(weight.title)} ({plain(weight.id)})", colour(found.verdict))
    lines += labelled("Kind", weight.kind or "not said")
    lines += labelled("Mass", mass_words(weight))
    lines += labelled("Stands", f"{position(weight.at_m)} (its centre of gravity)")
    lines += labelled("Size", size_words(weight))
    if weight.bundle is not None:
        lines += labelled("Bundle", bundle_words(weight.bundle, sources))
    if weight.photos:
        lines += labelled_list("Photographs", [plain(p) for p in weight.photos])
    lines += ["", "What holds it"]
    told = all_restraint_words(weight, sources)
    for name, words, restraint in zip(restraint_ids(weight), told, weight.restraint, strict=True):
        lines += labelled(plain(name), words, indent=2, width=18)
        for each in restraint.finding:
            lines += wrapped(f"found {plain(finding_words(each))}", 20)
    if not weight.restraint:
        lines += wrapped("nothing was entered", 2)
    lines += ["", f"Verdict: {colour(found.verdict)}"]
    for reason in found.reasons:
        lines += bullet(plain(reason), 2)
    lines += labelled("worst", instant(found.worst, names), 2)
    if found.moves:
        lines += labelled("it moves", plain(found.moves), 2)
    lines += labelled("holds to", holds_to(found.holds_to_heel_deg), 2)
    lines += labelled("movement", f"{movement(found)} (before it is held)", 2)
    lines += labelled("if loose", if_loose(found), 2)
    if full:
        lines += labelled("back-up", "yes" if found.second_path else "none", 2)
        lines += labelled("holds", holds_g(found), 2)
        lines += ["", "By scenario"]
        for each in found.scenarios:
            name = plain(names.get(each.scenario, each.scenario))
            at = heel(each.heel_deg)
            figures = f"{colour(each.verdict)}, {percent(each.utilisation)}, {at if at == 'upright' else f'at {at}'}"
            lines += labelled(name, figures, indent=2, width=42)
    lines += _figures(found, full)
    if full:
        lines += _list("Order of failure", [f.sentence for f in found.order_of_failure])
        lines += _list("Bearing pressure", [b.sentence for b in found.bearing])
    if found.bundle is not None:
        lines += _list("Inside the bundle", [f"{colour(found.bundle.verdict)}: {found.bundle.sentence}"])
    lines += _list("What would fix it", [remedy_words(r) for r in found.remedies])
    lines += _list("Assumptions still open: measure these and enter them", found.assumptions)
    lines += _list("Look at", found.warnings)
    return lines


def _figures(found: WeightVerdict, full: bool) -> list[str]:
    worked = [r for r in found.restraints if r.parts]
    if not worked:
        return []
    first = found.first_to_go.restraint if found.first_to_go else None
    lines = ["", "Governing figures, each in its own worst case"]
    said: dict[str, str] = {}
    for each in sorted(worked, key=lambda r: (r.id != first, -r.utilisation)):
        # where nothing stops the weight, a part that is merely worked has not given way
        goes = "" if each.id != first else " - most worked" if found.free_to_move else " - goes first"
        lines += wrapped(f"{plain(each.id)}, {plain(each.part)}: {_use(each)}{goes}", 2, 4)
        lines += labelled("basis", plain(each.basis) + (" (assumed)" if each.assumed else ""), 4, 8)
        part = next((p for p in each.parts if p.part == each.part), None)
        why = part.why if part and full else []
        # cleats in pairs have their figures in common: once is enough on paper
        first_said = said.setdefault("\n".join(why), each.id)
        if why and first_said != each.id:
            why = [f"as for {first_said}"]
        for line in why:
            lines += bullet(plain(line), 4)
    return lines


def _use(each: RestraintVerdict) -> str:
    if each.strength_N is None:
        nothing = "no demand on it" if each.utilisation == 0.0 else "it has no strength this way"
        return f"{number(each.demand_N, 0)} N; {nothing}"
    return (
        f"{number(each.demand_N, 0)} N asked, {number(each.strength_N, 0)} N working strength,"
        f" {percent(each.utilisation)}"
    )


def _list(title: str, items: list[str]) -> list[str]:
    if not items:
        return []
    lines = ["", title]
    for item in items:
        lines += bullet(plain(item), 2)
    return lines


def _scenarios(shot: Snapshot) -> list[str]:
    lines = heading("Scenarios that were run")
    known = {s.id: s for s in choose(shot.boat, [s.id for s in shot.verdict.scenarios])}
    for run in shot.verdict.scenarios:
        if run.instants:
            said = f"{LETTER[run.verdict]} {WORD[run.verdict]}"
        elif shot.verdict.weights:
            said = "not run: no weight of its kind"
        else:
            said = "not run"
        lines += wrapped(f"{plain(run.name)} ({plain(run.id)}): {said}", 0, 2)
        lines += wrapped(f"{scenario_figures(known[run.id])}. Source: {plain(run.source)}", 2)
    return lines


def _sources(sources: Sources) -> list[str]:
    lines = heading("Where the catalogue's figures come from")
    for (what, _), row in sources.rows.items():
        mark = f" ({row.mark})" if row.mark else " (seen in print)"
        lines += wrapped(f"{what} {row.id}: {row.source}{mark}", 0, 2)
    for clause in clauses():
        lines += wrapped(f"clause {clause.id}: {clause.source}", 0, 2)
    return lines + wrapped(factor_words(), 0, 2)


def _end(shot: Snapshot) -> list[str]:
    lines = heading("Cautions")
    for caution in shot.verdict.cautions:
        lines += bullet(caution)
    lines += ["", ""]
    for who in ("Stowed by", "Checked aboard by", "Owner"):
        lines += [f"{who:<18}{_RULE}  date {'_' * 18}", ""]
    return lines[:-1]
