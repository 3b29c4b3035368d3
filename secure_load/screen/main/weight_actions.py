"""What the owner does with whole weights and restraints: add, repeat, mirror, take out, undo."""

from __future__ import annotations

from secure_load.boat.models import AnyRestraint, BoatParticulars, Ingots, Weight
from secure_load.screen.dialogs.ask import AskLines
from secure_load.screen.dialogs.pick import Item, PickOne
from secure_load.screen.form.fields import IN_FORM, restraint_words
from secure_load.screen.form.pane import FormPane
from secure_load.screen.form.parsing import read_mass
from secure_load.screen.main.sheet_actions import SheetActions
from secure_load.screen.session import templates as drafts
from secure_load.screen.table.table import Order, WeightTable


class WeightActions(SheetActions):
    """Actions of the main screen on weights and restraints."""

    def action_add_weight(self) -> None:
        """Ask what it is and what it weighs, then open its form."""

        def entered(values: list[str] | None) -> None:
            if values is None:
                return
            self._add(drafts.new_weight(self.session.boat, *_name_and_mass(values)), "a new weight")
            self.say("Now its place, its size, and what holds it (F7).")
            self.action_pane("form")

        lines = [("What it is", "", "Lead pigs abaft the mast"), ("Its mass", "", "4 x 12 kg, or 48")]
        self.app.push_screen(AskLines("A new weight", lines, _wrong), entered)

    def _add(self, weight: Weight, what: str) -> None:
        boat = self.session.boat
        at = self.session.index
        at = len(boat.weight) if at is None else at + 1
        new = boat.model_copy(update={"weight": [*boat.weight[:at], weight, *boat.weight[at:]]})
        self.session.apply(new, what, chosen=weight.id)
        self.changed_afresh()

    def action_duplicate(self) -> None:
        """The same again, further forward."""
        weight = self.session.weight
        if weight is not None:
            self._add(drafts.duplicate(weight, self._ids()), "the same again")
            self.say("The same again, its own length further forward.")

    def action_other_side(self) -> None:
        """The same again on the other side of the boat."""
        weight = self.session.weight
        if weight is None:
            return
        if weight.at_m[1] == 0.0:
            self.say("It stands on the centreline: there is no other side to it.", wrong=True)
            return
        self._add(drafts.other_side(weight, self._ids()), "the same on the other side")
        self.say("The same again on the other side.")

    def action_mirror(self) -> None:
        """Turn port to starboard in the weight itself."""
        weight = self.session.weight
        if weight is not None:
            self._replace(drafts.mirrored(weight), "mirrored")
            self.say("Mirrored: port is starboard now.")

    def _ids(self) -> list[str]:
        return [w.id for w in self.session.boat.weight]

    def _replace(self, weight: Weight, what: str) -> None:
        boat, at = self.session.boat, self.session.index
        assert at is not None
        weights = [*boat.weight[:at], weight, *boat.weight[at + 1 :]]
        self.session.apply(boat.model_copy(update={"weight": weights}), what)
        self.changed_afresh()

    def action_delete_weight(self) -> None:
        """Take the chosen weight out."""
        session, weight, at = self.session, self.session.weight, self.session.index
        if weight is None or at is None:
            return
        leaning = [w.title for w in session.boat.weight for r in w.restraint if getattr(r, "weight", None) == weight.id]
        if leaning:
            self.say(f"{leaning[0]} bears against it: remove that restraint first.", wrong=True)
            return
        shared = [piece.id for piece in session.boat.restraint if weight.id in piece.over]
        if shared:
            self.say(f"'{shared[0]}' holds it with others: take it out of 'over' there first.", wrong=True)
            return
        rest = [*session.boat.weight[:at], *session.boat.weight[at + 1 :]]
        follows = rest[min(at, len(rest) - 1)].id if rest else None
        session.apply(session.boat.model_copy(update={"weight": rest}), "removing it", chosen=follows)
        self.say(f"{weight.title} removed. Ctrl+Z brings it back.")
        self.changed_afresh()

    def action_add_restraint(self) -> None:
        """Offer the faces and what may stand there."""
        weight = self.session.weight
        form = self.query_one(FormPane)
        if weight is None:
            self.say("Choose a weight in the list first (F2).", wrong=True)
            return

        def picked(choice: str | None) -> None:
            now = self.session.weight
            if choice is None or now is None:
                return
            made: list[AnyRestraint] = drafts.restraints_for(now, choice)
            if not made:
                self.say("All of that is there already.")
                return
            self._replace(
                now.model_copy(update={"restraint": [*now.restraint, *made]}), f"adding {restraint_words(made[0])}"
            )
            self.bring("form")
            form.open_restraint(len(now.restraint), head=len(made) > 1)
            if len(made) > 1:
                self.say("F6 on a line accepts what is assumed of it, Enter opens the line.")

        items = [Item(c.id, c.words, about=c.about) for c in drafts.choices_for(weight, self.session.boat)]
        self.app.push_screen(PickOne("What is to hold it, and where", items), picked)

    def action_delete_restraint(self) -> None:
        """Take out the restraint the cursor is on."""
        form, weight = self.query_one(FormPane), self.session.weight
        at = form.restraint_in_hand
        if weight is None or at is None:
            self.say("Go to the restraint that is to be removed first.", wrong=True)
            return
        gone = weight.restraint[at]
        form.opened = None
        rest = [*weight.restraint[:at], *weight.restraint[at + 1 :]]
        self._replace(weight.model_copy(update={"restraint": rest}), f"removing {restraint_words(gone)}")
        self.say(f"{restraint_words(gone)} removed. Ctrl+Z brings it back.")

    def action_undo(self) -> None:
        """Drop what is typed and refused; where there is nothing of the kind, undo the last step."""
        dropped = self.query_one(FormPane).drop_pending()
        if dropped is not None:
            self.say(f"Undone: {dropped}, as typed")
            return
        self._went(self.session.undo(), "Undone", "Nothing to undo.")

    def action_redo(self) -> None:
        """Do again what was taken back."""
        self._went(self.session.redo(), "Redone", "Nothing to redo.")

    def _went(self, what: str | None, done: str, nothing: str) -> None:
        self.say(nothing if what is None else f"{done}: {what}")
        if what is not None:
            self.changed_afresh()

    def action_sort(self, order: Order | None = None) -> None:
        """By a column of the table; without one in file order or worst first."""
        table = self.query_one(WeightTable)
        table.order = order or ("#" if table.order == "verdict" else "verdict")
        self.show_all()

    def action_next_failing(self) -> None:
        """The next weight that fails, or where none does, that is doubtful."""
        states, shown = self.session.states(), self.query_one(WeightTable).shown
        at = shown.index(self.session.chosen) if self.session.chosen in shown else -1
        for colour in ("red", "amber"):
            for each in [*shown[at + 1 :], *shown[: at + 1]]:
                verdict = states[each].verdict
                if verdict is not None and verdict.verdict == colour:
                    self.choose(each)
                    return
        self.say("No weight fails, and none is doubtful.")

    def action_find(self) -> None:
        """Find a weight by its name."""

        def found(choice: str | None) -> None:
            if choice is not None:
                self.choose(choice)

        weights = self.session.boat.weight
        items = [Item(w.id, f"{n:>3}  {w.title}", f"{w.mass:.1f} kg") for n, w in enumerate(weights, start=1)]
        self.app.push_screen(PickOne("Find a weight", items, self.session.chosen or ""), found)

    def action_boat(self) -> None:
        """The boat's own particulars."""
        self.open_sheet("Boat particulars", ("boat",), BoatParticulars)

    def action_more(self) -> None:
        """What else the file can say of the chosen weight: tank, crew and stores, slope, photographs."""
        weight, at = self.session.weight, self.session.index
        if weight is not None and at is not None:
            self.open_sheet(weight.title, ("weight", at), Weight, leave_out=IN_FORM)


def _wrong(values: list[str]) -> str | None:
    name = values[0].strip()
    if not name:
        return "Say what it is."
    try:
        drafts.new_weight_check(name, read_mass(values[1]))
    except ValueError as problem:
        return str(problem)
    return None


def _name_and_mass(values: list[str]) -> tuple[str, float | Ingots]:
    mass = read_mass(values[1])
    found = Ingots(**mass["ingots"]) if mass["ingots"] else float(mass["mass_kg"])
    return values[0].strip(), found
