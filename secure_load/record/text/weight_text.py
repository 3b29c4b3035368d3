"""The verdict on one weight as labelled lines of text, alike on screen and on the command line."""

from __future__ import annotations

from secure_load.check.results import WeightVerdict
from secure_load.record.text.text_layout import bullet, labelled, labelled_list, plain
from secure_load.record.text.words import (
    holds_g,
    holds_to,
    if_loose,
    instant,
    movement,
    number,
    percent,
    remedy_words,
)


def first_part(weight: WeightVerdict) -> str:
    """The part that goes first, with its restraint."""
    return f"{plain(weight.first_to_go.restraint)}: {plain(weight.first_to_go.part)}" if weight.first_to_go else "-"


def goes(weight: WeightVerdict) -> str:
    """What gives way first; a weight that nothing holds gives way to nothing, it goes."""
    if weight.unchecked is not None:
        return plain(weight.unchecked.partition(":")[0])
    return plain(weight.moves) if weight.free_to_move and weight.moves else first_part(weight)


def weight_lines(weight: WeightVerdict, names: dict[str, str], page: int) -> list[str]:
    """Everything but its colour and its name, so wide; ``names`` are the scenarios' names by id."""
    lines: list[str] = []
    for reason in weight.reasons:
        lines += bullet(plain(reason), 2, page)
    if weight.unchecked is not None:
        lines += labelled_list("would mend", [remedy_words(r) for r in weight.remedies], 2, 13, page)
        return lines

    def add(label: str, words: str) -> None:
        lines.extend(labelled(label, words, 2, 13, page))

    if weight.moves and not any(weight.moves in reason for reason in weight.reasons):
        add("moves", f"it {plain(weight.moves)}")
    add("worst", instant(weight.worst, names))
    first = weight.first_to_go
    if first is not None:
        worn = next((r.utilisation for r in weight.restraints if r.id == first.restraint), None)
        strength = "no strength this way" if first.strength_N is None else f"{number(first.strength_N, 0)} N"
        share = f" ({percent(worn)})" if worn is not None and first.strength_N is not None else ""
        asked = f"{number(first.demand_N, 0)} N demand on {strength}{share}"
        # where nothing stops it, a part that is merely worked has not given way
        label = "highest use" if weight.free_to_move else "first to go"
        add(label, f"{first_part(weight)}: {asked}; {plain(first.basis)}")
    add("back-up", "yes" if weight.second_path else "none")
    add("holds to", holds_to(weight.holds_to_heel_deg))
    add("movement", f"{movement(weight)} (before it is held)")
    add("holds", holds_g(weight))
    add("if loose", if_loose(weight))
    if weight.bundle is not None:
        add("bundle", plain(weight.bundle.sentence))
    for label, items in (
        ("gives way", [f.sentence for f in weight.order_of_failure]),
        ("borne by", [b.sentence for b in weight.bearing]),
        ("would mend", [remedy_words(r) for r in weight.remedies]),
    ):
        lines += labelled_list(label, [plain(item) for item in items], 2, 13, page)
    for label, items in (("assumed", weight.assumptions), ("look at", weight.warnings)):
        lines += labelled_list(label, [plain(item) for item in items], 2, 13, page)
    return lines
