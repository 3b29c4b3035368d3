"""The drawings of the chosen weight at a heel: her section, the plan, the rose.

The cursor of the table's strips is the heel of everything here: drawing and figures follow it, also in the film.
"""

from __future__ import annotations

from typing import Literal

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.message import Message
from textual.widgets import Static

from secure_load.catalogue.errors import UnknownRow
from secure_load.check.judge import format_heel
from secure_load.check.results import LETTER, Colour
from secure_load.check.utilisation import percent
from secure_load.record.drawings.drawing_model import Picture
from secure_load.record.drawings.plan import plan_picture
from secure_load.record.drawings.section import section_picture
from secure_load.record.text.text_layout import plain
from secure_load.screen.app.keys import key
from secure_load.screen.app.themes import coloured, entitle
from secure_load.screen.drawing.glyphs import GlyphSet
from secure_load.screen.drawing.view import PictureView
from secure_load.screen.session.drawing_cache import Pictures
from secure_load.screen.session.session import Session
from secure_load.screen.verdict.words import STYLE, Line, directions

Sight = Literal["section", "plan", "rose"]
_WORDS: dict[Sight, str] = {"section": "Section", "plan": "Plan", "rose": "Load it holds, in g, by direction"}


class DrawingPane(Vertical, can_focus=True):
    """A drawing and its figures."""

    BINDINGS = [  # noqa: RUF012 (Textual's own way)
        key("d", "sight('section')", "Section"),
        key("p", "sight('plan')", "Plan"),
        key("k", "sight('rose')", "Load it holds"),
        key("z", "zoom", "Zoom", "The whole boat or the weight alone"),
        key("left", "screen.heel(-1)", "Heel"),
        key("space", "screen.film", "Play the roll"),
        key("w", "screen.why", "Why"),
        key("f", "screen.fix", "Fix", show=False),
        key("v", "screen.verdict", "Verdict", show=False),
        key("right", "screen.heel(1)", "Heel", show=False),
        key("ctrl+left", "screen.heel(-5)", "Heel by 30", show=False),
        key("ctrl+right", "screen.heel(5)", "Heel by 30", show=False),
        key("0", "screen.upright", "Upright", show=False),
        key("down", "screen.row(1)", "Next weight", show=False),
        key("up", "screen.row(-1)", "Weight before", show=False),
        key("escape", "screen.pane('table')", "List", show=False),
    ]

    class Turned(Message):
        """Another drawing is looked at, which may not be there yet."""

    def __init__(self, glyphs: GlyphSet | None = None) -> None:
        super().__init__(id="drawing")
        self.glyphs: GlyphSet | None = glyphs
        self.sight: Sight = "section"
        self.close = False
        """True where the weight alone is drawn."""
        self._session: Session | None = None
        self._pictures: Pictures | None = None
        self.heel = 0.0
        """Degrees, starboard side down positive."""
        self._drawn: object = None
        self._held: object = None
        """What was drawn last, held on to so that no other can have its place in memory."""

    def compose(self) -> ComposeResult:
        yield PictureView()
        yield Static(id="roll-figures", markup=False)

    def on_mount(self) -> None:
        """The drawing is looked at; the keys are the pane's."""
        self.query_one(PictureView).set_reactive(PictureView.glyphs, self.glyphs)

    def show(self, session: Session, pictures: Pictures, heel: float) -> None:
        """Show the chosen weight as the session has it, at a heel."""
        self._session, self._pictures, self.heel = session, pictures, heel
        self._draw()

    def action_sight(self, sight: Sight) -> None:
        """Section, plan or rose."""
        self.sight = sight
        self._draw()
        self.post_message(self.Turned())

    def action_zoom(self) -> None:
        """The weight alone, or all of her."""
        self.close = not self.close
        self._draw()

    def _picture(
        self, session: Session, rose: Picture | None, load: tuple[float, float, float] | None
    ) -> Picture | None:
        """What is to be shown now. Raises LookupError or UnknownRow for what cannot be drawn."""
        chosen, boat = session.chosen, session.boat
        states = session.states()
        colours: dict[str, Colour] = {i: s.verdict.verdict for i, s in states.items() if s.verdict is not None}
        if self.sight == "rose":
            return rose
        if self.sight == "plan":
            return plan_picture(boat, chosen, colours, close=self.close)
        if chosen is None:
            return None
        return section_picture(boat, chosen, self.heel, load, colours, close=self.close)

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
        now = (id(session.boat), session.chosen, colours, known, id(strip), id(rose), self.heel, self.sight, self.close)
        if now == self._drawn:
            return
        self._drawn, self._held = now, (session.boat, strip, rose)
        cell = strip.at(self.heel) if strip is not None else None
        view = self.query_one(PictureView)
        try:
            picture = self._picture(session, rose, cell.demand_N if cell is not None else None)
            view.empty = "Not checked yet." if weight is not None else "No weight is chosen."
        except (LookupError, UnknownRow) as problem:
            view.empty, picture = f"Cannot be drawn: {plain(str(problem))}", None
        view.picture = picture
        title = _WORDS[self.sight]
        if weight is not None and self.sight == "section":
            heel = format_heel(self.heel).replace(" degrees", "")
            title = f"Section at {weight.at_m[0]:.2f} m, looking forward, {heel}"
        entitle(self, title)
        line: Line = [("quiet", "not checked yet" if weight is not None and not known else "")]
        if cell is not None:
            style = "quiet" if cell.colour == "green" else STYLE[cell.colour]
            line = [
                (style, f"{LETTER[cell.colour]} {percent(cell.utilisation)}  "),
                ("quiet", f"at {cell.load_factor:g} g: "),
                ("", directions(cell.demand_N)),
            ]
        elif known:
            line = [("quiet", "no scenario that is run goes to this heel")]
        self.query_one("#roll-figures", Static).update(coloured(line), layout=False)

    def on_resize(self) -> None:
        """It may come in sight only now."""
        self.call_after_refresh(self._draw)
