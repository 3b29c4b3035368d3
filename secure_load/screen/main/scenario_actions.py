"""What is the owner's own beside the weights: what she is put through, and what was found of a restraint."""

from __future__ import annotations

import datetime

from pydantic import ValidationError

from secure_load.boat.findings import finding_words
from secure_load.boat.models import Finding, Scenario, restraint_ids
from secure_load.loads.scenarios import choose
from secure_load.screen.dialogs.pick import Picked, PickScenarios
from secure_load.screen.form.fields import restraint_words
from secure_load.screen.form.pane import FormPane
from secure_load.screen.main.sheet_actions import SheetActions
from secure_load.screen.session.session import Keys, Session


class ScenarioActions(SheetActions):
    """Actions of the main screen on scenarios and findings."""

    def action_scenarios(self) -> None:
        """Choose what she is put through; write down scenarios of one's own."""
        self._scenarios("")

    def _scenarios(self, at: str) -> None:
        session = self.session
        every = choose(session.boat)
        own = [s.id for s in session.boat.scenario]

        def picked(answer: Picked | None) -> None:
            if answer is None:
                return
            # The ticks are kept also where one goes on to change a scenario: they are shown again afterwards.
            session.scenarios = None if len(answer.ticked) in (0, len(every)) else answer.ticked
            if answer.then == "run":
                self.changed_afresh()
            elif answer.then == "out":
                self._without(session, answer.at)
            elif answer.then == "change" and answer.at in own:
                self._scenario_sheet(session, answer.at)
            else:
                self._copied(session, next(s for s in every if s.id == answer.at))

        self.app.push_screen(PickScenarios(every, session.scenarios, own, at), picked)

    def _copied(self, session: Session, like: Scenario) -> None:
        """A scenario of the owner's own, begun with the figures of another."""
        taken = {s.id for s in choose(session.boat)}
        number = next(n for n in range(1, len(taken) + 2) if f"own-{n}" not in taken)
        name = f"{like.title} (own)"[:200]
        new = like.model_copy(update={"id": f"own-{number}", "name": name, "why": None, "source": None})
        session.close_undo_group()
        session.apply(session.boat.model_copy(update={"scenario": [*session.boat.scenario, new]}), "a scenario")
        if session.scenarios is not None:
            session.scenarios = [*session.scenarios, new.id]
        self.changed_afresh()
        self._scenario_sheet(session, new.id)

    def _scenario_sheet(self, session: Session, wanted: str) -> None:
        at = next(n for n, s in enumerate(session.boat.scenario) if s.id == wanted)
        self.open_sheet(
            "A scenario of your own",
            ("scenario", at),
            Scenario,
            lambda: self._scenarios(wanted),
            frozenset({"id", "source"}),
        )

    def _without(self, session: Session, gone: str) -> None:
        rest = [s for s in session.boat.scenario if s.id != gone]
        session.close_undo_group()
        session.apply(session.boat.model_copy(update={"scenario": rest}), "removing a scenario")
        if session.scenarios is not None:
            session.scenarios = [s for s in session.scenarios if s != gone] or None
        self.changed_afresh()
        self.say("The scenario is removed. Ctrl+Z brings it back.")
        self._scenarios("")

    def action_found(self) -> None:
        """What was found of the restraint the cursor is on."""
        session, form = self.session, self.query_one(FormPane)
        weight, index, at = session.weight, session.index, form.restraint_in_hand
        if weight is None or index is None or at is None:
            self.say("Go to the restraint first.", wrong=True)
            return
        from secure_load.screen.sheet.draft import Draft
        from secure_load.screen.sheet.screen import Rows

        root: Keys = ("weight", index, "restraint", at)
        title = f"Findings: {restraint_words(weight.restraint[at])} ({restraint_ids(weight)[at]})"
        draft = Draft(session, root, self.drafts.pop(root, None))

        def today() -> dict[str, object]:
            return {"date": datetime.date.today()}

        rows = Rows(title, draft, ("finding",), Finding, self.changed, today, _finding_line)
        self.app.push_screen(rows, lambda _: self.sheet_closed(title, draft))


def _finding_line(data: dict[str, object]) -> str:
    try:
        return finding_words(Finding.model_validate(data))
    except ValidationError:
        return f"{data.get('date', '')} not complete"
