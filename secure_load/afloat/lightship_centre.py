"""Her own centre of gravity: from what was measured, what the file says, or a marked assumption."""

from __future__ import annotations

import math
from dataclasses import dataclass

from secure_load.afloat.errors import CannotFloat
from secure_load.afloat.freeboards import OverMarks
from secure_load.afloat.hull.hull_form import Shape, Told, marks_waterline
from secure_load.afloat.hull.hydrostatics import Hydrostatics
from secure_load.afloat.masses import Lump
from secure_load.afloat.measured import inclined, rolled
from secure_load.afloat.models import Measured
from secure_load.boat.hull import FloatData
from secure_load.boat.models import BoatFile
from secure_load.catalogue.assumed import assumed
from secure_load.catalogue.lookup import factor


@dataclass(frozen=True)
class Centre:
    """Where it is, and what that rests on."""

    at: tuple[float, float, float]
    """m: forward, to port, above the designed waterline."""
    rests_on: str
    measured: bool
    """Whether stiffness was measured."""
    moment_error: float | None
    """Error of displacement times GM, kg m."""


@dataclass(frozen=True)
class _Aboard:
    """Mass, moments and free surface of the listed weights, or of none."""

    mass: float
    x: float
    y: float
    z: float
    surface: float

    @classmethod
    def of(cls, lumps: tuple[Lump, ...], aboard: bool) -> _Aboard:
        there = lumps if aboard else ()
        return cls(
            math.fsum(lump.mass for lump in there),
            math.fsum(lump.mass * lump.at[0] for lump in there),
            math.fsum(lump.mass * lump.at[1] for lump in there),
            math.fsum(lump.mass * lump.at[2] for lump in there),
            math.fsum(lump.liquid.surface_moment for lump in there if lump.liquid is not None),
        )


def centre_of(
    boat: BoatFile, shape: Shape, mass: float, lumps: tuple[Lump, ...], told: Told, over: OverMarks | None = None
) -> Centre:
    """Her centre of gravity without the listed weights; ``mass`` in kg, ``over`` by her freeboards.

    Raises CannotFloat.
    """
    data = boat.float_ or FloatData()
    z, rests_on, measured, error = _height(data, shape, mass, lumps, told)
    x = _length(data, shape, mass, lumps, z, told)
    y = 0.0 if over is None else _across(data, shape, mass, lumps, z, over, told)
    return Centre((x, y, z), rests_on, measured, error)


def _across(
    data: FloatData, shape: Shape, mass: float, lumps: tuple[Lump, ...], z: float, over: OverMarks, told: Told
) -> float:
    """Her own centre to port of the middle line, m, from the list her freeboards show: G lies GM tan(list) off it."""
    assert data.freeboards is not None
    aboard = _Aboard.of(lumps, data.freeboards.weights_aboard)
    tan_list = over.tan_list(shape.bwl)
    per_cm = shape.upright_at(mass + aboard.mass).kg_per_cm
    deeper, lists = 1000.0 * over.deeper, math.degrees(math.atan(tan_list))
    trim = 1000.0 * (over.stem - over.stern)
    told.measured.append(
        Measured(
            what="freeboards",
            says=f"{abs(deeper):.0f} mm {'deeper' if deeper >= 0 else 'higher'} than her marks "
            f"({abs(0.1 * deeper * per_cm):.0f} kg), trim {abs(trim):.0f} mm by the {'bow' if trim > 0 else 'stern'}, "
            f"list {abs(lists):.1f} degrees to {'starboard' if lists > 0 else 'port'}",
            used=True,
        )
    )
    gm = _gm_with(shape, mass, aboard, z)
    if gm <= 0:
        told.notes.append("The list of the freeboards is not used: by the other figures her GM is nil or negative.")
        return 0.0
    return (-(mass + aboard.mass) * gm * tan_list - aboard.y) / mass


def _height(
    data: FloatData, shape: Shape, mass: float, lumps: tuple[Lump, ...], told: Told
) -> tuple[float, str, bool, float | None]:
    """Height over the designed waterline, m, what it rests on, whether measured, error of mass x GM."""
    tilt = _Aboard.of(lumps, data.inclining.weights_aboard) if data.inclining is not None else None
    found: tuple[float, str, bool, float | None] | None = None
    if data.inclining is not None and tilt is not None:
        test = inclined(data.inclining, mass + tilt.mass)
        if abs(test.displacement - mass - tilt.mass) > 0.03 * test.displacement:
            told.notes.append(
                f"In the inclining test she displaced {test.displacement:.0f} kg, by this file "
                f"{mass + tilt.mass:.0f} kg; the difference is taken as lying at her centre of gravity."
            )
        told.notes.extend(w[0].upper() + w[1:] + "." for w in test.warnings)
        z = _from_gm(shape, mass, tilt, test.gm, test.displacement)
        error = test.error * test.displacement
        told.measured.append(
            Measured(
                what="inclining test",
                says=f"GM {test.gm:.3f} +/- {test.error:.3f} m, {test.line.readings} readings",
                used=True,
            )
        )
        found = z, "the inclining test", True, error
    if found is None:
        written = _as_written(data, shape, mass, told)
        found = None if written is None else (*written, False, None)
    if data.roll_test is not None:
        aboard = _Aboard.of(lumps, data.roll_test.weights_aboard)
        known_gm = None if found is None else _gm_with(shape, mass, aboard, found[0])
        roll = rolled(data.roll_test, shape.bwl, known_gm)
        share = roll.gyradius / shape.bwl
        calibrates = data.roll_test.gyradius_over_breadth is None and known_gm is not None and known_gm > 0
        if found is not None and calibrates:
            says = f"period {roll.period:.2f} s; with {found[1]}, radius of gyration {share:.3f} of her breadth"
        else:
            says = f"period {roll.period:.2f} s, GM {roll.gm:.2f} +/- {roll.error:.2f} m"
            says += f" with a radius of gyration of {share:.3f} of her breadth"
            says += " (assumed)" if roll.gyradius_assumed else ""
        told.measured.append(Measured(what="roll-period test", says=says, used=found is None or calibrates))
        if found is None:
            whole = mass + aboard.mass
            z = _from_gm(shape, mass, aboard, roll.gm, whole)
            found = z, "the roll-period test", True, roll.error * whole
            if roll.gyradius_assumed:
                told.assumptions.append(
                    f"Her radius of gyration is not known: {share:g} of her breadth is taken (neutral; GM goes with "
                    "its square)."
                )
    if found is not None:
        return found
    keel = data.ballast_keel is True
    z = assumed("kg-above-waterline" if keel else "kg-above-waterline-no-keel").number * shape.bwl
    told.assumptions.append(
        f"Nothing tells how high her centre of gravity lies: {z:.2f} m above the designed waterline is taken "
        + ("(cautious: most keel boats have it lower)" if keel else "(cautious, as for a boat without a ballast keel: ")
        + ("" if keel else "ballast_keel = true would take a keel boat's)")
        + "; an inclining test would settle it."
    )
    return z, "an assumption", False, None


def _from_gm(shape: Shape, mass: float, aboard: _Aboard, gm: float, displacement: float) -> float:
    """Her own centre's height over the designed waterline, from GM with ``aboard`` in her. m."""
    there = shape.upright_at(displacement)
    whole = mass + aboard.mass
    z_all = there.kb + there.bm - gm - aboard.surface / displacement - shape.draught
    return (whole * z_all - aboard.z) / mass


def _gm_with(shape: Shape, mass: float, aboard: _Aboard, z: float) -> float:
    """GM with ``aboard`` in her, her own centre lying ``z`` above the designed waterline. m."""
    whole = mass + aboard.mass
    there = shape.upright_at(whole)
    z_all = (mass * z + aboard.z) / whole
    return there.kb + there.bm - z_all - shape.draught - aboard.surface / whole


def _as_written(data: FloatData, shape: Shape, mass: float, told: Told) -> tuple[float, str] | None:
    """From kg_m or gm_m of the file; None where neither can be used."""
    own = shape.upright_at(mass)
    km = own.kb + own.bm
    kg = data.kg_m
    if kg is not None and shape.hull is None and data.draught_m is None:
        told.notes.append(
            "kg_m is counted from the keel's lowest point, and neither draught_m nor sections tell where that is: "
            "it is not used."
        )
        kg = None
    if kg is not None and data.gm_m is not None and abs(km - kg - data.gm_m) > 0.05:
        told.notes.append(
            f"kg_m and gm_m do not agree: with a metacentre {km:.2f} m above the keel, kg_m leaves a GM of "
            f"{km - kg:.2f} m and gm_m says {data.gm_m:.2f} m; "
            + ("kg_m" if shape.hull is not None else "gm_m")
            + " is used."
        )
    # Without sections the metacentre is the weaker figure, so a GM is worth more than a height above the keel.
    if data.gm_m is not None and (kg is None or shape.hull is None):
        return km - data.gm_m - shape.draught, "gm_m of the file"
    return None if kg is None else (kg - shape.draught, "kg_m of the file")


def _length(data: FloatData, shape: Shape, mass: float, lumps: tuple[Lump, ...], z: float, told: Told) -> float:
    """Her own centre forward of the after end of the waterline, m."""
    read = _from_marks(data, shape, mass, lumps, z, told) if data.marks is not None else None
    if shape.hull is None:
        if data.lcg_m is not None:
            told.notes.append("lcg_m is not used: without sections nobody knows where her centre of buoyancy lies.")
        if read is not None:
            return read
        told.assumptions.append("Without the listed weights she is taken to float level, and upright (neutral).")
        return shape.aft + 0.5 * shape.lwl
    if data.lcg_m is not None:
        return data.lcg_m
    if read is not None:
        return read
    level = shape.upright_at(mass)
    assert isinstance(level, Hydrostatics)
    told.assumptions.append(
        "lcg_m is not given: without the listed weights she is taken to float level, and upright (neutral)."
    )
    return level.x_b


def _from_marks(data: FloatData, shape: Shape, mass: float, lumps: tuple[Lump, ...], z: float, told: Told) -> float:
    """Her own centre's x, from the trim of the marks."""
    assert data.marks is not None
    aboard = _Aboard.of(lumps, data.marks.weights_aboard)
    whole = mass + aboard.mass
    tan_trim, level = marks_waterline(data, shape)
    if abs(tan_trim) > 0.15:
        raise CannotFloat(
            f"by the marks she is trimmed {math.degrees(math.atan(tan_trim)):.0f} degrees; look at 'marks'",
            "float.marks",
        )
    there = shape.upright_at(whole, tan_trim)
    z_all = (mass * z + aboard.z) / whole
    error = factor("draught-reading-error")
    middle = shape.aft + 0.5 * shape.lwl
    if isinstance(there, Hydrostatics):
        # The two centres stand on one vertical.
        x_all = there.x_b + (there.z_b - z_all) * tan_trim
        off = level + tan_trim * middle - (there.level + there.tan_trim * middle)
        by_marks = whole + off * 100.0 * there.kg_per_cm
        says = f"{by_marks:.0f} +/- {100.0 * error * there.kg_per_cm:.0f} kg by her sections"
        if abs(by_marks - whole) > max(0.05 * whole, 200.0 * error * there.kg_per_cm):
            told.notes.append(
                f"By the marks and her sections she displaces {by_marks:.0f} kg, by this file {whole:.0f} kg: one of "
                "them is wrong."
            )
    else:
        x_all = middle + tan_trim * (there.kb + there.bm_along - z_all - shape.draught)
        says = f"{100 * tan_trim * shape.lwl:.1f} cm by the {'bow' if tan_trim > 0 else 'stern'}"
    trim_error = math.degrees(2.0**0.5 * error / shape.lwl)
    trim = math.degrees(math.atan(tan_trim))
    trim_words = f"trim {abs(trim):.2f} +/- {trim_error:.2f} degrees by the {'bow' if trim > 0 else 'stern'}"
    told.measured.append(Measured(what="marks", says=f"{trim_words}; {says}", used=data.lcg_m is None))
    return (whole * x_all - aboard.x) / mass
