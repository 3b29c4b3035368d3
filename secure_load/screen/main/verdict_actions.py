"""What the owner asks of a verdict: why it is so, and what would mend it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from secure_load.loads.scenarios import choose
from secure_load.screen.main.base import Base

if TYPE_CHECKING:
    from secure_load.remedies import Remedy


class VerdictActions(Base):
    """Actions of the main screen on verdicts."""

    def scenario_names(self) -> dict[str, str]:
        """The scenarios' names by id."""
        return {s.id: s.title for s in choose(self.session.boat)}

    def action_why(self) -> None:
        """The chain of figures behind the chosen weight's verdict."""
        weight = self.session.weight
        state = self.session.states()[weight.id] if weight is not None else None
        if state is None or state.verdict is None:
            self.say("There is no verdict yet.", wrong=True)
            return
        # Imported where it is used, as below: the first sight of the boat comes a few hundredths of a second sooner.
        from secure_load.screen.why.screen import WhyScreen

        self.app.push_screen(WhyScreen(state.verdict, self.scenario_names()))

    def action_mend(self) -> None:
        """What would bring the chosen weight to green."""
        session, weight = self.session, self.session.weight
        state = session.states()[weight.id] if weight is not None else None
        if weight is None or state is None:
            self.say("Choose a weight first.", wrong=True)
            return
        if state.verdict is not None and not state.working and state.verdict.verdict == "green":
            self.say(f"There is nothing to mend: {weight.title} holds.")
            return
        try:
            run = session.run()
        except LookupError as problem:
            self.say(str(problem), wrong=True)
            return
        from secure_load.remedies import remedies
        from secure_load.screen.mend.screen import MendScreen

        # While the answer is awaited the verdict at hand is of the weight as it was before.
        known = None if state.working else state.verdict

        def search(stop: Callable[[], bool]) -> list[Remedy]:
            return remedies(weight, run, known, cancelled=stop)

        def chosen(remedy: Remedy | None) -> None:
            at = session.index
            if remedy is None or remedy.weight is None or at is None or session is not self.session:
                return
            boat = session.boat
            weights = [*boat.weight[:at], remedy.weight, *boat.weight[at + 1 :]]
            session.close_undo_group()
            session.apply(boat.model_copy(update={"weight": weights}), "mending it")
            self.changed_afresh()
            self.say("Written down as proposed, not built: tick each piece off once it is. Ctrl+Z takes it back.")

        self.app.push_screen(MendScreen(weight.title, state, search), chosen)

    def action_afloat(self) -> None:
        """How she floats, before and after."""
        from secure_load.screen.afloat.screen import AfloatScreen

        self.app.push_screen(AfloatScreen(self.session.boat, self.session.verdict()))

    def action_records(self) -> None:
        """Her records: what changed, what to look over, what to cut and buy."""
        from secure_load.screen.records.screen import RecordsScreen

        self.app.push_screen(RecordsScreen(self.session.boat, self.session.path, self.session.verdict()))
