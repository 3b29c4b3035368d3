"""The picture of the main screen, made by the program itself, so that it cannot show what the program does not do.

``python tests/screen/picture.py demo_boats/brindlewick.toml picture.svg [id of the weight]``
"""

from __future__ import annotations

import asyncio
import sys
import tempfile
from pathlib import Path
from unittest import mock

from secure_load.screen.app.app import SecureLoadApp
from secure_load.screen.app.themes import DARK
from secure_load.screen.form.pane import FormPane

SIZE = (120, 40)
HEEL = 60.0
KEPT_IN = "secure_load.screen.session.autosave.state_folder"


async def picture(boat: Path, weight: str | None = None, theme: str | None = None) -> str:
    """The main screen at 120 x 40 as SVG, every verdict worked out, on a weight of the boat's."""
    app = SecureLoadApp(boat)
    async with app.run_test(size=SIZE) as pilot:
        app.theme = theme or DARK.name  # and not that of the terminal it is made in
        await pilot.pause()
        assert app.main is not None, "the boat could not be opened"
        if weight is not None:
            app.main.session.chosen = weight
        app.main.show_all()
        while app.main.session.requests() or app.main.pictures.missing(app.main.session):
            await pilot.pause(0.05)
        # heeled, so that the section shows more than a boat at her moorings
        app.main.table.move_to(HEEL)
        # one restraint open, so that the form shows what it is for; the cursor stays in the list, where none blinks
        form = app.main.query_one(FormPane)
        form.opened = 1 if app.main.session.weight and len(app.main.session.weight.restraint) > 1 else None
        app.main.show_all()
        await pilot.pause(0.2)
        svg = app.export_screenshot(title=f"Secure Load: {app.main.session.boat.boat.name}")
        app.left = True
        app.main.keeper.close()
        # some viewers drop the spaces a text begins with unless they are told not to
        return svg.replace("\r\n", "\n").replace("<text ", '<text xml:space="preserve" ')


if __name__ == "__main__":
    given = sys.argv[1:]
    # whatever somebody left unsaved on this machine is asked about nowhere in the picture
    with tempfile.TemporaryDirectory() as folder, mock.patch(KEPT_IN, return_value=Path(folder)):
        made = asyncio.run(picture(Path(given[0]), given[2] if len(given) > 2 else None))
    Path(given[1]).write_text(made, encoding="utf-8", newline="\n")
