"""What the box is made of, face by face, and how it should be inside. None is not known."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, ValidationInfo, field_validator, model_validator

from trailerlib import units
from trailerlib.design import box_classes as classes
from trailerlib.design.fields import Ambient, Mass, Part, Share, quantity

STUD_SIZES = ("stud_width", "stud_depth", "stud_spacing")
MOST_LAYERS = 12
AN_EXAMPLE = '[["aluminium", "0.030 in"], ["extruded polystyrene", "1 in"], ["plywood", "1/4 in"]]'

Thickness = Annotated[float, quantity("small length", above=0.0, high=0.5)]
Spacing = Annotated[float, quantity("small length", above=0.0, high=3.0)]


def _material(name: str) -> str:
    return classes.material(name).name


def _skin(name: str) -> str:
    return classes.skin(name).name


def _layers(value: Any) -> Any:
    pairs = isinstance(value, list | tuple) and all(isinstance(v, list | tuple) and len(v) == 2 for v in value)
    if not pairs or not value:
        raise ValueError(
            f'"{units.shorten(str(value))}" are no layers; write them from outside to inside, each with its material '
            f"and thickness, such as {AN_EXAMPLE}."
        )
    if len(value) > MOST_LAYERS:
        raise ValueError(f"a face has at most {MOST_LAYERS} layers; join those that are alike.")
    return value


def plain_number(low: float, high: float, example: str) -> BeforeValidator:
    """The reader of a plain number without a unit, within what makes sense.

    Parameters
    ----------
    low : [as written] smallest number that is accepted
    high : [as written] largest
    example : what would be right, in words
    """

    def read(value: Any) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise ValueError(f'"{units.shorten(str(value))}" is not a plain number; write {example}.')
        if not low <= value <= high:
            raise ValueError(f"{value:g} does not make sense here; write {example}, from {low:g} to {high:g}.")
        return float(value)

    return BeforeValidator(read)


Material = Annotated[str, AfterValidator(_material)]
Colour = Annotated[str, AfterValidator(_skin)]
Layer = tuple[Material, Thickness]


class Envelope(Part):
    """What all faces share. ``skin`` and ``roof_skin`` are classes of colour; ``heading`` is where the nose points, in
    degrees from north by east; ``shade`` [-] is the share of the direct sun kept off roof and walls.

    ``leakage`` is how often the air inside changes with all shut [1/h]; ``contents`` what is stored inside [kg].
    """

    skin: Colour | None = None
    roof_skin: Colour | None = None
    heading: Annotated[float, plain_number(0.0, 360.0, "degrees from north, such as 90 for east")] | None = None
    shade: Share | None = None
    leakage: Annotated[float, plain_number(0.0, 30.0, "how often the air changes in an hour, such as 0.5")] | None = (
        None
    )
    contents: Mass | None = None

    @property
    def roof_colour(self) -> str | None:
        """The class of the roof's colour: its own, else that of the walls."""
        return self.roof_skin or self.skin


class Face(Part):
    """One face. ``layers`` lie from outside to inside, each (material, thickness [m]).

    ``stud`` is the material of the framing: ``stud_width`` along the face, ``stud_depth`` through it, ``stud_spacing``
    from middle to middle [m]; ``stud_wall`` is the wall of a tube [m], None is solid; ``stud_first`` is how far
    the first stands behind the nose wall [m], where it is known.
    """

    name: Literal["walls", "roof", "floor", "door"]
    layers: Annotated[tuple[Layer, ...], BeforeValidator(_layers)] | None = None
    stud: Material | None = None
    stud_width: Thickness | None = None
    stud_depth: Thickness | None = None
    stud_wall: Thickness | None = None
    stud_spacing: Spacing | None = None
    stud_first: Spacing | None = None

    @model_validator(mode="after")
    def _whole_stud(self) -> Face:
        sizes = [key for key in (*STUD_SIZES, "stud_wall", "stud_first") if getattr(self, key) is not None]
        if self.stud is None and sizes:
            raise ValueError(f'{sizes[0]} is given and no stud; write what it is of, such as stud = "steel".')
        missing = [key for key in STUD_SIZES if getattr(self, key) is None]
        if self.stud is not None and missing:
            raise ValueError(f"the stud's {missing[0]} is missing; a stud needs {', '.join(STUD_SIZES)}.")
        return self

    def thickness_of(self, material: str) -> float | None:
        """How thick the first layer of a material is [m]; None when there is no such layer."""
        return next((thick for name, thick in self.layers or () if name == material), None)

    @property
    def insulation(self) -> str | None:
        """The material of the thickest layer that lies between the studs; None without one."""
        soft = [(t, name) for name, t in self.layers or () if classes.material(name).between_studs]
        return max(soft)[1] if soft else None


class Comfort(Part):
    """How it should be inside: ``set_point`` of the cooler with its ``band`` from on to off, ``heat_to`` on a cold
    night [°C, K], and ``co2``, the most carbon dioxide wanted in the air [ppm].

    ``heater`` says what warms it: sealed is what burns outside air and has a flue, open what burns the air inside.
    """

    set_point: Ambient | None = None
    band: Annotated[float, quantity("temperature step", above=0.0, high=10.0)] | None = None
    heat_to: Ambient | None = None
    co2: Annotated[float, plain_number(450.0, 5000.0, "parts in a million, such as 1000")] | None = None
    heater: Literal["none", "electric", "sealed flame", "open flame"] | None = None

    @field_validator("heat_to")
    @classmethod
    def _under_the_set_point(cls, heat_to: float | None, info: ValidationInfo) -> float | None:
        cool_to = info.data.get("set_point")
        if heat_to is not None and cool_to is not None and heat_to >= cool_to:
            raise ValueError("it is heated to no less than it is cooled to; write a temperature under the set point.")
        return heat_to
