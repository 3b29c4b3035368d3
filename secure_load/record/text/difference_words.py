"""The differences between two records as plain text, 78 columns."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, cast

from secure_load.check.results import RANK
from secure_load.record.differences import Differences, KeyChange, Moved, Named, VerdictChange, Which
from secure_load.record.text.text_layout import bullet, heading, labelled, plain, wrapped
from secure_load.record.text.words import colour, count, mass, percent, position


def differences_text(found: Differences) -> str:
    """All that differs, lines ended with LF."""
    lines = wrapped(f"{plain(found.boat)}: {found.before.name} and {found.after.name}")
    lines += _which(found.before) + _which(found.after)
    for caution in found.cautions:
        lines += bullet(plain(caution))
    if found.none:
        lines += ["", "Nothing differs."]
    lines += _titled("Added", [f"{_named(w)}, {position(w.at_m)}" for w in found.added])
    lines += _titled("Taken away", [_named(w) for w in found.gone])
    lines += _titled("Given another id", [f"{plain(r.before)} is now {plain(r.after)}" for r in found.renamed])
    lines += _titled("Moved", [_moved(m) for m in found.moved])
    lines += _titled(
        "Mass",
        [
            f"{plain(m.name)} ({plain(m.id)}): {mass(m.before_kg)} kg, now {mass(m.after_kg)} kg"
            f" ({mass(abs(m.after_kg - m.before_kg))} kg {'more' if m.after_kg > m.before_kg else 'less'})"
            for m in found.masses
        ],
    )
    lines += _titled(
        "What holds them",
        [f"{plain(r.weight)}, {plain(r.restraint)}, {r.what}: {plain(r.words)}" for r in found.restraints],
    )
    lines += _titled("Entered otherwise", [_key(k) for k in found.keys])
    lines += _titled("Verdicts", [_verdict(v) for v in found.verdicts])
    return "\n".join(lines) + "\n"


_MOST_LINES = 10
_EACH = 2
"""Of any kind of change that are told in the summary."""


def differences_summary(found: Differences) -> str:
    """What differs in ten lines at most: what changed verdict and why, what moved, what else; lines ended with LF."""
    states = [f"{one.name} ({one.date.isoformat()}, {colour(one.verdict)})" for one in (found.before, found.after)]
    lines = [f"{plain(found.boat)}: {' and '.join(states)}"]
    if found.none:
        lines.append("Nothing differs.")
    changes = [
        ("Moved", [_moved(m) for m in found.moved]),
        ("Mass", [f"{plain(m.id)} {mass(m.before_kg)} kg, now {mass(m.after_kg)} kg" for m in found.masses]),
        ("Added", [_named(w) for w in found.added]),
        ("Taken away", [_named(w) for w in found.gone]),
        ("Restraints", [f"{plain(r.weight)}, {plain(r.restraint)} {r.what}" for r in found.restraints]),
        ("Changed entries", [_key(k) for k in found.keys]),
        ("Renamed", [f"{plain(r.before)} is now {plain(r.after)}" for r in found.renamed]),
    ]
    others = [_shortened(f"{title}: {_few(items)}") for title, items in changes if items]
    others += [_shortened(plain(caution)) for caution in found.cautions]
    room = max(_MOST_LINES - len(lines) - min(len(others), 4) - 1, 1)
    for change in sorted(found.verdicts, key=lambda v: -RANK[v.after])[:room]:
        use = f"{percent(change.use_before)}, now {percent(change.use_after)}"
        lines.append(
            _shortened(
                f"{plain(change.id)}: {colour(change.before)}, now {colour(change.after)} ({use}): {plain(change.why)}"
            )
        )
    lines += others[: _MOST_LINES - len(lines) - 1]
    told = min(len(found.verdicts), room) + len(others)
    if told > len(lines) - 1 or any(len(items) > _EACH for _, items in changes) or len(found.verdicts) > room:
        lines.append("There is more: --all tells the whole of it.")
    return "\n".join(lines) + "\n"


def _few(items: Sequence[str]) -> str:
    more = f"; and {len(items) - _EACH} more" if len(items) > _EACH else ""
    return "; ".join(items[:_EACH]) + more


def _shortened(line: str, most: int = 156) -> str:
    """Two lines of a terminal at most."""
    return line if len(line) <= most else line[: most - 3] + "..."


def _which(one: Which) -> list[str]:
    said = f"{one.date.isoformat()}, {colour(one.verdict)}, {mass(one.mass_kg)} kg, {one.program}"
    return labelled(one.name, said, 2, 16)


def _titled(title: str, items: Sequence[str]) -> list[str]:
    if not items:
        return []
    return [*heading(title), *(line for item in items for line in bullet(item))]


def _named(weight: Named) -> str:
    verdict = f", {colour(weight.verdict)}" if weight.verdict else ""
    return f"{plain(weight.name)} ({plain(weight.id)}), {mass(weight.mass_kg)} kg{verdict}"


def _moved(moved: Moved) -> str:
    ways = (("forward", "aft"), ("to port", "to starboard"), ("up", "down"))
    by = [
        f"{1000 * abs(value):.0f} mm {there if value > 0 else back}"
        for value, (there, back) in zip(moved.by_m, ways, strict=True)
        if abs(value) >= 5e-4
    ]
    return f"{plain(moved.name)} ({plain(moved.id)}): {', '.join(by)}; now {position(moved.after_m)}"


def _key(change: KeyChange) -> str:
    where = [plain(w) for w in (change.weight, change.restraint) if w is not None] or ["the boat"]
    return f"{', '.join(where)}: {plain(change.key)} {_value(change.before)}, now {_value(change.after)}"


def _value(value: Any) -> str:
    if value is None:
        return "not given"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(_value(v) for v in cast('Sequence[Any]', value))}]"
    if isinstance(value, dict):
        table = cast("dict[str, Any]", value)
        return "; ".join(f"{plain(k)} {_value(v)}" for k, v in table.items())
    return f"{value:g}" if isinstance(value, float) else plain(str(value))


def _verdict(change: VerdictChange) -> str:
    name = f"{plain(change.name)} ({plain(change.id)})"
    use = f"{percent(change.use_before)}, now {percent(change.use_after)}"
    if change.before != change.after:
        said = f"{name}: {colour(change.before)}, now {colour(change.after)} ({use})"
    else:
        said = f"{name}: {colour(change.after)} as before ({use})"
    each = [
        f"{plain(s.scenario)} {colour(s.before) if s.before else 'not run'}, now "
        f"{colour(s.after) if s.after else 'not run'}"
        for s in change.scenarios
    ]
    return f"{said}; in {count(len(each), 'scenario')}: {'; '.join(each)}" if each else said
