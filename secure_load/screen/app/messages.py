"""What far-apart parts of the screen tell one another. State flows down by ``show``; these flow up."""

from __future__ import annotations

from textual.message import Message

from secure_load.check.results import WeightVerdict
from secure_load.screen.session.session import CheckRequest


class WeightChosen(Message):
    """The owner moved to another weight in the list."""

    def __init__(self, weight: str) -> None:
        super().__init__()
        self.weight = weight


class OpenForm(Message):
    """The owner wants to work on the chosen weight."""


class Edited(Message):
    """A change was taken into the session; what shows it must be shown afresh."""


class NotTaken(Message):
    """What was typed in a field was left behind without being taken in."""

    def __init__(self, words: str) -> None:
        super().__init__()
        self.words = words


class Checked(Message):
    """An answer has come from the check."""

    def __init__(self, question: CheckRequest, answer: WeightVerdict) -> None:
        super().__init__()
        self.question = question
        self.answer = answer
