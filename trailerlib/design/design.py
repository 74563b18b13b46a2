"""The design as a whole: validated parts, look-ups by name, and change by replacement."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, Literal

from pydantic import Field, PrivateAttr, ValidationError, model_validator

from trailerlib.design import agree, built
from trailerlib.design.agree import unknown
from trailerlib.design.box import Comfort, Envelope, Face
from trailerlib.design.errors import DesignError, first_sentence
from trailerlib.design.frame import Board, Cabinet, Roof, Shop
from trailerlib.design.model import (
    Battery,
    Cargo,
    Charger,
    Circuit,
    Feeder,
    Load,
    Mains,
    Name,
    Opening,
    Part,
    Place,
    Raceway,
    Routing,
    Safety,
    Site,
    Solar,
    Stay,
    Supply,
    Tank,
    Text,
    TowCharge,
    Trailer,
    Trip,
    Use,
    Whole,
)
from trailerlib.design.plain import TOO_DEEP, check_numbers, child, steps_of, with_value
from trailerlib.design.stores import PartName, Price, Spool
from trailerlib.design.voltages import nominal_v

if TYPE_CHECKING:
    from trailerlib.design.layout import Layout

LISTS = (
    "place",
    "raceway",
    "load",
    "circuit",
    "supply",
    "solar",
    "stay",
    "opening",
    "cargo",
    "tank",
    "face",
    "cabinet",
    "board",
    "spool",
)


def field_of(key: str) -> str:
    """The field of a design that holds what stands under a key of its file: ``loads`` for ``load``."""
    return FIELDS.get(key, key)


FIELDS = {key: key + "s" for key in LISTS} | {"supply": "supplies", "solar": "solar", "cargo": "cargo"}


@dataclass(frozen=True)
class Origin:
    """Where a design was read: the file and the fingerprint of its text at that moment."""

    path: str
    digest: str


class Design(Part):
    """One trailer as it is to be built. Frozen: ``replace`` returns a new one."""

    title: Text
    revision: Whole = Field(default=1, ge=1, le=1_000_000)
    units: Literal["us", "metric"] = "us"
    practice: Literal["north-america", "iec"] = "north-america"
    use: Use = Use()
    site: Site = Site()
    trailer: Trailer
    places: tuple[Place, ...] = Field(default=(), alias="place", max_length=500)
    raceways: tuple[Raceway, ...] = Field(default=(), alias="raceway", max_length=100)
    routing: Routing = Routing()
    loads: tuple[Load, ...] = Field(default=(), alias="load", max_length=500)
    circuits: tuple[Circuit, ...] = Field(default=(), alias="circuit", max_length=100)
    feeder: Feeder | None = None
    supplies: tuple[Supply, ...] = Field(default=(), alias="supply", max_length=20)
    mains: Mains = Mains()
    battery: Battery | None = None
    charger: Charger | None = None
    solar: tuple[Solar, ...] = Field(default=(), max_length=20)
    tow_charge: TowCharge | None = None
    trip: Trip = Trip()
    stays: tuple[Stay, ...] = Field(default=(), alias="stay", max_length=60)
    openings: tuple[Opening, ...] = Field(default=(), alias="opening", max_length=60)
    cargo: tuple[Cargo, ...] = Field(default=(), max_length=200)
    tanks: tuple[Tank, ...] = Field(default=(), alias="tank", max_length=40)
    safety: Safety = Safety()
    envelope: Envelope = Envelope()
    faces: tuple[Face, ...] = Field(default=(), alias="face")
    comfort: Comfort = Comfort()
    roof: Roof = Roof()
    cabinets: tuple[Cabinet, ...] = Field(default=(), alias="cabinet", max_length=60)
    boards: tuple[Board, ...] = Field(default=(), alias="board", max_length=60)
    shop: Shop = Shop()
    spools: tuple[Spool, ...] = Field(default=(), alias="spool", max_length=200)
    prices: dict[PartName, Price] = Field(default_factory=dict)
    fuse_block: Name | None = None
    panel: Name | None = None

    _raw: Mapping[str, Any] = PrivateAttr(default_factory=dict)
    _origin: Origin | None = PrivateAttr(default=None)

    @property
    def raw(self) -> Mapping[str, Any]:
        """The plain data this design was made from, as written in the file; not to be changed."""
        return self._raw

    @property
    def origin(self) -> Origin | None:
        """The file this design was read from, if any."""
        return self._origin

    @model_validator(mode="after")
    def _names_agree(self) -> Design:
        self._agree(None)
        return self

    def _agree(self, changed: Collection[str] | None) -> None:
        """Refuse what does not go together, as far as these values bear on it; None stands for all of them."""
        for key in LISTS:
            if changed is None or f"{field_of(key)}.name" in changed:
                agree.check_unique(key, [part.name for part in self._list(key)])
        if agree.touches(agree.CIRCUITS, changed):
            agree.check_circuits(self)
        if agree.touches(agree.FEEDING, changed):
            volts = {circuit.name: self.volts_of(circuit) for circuit in self.circuits}
            self.__dict__["loads"] = tuple(load.fed_with(volts[load.circuit]) for load in self.loads)
        for rule, looks_at in agree.OTHERS:
            if agree.touches(looks_at, changed):
                rule(self)

    def _list(self, key: str) -> tuple[Any, ...]:
        parts: tuple[Any, ...] = getattr(self, field_of(key))
        return parts

    @cached_property
    def _index(self) -> dict[tuple[str, str], Any]:
        return {(key, part.name): part for key in LISTS for part in self._list(key)}

    def _find(self, key: str, name: str) -> Any:
        try:
            return self._index[key, name]
        except KeyError:
            raise DesignError(unknown(key, name, [part.name for part in self._list(key)])) from None

    def place(self, name: str) -> Place:
        """The place of that name."""
        found: Place = self._find("place", name)
        return found

    def load(self, name: str) -> Load:
        """The load of that name."""
        found: Load = self._find("load", name)
        return found

    def circuit(self, name: str) -> Circuit:
        """The circuit of that name."""
        found: Circuit = self._find("circuit", name)
        return found

    def supply(self, name: str) -> Supply:
        """The supply of that name."""
        found: Supply = self._find("supply", name)
        return found

    def stay(self, name: str) -> Stay:
        """The stay of that name."""
        found: Stay = self._find("stay", name)
        return found

    def raceway(self, name: str) -> Raceway:
        """The raceway of that name."""
        found: Raceway = self._find("raceway", name)
        return found

    def face(self, name: str) -> Face:
        """The face of that name: walls, roof, floor or door."""
        found: Face = self._find("face", name)
        return found

    @cached_property
    def aside(self) -> dict[Any, Any]:
        """What is asked of this very design again and again, laid aside by whoever asks; empty at first."""
        return {}

    def loads_on(self, circuit: str) -> tuple[Load, ...]:
        """The loads of one circuit, switched on or not."""
        found = self.aside.get("loads")
        if found is None:
            found = self.aside["loads"] = {}
            for load in self.loads:
                found.setdefault(load.circuit, []).append(load)
        return tuple(found.get(circuit, ()))

    def circuits_of(self, system: str) -> tuple[Circuit, ...]:
        """The circuits of one system."""
        found = self.aside.get(system)
        if found is None:
            found = self.aside[system] = tuple(circuit for circuit in self.circuits if circuit.system == system)
        circuits: tuple[Circuit, ...] = found
        return circuits

    def volts_of(self, circuit: Circuit) -> float:
        """Nominal voltage of a circuit [V]: twice a leg's where it runs from one leg to the other."""
        battery = None if self.battery is None else self.battery.nominal
        return nominal_v(circuit.system, self.practice, battery, circuit.between_legs)

    @cached_property
    def layout(self) -> Layout:
        """Where every circuit runs, by places and raceways."""
        from trailerlib.design.layout import layout

        return layout(self)

    def run_m(self, circuit: Circuit) -> float | None:
        """One-way length of a circuit's run [m]: stated, else by the layout; None when neither says."""
        return self.layout.routes[circuit.name].run_m if circuit.run is None else circuit.run

    def bundle_of(self, circuit: Circuit) -> int | None:
        """Current-carrying wires that lie together on its way [-]: stated, else by the layout; None without."""
        if circuit.bundle is not None:
            return circuit.bundle
        bundle = self.layout.bundles.get(circuit.name)
        return None if bundle is None else bundle.conductors

    def air_of(self, circuit: Circuit) -> float | None:
        """Air around a circuit's wire [°C]: stated, else the hottest on its way; None when it is not known.

        A raceway whose own air is not stated has the hottest air of the site.
        """
        if circuit.ambient is not None:
            return circuit.ambient
        bundle = self.layout.bundles.get(circuit.name)
        return self.site.hottest if bundle is None else bundle.air_c

    @cached_property
    def feeder_run_m(self) -> float | None:
        """One-way length from the battery to the fuse block [m]: stated, else by the two places; None without."""
        from trailerlib.design.ahead import feeder_run_m

        return feeder_run_m(self)

    @cached_property
    def inlet_place(self) -> str | None:
        """The place of the inlet: stated, else the one at which every supply from outside is plugged in."""
        from trailerlib.design.ahead import inlet_place

        return inlet_place(self)

    @cached_property
    def inlet_run_m(self) -> float | None:
        """One-way length from the inlet to the panel [m]: stated, else by the two places; None without."""
        from trailerlib.design.ahead import inlet_run_m

        return inlet_run_m(self)

    def get(self, path: str | Sequence[str]) -> Any:
        """What the file says at a path such as ``battery.capacity`` or ``load.roof fan.count``; None if nothing."""
        here: Any = self._raw
        for step in steps_of(path):
            here = child(here, step)
            if here is None:
                return None
        return here

    def replace(self, path: str | Sequence[str], value: Any) -> Design:
        """A new design with one value changed; the old one stays as it is.

        Parameters
        ----------
        path : ``battery.capacity``, ``circuit.lights.run``, ``stay.night.on.roof fan``, or the same as a sequence; a
            layer goes by its material, ``face.roof.layers.plywood``
        value : what would stand in the file (``"200 Ah"``, a count, true or false); None removes the key

        Raises
        ------
        DesignError
            When the path leads nowhere or the new design is not valid.
        """
        return self.replace_all({tuple(steps_of(path)): value})

    def replace_all(self, changes: Mapping[tuple[str, ...], Any]) -> Design:
        """A new design with several values changed at once, checked once.

        Parameters
        ----------
        changes : path to value, as ``replace`` takes them
        """
        raw: Any = self._raw
        for path, value in changes.items():
            check_numbers(value, tuple(steps_of(path)))
            raw = with_value(raw, list(steps_of(path)), value, path)
        changed = built.with_parts(raw, self, FIELDS) or _validated(raw, self)
        changed._origin = self._origin
        return changed


def design_from(raw: Mapping[str, Any]) -> Design:
    """A design from plain data, as a TOML reader gives it.

    Parameters
    ----------
    raw : nested mappings and lists with the keys of a design file

    Raises
    ------
    DesignError
        One sentence: where, what is wrong, what would be right.
    """
    if not isinstance(raw, Mapping):
        raise DesignError('the file: it holds no keys; begin with title = "…" and [trailer].')
    check_numbers(raw, ())
    return _validated(raw)


def _validated(raw: Mapping[str, Any], before: Design | None = None) -> Design:
    try:
        design = Design.model_validate(raw if before is None else built.reusing(raw, before, LISTS))
    except ValidationError as error:
        raise DesignError(first_sentence(error, raw)) from None
    except RecursionError:
        raise DesignError(TOO_DEEP) from None
    design._raw = raw
    if before is not None:
        built.note(design, before, LISTS)
    return design
