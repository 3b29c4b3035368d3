"""The one error of this room."""

from __future__ import annotations


class CannotFloat(ValueError):
    """What is known of her does not allow the sum; the message is one sentence for the owner.

    ``key`` is the key of the boat file that would mend it, such as ``boat.lwl_m`` (None where there is none).
    """

    def __init__(self, sentence: str, key: str | None = None) -> None:
        self.sentence = sentence
        self.key = key
        super().__init__(sentence)


def too_heavy(mass: float, most: float) -> CannotFloat:
    """The error of a boat whose hull up to the deck displaces less than she weighs; both in kg."""
    return CannotFloat(
        f"she would weigh {mass:.0f} kg and her hull up to the deck displaces only {most:.0f} kg: look at the "
        "masses and the sections",
        "boat.displacement_kg",
    )
