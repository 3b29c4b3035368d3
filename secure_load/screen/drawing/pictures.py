"""The section, the plan and the rose of a boat's weights, each as a widget."""

from __future__ import annotations

from collections.abc import Sequence

from secure_load.boat.models import BoatFile
from secure_load.catalogue.errors import UnknownRow
from secure_load.record.drawings.drawing_model import Picture
from secure_load.record.drawings.plan import plan_picture
from secure_load.record.drawings.section import Verdicts, section_picture
from secure_load.record.text.text_layout import plain
from secure_load.screen.drawing.view import PictureView


class SectionView(PictureView):
    """The boat's section at one weight, turned to a heel, with the load on it.

    ``show(boat, weight_id, heel_deg, load, verdict)`` gives it everything, and is cheap enough to be called for every
    step of the heel; ``close`` shows the weight and what holds it alone. Posts no messages.
    """

    def __init__(
        self, *, name: str | None = None, id: str | None = None, classes: str | None = None, legend: bool = False
    ) -> None:
        super().__init__(name=name, id=id, classes=classes, legend=legend)
        self.close = False
        self._asked: tuple[BoatFile, str, float, Sequence[float] | None, Verdicts] | None = None

    def show(
        self,
        boat: BoatFile,
        weight_id: str | None,
        heel_deg: float = 0.0,
        load: Sequence[float] | None = None,
        verdict: Verdicts = None,
    ) -> None:
        """Show a weight at a heel (degrees, starboard down positive) under a load (x, y, z) in N.

        With no weight, or one that cannot be drawn, a sentence stands in the picture's place.
        """
        self._asked = None if weight_id is None else (boat, weight_id, heel_deg, load, verdict)
        self._make()

    def _make(self) -> None:
        if self._asked is None:
            self.empty, self.picture = "No weight is chosen.", None
            return
        boat, weight_id, heel_deg, load, verdict = self._asked
        try:
            self.picture = section_picture(boat, weight_id, heel_deg, load, verdict, close=self.close)
        except (LookupError, UnknownRow) as problem:
            self.empty, self.picture = f"Cannot be drawn: {plain(str(problem))}", None

    def zoom(self) -> None:
        """The weight alone for the whole boat, and back."""
        self.close = not self.close
        self._make()


class PlanView(PictureView):
    """All weights from above, the chosen one strong.

    ``show(boat, weight_id, verdict)``; ``close`` shows the chosen weight alone. Posts no messages.
    """

    def __init__(
        self, *, name: str | None = None, id: str | None = None, classes: str | None = None, legend: bool = False
    ) -> None:
        super().__init__(name=name, id=id, classes=classes, legend=legend)
        self.close = False
        self._asked: tuple[BoatFile, str | None, Verdicts] | None = None

    def show(self, boat: BoatFile, weight_id: str | None = None, verdict: Verdicts = None) -> None:
        """Show a boat's weights; ``verdict`` of the boat, of one weight, or colours by id."""
        self._asked = boat, weight_id, verdict
        self._make()

    def _make(self) -> None:
        if self._asked is None:
            return
        boat, weight_id, verdict = self._asked
        try:
            self.picture = plan_picture(boat, weight_id, verdict, close=self.close)
        except (LookupError, UnknownRow) as problem:
            self.empty, self.picture = f"Cannot be drawn: {plain(str(problem))}", None

    def zoom(self) -> None:
        """The chosen weight alone for the whole boat, and back."""
        self.close = not self.close
        self._make()


class RoseView(PictureView):
    """How many g one weight is held against in each direction, with the demand inside it.

    ``show(picture)`` takes a picture from ``record.drawings.rose``: that solves some thousand loads where lines are
    set up tight (a tenth of a second), so it is made beside the check and not in here. Posts no messages.
    """

    def show(self, picture: Picture | None) -> None:
        """Show a rose, or that there is none yet."""
        self.empty = "Not worked out yet."
        self.picture = picture
