"""The inspection list as plain text, 78 columns, with a box to tick before each thing to look at."""

from __future__ import annotations

from secure_load.record.inspecting import Checklist
from secure_load.record.text.text_layout import WIDTH, bullet, heading, labelled, plain, wrapped

_BOX = "[ ]"


def checklist_text(found: Checklist) -> str:
    """The whole list, lines ended with LF."""
    lines = ["WHAT TO LOOK OVER", "=" * WIDTH, *labelled("Boat", plain(found.boat))]
    lines += labelled("Printed on", found.date.isoformat())
    state = "due now" if found.due.now else f"due on {found.due.on.isoformat()}"
    lines += labelled("Inspection", f"{state}: {found.due.why}")
    lines += labelled("Interval", f"{found.due.every_months} months ({found.due.source})")
    lines += labelled("And", "at once after hard weather, a grounding, a hard knock, or a day on the trailer")
    lines += labelled("Source", found.source)
    lines += heading("The boat")
    for check in found.checks:
        lines += _ticked(check, 0)
    for place, weight in enumerate(found.weights, start=1):
        lines += heading(f"{place}. {plain(weight.name)} ({plain(weight.id)})")
        lines += wrapped(weight.position)
        for check in weight.checks:
            lines += _ticked(check, 0)
        for restraint in weight.restraints:
            lines += ["", *wrapped(f"{plain(restraint.id)}: {restraint.words}", 2, 4)]
            for finding in restraint.open_findings:
                lines += bullet(f"found before: {plain(finding)}", 4)
            for check in restraint.checks:
                lines += _ticked(check, 4)
        if not weight.restraints:
            lines += ["", "  nothing that holds it was entered"]
    lines += heading("What was found")
    lines += wrapped(
        "Write each thing under its restraint in the boat file, and the day under [boat]; 'factor' is what is left "
        "of its strength by your own judgement, 1 where it only wants watching:"
    )
    lines += [
        "",
        "  [boat]",
        f"  inspected_on = {found.date.isoformat()}",
        "",
        "  [[weight.restraint.finding]]",
        f"  date = {found.date.isoformat()}",
        '  note = "two of four screws wasted under the head"',
        "  factor = 0.5",
        "",
        f"Looked over by {'_' * 34}  date {'_' * 18}",
    ]
    return "\n".join(lines) + "\n"


def _ticked(words: str, indent: int) -> list[str]:
    return wrapped(f"{_BOX} {words}", indent, indent + len(_BOX) + 1)
