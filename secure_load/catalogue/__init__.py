"""Data tables with a source on every row, and look-up by name.

Figures live in the ``*.toml`` files beside this module and nowhere else; ``rows`` says what a row is,
``lookup`` finds it. Import from ``lookup`` and ``rows``: this file imports nothing, so that asking for
one table does not load the others.
"""

LISTINGS = (
    *("timbers", "screws", "lines", "pads", "friction", "metals", "corrosion"),
    *("members", "ties", "densities", "factors"),
)
"""Parts of the catalogue that can be listed: what ``listing.tables_for_listing`` and ``secure-load list`` take."""
