"""Wires: the ways they lie in, the branches, the feeder from the battery."""

from __future__ import annotations

from functools import cached_property
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, ValidationInfo, field_validator

from trailerlib.design.fields import (
    BOTH,
    Ambient,
    Amps,
    Insulation,
    Length,
    Name,
    OnLeg,
    Part,
    Path,
    Plug,
    Run,
    Share,
    Whole,
    Wire,
    YesNo,
    _leg,
    quantity,
)


class Raceway(Part):
    """A way along which wires are laid: ``path`` is its points [m]. ``ambient`` is the air inside [°C], if known."""

    name: Name
    kind: Literal["trim gap", "ceiling cavity", "floor chase", "conduit"]
    path: Path
    ambient: Ambient | None = None
    carries: Literal["dc", "mains", "both"] = "both"

    def takes(self, system: str) -> bool:
        """Whether wires of ``dc`` or ``mains`` may lie in it."""
        return self.carries in ("both", system)


class Routing(Part):
    """How wires are laid. ``service_loop`` is what is left at each end [m] (6 in is common practice, no source).

    ``reach`` is how far a wire may go from a place to a raceway on its own [m]; None is as far as it takes.
    ``end_allowance`` is what each end of a wire is cut longer for, to be squared and stripped [m] (1 in is common
    practice, no source).
    """

    end_allowance: Annotated[float, quantity("small length", low=0.0, high=0.3)] = 0.0254
    service_loop: Annotated[float, quantity("length", low=0.0, high=3.0)] = 0.1524
    reach: Length | None = None


class Circuit(Part):
    """One branch: the wire, what protects it, where it runs.

    ``run`` is one way [m], ``bundle`` the current-carrying wires that lie together, ``ambient`` the air around
    it [°C]. What is stated here wins; where nothing is, the layout says (see ``Design.run_m``). ``leg`` is the one
    it hangs on where the supply has two, ``both`` where a two-pole breaker feeds it from one leg to the other.
    ``receptacle`` is the type of its ``outlets``, None where it feeds what is
    wired in; ``gfci`` says whether it is protected against ground faults.
    """

    name: Name
    system: Literal["dc", "mains"]
    wire: Wire
    insulation: Insulation = "60 C"
    run: Run | None = None
    protection: Amps | None = None
    device: Literal["blade", "maxi", "bolt-down", "breaker"] = "blade"
    drop_limit: Share = 0.03
    bundle: Whole | None = Field(default=None, ge=1, le=100)
    ambient: Ambient | None = None
    origin: Name | None = Field(default=None, alias="from")
    to: Name | None = None
    leg: Annotated[OnLeg, BeforeValidator(_leg)] | None = None
    receptacle: Plug | None = None
    outlets: Whole | None = Field(default=None, ge=1, le=50)
    gfci: YesNo | None = None

    @field_validator("leg")
    @classmethod
    def _leg_of_mains(cls, leg: OnLeg | None, info: ValidationInfo) -> OnLeg | None:
        if leg is not None and info.data.get("system") == "dc":
            raise ValueError("a circuit of the battery side hangs on no leg; remove this key.")
        return leg

    @property
    def between_legs(self) -> bool:
        """Whether it runs from one leg to the other, with nothing on the neutral."""
        return self.leg == BOTH

    @cached_property
    def but_for_run(self) -> tuple[Any, ...]:
        """All it says but how long its run is."""
        return tuple(getattr(self, name) for name in type(self).model_fields if name != "run")

    def on_leg(self, number: int) -> bool:
        """Whether it draws on a leg.

        Parameters
        ----------
        number : [-] 1 or 2
        """
        return self.leg in (number, BOTH)


class Feeder(Part):
    """From the battery to the fuse block: wire, main fuse, disconnect.

    ``run`` is one way [m]; where it is not stated, the two places say (see ``Design.feeder_run_m``).
    """

    wire: Wire
    insulation: Insulation = "60 C"
    run: Run | None = None
    protection: Amps | None = None
    device: Literal["maxi", "bolt-down", "terminal", "class t", "breaker"] = "bolt-down"
    fuse_from_battery: Annotated[float, quantity("small length", low=0.0, high=30.0)] | None = None
    disconnect: YesNo | None = None
    interrupting: Annotated[float, quantity("current", above=0.0, high=500_000.0)] | None = None
