"""The box of a begun trailer: its size, where things and wires are, its faces and openings."""

from __future__ import annotations

from collections.abc import Iterator

from trailerlib.design.begin_answers import NONE
from trailerlib.design.begin_pen import Pen


class BoxLines(Pen):
    """What is said of the box."""

    def who(self) -> Iterator[str]:
        """Who sleeps in it, and the weather where it stands."""
        yield from ("", "[use]", f"sleepers = {self.ask.sleepers}", "", "[site]")
        yield f"elevation = {self.quantity(self.ask.elevation, 'elevation')}"
        yield self.kept("latitude", "40.0")
        yield self.kept("day", '"07-21"')
        yield f"hottest = {self.quantity(self.ask.hottest, 'temperature')}"
        yield f"coldest = {self.quantity(self.ask.coldest, 'temperature')}"
        yield self.kept("dew_point", self.quantity(min(16.0, self.ask.hottest - 8.0), "temperature"))

    def box(self) -> Iterator[str]:
        """The box, inside."""
        yield from ("", "[trailer]  # the box, inside")
        for key in ("length", "width", "height"):
            yield f"{key} = {self.length(getattr(self.ask, key))}"
        yield self.kept("axles", "2" if self.ask.length > 3.9 else "1")

    def places(self) -> Iterator[str]:
        """Where things are."""
        yield from ("", "# where things are: [from the nose wall, from the left (road side) wall, above the floor]")
        for name, at in self._spots().items():
            yield from ("", "[[place]]", f'name = "{name}"', self.kept("at", self.at(*at)))

    def _spots(self) -> dict[str, tuple[float, float, float]]:
        long, wide, high = self.ask.length, self.ask.width, self.ask.height
        spots = {
            "battery box": (0.15, 0.45, 0.15),
            "fuse block": (0.3, 0.2, 0.9),
            "ceiling": (0.6 * long, wide / 2, high - 0.05),
            "side door": (0.3 * long, wide, high - 0.15),
            "bench": (0.45 * long, wide - 0.1, 0.9),
        }
        if self.ask.sleepers:
            spots["bunk"] = (0.8 * long, 0.3, 0.9)
        if self.ask.fan:
            spots["roof fan"] = (0.76 * long, wide / 2, high)
        if self.ask.fridge:
            spots["fridge"] = (0.9, wide - 0.3, 0.3)
        if self.ask.has_mains:
            spots |= {"mains panel": (0.6, 0.08, 1.2), "inlet": (0.9, -0.05, 0.4)}
        if self.ask.outside:
            spots["outside wall"] = (0.6 * long, wide + 0.05, 0.9)
        if self.ask.cooler != NONE:
            spots["roof cooler"] = (0.42 * long, wide / 2, high)
        if self.ask.generator != NONE:
            spots["generator"] = (-6.0, wide / 2, 0.0)
        return spots

    def raceways(self) -> Iterator[str]:
        """Where wires lie."""
        long, wide, trim = self.ask.length - 0.03, self.ask.width - 0.03, self.ask.height - 0.15
        beside = self.ask.width / 2 - 0.45  # of the holes for fan and cooler
        over = self.ask.height - 0.02
        yield from ("", "[routing]", self.kept("service_loop", self.small(6.0)))
        ways = {
            "trim, road side": ("trim gap", "dc", [(0.03, 0.03, trim), (long, 0.03, trim)]),
            "trim, curb side": ("trim gap", "dc", [(0.03, 0.03, trim), (0.03, wide, trim), (long, wide, trim)]),
            "ceiling": ("ceiling cavity", "dc", [(0.03, beside, trim), (0.03, beside, over), (long, beside, over)]),
        }
        if self.ask.has_mains:
            ways["floor, to the curb side"] = (
                "floor chase",
                "mains",
                [(0.6, 0.08, 0.0), (0.6, wide, 0.0), (long, wide, 0.0)],
            )
        if self.ask.cooler != NONE:
            way = [(0.6, 0.08, 1.2), (0.6, 0.08, over), (0.42 * self.ask.length, 0.08, over)]
            ways["conduit to the cooler"] = ("conduit", "mains", [*way, (0.42 * self.ask.length, wide / 2, over)])
        for name, (kind, carries, path) in ways.items():
            yield from (
                "",
                "[[raceway]]",
                f'name = "{name}"',
                self.kept("kind", f'"{kind}"'),
                f'carries = "{carries}"',
            )
            yield self.kept("path", f"[{', '.join(self.at(*point) for point in path)}]")

    def shell(self) -> Iterator[str]:
        """What the faces are made of, and what is held inside."""
        yield from ("", "[envelope]", self.kept("skin", '"white paint"'))
        yield from (self.kept("heading", "90"), self.kept("leakage", "0.7"))
        foam = {"walls": 1.0, "roof": 1.5, "door": 0.75}
        for name in ("walls", "roof", "floor", "door"):
            skin, board = f'["aluminium", {self.small(0.03)}]', f'["plywood", {self.small(0.25)}]'
            layers = [f'["plywood", {self.small(0.75)}]']
            if name in foam:
                layers = [skin, f'["extruded polystyrene", {self.small(foam[name])}]', board]
            yield from ("", "[[face]]", f'name = "{name}"', self.kept("layers", f"[{', '.join(layers)}]"))
        yield from ("", "[comfort]")
        if self.ask.cooler != NONE:
            yield self.kept("set_point", self.quantity(25.0, "temperature"))
        yield self.kept("heat_to", self.quantity(15.0, "temperature"))

    def openings(self) -> Iterator[str]:
        """Doors, windows and what sits in the roof."""
        long, wide = self.ask.length, self.ask.width
        door = min(1.7, self.ask.height - 0.25)  # under the trim
        yield from self._hole("side door", "door", "curb", (0.3 * long, door / 2 + 0.02), (0.8, door))
        yield from self._hole("window", "window", "road", (0.6 * long, 0.6 * self.ask.height), (0.7, 0.5))
        yield self.kept("glazing", '"single acrylic"')
        yield self.kept("gap", self.small(3.0))
        if self.ask.fan:
            yield from self._hole("roof fan", "roof fan", "roof", (0.76 * long, wide / 2), (0.3556, 0.3556))
        if self.ask.cooler != NONE:
            yield from self._hole("roof cooler", "roof cooler", "roof", (0.42 * long, wide / 2), (0.3556, 0.3556))

    def _hole(
        self, name: str, kind: str, wall: str, at: tuple[float, float], size: tuple[float, float]
    ) -> Iterator[str]:
        yield from ("", "[[opening]]", f'name = "{name}"', f'kind = "{kind}"', f'wall = "{wall}"')
        yield from (self.kept("at", self.at(*at)), self.kept("size", self.at(*size)))
