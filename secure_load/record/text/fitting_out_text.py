"""The fitting-out sheet as plain text and as a table for a spreadsheet."""

from __future__ import annotations

import csv
import io

from secure_load.catalogue.upkeep import figure
from secure_load.record.csv_weights import shielded
from secure_load.record.fitting_out import Sheet, SheetRow
from secure_load.record.text.text_layout import WIDTH, bullet, heading, plain, wrapped

_TITLES = {"cut": "To cut", "buy": "To buy"}
_SIZES = (
    "Cleats: length x height x thickness in the direction of the thrust. Battens: length x width x thickness; the "
    f"length has {figure('batten-landing').value:g} mm on its landing at each end."
)


def sheet_text(sheet: Sheet) -> str:
    """The whole sheet, lines ended with LF."""
    lines = wrapped(f"FITTING OUT {plain(sheet.boat)}")
    lines += ["=" * WIDTH]
    for which, title in _TITLES.items():
        rows = [r for r in sheet.rows if r.list == which]
        if rows:
            lines += heading(title)
        if rows and which == "cut":
            lines += [*wrapped(_SIZES), ""]
        for row in rows:
            lines += bullet(_said(row))
            lines += wrapped(f"for {plain('; '.join(row.uses))}", 4)
    if not sheet.rows:
        lines += ["", "Nothing to cut or buy was entered."]
    lines += ["", *wrapped("As entered: check every size at the boat before timber is cut or money spent.")]
    return "\n".join(lines) + "\n"


def _said(row: SheetRow) -> str:
    number = f"{row.buy} ({row.count} and spare)" if row.buy != row.count else f"{row.count}"
    note = row.note if row.list == "buy" else ""
    parts = [f"{number} x {row.what}", plain(row.material), plain(row.size), note]
    return ", ".join(p for p in parts if p)


def sheet_csv(sheet: Sheet) -> str:
    """The sheet as a table; lines ended with CR LF, as RFC 4180 asks."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(["list", "what", "material", "size", "count as fitted", "count to buy", "for", "note"])
    for r in sheet.rows:
        texts = [shielded(t) for t in (r.what, r.material, r.size)]
        writer.writerow([r.list, *texts, r.count, r.buy, shielded("; ".join(r.uses)), shielded(r.note)])
    return out.getvalue()
