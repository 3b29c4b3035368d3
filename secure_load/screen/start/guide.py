"""A short way in: the boat, one weight, where it stands, how large it is, what holds it; then the first verdict."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from pydantic import ValidationError
from textual.app import App

from secure_load.boat.explain import explain
from secure_load.boat.models import BoatFile
from secure_load.screen.dialogs.ask import AskLines
from secure_load.screen.dialogs.pick import Item, PickOne
from secure_load.screen.form.parsing import number, read_mass
from secure_load.screen.session import templates as drafts
from secure_load.screen.session.session import Session

_HELD: tuple[Item, ...] = (
    Item("usual", "a bed, four cleats and a batten over the top"),
    Item("bed cleats", "a bed and four cleats, nothing over the top"),
    Item("bed strap", "a bed, and a strap over the top"),
    Item("bed", "a bed alone"),
    Item("nothing", "nothing yet"),
)


@dataclass(frozen=True)
class Step:
    """One page of questions."""

    title: str
    about: str
    lines: tuple[tuple[str, str], ...]
    """What is asked, and an example."""


STEPS: tuple[Step, ...] = (
    Step(
        "A new boat",
        "Length and breadth are measured on the waterline, between plumb lines. They may be left blank.",
        (("Her name", "Dunlin"), ("Length on the waterline, m", "6.40"), ("Breadth on the waterline, m", "2.05")),
    ),
    Step(
        "Her first weight",
        "Stand on a bathroom scale with it and without it. Several alike are written 4 x 12 kg.",
        (("What it is", "Lead pigs abaft the mast"), ("Its mass", "4 x 12 kg, or 48")),
    ),
    Step(
        "Where its middle is",
        "Stretch a thread fore and aft at the height of the waterline, and measure from it with a tape. "
        "Minus is to starboard, and below the waterline.",
        (
            ("Forward of the after end of the waterline, m", "3.20"),
            ("To port of the middle line, m", "0"),
            ("Above the waterline, m", "-0.35"),
        ),
    ),
    Step(
        "How large it is",
        "Over all of it as it lies. Left blank, a size is assumed from its mass.",
        (("Fore and aft, m", "0.40"), ("Across the boat, m", "0.20"), ("High, m", "0.12")),
    ),
)


def boat_of(answers: list[list[str]]) -> dict[str, Any]:
    """The boat file so far as plain tables, from the answers page by page."""
    pages = [*answers, *[[""] * len(step.lines) for step in STEPS[len(answers) :]]]
    name, length, breadth = pages[0]
    boat = {"name": name.strip(), "lwl_m": _figure(length), "bwl_m": _figure(breadth)}
    data: dict[str, Any] = {"boat": {k: v for k, v in boat.items() if v is not None}}
    if len(answers) > 1:
        what, mass = pages[1]
        place = [_figure(v) for v in pages[2]]
        size = [_figure(v) for v in pages[3]]
        weight: dict[str, Any] = {
            "id": drafts.weight_id(what, []),
            "name": what.strip(),
            "kind": drafts.kind_of(what),
            **read_mass(mass),
            "at_m": [0.0 if v is None else v for v in place],
        }
        if any(v is not None for v in size):
            weight["size_m"] = [0.0 if v is None else v for v in size]
        data["weight"] = [{k: v for k, v in weight.items() if v is not None}]
    return data


def _figure(text: str) -> float | str | None:
    return number(text, "m") if text.strip() else None


def wrong(answers: list[list[str]]) -> str | None:
    """What is wrong with the latest page, in a sentence."""
    page, here = len(answers) - 1, answers[-1]
    if page < 2 and not here[0].strip():
        return "She needs a name." if page == 0 else "Say what it is."
    if page == 1 and not here[1].strip():
        return "Its mass is missing."
    given = [bool(v.strip()) for v in here]
    if page == 2 and not all(given):
        return "All three are needed: guess, and measure later."
    if page == 3 and any(given) and not all(given):
        return "Give all three, or none."
    data = boat_of(answers)
    try:
        BoatFile.model_validate(data)
    except ValidationError as error:
        problem = explain(error, data)[0]
        key = str(next((k for k in reversed(problem.path) if isinstance(k, str)), ""))
        return f"{_CALLED.get(key, key)} {problem.sentence}."
    return None


_CALLED = {
    "name": "The name", "lwl_m": "The length", "bwl_m": "The breadth", "mass_kg": "The mass", "each_kg": "The mass",
    "count": "The number", "at_m": "The place", "size_m": "The size", "id": "The name",
}  # fmt: skip


def begun(answers: list[list[str]], held: str) -> Session:
    """The session that the answers lead to."""
    boat = BoatFile.model_validate(boat_of(answers))
    weight = boat.weight[0]
    for choice in () if held == "nothing" else held.split():
        weight = weight.model_copy(update={"restraint": [*weight.restraint, *drafts.restraints_for(weight, choice)]})
    return Session(boat.model_copy(update={"weight": [weight]}))


@dataclass
class Guide:
    """Asks page after page; escape goes back a page, and out of the first one."""

    app: App[None]
    done: Callable[[Session], object]
    answers: list[list[str]] = field(default_factory=list)
    _kept: dict[int, list[str]] = field(default_factory=dict)

    def ask(self) -> None:
        """The next page."""
        page = len(self.answers)
        if page == len(STEPS):
            self.app.push_screen(PickOne("What holds it now", _HELD), self._held)
            return
        step = STEPS[page]
        stands = self._kept.get(page, [""] * len(step.lines))
        lines = [(name, value, example) for (name, example), value in zip(step.lines, stands, strict=True)]
        about = f"{step.about}\nPage {page + 1} of {len(STEPS) + 1}."
        self.app.push_screen(
            AskLines(step.title, lines, lambda values: wrong([*self.answers, values]), about), self._answered
        )

    def _answered(self, values: list[str] | None) -> None:
        if values is None:
            self._back()
            return
        self._kept[len(self.answers)] = values
        self.answers.append(values)
        self.ask()

    def _held(self, choice: str | None) -> None:
        if choice is None:
            self._back()
            return
        self.done(begun(self.answers, choice))

    def _back(self) -> None:
        if self.answers:
            self.answers.pop()
            self.ask()
