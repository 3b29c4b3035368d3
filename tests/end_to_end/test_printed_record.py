"""The record as it comes out of a printer: pages, size and letters, by a headless browser where there is one."""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest
from pypdf import PdfReader

from secure_load.cli.main import main

BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
DEMO = Path(__file__).parents[2] / "demo_boats" / "brindlewick.toml"
MM_TO_PT = 72.0 / 25.4


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The record of a boat of twelve weights, as a page to print."""
    folder = tmp_path_factory.mktemp("record")
    assert main(["record", str(DEMO), "--out", str(folder)]) == 0
    return next(folder.glob("*.html"))


@pytest.mark.long
@pytest.mark.skipif(BROWSER is None, reason="no headless browser is installed")
def test_twelve_weights_take_sixteen_pages_and_the_card_two(page: Path, tmp_path: Path) -> None:
    assert BROWSER is not None
    pdf = tmp_path / "record.pdf"
    options = ["--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking"]
    options += [f"--user-data-dir={tmp_path / 'profile'}", "--no-pdf-header-footer", f"--print-to-pdf={pdf}"]
    subprocess.run([BROWSER, *options, page.as_uri()], check=True, capture_output=True, timeout=120)
    # the page's own number comes first
    words = [re.sub(r"^\d+ / \d+\s*", "", each.extract_text()) for each in PdfReader(pdf).pages]
    assert len(words) <= 16
    assert pdf.stat().st_size < 1_000_000
    # after a card of two pages, one page for each weight
    assert [n for n, text in enumerate(words) if re.match(r"\d+\. ", text)] == list(range(2, 14))


def test_letters_in_the_drawings_are_large_enough_to_read(page: Path) -> None:
    drawn = re.findall(r"<svg.*?</svg>", page.read_text(encoding="utf-8"), re.S)
    assert drawn
    for svg in drawn:
        width, box = re.search(r'width="([\d.]+)mm"', svg), re.search(r'viewBox="0 0 ([\d.]+) ', svg)
        assert width is not None
        assert box is not None
        shrunk = float(width[1]) / float(box[1])
        assert min(map(float, re.findall(r'font-size="([\d.]+)"', svg))) * shrunk * MM_TO_PT >= 8.0
