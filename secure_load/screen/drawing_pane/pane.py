"""The drawings of the chosen weight at a heel: her section, the plan, the rose; under them the strip of all heels.

The cursor of the strip is the heel of everything here: drawing and figures follow it, also while the roll is played.
"""

from __future__ import annotations

from typing import Literal

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical
from textual.message import Message
from textual.widgets import Static

from secure_load.check.judge import format_heel
from secure_load.check.results import Colour
from secure_load.loads.scenarios import choose
from secure_load.screen.app.themes import coloured, entitle
from secure_load.screen.drawing.glyphs import GlyphSet
from secure_load.screen.drawing.pictures import PlanView, RoseView, SectionView
from secure_load.screen.drawing.strip import HeelStrip
from secure_load.screen.drawing.view import PictureView
from secure_load.screen.session.drawing_cache import Pictures
from secure_load.screen.session.session import Session
from secure_load.screen.verdict.words import Line, directions, safe

Sight = Literal["section", "plan", "rose"]
_WORDS: dict[Sight, str] = {"section": "Section", "plan": "Plan", "rose": "How many g it holds, each way"}


class RollPane(Vertical):
    """Drawing, figures, strip."""

    BINDINGS = [  # noqa: RUF012 (Textual's own way)
        Binding("1", "sight('section')", "Section"),
        Binding("2", "sight('plan')", "Plan"),
        Binding("3", "sight('rose')", "Rose"),
        Binding("z", "nearer", "Nearer"),
        Binding("w", "screen.why", "Why", show=False),
        Binding("r", "screen.mend", "Mend", show=False),
        Binding("escape", "screen.pane('weights')", "Weights", show=False),
    ]

    class Turned(Message):
        """Another drawing is looked at, which may not be there yet."""

    def __init__(self, glyphs: GlyphSet | None = None) -> None:
        super().__init__(id="drawing")
        self.glyphs: GlyphSet | None = glyphs
        self.sight: Sight = "section"
        self._session: Session | None = None
        self._pictures: Pictures | None = None
        self._strips: object = None
        self._drawn: object = None
        self._held: object = None
        """What was drawn last, held on to so that no other can have its place in memory."""

    def compose(self) -> ComposeResult:
        yield SectionView(id="section-view")
        yield PlanView(id="plan-view")
        yield RoseView(id="rose-view")
        yield Static(id="roll-figures", markup=False)
        yield HeelStrip(id="heel-strip")

    def on_mount(self) -> None:
        """The drawings are looked at; the cursor stays in the strip."""
        for view in self.query(PictureView):
            view.can_focus = False
            view.set_reactive(PictureView.glyphs, self.glyphs)
        if self.glyphs == "ascii":
            self.query_one(HeelStrip).ascii_only = True
        self._turn()

    @property
    def heel(self) -> float:
        """Degrees, starboard side down positive."""
        return self.query_one(HeelStrip).heel

    def show(self, session: Session, pictures: Pictures) -> None:
        """Show the chosen weight as the session has it."""
        self._session, self._pictures = session, pictures
        strips = pictures.strips(session)
        strip = self.query_one(HeelStrip)
        now = (strips, session.chosen)
        if now != self._strips:
            self._strips = now
            strip.names = {s.id: s.title for s in choose(session.boat)}
            strip.show(strips, session.chosen)
        self._draw()

    @on(HeelStrip.HeelChosen)
    def _heeled(self, event: HeelStrip.HeelChosen) -> None:
        event.stop()
        self._draw()

    def action_sight(self, sight: Sight) -> None:
        """Section, plan or rose."""
        self.sight = sight
        self._turn()
        self._draw()
        self.post_message(self.Turned())

    def action_nearer(self) -> None:
        """The weight alone, or all of her."""
        if self.sight == "section":
            self.query_one(SectionView).action_nearer()
        elif self.sight == "plan":
            self.query_one(PlanView).action_nearer()

    def _turn(self) -> None:
        for name in ("section", "plan", "rose"):
            self.query_one(f"#{name}-view").display = name == self.sight

    def _draw(self) -> None:
        session, pictures = self._session, self._pictures
        if session is None or pictures is None or not self.region.area:
            return
        weight, states = session.weight, session.states()
        colours: dict[str, Colour] = {i: s.verdict.verdict for i, s in states.items() if s.verdict is not None}
        strip = pictures.strip(session, weight.id) if weight is not None else None
        rose = pictures.rose(session, weight.id) if weight is not None else None
        known = weight is not None and pictures.is_known(session, weight.id)
        # Parts of the boat are never changed in place, so what is the same object says the same.
        now = (id(session.boat), session.chosen, colours, known, id(strip), id(rose), self.heel, self.sight)
        if now == self._drawn:
            return
        self._drawn, self._held = now, (session.boat, strip, rose)
        cell = strip.at(self.heel) if strip is not None else None
        if self.sight == "section":
            load = cell.demand_N if cell is not None else None
            self.query_one(SectionView).show(
                session.boat, weight.id if weight is not None else None, self.heel, load, colours
            )
        elif self.sight == "plan":
            self.query_one(PlanView).show(session.boat, weight.id if weight is not None else None, colours)
        else:
            self.query_one(RoseView).show(rose)
        title = safe(weight.title, 40) if weight is not None else ""
        at = f", {format_heel(self.heel)}" if self.sight == "section" else ""
        entitle(self, f"{_WORDS[self.sight]}: {title}{at}" if title else "Drawing")
        line: Line = [("quiet", "not worked out yet" if weight is not None and not known else "")]
        if cell is not None:
            line = [("quiet", f"{cell.load_factor:g} x gravity: "), ("", directions(cell.demand_N))]
        elif known:
            line = [("quiet", "no scenario that is run goes to this heel")]
        self.query_one("#roll-figures", Static).update(coloured(line), layout=False)

    def on_resize(self) -> None:
        """It may come in sight only now."""
        self.call_after_refresh(self._draw)
