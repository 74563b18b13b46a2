"""How it is lived in: who, on what supply from when to when, what guards them."""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, BeforeValidator, Field

from trailerlib import times
from trailerlib.design.fields import Ambient, Name, Part, Text, Whole, YesNo, _activity

BATTERY_SUPPLY, TOWING_SUPPLY = "battery", "towing"  # what a stay may run on beside the supplies of its design


class Use(Part):
    """Who uses the trailer: the answers asked at intake."""

    sleepers: Whole | None = Field(default=None, ge=0, le=20)
    note: Text = ""


class Trip(Part):
    """Stays in the order they are lived, for the balance over several days."""

    stays: tuple[Name, ...] = Field(default=(), max_length=60)


class Stay(Part):
    """A stretch of time on one supply. Times [h after midnight]; ``on`` says what runs when.

    ``people`` is how many are inside, ``activity`` what they do there; None is not known.
    """

    name: Name
    supply: Name
    start: Annotated[float, BeforeValidator(times.read_clock)] = Field(alias="from")
    end: Annotated[float, BeforeValidator(times.read_clock)] = Field(alias="to")
    ambient: Ambient | None = None
    on: dict[Name, Text] = Field(default_factory=dict)
    people: Whole | None = Field(default=None, ge=0, le=20)
    activity: Annotated[str, AfterValidator(_activity)] | None = None

    @property
    def hours(self) -> float:
        """How long it lasts [h]; a stay that ends before it starts runs past midnight."""
        return self.end - self.start if self.end > self.start else self.end + 24.0 - self.start


class Safety(Part):
    """What guards the people inside; None is not known."""

    co_alarm: YesNo | None = None
    smoke_alarm: YesNo | None = None
    battery_vented: YesNo | None = None
