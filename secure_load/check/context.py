"""A boat run through scenarios: the instants each of her weights goes through, and its working over them."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property

from secure_load.boat.models import BoatFile, Neighbour, Scenario, Weight
from secure_load.check.groups import groups_of
from secure_load.check.holding import all_round, at_one_g
from secure_load.check.response import Response
from secure_load.check.sampler import worst_over_bounds
from secure_load.check.second_path import ReducedHold
from secure_load.loads.load_cases import LoadCases, load_cases
from secure_load.loads.scenarios import applies, choose
from secure_load.model.group_model import GroupModel
from secure_load.model.model_builder import build_model
from secure_load.model.rules.sense import Boxes, Sense, boxes_of, replaced_builtins, sense_of
from secure_load.solver.arrays import Array

CACHE_SIZE = 8
"""Workings of groups, and sets of instants, that are kept: those in hand and those beside them."""


_families: dict[tuple[str, ...], LoadCases] = {}
"""The instants of scenarios as they were last asked for: an edited weight goes through what it went through before."""


def _family(meant: list[Scenario]) -> LoadCases:
    """The instants of some scenarios, worked out once for as long as nobody changes the scenarios."""
    key = tuple(s.model_dump_json() for s in meant)
    found = _families.get(key)
    if found is None:
        found = load_cases(meant)
        if len(_families) >= CACHE_SIZE:
            _families.clear()
        _families[key] = found
    return found


@dataclass
class CheckContext:
    """A boat and the scenarios to run her through; instants are worked out once for all her weights."""

    boat: BoatFile
    scenarios: list[Scenario]
    _families: dict[tuple[str, ...], LoadCases] = field(default_factory=dict[tuple[str, ...], LoadCases])
    _solved: dict[tuple[int, ...], GroupSolution] = field(default_factory=dict[tuple[int, ...], "GroupSolution"])
    _boxes: tuple[BoatFile, Boxes] | None = None
    _completed: dict[str, tuple[Weight, Weight]] = field(default_factory=dict[str, "tuple[Weight, Weight]"])

    def scenarios_for(self, weight: Weight) -> list[Scenario]:
        """The scenarios meant for a weight of its kind; there may be none."""
        return [s for s in self.scenarios if applies(s, weight)]

    def load_cases_for(self, weight: Weight) -> LoadCases:
        """The instants of the scenarios meant for a weight of its kind, of which there must be one."""
        meant = self.scenarios_for(weight)
        key = tuple(s.id for s in meant)
        if key not in self._families:
            self._families[key] = _family(meant)
        return self._families[key]

    def group_of(self, weight: Weight) -> list[Weight]:
        """The weights that touch this one, itself among them, in the order of the file.

        The weight may be an edited one: it takes the place of the boat's own of the same id.
        """
        weights = [weight if w.id == weight.id else w for w in self.boat.weight]
        if all(w is not weight for w in weights):
            weights.append(weight)
        shared = self.boat.restraint
        if not shared and not any(isinstance(r, Neighbour) for w in weights for r in w.restraint):
            return [weight]
        place = next(i for i, w in enumerate(weights) if w is weight)
        together = next(group for group in groups_of(weights, shared) if place in group)
        return [self._with_shared(weights[i]) for i in together]

    def _with_shared(self, weight: Weight) -> Weight:
        """The weight with the pieces among its restraints that hold it together with others."""
        known = self._completed.get(weight.id)
        if known is None or known[0] is not weight:
            known = self._completed[weight.id] = weight, self.boat.with_shared(weight)
        return known[1]

    def sense_of(self, weight: Weight) -> Sense:
        """What the weight's own figures leave to ask, and scenarios that were not run."""
        if self._boxes is None or self._boxes[0] is not self.boat:
            self._boxes = self.boat, boxes_of(self.boat.weight)
        found = sense_of(weight, self.boat, self._boxes[1])
        found.doubts.extend(replaced_builtins(self.scenarios, self.boat))
        return found

    def solved(self, weight: Weight) -> GroupSolution:
        """The working of a weight's group, done once for all its members."""
        together = self.group_of(weight)
        meant = self.load_cases_for(weight)
        key = (id(meant), *map(id, together))
        if key not in self._solved:
            stowed = build_model(together, self.boat)
            for member in stowed.members:
                found = self.sense_of(member.weight)
                member.notes.doubts += found.doubts
                member.notes.faults += found.faults
            moments = meant.instants.at(meant.unique_rows)
            load = stowed.loads_at(moments)
            solved = GroupSolution(together, stowed, meant, load, worst_over_bounds(stowed, load, meant))
            if len(together) == 1:
                return solved
            if len(self._solved) >= CACHE_SIZE:
                del self._solved[next(iter(self._solved))]
            self._solved[key] = solved
            return solved
        return self._solved[key]


@dataclass(frozen=True)
class GroupSolution:
    """A group of weights as worked over a family of instants."""

    group: list[Weight]
    model: GroupModel
    load_cases: LoadCases
    load: Array
    """(d, 6 b) over the distinct loads."""
    response: Response

    @cached_property
    def slid(self) -> GroupSolution:
        """The same with the friction of what slides."""
        model = self.model.slid
        return GroupSolution(
            self.group, model, self.load_cases, self.load, worst_over_bounds(model, self.load, self.load_cases)
        )

    @cached_property
    def reduced(self) -> ReducedHold:
        """What becomes of its members when some of what holds them is taken away."""
        return ReducedHold(self.model, self.load_cases, self.load, self.response)

    @cached_property
    def at_one_g(self) -> Response:
        """Under 1 g alone in all directions, for all members at once."""
        if len(self.group) == 1:
            return at_one_g(self.model, all_round())
        first = self.load_cases.plan.coarse
        return at_one_g(self.model, all_round(), (self.load[first], self.response.displacement_vector[first]))


def make_context(boat: BoatFile, scenarios: list[str] | None = None) -> CheckContext:
    """A run over the scenarios asked for by id, or all. Raises LookupError for an id that is nowhere."""
    return CheckContext(boat, choose(boat, scenarios))
