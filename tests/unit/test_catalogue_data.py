"""The data files themselves: every row whole, named once, sourced, finite; derived rows follow from their parents."""

from __future__ import annotations

import math
import statistics
import tomllib
from collections.abc import Callable, Mapping
from importlib import resources

import pytest
from pydantic import ValidationError

from secure_load.catalogue import lookup
from secure_load.catalogue.rows import Factor, Friction, Row
from secure_load.catalogue.table import build, key_of, read_rows

TABLES: dict[str, Callable[[], Mapping[str, Row]]] = {
    "timbers": lookup.timbers,
    "wood_screws": lookup.wood_screws,
    "metric_screws": lookup.metric_screws,
    "coach_screws": lookup.coach_screws,
    "metals": lookup.metals,
    "bolts": lookup.bolts,
    "lines": lookup.lines,
    "elongation": lookup.elongations,
    "terminations": lookup.terminations,
    "shackles": lookup.shackles,
    "pads": lookup.pads,
    "friction": lookup.frictions,
    "cable_ties": lookup.cable_ties,
    "members": lookup.members,
    "corrosion": lookup.corrosion,
    "densities": lookup.densities,
    "lead_alloys": lookup.lead_alloys,
    "factors": lookup.factors,
}
LINE_FILES = ("ropes", "webbing", "wires", "chains")


@pytest.fixture(params=sorted(TABLES))
def table(request: pytest.FixtureRequest) -> Mapping[str, Row]:
    return TABLES[request.param]()


def raw(file: str) -> dict[str, object]:
    text = resources.files("secure_load.catalogue").joinpath(f"{file}.toml").read_text(encoding="utf-8")
    return tomllib.loads(text)


@pytest.mark.parametrize("file", sorted((set(TABLES) - {"lines"}) | set(LINE_FILES)))
def test_no_row_of_a_file_is_lost(file: str) -> None:
    data = raw(file)
    data.pop("from", None)
    (rows,) = data.values()
    assert isinstance(rows, list)
    loaded = TABLES["lines" if file in LINE_FILES else file]()
    assert {row["id"] for row in rows} <= set(loaded)
    if file not in LINE_FILES:
        assert len(rows) == len(loaded)


def test_every_citation_is_used() -> None:
    for file in (set(TABLES) - {"lines"}) | set(LINE_FILES):
        data = raw(file)
        cited = data.pop("from", {})
        assert isinstance(cited, dict)
        (rows,) = data.values()
        assert isinstance(rows, list)
        assert set(cited) == {row["from"] for row in rows if "from" in row}, file


def test_rows_say_where_they_come_from(table: Mapping[str, Row]) -> None:
    for row in table.values():
        assert row.source.strip(), row.id
        assert row.provenance.split(":")[0].split(";")[0].split()[0] in (
            "retrieved",
            "memory",
            "derived",
            "assumption",
        )
        assert row.confidence in ("high", "medium", "low")
        assert row.seen_in_print == (row.mark == ""), row.id


def test_an_assumption_is_never_of_high_confidence(table: Mapping[str, Row]) -> None:
    assert [r.id for r in table.values() if r.mark == "assumed" and r.confidence == "high"] == []


def test_figures_are_finite_and_not_negative(table: Mapping[str, Row]) -> None:
    for row in table.values():
        for field, value in row:
            if isinstance(value, float | int):
                assert math.isfinite(value), f"{row.id}.{field}"
                assert value >= 0, f"{row.id}.{field}"


def test_ids_are_in_their_plain_form(table: Mapping[str, Row]) -> None:
    for row in table.values():
        assert key_of(row.id) == row.id.lower()
        assert all(key_of(alias) == alias for alias in row.aliases), row.id


def test_two_rows_of_one_name_are_refused() -> None:
    rows = [lookup.timber("teak"), lookup.timber("iroko").model_copy(update={"aliases": ("Teak",)})]
    with pytest.raises(ValueError, match="'Teak' names both 'teak' and 'iroko'"):
        build("timber", "timbers", rows)


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("value", -1.0),
        ("value", math.inf),
        ("value", math.nan),
        ("source", ""),
        ("provenance", "somewhere"),
        ("provenance", "retrieved"),
        ("confidence", "sure"),
        ("colour", "red"),
    ],
)
def test_a_bad_row_is_refused(field: str, value: object) -> None:
    good = lookup.factor_row("css-safety-factor").model_dump()
    Factor.model_validate(good)
    with pytest.raises(ValidationError):
        Factor.model_validate(good | {field: value})


def test_rows_cannot_be_changed() -> None:
    with pytest.raises(ValidationError):
        lookup.timber("teak").mor_12_MPa = 1.0  # type: ignore[misc]


def test_reading_twice_gives_the_same_rows() -> None:
    assert read_rows("friction.toml", Friction) == list(lookup.frictions().values())


# --- figures that follow from others


def both_columns(field: str) -> list[float]:
    return sorted(
        getattr(t, f"{field}_green_MPa") / getattr(t, f"{field}_12_MPa")
        for t in lookup.timbers().values()
        if t.seen_in_print
        and getattr(t, f"{field}_green_MPa") is not None
        and not {f"{field}_green_MPa", f"{field}_12_MPa"} & set(t.estimated)
    )


@pytest.mark.parametrize("field", ["mor", "moe", "comp_par", "comp_perp", "shear_par"])
def test_wet_ratio_is_the_lower_quartile_of_the_printed_timbers(field: str) -> None:
    ratios = both_columns(field)
    assert len(ratios) > 20
    quartile = statistics.quantiles(ratios, n=4, method="inclusive")[0]
    assert lookup.factor(f"wet-over-dry-{field.replace('_', '-')}") == math.floor(quartile * 100) / 100


def test_ovendry_gravity_follows_from_the_green_one() -> None:
    # Wood Handbook ch. 4: G0 = Gb / (1 - 0.265 Gb)
    for t in lookup.timbers().values():
        if t.kind != "panel":
            assert t.g_ovendry == pytest.approx(t.g_green / (1 - 0.265 * t.g_green), abs=6e-4), t.id


def test_shank_follows_the_gauge_rule() -> None:
    # ASME B18.6.1: D = 0.060 + 0.013 N inches
    for s in lookup.wood_screws().values():
        assert s.gauge is not None
        assert s.d_mm == pytest.approx(25.4 * (0.060 + 0.013 * s.gauge), abs=0.002)


def test_threads_are_thinner_than_shanks_and_heads_wider() -> None:
    for s in (*lookup.wood_screws().values(), *lookup.metric_screws().values()):
        assert 0.6 < s.root_mm / s.d_mm < 0.85
        assert s.head_mm > 1.5 * s.d_mm
    for c in lookup.coach_screws().values():
        assert 0.6 < c.root_mm / c.d_mm < 0.8


def test_bolt_stress_area_follows_from_the_thread() -> None:
    # ISO 898-1: As = pi/4 (d - 0.9382 P)^2
    for b in lookup.bolts().values():
        assert b.stress_area_mm2 == pytest.approx(math.pi / 4 * (b.d_mm - 0.9382 * b.pitch_mm) ** 2, rel=0.005)


def test_stronger_metals_yield_later() -> None:
    for m in lookup.metals().values():
        assert m.fy_MPa < m.fu_MPa
        if m.fyb_MPa is not None:
            assert m.fyb_MPa == pytest.approx((m.fy_MPa + m.fu_MPa) / 2, abs=1.0), m.id


def test_the_plain_name_of_a_rope_is_the_lower_figure() -> None:
    rows = lookup.lines()
    isos = [r for r in rows.values() if r.id.endswith("-iso")]
    pairs = [(r, rows[r.id.removesuffix("-iso")]) for r in isos if r.id.removesuffix("-iso") in rows]
    assert len(pairs) > 10
    for iso, plain in pairs:
        assert plain.breaking_N <= iso.breaking_N, plain.id


def test_breaking_force_grows_with_size() -> None:
    for construction in {r.construction for r in lookup.lines().values()}:
        for iso in (True, False):
            family = sorted(
                (r.size_mm, r.breaking_N)
                for r in lookup.lines().values()
                if r.construction == construction and r.id.endswith("-iso") == iso
            )
            assert [b for _, b in family] == sorted(b for _, b in family), construction


def test_rope_of_metric_size_from_an_inch_row() -> None:
    inch, metric = lookup.line("polyester-3-strand-1-4-in"), lookup.line("polyester-3-strand-6")
    assert inch.seen_in_print
    assert metric.mark == "derived"
    assert metric.breaking_N == pytest.approx(inch.breaking_N * (6 / 6.35) ** 2, abs=10)


def test_lines_point_at_rows_that_exist() -> None:
    for row in lookup.lines().values():
        assert 0 < lookup.factor(row.msl_share) < 1
        assert row.kind in lookup.termination(row.termination).fits


def test_securing_load_of_a_strap_is_its_lashing_capacity() -> None:
    # CSS Code Annex 13 (half of breaking) and EN 12195-2 (assembly breaks at twice LC) agree
    for row in lookup.lines().values():
        if row.kind == "webbing":
            lc = float(row.name.split("LC ")[1].split(" daN")[0]) * 10
            assert row.breaking_N * lookup.factor(row.msl_share) == pytest.approx(lc)


def test_stretch_of_rope_is_the_secant_at_a_fifth_of_breaking() -> None:
    row, fibre = lookup.line("nylon-3-strand-10"), lookup.elongations()["nylon-3-strand"]
    strain = 0.2 * row.breaking_N / row.EA_N
    assert 100 * strain == pytest.approx(fibre.percent_at_10_20_30[1])


def test_wire_is_stiffer_than_rope_of_its_size() -> None:
    stay, flexible, rope = (lookup.line(n).EA_N for n in ("wire-1x19-6", "wire-7x19-6", "polyester-braid-6"))
    assert stay == pytest.approx(107.5e9 * 0.6 * 36e-6)
    assert stay > flexible > rope


def test_friction_low_is_not_above_high_and_no_lead_row_claims_print() -> None:
    for row in lookup.frictions().values():
        assert 0 <= row.low <= row.high <= 1, row.id
    assert lookup.friction("lead-timber").mark == "assumed"
    assert (lookup.friction("rubber-timber").low, lookup.friction("rubber-timber").high) == (0.4, 0.6)
    assert lookup.friction("steel-steel").low == 0.0


def test_lead_alloy_density_is_a_mixture_by_volume() -> None:
    for row in lookup.lead_alloys().values():
        w = row.antimony_percent / 100
        assert row.kg_m3 == pytest.approx(1 / (w / 6690 + (1 - w) / 11340), abs=1.0)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("g0", 9.80665),
        ("nds-load-duration", 1.6),
        ("nds-wet-service", 0.7),
        ("css-share-fibre-rope", 0.33),
        ("css-share-wire-single-use", 0.8),
        ("css-safety-factor", 1.5),
        ("css-timber-bearing", 3.0e6),
        ("cfr393-working-forward", 0.435),
        ("cfr25-forward", 9.0),
        ("mil209-longitudinal", 4.0),
        ("iso10133-movement", 0.010),
        ("ctu-dynamic-friction", 0.75),
    ],
)
def test_factor_has_the_value_of_its_source(name: str, value: float) -> None:
    assert lookup.factor(name) == value


def test_battery_pull_is_ninety_pounds() -> None:
    assert lookup.factor("cfr183-pull") == pytest.approx(90 * 0.45359237 * lookup.factor("g0"), abs=0.01)


@pytest.mark.parametrize(
    ("name", "green", "dry"),
    [
        ("oak-white", 11.6, 14.8),
        ("oak-live", 12.3, 18.9),
        ("opepe", 12.2, 14.4),
        ("karri", 11.6, 25.4),
        ("kapur", 15.7, 18.8),
        ("keruing", 13.9, 23.5),
        ("santa-maria", 12.7, 16.1),
        ("meranti-dark-red", 8.6, 13.8),
        ("meranti-light-red", 6.2, 8.6),
        ("spanish-cedar", 7.1, 9.4),
        ("greenheart", 10.5, 25.3),
        ("purpleheart", 14.8, 17.6),
    ],
)
def test_work_to_maximum_load_as_printed(name: str, green: float, dry: float) -> None:
    # Wood Handbook FPL-GTR-282 Tables 5-3b and 5-5b, in-lbf/in3
    row = lookup.timber(name)
    assert row.work_to_max_green_J_m3 == pytest.approx(green * 6894.757, rel=1e-3)
    assert row.work_to_max_12_J_m3 == pytest.approx(dry * 6894.757, rel=1e-3)
