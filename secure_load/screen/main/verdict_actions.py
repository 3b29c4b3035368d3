"""What the owner asks of a verdict: why it is so, and what would mend it."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from secure_load.boat.models import FloatData
from secure_load.loads.scenarios import choose
from secure_load.screen.app.themes import coloured
from secure_load.screen.dialogs.ask import Read
from secure_load.screen.main.drawings import Drawings
from secure_load.screen.main.sheet_actions import SheetActions
from secure_load.screen.verdict.words import safe, verdict_lines

if TYPE_CHECKING:
    from secure_load.remedies import Remedy


class VerdictActions(Drawings, SheetActions):
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

    def action_verdict(self) -> None:
        """The verdict on the chosen weight in full."""
        weight = self.session.weight
        if weight is None:
            self.say("Choose a weight first.", wrong=True)
            return
        lines = verdict_lines(self.session.states()[weight.id], self.scenario_names())
        lines += [[], [("quiet", "Indicative only, no survey: F12 shows the cautions.")]]
        self.app.push_screen(Read(f"Verdict: {safe(weight.title, 60)}", coloured(*lines), full=True))

    def action_fix(self) -> None:
        """What would bring the chosen weight to green."""
        session, weight = self.session, self.session.weight
        state = session.states()[weight.id] if weight is not None else None
        if weight is None or state is None:
            self.say("Choose a weight first.", wrong=True)
            return
        if state.verdict is not None and not state.working and state.verdict.verdict == "green":
            self.say(f"Nothing to fix: {weight.title} holds.")
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

        found = self.fixes_of_chosen()

        def search(stop: Callable[[], bool]) -> list[Remedy]:
            return found if found is not None else remedies(weight, run, known, cancelled=stop)

        def chosen(remedy: Remedy | None) -> None:
            at = session.index
            if remedy is None or remedy.weight is None or at is None or session is not self.session:
                return
            boat = session.boat
            weights = [*boat.weight[:at], remedy.weight, *boat.weight[at + 1 :]]
            session.close_undo_group()
            session.apply(boat.model_copy(update={"weight": weights}), "a fix")
            self.changed_afresh()
            self.say("Entered as proposed, not built: tick each piece off once it is. Ctrl+Z undoes it.")

        self.app.push_screen(MendScreen(weight.title, state, search), chosen)

    def action_afloat(self) -> None:
        """How she floats, without and with the weights."""
        from secure_load.screen.afloat.screen import AfloatScreen

        def closed(edit: bool | None) -> None:
            if edit:
                self.open_sheet("Afloat", ("float",), FloatData, self.action_afloat)

        self.app.push_screen(AfloatScreen(self.session.boat, self.session.verdict()), closed)

    def action_records(self) -> None:
        """Her records: what changed, what to look over, what to cut and buy."""
        from secure_load.screen.records.screen import RecordsScreen

        self.app.push_screen(RecordsScreen(self.session.boat, self.session.path, self.session.verdict()))
