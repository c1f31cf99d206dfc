"""The fewest changes of a load that bring it inside: bags moved or left, fuel drained.

An exact search. For one change, then two, then three, every choice of changes and every
amount in whole steps is tried, so that a result with fewer changes than the one given does
not exist. Bags are what lies at stations with a ``max_lb``; people are not moved about. Only
where no change of bags and fuel will do is something from the other stations left behind.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Final, Literal

import numpy as np

from lubberline.aircraft.burning import burn_paths, outer_orders, tightest
from lubberline.aircraft.envelope import arm_margin_in
from lubberline.aircraft.model import LoadingLimits
from lubberline.arrays import BoolArray, FloatArray
from lubberline.errors import NoSolution
from lubberline.line import ROUNDING

MOST_CHANGES: Final = 3  # own: with more, it is another flight
BAG_STEP_LB: Final = 5.0  # own: what a bag is repacked by
FUEL_STEP_GAL: Final = 1.0  # own: what is drained by the can
# Own: of as many changes, rather one that only moves bags, then drains, then leaves behind.
RELUCTANCE: Final = {"move": 1.0, "drain": 1e3, "leave": 1e6}
_DIGITS: Final = 9  # without float noise of sums and differences

_Amounts = Mapping[str, float]  # by name of station [lb] or of tank [gal]


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One thing to do: weight moved or left behind [lb], or fuel drained [lb, with gallons]."""

    kind: Literal["move", "leave", "drain"]
    source: str
    target: str = ""
    weight_lb: float
    drained_gal: float = 0.0

    @property
    def words(self) -> str:
        """The change as it is said."""
        if self.kind == "drain":
            return f"drain {self.drained_gal:,.10g} gal from tank {self.source}"
        if self.kind == "leave":
            return f"leave {self.weight_lb:,.10g} lb of {self.source} behind"
        return f"move {self.weight_lb:,.10g} lb from {self.source} to {self.target}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reload:
    """The changes, and the load and fuel that they come to."""

    changes: tuple[Change, ...]
    load_lb: _Amounts
    fuel_gal: _Amounts


@dataclass(frozen=True, slots=True, kw_only=True)
class Burn:
    """Fuel that the flight takes, and what must be aboard at the ramp [gal]."""

    taxi_gal: float
    trip_gal: float
    least_gal: float


def fewest_changes(
    limits: LoadingLimits, *, load_lb: _Amounts, fuel_gal: _Amounts, burn: Burn
) -> Reload:
    """The fewest changes that bring the load inside from the ramp to dry tanks.

    Parameters
    ----------
    limits : LoadingLimits
        Weights, stations with what they may carry, tanks and the envelope.
    load_lb, fuel_gal : mapping
        As loaded now: by station [lb], by tank [gal], 0 or more.
    burn : Burn
        What taxi and trip take, and the least fuel at the ramp: none is drained below it.

    Returns
    -------
    Reload
        No changes where the load is inside already. Of several with as few changes, the one
        that leaves least behind, then drains least, then moves least.

    Raises
    ------
    NoSolution
        If nothing within three changes will do.
    """
    search = _Search(limits, load_lb, fuel_gal, burn)
    for from_seats in (False, True):
        steps = [step for step in search.steps(from_seats=from_seats) if step.amounts_lb.size]
        for count in range(MOST_CHANGES + 1):
            best = search.best(combinations(steps, count))
            if best is not None:
                return best
    raise NoSolution(
        f"no {MOST_CHANGES} changes bring the load inside: bags moved in steps of"
        f" {BAG_STEP_LB:g} lb, loads left behind, fuel drained in steps of {FUEL_STEP_GAL:g} gal"
        f" down to {burn.least_gal:.1f} gal; carry less, or take another airplane"
    )


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class _Step:
    """One kind of change with every amount that is tried."""

    kind: Literal["move", "leave", "drain"]
    source: str
    target: str = ""
    amounts_lb: FloatArray


class _Search:
    """A load and its limits, asked with many amounts at once."""

    def __init__(
        self, limits: LoadingLimits, load_lb: _Amounts, fuel_gal: _Amounts, burn: Burn
    ) -> None:
        """Every station and tank has an amount, nought where none was given."""
        self.limits = limits
        self.burn = burn
        self.load_lb = {one.name: load_lb.get(one.name, 0.0) for one in limits.stations}
        self.fuel_gal = {one.name: fuel_gal.get(one.name, 0.0) for one in limits.tanks}

    def steps(self, *, from_seats: bool) -> Iterator[_Step]:
        """Everything that may be changed."""
        most_lb = {one.name: one.max_lb for one in self.limits.stations}
        for source, most in most_lb.items():
            here_lb = self.load_lb[source]
            if most is None and not from_seats:
                continue
            over = [here_lb - most] if most is not None else []
            yield _Step(
                kind="leave", source=source, amounts_lb=_amounts_lb(here_lb, BAG_STEP_LB, over)
            )
            for target in most_lb if most is not None else ():
                room = most_lb[target]
                exact = over if room is None else [*over, room - self.load_lb[target]]
                amounts_lb = _amounts_lb(here_lb, BAG_STEP_LB, exact)
                if target != source:
                    yield _Step(kind="move", source=source, target=target, amounts_lb=amounts_lb)
        for tank, gal in self.fuel_gal.items():
            lb_per_gal = self.limits.fuel_lb_per_gal
            amounts_lb = _amounts_lb(gal * lb_per_gal, FUEL_STEP_GAL * lb_per_gal, [])
            yield _Step(kind="drain", source=tank, amounts_lb=amounts_lb)

    def best(self, choices: Iterator[tuple[_Step, ...]]) -> Reload | None:
        """The choice and amounts inside all limits that are least to be regretted."""
        found: tuple[float, tuple[_Step, ...], list[float]] | None = None
        for choice in choices:
            grids = np.meshgrid(*(step.amounts_lb for step in choice), indexing="ij")
            amounts_lb = [grid.ravel() for grid in grids]
            regret = sum(
                (
                    RELUCTANCE[step.kind] * grid
                    for step, grid in zip(choice, amounts_lb, strict=True)
                ),
                start=np.zeros(amounts_lb[0].size if amounts_lb else 1),
            )
            most = np.inf if found is None else found[0]
            able = np.flatnonzero(self._inside(choice, amounts_lb) & (regret < most))
            for at in able[np.argsort(regret[able], kind="stable")]:
                amounts = [float(grid[at]) for grid in amounts_lb]
                if self._inside_all_along(choice, amounts):
                    found = float(regret[at]), choice, amounts
                    break
        return None if found is None else self._reload(found[1], found[2])

    def _inside_all_along(self, choice: Sequence[_Step], amounts_lb: Sequence[float]) -> bool:
        """Whether every moment from the ramp to dry tanks is inside the envelope."""
        then = self._reload(choice, amounts_lb)
        paths = burn_paths(self.limits, load_lb=then.load_lb, fuel_gal=then.fuel_gal)
        near = tightest(self.limits, paths)
        return near.margin_in >= -ROUNDING * max(1.0, abs(near.loaded.arm_in))

    def _inside(self, choice: Sequence[_Step], amounts_lb: Sequence[FloatArray]) -> BoolArray:
        """Whether each row of amounts keeps every limit."""
        load_lb, fuel_gal = self._changed(choice, amounts_lb)
        inside = np.ones(amounts_lb[0].size if amounts_lb else 1, dtype=bool)
        for station in self.limits.stations:
            lb = load_lb[station.name]
            most_lb = np.inf if station.max_lb is None else station.max_lb
            inside &= (lb >= -ROUNDING) & (lb <= most_lb * (1.0 + ROUNDING))
        aboard_gal = sum(fuel_gal.values(), start=np.zeros(1))
        if any(step.kind == "drain" for step in choice):
            inside &= aboard_gal >= self.burn.least_gal * (1.0 - ROUNDING)
        for left_gal, max_lb in self._moments(fuel_gal):
            inside &= self._state_inside(load_lb, left_gal, max_lb)
        return inside

    def _moments(
        self, fuel_gal: Mapping[str, FloatArray]
    ) -> Iterator[tuple[Mapping[str, FloatArray], float | None]]:
        """Fuel left at the ramp, take-off, landing and when dry, with the weight allowed then.

        And as one tank after the other is empty, where only the envelope counts.
        """
        limits, trip_gal = self.limits, self.burn.taxi_gal + self.burn.trip_gal
        for burn_gal, max_lb in (
            (0.0, limits.max_ramp_lb),
            (self.burn.taxi_gal, limits.max_takeoff_lb),
            (trip_gal, limits.max_landing_lb),
            (np.inf, limits.max_zero_fuel_lb),
        ):
            yield _left_gal(fuel_gal, burn_gal, limits.burn_order), max_lb
        for order in outer_orders(limits):
            for count in range(1, len(order)):
                yield {**fuel_gal, **dict.fromkeys(order[:count], np.zeros(1))}, None

    def _state_inside(
        self,
        load_lb: Mapping[str, FloatArray],
        fuel_gal: Mapping[str, FloatArray],
        max_lb: float | None,
    ) -> BoolArray:
        """Whether weight and center of gravity are allowed with this load and fuel."""
        limits = self.limits
        weight_lb = np.full(1, limits.empty_lb)
        moment_lbin = np.full(1, limits.empty_lb * limits.empty_arm_in)
        for station in limits.stations:
            weight_lb = weight_lb + load_lb[station.name]
            moment_lbin = moment_lbin + load_lb[station.name] * station.arm_in
        for tank in limits.tanks:
            fuel_lb = fuel_gal[tank.name] * limits.fuel_lb_per_gal
            weight_lb = weight_lb + fuel_lb
            moment_lbin = moment_lbin + fuel_lb * tank.arm_in
        light = weight_lb <= (np.inf if max_lb is None else max_lb * (1.0 + ROUNDING))
        arm_in = moment_lbin / weight_lb
        margin_in = np.full(light.shape, np.nan)
        margin_in[light] = arm_margin_in(limits, weight_lb[light], arm_in[light])
        inside: BoolArray = margin_in >= -ROUNDING * np.maximum(1.0, np.abs(arm_in))
        return light & inside

    def _changed(
        self, choice: Sequence[_Step], amounts_lb: Sequence[FloatArray]
    ) -> tuple[dict[str, FloatArray], dict[str, FloatArray]]:
        """Load [lb] and fuel [gal] after the changes, one array each."""
        count = amounts_lb[0].size if amounts_lb else 1
        load_lb = {name: np.full(count, lb) for name, lb in self.load_lb.items()}
        fuel_gal = {name: np.full(count, gal) for name, gal in self.fuel_gal.items()}
        for step, amount_lb in zip(choice, amounts_lb, strict=True):
            if step.kind == "drain":
                drained_gal = amount_lb / self.limits.fuel_lb_per_gal
                fuel_gal[step.source] = fuel_gal[step.source] - drained_gal
                continue
            load_lb[step.source] = load_lb[step.source] - amount_lb
            if step.kind == "move":
                load_lb[step.target] = load_lb[step.target] + amount_lb
        return load_lb, fuel_gal

    def _reload(self, choice: Sequence[_Step], amounts_lb: Sequence[float]) -> Reload:
        load_lb, fuel_gal = self._changed(choice, [np.array([one]) for one in amounts_lb])
        return Reload(
            changes=tuple(
                self._change(step, amount_lb)
                for step, amount_lb in zip(choice, amounts_lb, strict=True)
            ),
            load_lb={name: max(0.0, round(float(lb[0]), _DIGITS)) for name, lb in load_lb.items()},
            fuel_gal={
                name: max(0.0, round(float(gal[0]), _DIGITS)) for name, gal in fuel_gal.items()
            },
        )

    def _change(self, step: _Step, amount_lb: float) -> Change:
        drained_gal = round(amount_lb / self.limits.fuel_lb_per_gal, _DIGITS)
        return Change(
            kind=step.kind,
            source=step.source,
            target=step.target,
            weight_lb=amount_lb,
            drained_gal=drained_gal if step.kind == "drain" else 0.0,
        )


def _left_gal(
    fuel_gal: Mapping[str, FloatArray], burn_gal: float, order: Sequence[str]
) -> Mapping[str, FloatArray]:
    """Fuel left by tank, as ``burned`` has it, for many amounts at once."""
    if not order:
        aboard_gal = sum(fuel_gal.values(), start=np.zeros(1))
        left_ratio = np.maximum(aboard_gal - burn_gal, 0.0) / np.where(aboard_gal, aboard_gal, 1.0)
        return {name: gal * left_ratio for name, gal in fuel_gal.items()}
    left_gal, to_burn_gal = dict(fuel_gal), np.full(1, burn_gal)
    for name in order:
        drawn_gal = np.minimum(to_burn_gal, left_gal[name])
        left_gal[name], to_burn_gal = left_gal[name] - drawn_gal, to_burn_gal - drawn_gal
    return left_gal


def _amounts_lb(most_lb: float, step_lb: float, exact_lb: list[float]) -> FloatArray:
    """Whole steps up to all there is, all there is, and the amounts that just fit a limit."""
    tried_lb = np.concatenate([np.arange(step_lb, most_lb, step_lb), [most_lb, *exact_lb]])
    return np.unique(tried_lb[(tried_lb > 0.0) & (tried_lb <= most_lb)])
