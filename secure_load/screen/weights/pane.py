"""The list of weights, a line each: the verdict as letter, word and colour, how hard it is worked, what goes first."""

from __future__ import annotations

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from secure_load.boat.models import Weight
from secure_load.check.results import RANK
from secure_load.screen.app.keys import LIST_KEYS
from secure_load.screen.app.messages import OpenForm, WeightChosen
from secure_load.screen.app.themes import coloured, entitle
from secure_load.screen.session.session import Session, WeightStatus
from secure_load.screen.verdict.words import goes_first, safe, state_mark, utilisation
from secure_load.screen.weights.lines import TITLE, heading, line, room_for_names


class WeightsPane(Vertical):
    """The list, and its heading line."""

    def __init__(self) -> None:
        super().__init__(id="weights")
        self.by_verdict = False
        self._shown: list[str] = []
        self._prompts: list[Content] = []
        self._head = Content()

    def compose(self) -> ComposeResult:
        yield Static(id="weights-head", markup=False)
        yield WeightList(id="weight-list", compact=True, markup=False)

    def show(self, session: Session) -> None:
        """Show every weight of the session as it now stands."""
        states = session.states()
        weights = list(session.boat.weight)
        if self.by_verdict:
            weights.sort(key=lambda w: _gravity(states[w.id]), reverse=True)
        # it has no size yet when it is first shown; it is as wide as the screen
        width = max(self.size.width or self.app.size.width - 2, 40) - 2
        names = room_for_names([w.title for w in weights], width)
        listing = self.query_one(WeightList)
        prompts = [self._line(w, states[w.id], names, w.id == session.chosen) for w in weights]
        order = [w.id for w in weights]
        with self.prevent(OptionList.OptionHighlighted):
            if order == self._shown:
                for n, prompt in enumerate(prompts):
                    # every line that is replaced is painted, and all others with it
                    if prompt != self._prompts[n]:
                        listing.replace_option_prompt_at_index(n, prompt)
            else:
                listing.set_options(Option(p) for p in prompts)
                self._shown = order
            self._prompts = prompts
            listing.highlighted = order.index(session.chosen) if session.chosen in order else None
        head = heading(names, width) if order else coloured([("head", "No weight stowed yet: press a to enter one.")])
        if head != self._head:
            self._head = head
            self.query_one("#weights-head", Static).update(head, layout=False)
        entitle(self, "Weights, gravest first" if self.by_verdict else TITLE)

    def _line(self, weight: Weight, state: WeightStatus, names: int, chosen: bool) -> Content:
        worked = utilisation(state) + (" ..." if state.working and state.verdict else "")
        title = safe(weight.title, 200)
        return line(state_mark(state), worked, weight.mass, title, names, goes_first(state), chosen=chosen)

    def chosen_at(self, index: int) -> str:
        """Id of the weight on a line."""
        return self._shown[index]

    @on(OptionList.OptionHighlighted)
    def _moved(self, event: OptionList.OptionHighlighted) -> None:
        event.stop()
        if event.option_index < len(self._shown):
            self.post_message(WeightChosen(self._shown[event.option_index]))

    @on(OptionList.OptionSelected)
    def _entered(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.post_message(WeightChosen(self._shown[event.option_index]))
        self.post_message(OpenForm())


class WeightList(OptionList):
    """The lines themselves; single letters work here, as nothing is typed."""

    BINDINGS = [*LIST_KEYS]  # noqa: RUF012 (Textual's own way)


def _gravity(state: WeightStatus) -> tuple[float, float]:
    if state.verdict is None:
        return -1.0, 0.0
    worked = state.verdict.utilisation
    return float(RANK[state.verdict.verdict]), 1e9 if worked is None else worked
