"""The kinds of values a part may hold, each with its reader, and the base of every part.

Every quantity is stored in the inside unit of its kind (see ``trailerlib.units``);
the field's name carries the unit where the file's key does not say it.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Callable
from functools import cached_property
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field

from trailerlib import quantities, units
from trailerlib.design import box_classes, plug_types, wire_sizes
from trailerlib.design import catalogue as classes

MOST_POINTS = 50
BOTH: Literal["both"] = "both"


def _checked(value: float, text: str, kind: str, low: float | None, above: float | None, high: float | None) -> float:
    if above is not None and not value > above:
        raise ValueError(
            f'"{units.shorten(text)}" is not above zero; write a {kind} such as {units.KINDS[kind].example}.'
        )
    if low is not None and value < low:
        raise ValueError(
            f'"{units.shorten(text)}" is too low; the lowest that makes sense here is {_bound(low, kind)}.'
        )
    if high is not None and value > high:
        raise ValueError(
            f'"{units.shorten(text)}" is too high; the highest that makes sense here is {_bound(high, kind)}.'
        )
    return value


def _bound(value: float, kind: str) -> str:
    return f"{units.show(value, kind, 'us')} ({units.show(value, kind, 'metric')})"


def _reader(kind: str, low: float | None, above: float | None, high: float | None) -> Callable[[Any], float]:
    def read(value: Any) -> float:
        if not isinstance(value, str):
            raise ValueError(
                f"{value!r} has no unit; write a number and a unit in quotes, such as {units.KINDS[kind].example}."
            )
        return _checked(quantities.read(value, kind), value, kind, low, above, high)

    return read


def quantity(
    kind: str, *, low: float | None = None, above: float | None = None, high: float | None = None
) -> BeforeValidator:
    """The reader of a quantity of one kind, with the range that makes sense, in the inside unit.

    Parameters
    ----------
    kind : one of the names in ``units.KINDS``
    low : [inside unit] smallest value that is accepted
    above : [inside unit] value that must be exceeded
    high : [inside unit] largest value that is accepted
    """
    return BeforeValidator(_reader(kind, low, above, high))


_HOSTILE = re.compile(r"[<>]|\.\.[\\/]|^[=+@|-]|^\s|\s$")


def plain_text(text: str) -> str:
    """A text that does nothing anywhere it may be shown.

    Parameters
    ----------
    text : what was written

    Raises
    ------
    ValueError
        When it is not plain.
    """
    if _HOSTILE.search(text) or not text.isprintable():
        raise ValueError(
            f'"{units.shorten(text)}" is not plain text; use words without < or >, without ../, '
            "and not beginning with = + - or @."
        )
    return text


def _plain_name(text: str) -> str:
    if "." in text or not text:
        raise ValueError(f'"{units.shorten(text)}" cannot be a name; write a short name without a full stop.')
    return plain_text(text)


Text = Annotated[str, Field(max_length=200), AfterValidator(plain_text)]
Name = Annotated[str, Field(max_length=40), AfterValidator(_plain_name)]
Whole = Annotated[int, Field(strict=True)]
YesNo = Annotated[bool, Field(strict=True)]
Length = Annotated[float, quantity("length", above=0.0, high=60.0)]
Position = Annotated[float, quantity("length", low=-10.0, high=60.0)]
Run = Annotated[float, quantity("length", above=0.0, high=200.0)]
Ambient = Annotated[float, quantity("temperature", low=-60.0, high=85.0)]
Watts = Annotated[float, quantity("power", above=0.0, high=50_000.0)]
Amps = Annotated[float, quantity("current", above=0.0, high=2000.0)]
Volts = Annotated[float, quantity("voltage", above=0.0, high=480.0)]
Share = Annotated[float, quantity("fraction", low=0.0, high=1.0)]
Mass = Annotated[float, quantity("mass", above=0.0, high=10_000.0)]
Thickness = Annotated[float, quantity("small length", above=0.0, high=0.5)]
Rating = Annotated[float, quantity("mass", above=0.0, high=20_000.0)]
Air = Annotated[float, quantity("pressure", low=30e3, high=1.2e6)]
Point = tuple[Position, Position, Position]


def _wire(text: str) -> str:
    return wire_sizes.wire(text).name


def _insulation(text: str) -> str:
    return wire_sizes.insulation(text)


def _glazing(name: str) -> str:
    return box_classes.glazing(name).name


def _activity(name: str) -> str:
    return box_classes.activity(name).name


def _appliance(text: str) -> str:
    return classes.appliance(text).name


def _path(value: Any) -> Any:
    if not isinstance(value, list | tuple) or not all(isinstance(point, list | tuple) for point in value):
        raise ValueError(
            f'"{units.shorten(str(value))}" is not a path; write a list of points, such as '
            '[["1 ft", "2 in", "6 ft"], ["14 ft", "2 in", "6 ft"]].'
        )
    if len(value) < 2:
        raise ValueError("a raceway needs at least two points: where it begins and where it ends.")
    if len(value) > MOST_POINTS:
        raise ValueError(f"a raceway has at most {MOST_POINTS} points; split it in two.")
    return value


def _goes_somewhere(path: tuple[Point, ...]) -> tuple[Point, ...]:
    for number, (here, there) in enumerate(itertools.pairwise(path), start=1):
        if here == there:
            raise ValueError(f"points {number} and {number + 1} are the same; remove one of them.")
    return path


def _leg(value: Any) -> Any:
    if value != BOTH and (type(value) is not int or value not in (1, 2)):
        raise ValueError(f'"{units.shorten(str(value))}" is not a leg; write 1, 2 or "{BOTH}".')
    return value


def _adapter(text: str) -> str:
    return plug_types.adapter(text).name


def _plug(text: str) -> str:
    return plug_types.plug(text).name


def _day(text: str) -> str:
    if not re.fullmatch(r"\d\d-\d\d", text) or not _in_calendar(int(text[:2]), int(text[3:])):
        raise ValueError(f'"{units.shorten(text)}" is not a day of the year; write month and day, such as "07-21".')
    return text


def _in_calendar(month: int, day: int) -> bool:
    return 1 <= month <= 12 and 1 <= day <= (28, 31, 30)[0 if month == 2 else 2 if month in (4, 6, 9, 11) else 1]


Wire = Annotated[str, AfterValidator(_wire)]
Plug = Annotated[str, AfterValidator(_plug)]
Adapter = Annotated[str, AfterValidator(_adapter)]
OnLeg = Literal[1, 2, "both"]
Path = Annotated[tuple[Point, ...], BeforeValidator(_path), AfterValidator(_goes_somewhere)]
Insulation = Annotated[str, AfterValidator(_insulation)]


class Part(BaseModel):
    """Base of every part: frozen, and a key that is not known is an error."""

    model_config = ConfigDict(frozen=True, extra="forbid", ignored_types=(cached_property,))


class Restrained(Part):
    """A heavy thing and what holds it on the road; None is not known.

    ``straps`` of working load limit ``strap_limit`` [kg] each, at ``strap_angle`` from the floor [°]; ``strap_way``
    says whether they pass over it from side to side or go from an anchor to it and end there. ``bolts`` of
    ``bolt_limit`` [kg] each. ``contained``: a box or walls of the trailer keep it from going anywhere.
    """

    straps: Whole | None = Field(default=None, ge=0, le=40)
    strap_limit: Mass | None = None
    strap_angle: float | None = Field(default=None, ge=0, le=90)
    strap_way: Literal["over", "direct"] = "direct"
    bolts: Whole | None = Field(default=None, ge=0, le=40)
    bolt_limit: Mass | None = None
    contained: YesNo | None = None
