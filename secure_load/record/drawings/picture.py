"""The pictures of a boat as plain data, each drawn twice: as SVG for the record, in characters for the terminal.

This is the door to them; each stands in a module of its own. None of them knows a colour or a terminal.
"""

from __future__ import annotations

from secure_load.record.drawings.drawing_model import Area, Arrow, Legend, Mark, Picture, Stroke, Style, Words
from secure_load.record.drawings.heel_strip import StripCell, StripRow, cell_words, strip_data, strip_of
from secure_load.record.drawings.plan import plan_picture
from secure_load.record.drawings.rose import rose_picture
from secure_load.record.drawings.section import section_picture
from secure_load.record.text.why_chain import ChainLine, why_chain

__all__ = [
    "Area",
    "Arrow",
    "ChainLine",
    "Legend",
    "Mark",
    "Picture",
    "StripCell",
    "StripRow",
    "Stroke",
    "Style",
    "Words",
    "cell_words",
    "plan_picture",
    "rose_picture",
    "section_picture",
    "strip_data",
    "strip_of",
    "why_chain",
]
