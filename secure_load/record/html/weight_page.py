"""One weight on the page: what it is, what holds it, what was found."""

from __future__ import annotations

from secure_load.boat.models import Weight
from secure_load.check.results import Colour, RestraintVerdict, WeightVerdict
from secure_load.record.html.builder import Markup, el, joined, listed, name_of, pairs, table
from secure_load.record.model import WeightWords
from secure_load.record.text.words import (
    colour,
    heel,
    holds_g,
    holds_to,
    if_loose,
    instant,
    movement,
    number,
    percent,
    remedy_words,
)

BEARING_TOLD = 0.5
"""Use over which a bed's bearing is told."""


def verdict_mark(found: Colour) -> Markup:
    """A verdict as letter and word, in a box that tells without its tint too."""
    return el("span", colour(found), class_=f"verdict {found}")


def weight_part(
    place: int,
    said: WeightWords,
    weight: Weight,
    found: WeightVerdict,
    names: dict[str, str],
    drawing: Markup | None,
    full: bool,
) -> Markup:
    """The part of the record about one weight; with ``full`` every figure of it."""
    about = [
        ("Weight", f"{weight.kind or 'kind not said'}; {said.mass}; {said.size}"),
        ("Centre of gravity", said.position),
    ]
    if said.bundle:
        about.append(("Bundle", said.bundle))
    if said.photos:
        about.append(("Photographs", joined([el("div", name_of(p)) for p in said.photos])))
    return el(
        "section",
        el("h2", f"{place}. ", name_of(weight.title), " (", name_of(weight.id), ") ", verdict_mark(found.verdict)),
        pairs(about),
        *([drawing] if drawing else []),
        el("h3", "What holds it"),
        _restraints(said),
        el("h3", "Verdict"),
        listed([joined([verdict_mark(found.verdict), " ", name_of(r)]) for r in found.reasons[:1]] + found.reasons[1:]),
        _found(found, names, full),
        *([_by_scenario(found, names)] if full else []),
        _figures(found, full),
        *_more(found, full),
        class_="weight",
    )


def _restraints(said: WeightWords) -> Markup:
    if not said.restraints:
        return el("p", "Nothing was entered.")
    rows = [
        [name_of(r.id), joined([name_of(r.words), *(el("div", f"Found {f}") for f in r.findings)])]
        for r in said.restraints
    ]
    return pairs([(a, b) for a, b in rows])


def _found(found: WeightVerdict, names: dict[str, str], full: bool) -> Markup:
    rows: list[tuple[str, str]] = [("Worst", instant(found.worst, names))]
    if found.moves:
        rows.append(("It moves", found.moves))
    rows += [
        ("Holds to", holds_to(found.holds_to_heel_deg)),
        ("Movement", f"{movement(found)} (before it is held)"),
    ]
    if full:
        rows += [("Second path", "yes" if found.second_path else "none"), ("Holds", holds_g(found))]
    return pairs([*rows, ("If loose", if_loose(found))])


def _by_scenario(found: WeightVerdict, names: dict[str, str]) -> Markup:
    rows = [
        [name_of(names.get(s.scenario, s.scenario)), verdict_mark(s.verdict), percent(s.utilisation), heel(s.heel_deg)]
        for s in found.scenarios
    ]
    return joined([el("h3", "By scenario"), table(["scenario", "verdict", "use", "worst at"], rows, figures=(2,))])


def _figures(found: WeightVerdict, full: bool) -> Markup:
    worked = [r for r in found.restraints if r.parts and (full or r.type != "bed" or r.utilisation > BEARING_TOLD)]
    if not worked:
        return Markup("")
    first = found.first_to_go.restraint if found.first_to_go else None
    body: list[Markup] = []
    said: dict[str, str] = {}
    for each in sorted(worked, key=lambda r: (r.id != first, -r.utilisation)):
        goes = "" if each.id != first else " (most worked)" if found.free_to_move else " (goes first)"
        strength = "none" if each.strength_N is None else number(each.strength_N, 0)
        basis = each.basis + (" (assumed)" if each.assumed else "")
        why = _why(each) if full else ""
        # cleats in pairs have their figures in common: once is enough on paper
        first_said = said.setdefault(why, each.id)
        if why and first_said != each.id:
            why = f"as for {first_said}"
        cells = [
            el("td", name_of(each.id), goes),
            el("td", name_of(each.part)),
            *(el("td", f, class_="figure") for f in (number(each.demand_N, 0), strength, percent(each.utilisation))),
            *([el("td", name_of(basis))] if full else []),
        ]
        body.append(el("tr", *cells, class_="first" if why else ""))
        if why:
            body.append(el("tr", el("td", why, colspan="6", class_="why")))
    heads = ["restraint", "weakest part", "demand N", "working N", "use", *(["basis"] if full else [])]
    head = el("thead", el("tr", *(el("th", h, class_="figure" if h[-1] == "N" or h == "use" else "") for h in heads)))
    made = el("table", head, el("tbody", *body), class_="figures")
    return joined([el("h3", "Governing figures, each in its own worst case"), made])


def _why(each: RestraintVerdict) -> str:
    part = next((p for p in each.parts if p.part == each.part), None)
    return "; ".join(part.why) if part else ""


def _more(found: WeightVerdict, full: bool) -> list[Markup]:
    parts: list[Markup] = []
    if full:
        parts.append(_titled("Order of failure", [f.sentence for f in found.order_of_failure], numbered=True))
        parts.append(_titled("Bearing pressure", [b.sentence for b in found.bearing]))
    if found.bundle is not None:
        parts.append(_titled("Inside the bundle", [f"{colour(found.bundle.verdict)}: {found.bundle.sentence}"]))
    parts.append(_titled("What would fix it", [remedy_words(r) for r in found.remedies]))
    parts.append(_titled("Assumptions still open: measure these and enter them", found.assumptions))
    parts.append(_titled("Look at", found.warnings))
    return [p for p in parts if p]


def _titled(title: str, items: list[str], numbered: bool = False) -> Markup:
    if not items:
        return Markup("")
    made = listed(items, "ol" if numbered else "ul")
    # the sentences bring their own numbers
    return joined([el("h3", title), Markup(made.replace("<ol>", '<ol class="numbered">', 1)) if numbered else made])
