"""What a row of the catalogue is: one frozen model per table.

Fields keep the unit of the printed source in their name (``mor_12_MPa``, ``root_mm``), so that a row can be
held against the page it came from; properties without such a suffix (``root``, ``fu``) are SI.

Every row says where it comes from. ``provenance`` begins with one of four words, and the difference is kept
because a person may hang half a ton on it: "retrieved" was seen in print, "memory" was not checked yet,
"derived" was worked out from other rows, "assumption" means nobody published it.
"""

from __future__ import annotations

import math
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

Confidence = Literal["high", "medium", "low"]
Mark = Literal["", "not checked in print", "assumed", "derived"]
Positive = Annotated[float, Field(gt=0, allow_inf_nan=False)]
NotNegative = Annotated[float, Field(ge=0, allow_inf_nan=False)]
Share = Annotated[float, Field(gt=0, le=1, allow_inf_nan=False)]
Text = Annotated[str, Field(min_length=1)]

_MARKS: dict[str, Mark] = {
    "retrieved": "",
    "memory": "not checked in print",
    "assumption": "assumed",
    "derived": "derived",
}


class Row(BaseModel):
    """What every row says about itself."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    id: Text
    """Name used in boat files."""
    name: Text
    """Name in words."""
    aliases: tuple[str, ...] = ()
    """Other names that mean this row."""
    source: Text
    """Document, table or clause; or "common practice"."""
    provenance: Annotated[str, Field(pattern=r"^(retrieved: .+|memory\b.*|assumption\b.*|derived\b.*)$")]
    """How the figure came here: seen in print, not checked there, derived or assumed."""
    confidence: Confidence
    """How far it can be trusted."""
    note: str = ""
    """What else the owner should know."""

    @property
    def seen_in_print(self) -> bool:
        """True where the figures were seen in a public copy of the source."""
        return self.provenance.startswith("retrieved")

    @property
    def mark(self) -> Mark:
        """Word to show beside the figures; empty where they were seen in print."""
        return _MARKS[self.provenance.split(":")[0].split(";")[0].split(" ")[0]]


class Timber(Row):
    """A species or a panel: average clear-wood ultimate values, green and at 12 % moisture."""

    kind: Literal["hardwood", "softwood", "panel"]
    """Hardwood, softwood or panel; the working-stress divisors differ."""
    g_green: Positive
    """Specific gravity: ovendry mass over volume green."""
    g_12: Positive
    """Specific gravity: ovendry mass over volume at 12 % moisture."""
    g_ovendry: Positive
    """Specific gravity on ovendry mass and volume, the basis the NDS asks for."""
    mor_green_MPa: Positive | None = None
    """Bending strength, green."""
    moe_green_MPa: Positive | None = None
    """Modulus of elasticity in bending, green."""
    comp_par_green_MPa: Positive | None = None
    """Crushing along the grain, green."""
    comp_perp_green_MPa: Positive | None = None
    """Crushing across the grain at the proportional limit, green."""
    shear_par_green_MPa: Positive | None = None
    """Shear along the grain, green."""
    mor_12_MPa: Positive
    """Bending strength at 12 %."""
    moe_12_MPa: Positive
    """Modulus of elasticity in bending at 12 %."""
    comp_par_12_MPa: Positive
    """Crushing along the grain at 12 %."""
    comp_perp_12_MPa: Positive
    """Crushing across the grain at the proportional limit, at 12 %."""
    shear_par_12_MPa: Positive
    """Shear along the grain at 12 % (rolling shear for a panel)."""
    estimated: tuple[str, ...] = ()
    """Names of the fields of this row that were worked out and not printed."""
    work_to_max_green_J_m3: Positive | None = None
    """Work to maximum load in bending, green."""
    work_to_max_12_J_m3: Positive | None = None
    """Work to maximum load in bending, at 12 %."""

    @property
    def rho_mean(self) -> float:
        """Mean density at 12 % moisture, kg/m3: ``g_12`` x 1.12 x 1000 (Wood Handbook ch. 4)."""
        return self.g_12 * 1.12 * 1000.0


class ThreadedShank(Row):
    """What a wood screw and a coach screw have in common."""

    d_mm: Positive
    """Unthreaded shank (outside of the thread for a metric screw)."""
    root_mm: Positive
    """Bottom of the thread."""
    head_mm: Positive
    """Diameter of a countersunk head, or across the flats of a coach screw's."""
    fyb_steel_MPa: Positive
    """Bending yield strength of a steel screw of this size."""

    @property
    def head(self) -> float:
        """Head, m."""
        return self.head_mm * 1e-3

    @property
    def d(self) -> float:
        """Shank diameter, m."""
        return self.d_mm * 1e-3

    @property
    def root(self) -> float:
        """Root diameter, m."""
        return self.root_mm * 1e-3

    @property
    def root_area(self) -> float:
        """Area at the bottom of the thread, m2."""
        return math.pi / 4.0 * self.root**2

    @property
    def fyb_steel(self) -> float:
        """Bending yield strength of a steel screw of this size, Pa."""
        return self.fyb_steel_MPa * 1e6


class WoodScrew(ThreadedShank):
    """A wood screw by inch gauge, or a metric one."""

    gauge: Annotated[int, Field(ge=0)] | None = None
    """Gauge number; none for a metric screw."""
    thread_fraction: Share
    """Share of the length that is threaded."""
    threads_per_inch: Positive | None = None
    """Pitch of an inch screw."""


class CoachScrew(ThreadedShank):
    """A coach screw (lag screw)."""

    thread_fraction: Share | None = None
    """Share of the length that is threaded; none means the rule of NDS Table L2."""


class Metal(Row):
    """A metal that fastenings are made of."""

    fu_MPa: Positive
    """Tensile strength, least."""
    fy_MPa: Positive
    """Yield or 0.2 % proof strength, least."""
    fyb_MPa: Positive | None = None
    """Bending yield; none means: the screw's own row says it."""

    @property
    def fu(self) -> float:
        """Tensile strength, Pa."""
        return self.fu_MPa * 1e6

    @property
    def fy(self) -> float:
        """Yield strength, Pa."""
        return self.fy_MPa * 1e6

    def bending_yield(self, screw: WoodScrew | CoachScrew) -> float:
        """Bending yield strength of that screw in this metal, Pa."""
        return screw.fyb_steel if self.fyb_MPa is None else self.fyb_MPa * 1e6


class Bolt(Row):
    """A metric bolt with coarse thread."""

    d_mm: Positive
    """Nominal diameter."""
    pitch_mm: Positive
    """Pitch of the thread."""
    stress_area_mm2: Positive
    """Stress area (ISO 898-1)."""
    washer_mm: Positive
    """Outside of the common washer."""
    washer_large_mm: Positive
    """Outside of the large washer."""

    @property
    def d(self) -> float:
        """Nominal diameter, m."""
        return self.d_mm * 1e-3

    @property
    def stress_area(self) -> float:
        """Stress area, m2."""
        return self.stress_area_mm2 * 1e-6


class Elongation(Row):
    """How one kind of line stretches."""

    percent_at_10_20_30: tuple[Positive, Positive, Positive]
    """Stretch in per cent at 10, 20 and 30 % of the breaking force."""


LineKind = Literal["rope", "webbing", "wire", "chain"]


class Line(Row):
    """Rope, webbing, wire or chain, in one form and in SI."""

    kind: LineKind
    """What it is."""
    construction: Text
    """Fibre and lay, or construction of a wire."""
    size_mm: Positive
    """Diameter, or width of webbing, or bar of chain."""
    breaking_N: Positive
    """Least breaking force; for webbing that of the made-up strap."""
    msl_share: Text
    """Factor that turns breaking force into maximum securing load, an id for ``factor``."""
    EA_N: Positive
    """Force over strain: secant at 20 % of breaking force for fibre, modulus x metal area for wire."""
    EA_mark: Mark
    """Mark of the stretch figures, which have another source than the strength."""
    EA_source: Text
    """Where the stretch figures come from."""
    termination: Text
    """What its ends are taken to be where the owner does not say, an id for ``termination``."""


class Termination(Row):
    """A knot, a splice or an end fitting."""

    efficiency: Share
    """Share of the line's breaking force that is left."""
    fits: tuple[LineKind, ...]
    """Kinds of line it is made in."""


class Shackle(Row):
    """A shackle, or a turnbuckle in its place."""

    body_mm: Positive
    """Diameter of the bow, or of the thread."""
    wll_t: Positive
    """Working load limit in tonnes."""
    breaking_kN: Positive
    """Least breaking force."""

    @property
    def breaking_N(self) -> float:
        """Least breaking force, N."""
        return self.breaking_kN * 1e3


class Pad(Row):
    """A layer between weight and bed: rubber (with shape factor) or a stiff sheet."""

    kind: Literal["rubber", "stiff"]
    """Rubber stiffens with its shape; a stiff sheet does not."""
    hardness: Annotated[int, Field(ge=10, le=95)] | None = None
    """Hardness of rubber, IRHD or Shore A."""
    E0_MPa: Positive
    """Modulus of a tall piece (of the sheet across its thickness, if stiff)."""
    k: NotNegative
    """Coefficient of the shape factor; nil for a stiff sheet."""
    G_MPa: Positive | None = None
    """Shear modulus."""
    E_bulk_MPa: Positive | None = None
    """Bulk modulus; none for a stiff sheet."""

    @property
    def E0(self) -> float:
        """Modulus of a tall piece, Pa."""
        return self.E0_MPa * 1e6

    @property
    def G(self) -> float | None:
        """Shear modulus, Pa."""
        return None if self.G_MPa is None else self.G_MPa * 1e6

    @property
    def E_bulk(self) -> float | None:
        """Bulk modulus, Pa."""
        return None if self.E_bulk_MPa is None else self.E_bulk_MPa * 1e6


class Friction(Row):
    """A pair of surfaces."""

    low: NotNegative
    """Lower of the dry and the wet static coefficient."""
    high: NotNegative
    """Higher of the two."""


class CableTie(Row):
    """A class of cable tie. Not a load-rated restraint."""

    loop_tensile_N: Positive
    """Loop strength of the class, new."""
    retained: Share
    """Least share kept after conditioning."""


class StructuralMember(Row):
    """A part of the boat that fastenings go into."""

    stock_mm: Positive
    """Thickness, the way screws go, that such a part has at the least; a deeper screw wants it measured."""
    sided_mm: Positive
    """Width of the face they are driven into, at the least; thicker screws want it measured."""
    grain: Literal["athwartships", "fore-and-aft", "either"]
    """Which way its grain runs."""


class Corrosion(Row):
    """Fastenings that waste in the wet; the name is what the owner is told."""

    metals: tuple[str, ...]
    """Ids of the metals that waste."""
    timbers: tuple[str, ...] = ()
    """Ids of the timbers they waste in; any, where there are none."""
    beside: tuple[str, ...] = ()
    """Ids of the metals beside which they waste; without any, where there are none."""


class Density(Row):
    """A density."""

    kg_m3: Positive
    """Density."""


class LeadAlloy(Row):
    """Lead with antimony."""

    antimony_percent: NotNegative
    """Antimony by mass."""
    kg_m3: Positive
    """Density by the rule of mixtures."""
    handbook_kg_m3: Positive | None = None
    """Density in the handbook."""
    liquidus_C: Positive
    """Temperature at which it is all melted."""
    solidus_C: Positive
    """Temperature at which it begins to melt."""
    brinell: Positive
    """Hardness."""
    uts_cast_MPa: Positive
    """Tensile strength as cast."""


class Factor(Row):
    """One figure of a code or of nature."""

    value: Positive
    """The figure."""
    unit: Text
    """Its unit; "1" for a ratio, "g" for a multiple of gravity."""
