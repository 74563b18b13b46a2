"""What lies on the shelf and what things cost: spools of wire, and prices a builder has typed."""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, BeforeValidator, Field, ValidationInfo, field_validator

from trailerlib import units
from trailerlib.design.fields import Name, Part, Text, Whole, Wire, plain_text, quantity

LONGEST_SPOOL_M = 1000.0
DEAREST = 1e6

SpoolLength = Annotated[float, quantity("length", above=0.0, high=LONGEST_SPOOL_M)]


class Spool(Part):
    """Wire as it comes: size, ``length`` [m], and its ``colour`` in the words of the wire cut list.

    With ``count`` it lies on the shelf, so many of them, and is used up first; without, it is a length that can be
    bought as often as needed. ``colour`` None is every colour, for what is bought.
    """

    name: Name
    wire: Wire
    length: SpoolLength
    colour: Text | None = None
    count: Whole | None = Field(default=None, ge=1, le=100)

    @field_validator("count")
    @classmethod
    def _of_a_colour(cls, count: int | None, info: ValidationInfo) -> int | None:
        if count is not None and info.data.get("colour") is None:
            raise ValueError('a spool on the shelf has one colour; write it before count, such as colour = "red".')
        return count


def _price(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value <= DEAREST:
        raise ValueError(
            f'"{units.shorten(str(value))}" is not a price; write a plain number from 0 to {DEAREST:g}, such as 12.50.'
        )
    return float(value)


PartName = Annotated[str, Field(max_length=120), AfterValidator(plain_text)]
Price = Annotated[float, BeforeValidator(_price)]
