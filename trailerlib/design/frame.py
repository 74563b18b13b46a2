"""What the roof is framed with, what stands inside, and the stock in the shop. None is not known."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, model_validator

from trailerlib import units
from trailerlib.design import catalogue
from trailerlib.design import frame_classes as classes
from trailerlib.design.box import plain_number
from trailerlib.design.fields import Length, Mass, Name, Part, Point, Restrained, Share, YesNo, quantity

Size = Annotated[float, quantity("small length", above=0.0, high=1.0)]
Spacing = Annotated[float, quantity("length", low=0.05, high=60.0)]
Kerf = Annotated[float, quantity("small length", low=0.0, high=0.02)]


def _metal(name: str) -> str:
    return classes.metal(name).name


def _range(value: Any) -> Any:
    if not isinstance(value, list | tuple) or len(value) != 2:
        raise ValueError(
            f'"{units.shorten(str(value))}" is no range; write the lowest and the highest, such as ["0 %", "50 %"].'
        )
    return value


class Roof(Part):
    """The bows of the roof, from wall to wall. ``metal`` is what they are of, ``section`` their shape; ``width`` along
    the trailer, ``depth`` up, ``wall`` of a tube or the thickness of a hat, ``flange`` of a hat [m].

    ``spacing`` from middle to middle and ``first`` from the nose wall to the first [m]. ``ends`` is the range of how
    far the walls hold their ends [-]: 0 rests, 1 cannot turn. ``shock`` is how many times its weight a thing presses
    on a bad road, ``person`` who may kneel on it [kg]. ``welded``: the metal is weakened by welds beside the middle;
    where that is not said, it counts as if it were.
    """

    metal: Annotated[str, AfterValidator(_metal)] | None = None
    section: Literal["tube", "solid", "hat"] = "tube"
    width: Size | None = None
    depth: Size | None = None
    wall: Size | None = None
    flange: Size | None = None
    spacing: Spacing | None = None
    first: Length | None = None
    ends: Annotated[tuple[Share, Share], BeforeValidator(_range)] | None = None
    shock: Annotated[float, plain_number(1.0, 10.0, "how many times its weight, such as 3")] | None = None
    person: Mass | None = None
    welded: YesNo | None = None

    @model_validator(mode="after")
    def _whole_section(self) -> Roof:
        asked = {"tube": ("wall",), "hat": ("wall", "flange"), "solid": ()}[self.section]
        lacks = [key for key in asked if getattr(self, key) is None]
        if self.width is not None and self.depth is not None and lacks:
            example = {"wall": "0.065 in", "flange": "1 in"}[lacks[0]]
            raise ValueError(f'a bow that is a {self.section} needs its {lacks[0]}; write it, such as "{example}".')
        if self.wall is not None and self.width is not None and self.depth is not None:
            thin = min(self.width, self.depth)
            if 2 * self.wall >= thin:
                raise ValueError(
                    f"the wall is as thick as the bow itself ({units.show(thin, 'small length', 'us')}); write a "
                    'thinner one, or section = "solid".'
                )
        if self.ends is not None and self.ends[0] > self.ends[1]:
            raise ValueError('ends runs backwards; write the looser end first, such as ["0 %", "50 %"].')
        return self


class Cabinet(Restrained):
    """A box that is built in. ``at`` is its corner nearest to nose, road side and floor [m], ``size`` its length, width
    and height [m]; ``mass`` with what is kept in it on the road and has no
    name of its own [kg].
    """

    name: Name
    at: Point
    size: tuple[Length, Length, Length]
    mass: Mass | None = None

    @property
    def middle(self) -> Point:
        """Its middle [m]."""
        (x, y, z), (length, width, height) = self.at, self.size
        return x + length / 2, y + width / 2, z + height / 2

    @property
    def outside_m2(self) -> float:
        """All six sides [m²]."""
        length, width, height = self.size
        return 2.0 * (length * width + length * height + width * height)

    @property
    def mass_kg(self) -> float | None:
        """As stated, else the boards of its six sides by its class, empty [kg]."""
        per_m2 = catalogue.mass_kg("cabinet")
        return self.mass if self.mass is not None or per_m2 is None else per_m2 * self.outside_m2


class Board(Part):
    """Stock for frames: ``thickness``, ``width`` and ``length`` of one board [m]."""

    name: Name
    thickness: Size
    width: Size
    length: Length


class Shop(Part):
    """How frames are cut: ``kerf`` of the saw [m], ``strip`` is how wide a frame's side is [m], ``corner`` how its
    corners meet; ``bite`` is how deep a screw must hold [m].
    """

    kerf: Kerf | None = None
    strip: Size | None = None
    corner: Literal["mitre", "butt"] = "butt"
    bite: Size | None = None
