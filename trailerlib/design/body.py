"""The trailer as a thing: where it stands, its box and holes, named spots, what is heavy in it."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Field, ValidationInfo, field_validator

from trailerlib import units
from trailerlib.design.fields import (
    Air,
    Ambient,
    Length,
    Mass,
    Name,
    Part,
    Point,
    Position,
    Rating,
    Restrained,
    Share,
    Thickness,
    Whole,
    YesNo,
    _day,
    _glazing,
    quantity,
)


class Site(Part):
    """Where it will stand. Elevation [m], latitude and longitude [°], air [°C]; None is not known.

    ``day`` is the day of the year the sun is worked out for, as month-day; ``weather`` names an hourly file that is
    used in place of a clear sky. ``swing`` is how far the hottest day cools down at night [K], ``dew_point`` that of
    its air [°C].
    """

    elevation: Annotated[float | None, quantity("elevation", low=-500.0, high=6000.0)] = None
    latitude: float | None = Field(default=None, ge=-90, le=90, strict=True)
    longitude: float | None = Field(default=None, ge=-180, le=180, strict=True)
    hottest: Ambient | None = None
    coldest: Ambient | None = None
    day: Annotated[str, AfterValidator(_day)] | None = None
    weather: Name | None = None
    swing: Annotated[float | None, quantity("temperature step", above=0.0, high=40.0)] = None
    dew_point: Annotated[float | None, quantity("temperature", low=-40.0, high=35.0)] = None


class Trailer(Part):
    """The box, inside. Length, width and height [m]; ``nose`` is how far a pointed nose sticks out [m].

    ``floor`` is how high its floor stands above the ground [m].

    The empty trailer: ``empty`` its mass [kg] and ``empty_centre`` how far its centre lies behind the coupler [m], or
    two readings of a scale, ``coupler_scale`` under the coupler and ``axle_scale`` under the wheels [kg]. ``axle`` is
    the middle of the axle group behind the nose wall [m], ``axle_spread`` from one axle to the next, ``track`` from
    wheel to wheel across. Ratings from the plates [kg]: ``gross_rating``, ``axle_rating`` of one axle,
    ``coupler_rating`` and ``tongue_limit`` (tow vehicle), ``tyre_rating`` of one tyre at ``tyre_full``, the pressure
    beside it on the side wall; ``tyre_pressure`` is what is in it, cold [Pa].
    ``equaliser``: the springs of two axles share by a rocker.
    """

    length: Length
    width: Length
    height: Length
    nose: Annotated[float, quantity("length", low=0.0, high=6.0)] = 0.0
    tongue: Annotated[float, quantity("length", low=0.0, high=6.0)] = 1.2
    axles: Whole = Field(default=1, ge=1, le=3)
    floor: Annotated[float | None, quantity("length", low=0.0, high=2.0)] = None
    empty: Rating | None = None
    empty_centre: Length | None = None
    coupler_scale: Annotated[float | None, quantity("mass", low=-2000.0, high=5000.0)] = None
    axle_scale: Rating | None = None
    axle: Length | None = None
    axle_spread: Length | None = None
    track: Length | None = None
    equaliser: YesNo | None = None
    gross_rating: Rating | None = None
    axle_rating: Rating | None = None
    coupler_rating: Rating | None = None
    tyre_rating: Rating | None = None
    tyre_full: Air | None = None
    tyre_pressure: Air | None = None
    tongue_limit: Rating | None = None

    @field_validator("coupler_scale", "axle_scale")
    @classmethod
    def _weighed_once(cls, reading: float | None, info: ValidationInfo) -> float | None:
        given = [key for key in ("empty", "empty_centre") if info.data.get(key) is not None]
        if reading is not None and given:
            raise ValueError(
                f"the scale says what the empty trailer weighs, and so does {given[0]}; remove one of them."
            )
        return reading

    @field_validator("axle")
    @classmethod
    def _under_the_box(cls, axle: float | None, info: ValidationInfo) -> float | None:
        length = info.data.get("length")
        if axle is not None and length is not None and axle > length:
            raise ValueError(
                f"{units.show(axle, 'length', 'us')} ({units.show(axle, 'length', 'metric')}) lies behind the box; "
                "write how far the middle of the axles is behind the nose wall."
            )
        return axle

    @field_validator("axle_spread")
    @classmethod
    def _between_axles(cls, spread: float | None, info: ValidationInfo) -> float | None:
        if spread is not None and info.data.get("axles") == 1:
            raise ValueError("one axle has no next one; remove this key, or write axles = 2.")
        return spread

    @property
    def coupler_x(self) -> float:
        """Where the coupler is, from the nose wall [m]; it lies in front, so this is below zero."""
        return -(self.nose + self.tongue)


class Place(Part):
    """A named spot. ``at`` = [from the nose wall, from the left (road side) wall, above the floor] [m]."""

    name: Name
    at: Point


class Opening(Part):
    """A hole in the skin. ``at`` is its centre: [from the nose wall, from the left wall or above the floor] [m].

    ``glazing`` is its class of window, ``gap`` how far it stands open [m], ``screen`` whether insects are kept out.

    ``mass`` is what sits in it [kg], ``height`` how far the middle of that is above the skin [m]; ``flange`` overlaps
    the skin all round [m], ``shroud`` is what covers it outside, along the first and the second number of ``at`` [m];
    ``made_for`` the thinnest and thickest wall it clamps [m], ``flange_thickness`` that of what is screwed through [m].
    ``bolts`` hold it down, ``bolt_limit`` each [kg]. ``clear`` is what a person can climb through [m].
    ``headers``: a bow that it cuts is carried by headers between the next bows. ``hinge`` is the edge on which its lid,
    sash or door hangs.
    """

    name: Name
    kind: Literal["door", "window", "roof fan", "roof cooler", "hatch"]
    wall: Literal["roof", "curb", "road", "nose", "rear"]
    at: tuple[Position, Position]
    size: tuple[Length, Length]
    glazing: Annotated[str, AfterValidator(_glazing)] | None = None
    gap: Annotated[float, quantity("small length", low=0.0, high=3.0)] | None = None
    screen: YesNo | None = None
    mass: Mass | None = None
    height: Annotated[float, quantity("small length", low=0.0, high=1.0)] | None = None
    flange: Annotated[float, quantity("small length", low=0.0, high=0.5)] | None = None
    shroud: tuple[Length, Length] | None = None
    made_for: tuple[Thickness, Thickness] | None = None
    flange_thickness: Thickness | None = None
    bolts: Whole | None = Field(default=None, ge=1, le=40)
    bolt_limit: Mass | None = None
    clear: tuple[Length, Length] | None = None
    headers: YesNo | None = None
    hinge: Literal["front", "rear", "top", "bottom", "left", "right"] | None = None

    @field_validator("made_for")
    @classmethod
    def _thin_first(cls, value: tuple[float, float] | None) -> tuple[float, float] | None:
        if value is not None and value[0] > value[1]:
            raise ValueError('the range runs backwards; write the thinner wall first, such as ["1 in", "1 3/4 in"].')
        return value

    @field_validator("clear")
    @classmethod
    def _through_the_hole(cls, value: tuple[float, float] | None, info: ValidationInfo) -> tuple[float, float] | None:
        size = sorted(info.data.get("size") or ())
        if value is not None and size and any(c > s for c, s in zip(sorted(value), size, strict=True)):
            raise ValueError("nobody climbs through more than the hole; write no more than its size.")
        return value

    @field_validator("glazing", "gap", "screen")
    @classmethod
    def _can_be_opened(cls, value: Any, info: ValidationInfo) -> Any:
        kind = info.data.get("kind", "")
        if value is not None and kind in ("roof fan", "roof cooler"):
            raise ValueError(f"a {kind} fills its hole; write this key at a window, a door or a hatch.")
        return value

    @property
    def area_m2(self) -> float:
        """The whole hole [m²]."""
        return self.size[0] * self.size[1]

    def holds(self, other: Opening) -> bool:
        """Whether this is a door and another opening a window in it."""
        if self.kind != "door" or other.kind != "window" or self.wall != other.wall:
            return False
        return all(abs(a - b) <= size / 2 for a, b, size in zip(other.at, self.at, self.size, strict=True))

    @property
    def free_m2(self) -> float | None:
        """What stands open of it [m²]: the gap along the longer side, at most the whole hole; None is not known."""
        return None if self.gap is None else min(self.gap * max(self.size), self.area_m2)


class Cargo(Restrained):
    """Something heavy that is aboard and is no appliance. ``at`` is its middle [m], ``mass`` [kg].

    ``when`` says whether it is there always, or only while the trailer stands, as people are.
    """

    name: Name
    mass: Mass
    at: Point
    when: Literal["always", "parked"] = "always"


class Tank(Restrained):
    """A water tank: ``volume`` [L], ``level`` how full it is [-], ``at`` its middle [m]."""

    name: Name
    volume: Annotated[float, quantity("volume", above=0.0, high=2000.0)]
    level: Share | None = None
    at: Point
