"""The stays of a begun trailer: a night on the battery and a working day, with what is on when."""

from __future__ import annotations

from collections.abc import Iterator

from trailerlib.design.begin_answers import NONE
from trailerlib.design.begin_pen import Pen


class StayLines(Pen):
    """What is said of the time it is lived in."""

    def stays(self) -> Iterator[str]:
        """A night, and a working day where there is a mains side."""
        night = {
            "ceiling lights": "19:00-22:30",
            "CO alarm": "all",
            "roof fan": "all",
            "fridge": "all",
            "usb outlet": "19:00-23:00",
        }
        yield from self._stay(
            "night", "battery", "19:00", "07:00", self.ask.coldest, self.ask.sleepers, "asleep", night
        )
        if self.ask.has_mains:
            day = {"roof cooler": "10:00-18:00", "laptop": "09:00-17:00", "fridge": "all"}
            supply = "shore" if self.ask.supply != NONE else "generator"
            people = max(1, self.ask.sleepers)
            yield from self._stay(
                "working day", supply, "08:00", "19:00", self.ask.hottest, people, "light bench work", day
            )

    def _stay(
        self, name: str, supply: str, start: str, end: str, air: float, people: int, activity: str, on: dict[str, str]
    ) -> Iterator[str]:
        yield from ("", "[[stay]]", f'name = "{name}"', f'supply = "{supply}"')
        yield from (self.kept("from", f'"{start}"'), self.kept("to", f'"{end}"'))
        yield f"ambient = {self.quantity(air, 'temperature')}"
        yield f"people = {people}"
        if people:
            yield self.kept("activity", f'"{activity}"')
        there = self._names()
        for load, when in on.items():
            if load in there:
                yield self.kept(f'on."{load}"', f'"{when}"')

    def _names(self) -> set[str]:
        wanted = {"ceiling lights": self.ask.lights, "CO alarm": self.ask.sleepers, "roof fan": self.ask.fan,
                  "fridge": self.ask.fridge, "usb outlet": 1, "roof cooler": self.ask.cooler != NONE,
                  "laptop": self.ask.has_mains and self.ask.outlets}  # fmt: skip
        return {name for name, there in wanted.items() if there}
