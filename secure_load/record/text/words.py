"""Figures and places in words, alike in the record and on the command line."""

from __future__ import annotations

from collections.abc import Sequence

from secure_load.boat.models import Scenario
from secure_load.check.results import LETTER, WORD, BoatVerdict, Colour, HoldsToHeel, Instant, Remedy, WeightVerdict
from secure_load.check.utilisation import percent
from secure_load.record.text.text_layout import plain

_MOST_VALUES = 6
"""Of a list that are told one by one."""
NOT_KNOWN = "not worked out"
_MANY_G = 100.0
"""Beyond this the figure says nothing but "a great deal"."""
_FAR_MM = 100.0
"""A movement beyond this is not told to the millimetre."""
_LEVEL = 0.005
"""Metres; half of the last figure shown."""


def use(found: WeightVerdict) -> str:
    """The utilisation of a weight in words; "-" where it was not checked."""
    return "-" if found.unchecked is not None else percent(found.utilisation)


def number(value: float, digits: int = 2) -> str:
    """A number with so many decimals and no negative nil."""
    return f"{round(value, digits) + 0.0:.{digits}f}"


def mass(kg: float) -> str:
    """A mass for people: decigrams do not matter, a lost decimal does.

    >>> mass(48.0), mass(0.35), mass(1250.0)
    ('48.0', '0.35', '1250')
    """
    return f"{kg:.0f}" if kg >= 1000 else f"{kg:.1f}" if kg >= 1 else f"{kg:.3g}"


def colour(found: Colour) -> str:
    """A verdict as letter and word.

    >>> colour("amber")
    'A doubtful'
    """
    return f"{LETTER[found]} {WORD[found]}"


def count(number: int, one: str, many: str | None = None) -> str:
    """So many of something.

    >>> count(1, "weight"), count(2, "weight")
    ('1 weight', '2 weights')
    """
    return f"{number} {one if number == 1 else many or one + 's'}"


def position(at_m: Sequence[float]) -> str:
    """A place in the boat; x forward, y to port, z up, in m.

    >>> position((3.6, 0.0, -0.32))
    '3.60 m forward of the after end of the waterline, on the centreline, 0.32 m below the waterline'
    """
    x, y, z = at_m
    along = "forward of" if x >= 0 else "abaft"
    side = "on the centreline" if abs(y) < _LEVEL else f"{abs(y):.2f} m to {'port' if y > 0 else 'starboard'}"
    level = "at the waterline" if abs(z) < _LEVEL else f"{abs(z):.2f} m {'above' if z > 0 else 'below'} the waterline"
    return f"{abs(x):.2f} m {along} the after end of the waterline, {side}, {level}"


def heel(degrees: float) -> str:
    """A heel in words.

    >>> heel(34.0), heel(-90.0), heel(0.0)
    ('34 degrees to starboard', '90 degrees to port', 'upright')
    """
    if abs(degrees) < 0.5:
        return "upright"
    return f"{count(round(abs(degrees)), 'degree')} to {'starboard' if degrees > 0 else 'port'}"


def case(worst: Instant, names: dict[str, str]) -> str:
    """The worst case of a weight; ``names`` gives the scenario's name by its id."""
    said = [plain(names.get(worst.scenario, worst.scenario)), heel(worst.heel_deg)]
    if abs(worst.pitch_deg) >= 0.5:
        said.append(f"bow {'down' if worst.pitch_deg > 0 else 'up'} {count(round(abs(worst.pitch_deg)), 'degree')}")
    said.append(f"{worst.load_factor:g} times gravity")
    return ", ".join(said)


def instant(worst: Instant | None, names: dict[str, str]) -> str:
    """The worst case of a weight with the load on it."""
    if worst is None:
        return NOT_KNOWN
    size = sum(f * f for f in worst.demand_N) ** 0.5
    return f"{case(worst, names)}: a force of {size:.0f} N on the weight"


def holds_to(found: HoldsToHeel | None) -> str:
    """How far out each way it holds.

    >>> holds_to(HoldsToHeel(port=34.0, starboard=None))
    'port 34, starboard none (degrees of heel, from upright)'
    """
    if found is None:
        return NOT_KNOWN
    sides = ((found.port, "port"), (found.starboard, "starboard"))
    said = ", ".join(f"{name} {'none' if side is None else f'{side:.0f}'}" for side, name in sides)
    return f"{said} (degrees of heel, from upright)"


def movement(weight: WeightVerdict) -> str:
    """How far it moves before it is held, and which way."""
    if weight.unchecked is not None:
        return NOT_KNOWN
    if weight.movement_at is None:
        return "never held"
    far = weight.movement_mm
    # a small displacement is worked out from the place at rest: of a great one no more is known than that it is great
    said = f"more than {_FAR_MM:.0f} mm" if far > _FAR_MM else f"{far:.1f} mm"
    where = f" {plain(weight.movement_direction)}" if weight.movement_direction else ""
    return f"{said}{where}, {heel(weight.movement_at.heel_deg)}"


def holds_g(weight: WeightVerdict) -> str:
    """The accelerations it holds, with the weakest direction."""
    found = weight.holds_g
    if found is None:
        return NOT_KNOWN
    ways = ("down", "up", "port", "starboard", "fore", "aft")
    said = ", ".join(f"{way} {_g(getattr(found, way))}" for way in ways)
    if found.weakest is None:
        return said
    where = plain(found.weakest_direction)
    return f"{said}; weakest {_g(found.weakest)}" + (f" {where}" if where else "")


def _g(value: float | None) -> str:
    if value is None:
        return "more than was tried"
    return f"{value:.1f} g" if value <= _MANY_G else f"over {_MANY_G:.0f} g"


def if_loose(weight: WeightVerdict) -> str:
    """What it does if it gets loose; indicative only."""
    found = weight.if_loose
    if found is None:
        return NOT_KNOWN
    said = f"falls {found.fall_m:.2f} m across the boat and lands with {found.energy_J:.0f} J"
    if found.plank_absorbs_J is None:
        return f"{said}; what her planking takes is not known (indicative)"
    return f"{said}; a plank takes some {found.plank_absorbs_J:.0f} J (indicative)"


def remedy_words(remedy: Remedy) -> str:
    """What to do, how long it takes, and what comes of it."""
    work = f" ({plain(remedy.work)})" if remedy.work else ""
    if remedy.kind != "change":
        return f"{plain(remedy.change)}{work}"
    return f"{plain(remedy.change)}{work}: would be {colour(remedy.verdict)}, {percent(remedy.utilisation)}, once built"


def tally(verdict: BoatVerdict) -> str:
    """The whole boat in a clause."""
    if not verdict.weights:
        return "no weight is entered, so nothing was checked"
    total = len(verdict.weights)
    found = {c: sum(w.verdict == c for w in verdict.weights) for c in WORD}
    if found["green"] == total:
        return "the one weight holds" if total == 1 else f"all {total} weights hold"
    said: list[str] = []
    if found["red"]:
        said.append(f"{found['red']} of {count(total, 'weight')} {'fails' if found['red'] == 1 else 'fail'}")
    if found["amber"]:
        whole = f" of {count(total, 'weight')}" if not said else ""
        said.append(f"{found['amber']}{whole} {'is' if found['amber'] == 1 else 'are'} doubtful")
    if found["green"]:
        said.append(f"{found['green']} {'holds' if found['green'] == 1 else 'hold'}")
    return ", ".join(said)


def scenario_figures(scenario: Scenario) -> str:
    """What a scenario does to her, as figures a second person could run again."""
    out = scenario.heel_deg
    sides = ", both sides" if scenario.both_sides and (out.from_ or out.to) else ""
    heels = f"{out.to:g}" if out.from_ == out.to else f"{out.from_:g} to {out.to:g}"
    steps = "" if out.from_ == out.to else f" in steps of {out.step:g}"
    said = [f"heel {heels} degrees{steps}{sides}", f"{list_words(scenario.load_factor)} times gravity"]
    for name, values in (("surge", scenario.surge_g), ("sway", scenario.sway_g), ("heave", scenario.heave_g)):
        if any(values):
            said.append(f"{name} {list_words(values)} g")
    if any(scenario.pitch_deg):
        said.append(f"pitch {list_words(scenario.pitch_deg)} degrees")
    for name, value, unit in (
        ("rolling", scenario.roll_rate_deg_s, "degrees/s"),
        ("roll quickening", scenario.roll_acceleration_deg_s2, "degrees/s2"),
    ):
        values = value if isinstance(value, list) else [value]
        if any(values):
            said.append(f"{name} {list_words(values)} {unit}")
    if scenario.one_at_a_time:
        said.append("one acceleration at a time")
    if scenario.load_duration != "ten-minutes":
        said.append(f"lasting up to {scenario.load_duration.replace('-', ' ')}")
    if scenario.pull_at_most_N is not None:
        said.append(f"at most {scenario.pull_at_most_N:g} N")
    if scenario.kinds:
        said.append(f"for {', '.join(scenario.kinds)} only")
    if scenario.only_if_trailered:
        said.append("for boats that are trailered only")
    return "; ".join(said)


def list_words(values: Sequence[float], joint: str = ", ") -> str:
    """Values in words; of many, the least, the greatest and how many.

    >>> list_words([0, 1.5]), list_words([0, 10, 20, 30, 40, 50, 60])
    ('0, 1.5', '0 to 60 in 7 values')
    """
    if len(values) > _MOST_VALUES:
        return f"{min(values):g} to {max(values):g} in {len(values)} values"
    return joint.join(f"{v:g}" for v in values)
