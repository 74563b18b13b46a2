"""The bench of “Will it tow straight?”."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from trailerlib import units
from trailerlib.bench.base import Bench
from trailerlib.bench.choices import parts
from trailerlib.bench.controls import Changes, Control, of, pick, slider
from trailerlib.bench.controls import Path as Where
from trailerlib.design.design import Design
from trailerlib.design.model import Point
from trailerlib.pictures.balance_view import balance_above, balance_side
from trailerlib.studies import towing as study
from trailerlib.studies.answer import Answer

ALONG, ACROSS = 0, 1  # which number of a place
WHEN = (("on the road", False), ("standing, people aboard", True))


class TowBench(Bench):
    """Where generator, battery and cargo stand and how full the water is; see what coupler, axles and wheels carry."""

    name = "Will it tow straight?"
    pictures: Mapping[str, str] = {"side": "from the side", "above": "from above"}

    def __init__(self, design: Design) -> None:
        self._set = next((s.name for s in design.supplies if s.is_generator and (s.rides or s.place)), None)
        self._tank = design.tanks[0].name if design.tanks else None
        movable = [thing.name for thing in study.aboard(design)[0] if thing.path is not None]
        cargo = [thing.name for thing in design.cargo if thing.name in movable]
        self._item = cargo[0] if cargo else movable[0] if movable else None
        self._parked = False
        super().__init__(design)

    def make_controls(self) -> Sequence[Control]:
        """Generator, battery, water, which thing, its mass and place, and whether people are aboard."""
        system = self.design.units
        box = self.design.trailer
        length, width = (units.outside(value, "length", system) for value in (box.length, box.width))
        step = {"us": 0.25, "metric": 0.05}[system]
        front = -units.outside(box.nose + box.tongue, "length", system)
        along = {system: (round(front, 2), round(length, 2), step)}
        percent = (0.0, 100.0, 5.0)
        return (
            self._place("generator", "Generator at", self._generator_path, ALONG, along),
            self._place("battery", "Battery at", self._battery_path, ALONG, along),
            slider(
                "water",
                "Water",
                of("tank", lambda: self._tank, "level"),
                lambda d: None if self._tank is None else _named(d.tanks, self._tank).level,
                "fraction",
                {"us": percent, "metric": percent},
                system,
            ),
            pick("item", "What to place", self._items, lambda d: self._item, None),
            slider(
                "mass",
                "Its mass",
                self._cargo_path("mass"),
                self._cargo_mass,
                "mass",
                {"us": (5.0, 600.0, 5.0), "metric": (2.0, 280.0, 2.0)},
                system,
            ),
            self._place("along", "From the nose", self._item_path, ALONG, along),
            self._place("across", "From road side", self._item_path, ACROSS, {system: (0.0, round(width, 2), step)}),
            pick("when", "When", lambda d: WHEN, lambda d: self._parked, None),
        )

    def _place(
        self,
        key: str,
        label: str,
        path: Callable[[Design], Where | None],
        axis: int,
        ends: Mapping[units.System, tuple[float, float, float]],
    ) -> Control:
        """A slider over one number of a place; the other two stay as they are written."""
        system = self.design.units

        def read(design: Design) -> float | None:
            where = path(design)
            return None if where is None else _point(design, where)[axis]

        control = slider(key, label, path, read, "length", ends, system)

        def put(design: Design, value: float) -> Changes:
            where = path(design)
            if where is None:
                return {}
            written = list(design.get(where))
            written[axis] = units.written(value, "length", system)
            return {where: written}

        control.put = put
        return control

    def _generator_path(self, design: Design) -> Where | None:
        if self._set is None:
            return None
        supply = design.supply(self._set)
        place = supply.rides or supply.place
        return None if place is None else ("place", place, "at")

    def _battery_path(self, design: Design) -> Where | None:
        return None if design.battery is None or design.battery.place is None else ("place", design.battery.place, "at")

    def _items(self, design: Design) -> list[tuple[str, str]]:
        return parts([thing.name for thing in study.aboard(design)[0] if thing.path is not None])

    def _item_path(self, design: Design) -> Where | None:
        return next((t.path for t in study.aboard(design)[0] if t.name == self._item and t.path is not None), None)

    def _cargo_path(self, key: str) -> Callable[[Design], Where | None]:
        return lambda design: ("cargo", str(self._item), key) if self._cargo_mass(design) is not None else None

    def _cargo_mass(self, design: Design) -> float | None:
        return next((cargo.mass for cargo in design.cargo if cargo.name == self._item), None)

    def on_focus(self, key: str, value: Any) -> None:
        """The thing that is placed, or whether it is on the road."""
        if key == "when":
            self._parked = value
        else:
            self._item = value

    def ask(self, design: Design) -> Answer:
        """The balance on the road or standing, and where the thing in focus may stand."""
        self.focus = self._item
        return study.answer(design, self._item, self._parked)

    def draw(self, answer: Answer, ghost: Answer | None) -> str:
        """From the side with coupler and axles, or from above with every wheel."""
        show = balance_side if self.shown == "side" else balance_above
        return show(answer.picture, None if ghost is None else ghost.picture, focus=self._item)


def _named(found: Sequence[Any], name: str) -> Any:
    return next(part for part in found if part.name == name)


def _point(design: Design, where: Where) -> Point:
    kind, name, _ = where
    found = design.place(name) if kind == "place" else _named({"cargo": design.cargo, "tank": design.tanks}[kind], name)
    point: Point = found.at
    return point


def tow(design: Design) -> TowBench:
    """The bench of “Will it tow straight?” for a design."""
    return TowBench(design)
