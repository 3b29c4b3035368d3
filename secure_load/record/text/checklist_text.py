"""The inspection list as plain text, 78 columns: what to look at told once, then each weight with boxes to tick."""

from __future__ import annotations

from secure_load.check.results import LETTER, WORD
from secure_load.record.inspecting import Checklist, RestraintCheck, WeightCheck
from secure_load.record.text.text_layout import WIDTH, heading, labelled, plain, wrapped

_BOX = "[ ]"


def checklist_text(found: Checklist) -> str:
    """The whole list, lines ended with LF."""
    state = "due now" if found.due.now else f"due on {found.due.on.isoformat()}"
    lines = ["INSPECTION CHECKLIST", "=" * WIDTH, *labelled("Boat", plain(found.boat))]
    lines += labelled("Inspection", f"{state}: {found.due.why}; at once after hard weather, a grounding or a knock")
    lines += labelled("Interval", f"{found.due.every_months} months ({found.due.source})")
    lines += labelled("Source", found.source)
    lines += heading("What to look at")
    for subject, checks in _by_subject(found).items():
        lines += wrapped(f"{subject}: {'; '.join(checks)}", 0, 2)
    lines += heading("The boat")
    for check in found.checks:
        lines += wrapped(f"{_BOX} {check}", 0, len(_BOX) + 1)
    lines += heading("The weights")
    for weight in found.weights:
        lines += _weight(weight)
    lines += heading("What was found")
    lines += wrapped(
        "Write it under its restraint in the boat file ([[weight.restraint.finding]] with date, note, and factor: the "
        f"share of its strength that is left), and inspected_on = {found.date.isoformat()} under [boat]."
    )
    lines += ["", f"Looked over by {'_' * 34}  date {'_' * 18}"]
    return "\n".join(lines) + "\n"


def _by_subject(found: Checklist) -> dict[str, list[str]]:
    """Every check once, under what it is on, in the order in which they come up."""
    told: dict[str, list[str]] = {}
    for weight in found.weights:
        for each in (weight, *weight.restraints):
            for subject, check in zip(each.subjects, each.checks, strict=True):
                if check not in told.setdefault(subject, []):
                    told[subject].append(check)
    return told


def _weight(weight: WeightCheck) -> list[str]:
    """A line for the weight and one for all its restraints that are alike."""
    said = "" if weight.verdict is None else f", {LETTER[weight.verdict]} {WORD[weight.verdict]}"
    subjects = ", ".join(s for s in weight.subjects if s != "weight")
    lines = wrapped(f"{_BOX} {plain(weight.name)} ({plain(weight.id)}){said}{subjects and ': ' + subjects}", 0, 4)
    alike: dict[tuple[str, str | None], list[RestraintCheck]] = {}
    for each in weight.restraints:
        alike.setdefault((", ".join(dict.fromkeys(each.subjects)), each.replace), []).append(each)
    for (subjects, replace), group in alike.items():
        names = ", ".join(plain(each.id) for each in group)
        lines += wrapped(f"{_BOX} {names}: {subjects}{'' if replace is None else '; ' + replace}", 4, 8)
        for each in group:
            for finding in each.open_findings:
                lines += wrapped(f"{plain(each.id)} found before: {plain(finding)}", 8, 10)
    if not weight.restraints:
        lines += ["    nothing that holds it was entered"]
    return lines
