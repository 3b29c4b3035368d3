"""A picture as SVG: well formed, self-contained, escaped, and the same bytes every time."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET

import pytest

from secure_load.record.drawings.drawing_model import Area, Arrow, Legend, Mark, Picture, Stroke, Style, Words
from secure_load.record.drawings.svg import to_svg

NAME = "{http://www.w3.org/2000/svg}"
HOSTILE = "</title><script>alert(\"1\")</script> & 'x' ]]>\x1b[31m\x00 \u202eabc"


def picture(title: str = "A boat", **more: object) -> Picture:
    given: dict[str, object] = {
        "title": title,
        "description": title,
        "window": (-1.0, -1.0, 1.0, 1.0),
        "shapes": (
            Area(((-0.5, -0.5), (0.5, -0.5), (0.0, 0.5)), "weight-chosen", filled=True),
            Stroke(((-1.0, 0.0), (1.0, 0.0)), "waterline"),
            Arrow((0.0, 0.0), (0.3, -0.4), "load"),
            Arrow((0.0, 0.0), (0.0, 0.0), "load"),
            Mark((0.1, 0.1), "beyond"),
            Words((0.0, -0.0), title, "red"),
        ),
        "legend": (Legend("1R", title, "red"), Legend("x", "not held", "beyond"), Legend("line", "held", "holds")),
        "notes": (title,),
    }
    return Picture(**(given | more))  # type: ignore[arg-type]


def test_it_is_well_formed_and_says_what_it_is() -> None:
    root = ET.fromstring(to_svg(picture(), "section"))
    assert root.tag == f"{NAME}svg"
    assert root.get("role") == "img"
    said = {element.get("id"): element.text for element in root if element.tag in (f"{NAME}title", f"{NAME}desc")}
    assert said == {"section-title": "A boat", "section-said": "A boat A boat"}
    assert root.get("aria-labelledby") == "section-title section-said"


def test_hostile_names_stay_text() -> None:
    svg = to_svg(picture(HOSTILE), '"><script>')
    root = ET.fromstring(svg)
    assert not [e for e in root.iter() if e.tag == f"{NAME}script"]
    assert "\x1b" not in svg
    assert "\u202e" not in svg
    texts = [e.text or "" for e in root.iter(f"{NAME}text")]
    assert any(text.startswith("</title><script>alert") and "\\x1b[31m" in text for text in texts)


def test_nothing_is_fetched_and_nothing_runs() -> None:
    svg = to_svg(picture())
    assert "href" not in svg
    assert not re.search(r"\son\w+=", svg)
    assert set(re.findall(r"url\((.)", svg)) == {"#"}
    assert re.findall(r"https?://[^\"]+", svg) == ["http://www.w3.org/2000/svg"]


def test_the_same_picture_gives_the_same_bytes() -> None:
    assert to_svg(picture()) == to_svg(picture())
    assert "-0.00" not in to_svg(picture())


def test_two_in_one_page_do_not_share_names() -> None:
    ids = [set(re.findall(r'\bid="([^"]+)"', to_svg(picture(), name))) for name in ("one", "two")]
    assert ids[0]
    assert not ids[0] & ids[1]
    used = set(re.findall(r"url\(#([^)]+)\)", to_svg(picture(), "one")))
    assert used
    assert used <= ids[0]


def test_it_goes_on_a_page_of_a4() -> None:
    tall = picture(window=(0.0, 0.0, 1.0, 5.0))
    for each in (tall, picture(window=(0.0, 0.0, 9.0, 1.0)), picture("word " * 60)):
        root = ET.fromstring(to_svg(each))
        width, height = (float((root.get(key) or "").removesuffix("mm")) for key in ("width", "height"))
        assert width <= 190
        assert height <= 277


def test_up_in_the_boat_is_up_on_the_page() -> None:
    only = picture(shapes=(Stroke(((0.0, 0.0), (0.5, 0.5)), "hull"),))
    line = ET.fromstring(to_svg(only)).find(f".//{NAME}polyline")
    assert line is not None
    (x1, y1), (x2, y2) = [tuple(map(float, p.split(","))) for p in (line.get("points") or "").split()]
    assert x2 - x1 == pytest.approx(y1 - y2)
    assert y2 < y1


@pytest.mark.parametrize("styles", [("weight-chosen", "cleat"), ("bed", "batten"), ("line", "hull")])
def test_styles_differ_without_colour(styles: tuple[Style, Style]) -> None:
    """Hatching, dashes or the width of the line tell them apart on a black-and-white printer."""

    def bare(style: Style) -> str:
        svg = to_svg(picture(shapes=(Area(((0.0, 0.0), (1.0, 0.0), (0.0, 1.0)), style, filled=True),)))
        polygon = re.search(r"<polygon points.*/>", svg)
        assert polygon is not None
        return re.sub(r'stroke="#\w+"', "", polygon[0])

    assert bare(styles[0]) != bare(styles[1])
