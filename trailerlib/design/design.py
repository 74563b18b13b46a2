"""The design as a whole: validated parts, look-ups by name, and change by replacement."""

from __future__ import annotations

import copy
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any, Literal

from pydantic import Field, PrivateAttr, ValidationError, model_validator

from trailerlib.design import catalogue
from trailerlib.design.box import Comfort, Envelope, Face
from trailerlib.design.errors import DesignError, first_sentence
from trailerlib.design.frame import Board, Cabinet, Roof, Shop
from trailerlib.design.hours import read_ranges
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
BATTERY_SUPPLY, TOWING_SUPPLY = "battery", "towing"
TOO_DEEP = "the file: its lists are nested too deep; compare it with a shipped trailer."


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
        for key in LISTS:
            _unique(key, [part.name for part in self._list(key)])
        _check_circuits(self)
        volts = {circuit.name: self.volts_of(circuit) for circuit in self.circuits}
        self.__dict__["loads"] = tuple(load.fed_with(volts[load.circuit]) for load in self.loads)
        _check_places(self)
        _check_supplies(self)
        _check_stays(self)
        return self

    def _list(self, key: str) -> tuple[Any, ...]:
        parts: tuple[Any, ...] = getattr(
            self, {"supply": "supplies", "solar": "solar", "cargo": "cargo"}.get(key, key + "s")
        )
        return parts

    @cached_property
    def _index(self) -> dict[tuple[str, str], Any]:
        return {(key, part.name): part for key in LISTS for part in self._list(key)}

    def _find(self, key: str, name: str) -> Any:
        try:
            return self._index[key, name]
        except KeyError:
            raise DesignError(_unknown(key, name, [part.name for part in self._list(key)])) from None

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

    def loads_on(self, circuit: str) -> tuple[Load, ...]:
        """The loads of one circuit, switched on or not."""
        return tuple(load for load in self.loads if load.circuit == circuit)

    def system_of(self, load: Load) -> str:
        """``dc`` or ``mains``, by the load's circuit."""
        return self.circuit(load.circuit).system

    def circuits_of(self, system: str) -> tuple[Circuit, ...]:
        """The circuits of one system."""
        return tuple(circuit for circuit in self.circuits if circuit.system == system)

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

    @property
    def feeder_run_m(self) -> float | None:
        """One-way length from the battery to the fuse block [m]: stated, else by the two places; None without."""
        from trailerlib.design.layout import feeder_run_m

        return feeder_run_m(self)

    def get(self, path: str | Sequence[str]) -> Any:
        """What the file says at a path such as ``battery.capacity`` or ``load.roof fan.count``; None if nothing."""
        here: Any = self._raw
        for step in _steps(path):
            here = _child(here, step)
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
        return self.replace_all({tuple(_steps(path)): value})

    def replace_all(self, changes: Mapping[tuple[str, ...], Any]) -> Design:
        """A new design with several values changed at once, checked once.

        Parameters
        ----------
        changes : path to value, as ``replace`` takes them
        """
        raw: Any = self._raw
        for path, value in changes.items():
            _check_numbers(value, tuple(_steps(path)))
            raw = _with(raw, list(_steps(path)), value, path)
        changed = _validated(raw, self)
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
    _check_numbers(raw, ())
    return _validated(raw)


def _validated(raw: Mapping[str, Any], before: Design | None = None) -> Design:
    try:
        design = Design.model_validate(raw if before is None else _reusing(raw, before))
    except ValidationError as error:
        raise DesignError(first_sentence(error, raw)) from None
    except RecursionError:
        raise DesignError(TOO_DEEP) from None
    design._raw = raw
    return design


def _reusing(raw: Mapping[str, Any], before: Design) -> dict[str, Any]:
    """The plain data, with the parts that have not changed since ``before`` as they were built then.

    A change copies the plain data along its path only, so what is the same object says the same.
    """
    mixed: dict[str, Any] = {}
    for key, value in raw.items():
        earlier = before._raw.get(key)
        built: Any = before._list(key) if key in LISTS else getattr(before, key, None)
        if value is earlier:
            mixed[key] = built
        elif key in LISTS and isinstance(value, list) and isinstance(earlier, list) and len(value) == len(earlier):
            mixed[key] = [b if v is e else v for v, e, b in zip(value, earlier, built, strict=True)]
        else:
            mixed[key] = value
    return mixed


def _check_numbers(node: Any, path: tuple[Any, ...]) -> None:
    try:
        _refuse_odd_numbers(node, path)
    except RecursionError:
        raise DesignError(TOO_DEEP) from None


def _refuse_odd_numbers(node: Any, path: tuple[Any, ...]) -> None:
    """TOML knows nan and inf; a design does not."""
    if isinstance(node, float) and not math.isfinite(node):
        raise DesignError(f"{'.'.join(map(str, path))}: {node} is not a number that can be built; write a plain one.")
    if isinstance(node, Mapping):
        for key, child in node.items():
            _refuse_odd_numbers(child, (*path, key))
    elif isinstance(node, list):
        for position, child in enumerate(node, start=1):
            _refuse_odd_numbers(child, (*path, position))


def _steps(path: str | Sequence[str]) -> list[str]:
    return path.split(".") if isinstance(path, str) else list(path)


def _child(node: Any, step: str) -> Any:
    if isinstance(node, Mapping):
        return node.get(step)
    if isinstance(node, Sequence) and not isinstance(node, str):
        found = next((part for part in node if _is_called(part, step)), None)
        return found[1] if isinstance(found, list | tuple) else found
    return None


def _is_called(part: Any, step: str) -> bool:
    """Whether a part of a list goes by this name: a table by its ``name``, a pair by what stands first in it."""
    if isinstance(part, Mapping):
        return bool(part.get("name") == step)
    return isinstance(part, list | tuple) and len(part) == 2 and part[0] == step


def _with(node: Any, steps: list[str], value: Any, path: Any) -> Any:
    """A copy of the plain data along one path only; the rest is shared."""
    if not steps:
        raise DesignError("the path is empty; name what to change, such as battery.capacity.")
    step, *rest = steps
    if isinstance(node, Mapping):
        changed = dict(node)
        if not rest and value is None:
            changed.pop(step, None)
        else:
            changed[step] = copy.deepcopy(value) if not rest else _with(node.get(step, {}), rest, value, path)
        return changed
    parts = list(node) if isinstance(node, Sequence) and not isinstance(node, str) else []
    for position, part in enumerate(parts):
        if not _is_called(part, step) or isinstance(part, Mapping) != bool(rest):
            continue
        parts[position] = _with(part, rest, value, path) if rest else [step, copy.deepcopy(value)]
        return parts
    raise DesignError(f'{".".join(_steps(path))}: there is nothing called "{step}" to change.')


def _unknown(what: str, name: str, offer: Iterable[str]) -> str:
    names = ", ".join(f'"{n}"' for n in offer) or "none yet"
    return f'there is no {what} called "{name}"; there are: {names}.'


def _unique(key: str, names: Sequence[str]) -> None:
    seen: set[str] = set()
    for name in names:
        if name in seen:
            raise ValueError(f'two {key} parts are called "{name}"; give each its own name.')
        seen.add(name)


def _check_circuits(design: Design) -> None:
    circuits = {circuit.name: circuit for circuit in design.circuits}
    between = next((circuit.name for circuit in design.circuits if circuit.between_legs), None)
    if between is not None and design.practice == "iec":
        raise ValueError(
            f'circuit "{between}", leg: under IEC practice no supply of a trailer has two legs; remove this key.'
        )
    for load in design.loads:
        circuit = circuits.get(load.circuit)
        if circuit is None:
            raise ValueError(f'load "{load.name}": {_unknown("circuit", load.circuit, circuits)}')
        if circuit.system != load.typical.system:
            raise ValueError(
                f'load "{load.name}": the class "{load.appliance}" belongs on {load.typical.system}, but circuit '
                f'"{circuit.name}" is {circuit.system}; pick another class or another circuit.'
            )
    if design.charger is not None:
        charger = circuits.get(design.charger.circuit)
        if charger is None:
            raise ValueError(f"charger: {_unknown('circuit', design.charger.circuit, circuits)}")
        if charger.system != "mains":
            raise ValueError(f'charger: circuit "{charger.name}" is dc; the charger is fed from a mains circuit.')


def _check_places(design: Design) -> None:
    names = [place.name for place in design.places]
    wanted: list[tuple[str, str | None]] = [("fuse_block", design.fuse_block), ("panel", design.panel)]
    wanted += [(f'load "{load.name}"', load.place) for load in design.loads]
    wanted += [(f'supply "{s.name}"', name) for s in design.supplies for name in (s.place, s.rides)]
    wanted += [(f'solar "{panel.name}"', panel.place) for panel in design.solar]
    wanted += [(f'circuit "{c.name}"', end) for c in design.circuits for end in (c.origin, c.to)]
    if design.battery is not None:
        wanted.append(("battery", design.battery.place))
    for owner, name in wanted:
        if name is not None and name not in names:
            raise ValueError(f"{owner}: {_unknown('place', name, names)}")


def _check_supplies(design: Design) -> None:
    for supply in design.supplies:
        try:
            catalogue.check_supply(supply.kind)
        except ValueError as error:
            raise ValueError(f'supply "{supply.name}", kind: {error}') from None
        if design.practice == "north-america" and supply.kind in catalogue.iec_supplies():
            raise ValueError(
                f'supply "{supply.name}", kind: this one follows IEC practice and the design says '
                'practice = "north-america"; write "iec" there, or take another kind.'
            )
        if supply.name in (BATTERY_SUPPLY, TOWING_SUPPLY):
            kept = "the battery itself" if supply.name == BATTERY_SUPPLY else "the road"
            raise ValueError(f'supply "{supply.name}": this name is kept for {kept}; choose another.')


def _check_stays(design: Design) -> None:
    loads = [load.name for load in design.loads]
    supplies = [BATTERY_SUPPLY, TOWING_SUPPLY, *(supply.name for supply in design.supplies)]
    for name in design.trip.stays:
        if name not in (stay.name for stay in design.stays):
            raise ValueError(f"trip, stays: {_unknown('stay', name, [stay.name for stay in design.stays])}")
    for stay in design.stays:
        if stay.supply not in supplies:
            raise ValueError(f'stay "{stay.name}": {_unknown("supply", stay.supply, supplies)}')
        for name, text in stay.on.items():
            if name not in loads:
                raise ValueError(f'stay "{stay.name}", on: {_unknown("load", name, loads)}')
            try:
                read_ranges(text)
            except ValueError as error:
                raise ValueError(f'stay "{stay.name}", on, "{name}": {error}') from None
