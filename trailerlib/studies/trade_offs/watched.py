"""A design that tells which of the values that are varied somebody reads.

Every part on which an axis stands is handed out as a twin of its class that says so when one of those values is read;
anything that takes the part as a whole (its hash, a copy, a comparison) counts as reading all of it. So the answer to a
question is known for every design that is alike in what was read on the way to it: no list of what depends on what has
to be kept by hand.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import cached_property
from typing import Any

from trailerlib.design import asked
from trailerlib.design.design import LISTS, Design
from trailerlib.design.errors import DesignError
from trailerlib.design.layout import Layout, laid_out
from trailerlib.design.model import Load, Part
from trailerlib.studies import reads
from trailerlib.studies.trade_offs.axes import Axis, Path, Span, Steps
from trailerlib.studies.trade_offs.watched_layout import Noted, Places, noted_row, single

WHOLE = frozenset({"__dict__", "__pydantic_fields_set__", "__pydantic_private__", "_raw"})
FAR = {("battery", "nominal"), ("practice",), ("circuit", "leg"), ("circuit", "system"), ("load", "circuit")}
Owner = tuple[str, str | None]  # the key in the file and the name in its list; (key, None) of a part that is no list


class Watched:
    """Makes designs out of one, with values in place of those on the axes, that note what is read of them.

    Marks are the numbers of the axes.
    """

    def __init__(self, base: Design, axes: Sequence[Axis]) -> None:
        self.base, self.axes = base, tuple(axes)
        self._marks: dict[Owner, dict[str, set[int]]] = {}
        self._whole: dict[str, set[int]] = {}
        self._far = {n for n, axis in enumerate(axes) if _far(axis.path)}
        for number, axis in enumerate(axes):
            owner, field = _place(base, axis.path)
            if owner is None:
                self._whole.setdefault(field, set()).add(number)
            else:
                self._marks.setdefault(owner, {}).setdefault(field, set()).add(number)
        if self._far:
            for load in base.loads:
                self._marks.setdefault(("load", load.name), {}).setdefault("_circuit_v", set()).update(self._far)
        self._twins: dict[Owner, type] = {}
        self._parts: dict[tuple[Owner, tuple[Any, ...]], Part] = {}
        self._every = set(range(len(self.axes)))
        self._design_twin: type | None = None

    def design(self, changes: Mapping[Path, Any], wide: Mapping[int, Any] | None = None) -> Design:
        """One design that is watched.

        Parameters
        ----------
        changes : path to value of every axis
        wide : arrays to stand in place of a value, by the number of the axis; they are not checked

        Raises
        ------
        DesignError
            When the design is not valid.
        """
        with reads.heard(passing_on=False):
            made = self.base.replace_all(changes)
            for owner in self._marks:
                self._watch(made, owner, changes, wide or {})
            made.__dict__.pop("_index", None)
            made.__dict__.pop("layout", None)
            if self._design_twin is None:
                self._design_twin = _design_twin(self)
            object.__setattr__(made, "__class__", self._design_twin)
        return made

    def _watch(self, made: Design, owner: Owner, changes: Mapping[Path, Any], wide: Mapping[int, Any]) -> None:
        key, name = owner
        part: Any = getattr(made, key) if name is None else made._find(key, name)
        if part is None:
            return
        marks = self._marks[owner]
        numbers = sorted({n for of in marks.values() for n in of})
        kept = (owner, tuple(_plain(changes[self.axes[n].path]) for n in numbers))
        arrays = {n: wide[n] for n in numbers if n in wide}
        twin = None if arrays else self._parts.get(kept)
        if twin is None:
            twin = self._twin(part, owner, arrays)
            if not arrays and len(self._parts) < MOST_PARTS:
                self._parts[kept] = twin
        if name is None:
            made.__dict__[key] = twin
            return
        field = _list_field(key)
        made.__dict__[field] = tuple(twin if one is part else one for one in made.__dict__[field])

    def _twin(self, part: Any, owner: Owner, arrays: Mapping[int, Any]) -> Any:
        own = self._twins.get(owner)
        if own is None:
            own = self._twins[owner] = _part_twin(type(part), self._marks[owner])
        twin = part.model_copy()
        fields = type(part).model_fields
        for worked_out in set(twin.__dict__) - set(fields):
            del twin.__dict__[worked_out]
        for field, numbers in self._marks[owner].items():
            for number in numbers & set(arrays):
                twin.__dict__[field] = arrays[number]
        object.__setattr__(twin, "__class__", own)
        return twin

    def layout_of(self, design: Design) -> Layout:
        """The layout, its routes by circuit: one route rests on far fewer values than all of them."""
        places = Places(design)
        with reads.heard(passing_on=False) as ground:
            loads: dict[str, list[Load]] = {circuit.name: [] for circuit in design.circuits}
            for load in design.loads:
                loads[load.circuit].append(load)
            room = asked.room_of(design)
        asks, own, spread = [], {}, set[str]()
        for circuit in design.circuits:
            with reads.heard(passing_on=False) as heard:
                ask = asked.ask_of(design, circuit, places, loads[circuit.name])
            own[circuit.name] = heard | ground
            plain = single(ask)
            if plain is not ask:
                spread.add(circuit.name)
            asks.append(plain)
        found = laid_out(room, tuple(asks))
        lying = set().union(*own.values()) - self._lengths()
        bundles = Noted(found.bundles, dict.fromkeys(own, lying), set())
        return Layout(Noted(found.routes, own, spread), bundles, noted_row(found.shared, lying))

    def _lengths(self) -> set[int]:
        """Axes over stated runs of circuits: how long a run is stated to be moves no wire into another bundle."""
        return {
            n
            for n, axis in enumerate(self.axes)
            if axis.path[0] == "circuit"
            and axis.path[-1] == "run"
            and not (isinstance(axis, Steps) and None in axis.choices)
        }


MOST_PARTS = 100_000


def _plain(value: Any) -> Any:
    return repr(value) if isinstance(value, list | dict) else value


def _far(path: Path) -> bool:
    short = (path[0], path[-1]) if path[0] in LISTS else path
    return short in FAR


def _list_field(key: str) -> str:
    return {"supply": "supplies", "solar": "solar", "cargo": "cargo"}.get(key, key + "s")


def _place(base: Design, path: Path) -> tuple[Owner | None, str]:
    """Which part a path leads to and which of its values; None and a field of the design itself."""
    key = path[0]
    if key in LISTS:
        if len(path) < 3:
            raise DesignError(f"{'.'.join(path)}: an axis needs a value of a part, such as {key}.NAME.KEY.")
        part = base._find(key, path[1])
        return (key, path[1]), _field(part, path[2], path)
    if key not in Design.model_fields:
        raise DesignError(f'{".".join(path)}: the design has no part "{key}"; write a path such as battery.capacity.')
    part = getattr(base, key)
    if len(path) == 1 or not isinstance(part, Part):
        return None, key
    return (key, None), _field(part, path[1], path)


def _field(part: Part, key: str, path: Path) -> str:
    for name, field in type(part).model_fields.items():
        if key == (field.alias or name):
            return name
    known = ", ".join(field.alias or name for name, field in type(part).model_fields.items())
    raise DesignError(f'{".".join(path)}: there is no key "{key}" here; there are: {known}.')


def _part_twin(kind: type[Any], marks: Mapping[str, set[int]]) -> type[Any]:
    """A class that is the part's own but for saying what is read of it."""
    every = set().union(*marks.values())
    derived = {
        name: found
        for base in reversed(kind.__mro__)
        for name, found in vars(base).items()
        if isinstance(found, cached_property)
    }
    plain = object.__getattribute__

    def look_up(self: Any, name: str) -> Any:
        if name in marks:
            reads.note(marks[name])
        elif name in derived:  # worked out anew each time: what is kept would hide what it was made from
            return derived[name].func(self)
        elif name in WHOLE and (name != "__pydantic_private__"):
            reads.note(every)
        return plain(self, name)

    return _kind_of(kind, look_up)


def _design_twin(watched: Watched) -> type[Any]:
    whole, every, plain = watched._whole, watched._every, object.__getattribute__
    derived = {name: found for name, found in vars(Design).items() if isinstance(found, cached_property)}

    def look_up(self: Any, name: str) -> Any:
        if name in whole:
            reads.note(whole[name])
        elif name in ("layout", "_index"):
            own = plain(self, "__dict__")
            if name not in own:
                own[name] = watched.layout_of(self) if name == "layout" else _index(self)
            return own[name]
        elif name in derived:  # worked out anew each time: what is kept would hide what it was made from
            return derived[name].func(self)
        elif name in WHOLE and (name != "__pydantic_private__"):
            reads.note(every)
        return plain(self, name)

    return _kind_of(Design, look_up)


def _kind_of(kind: type[Any], look_up: Callable[[Any, str], Any]) -> type[Any]:
    """A class like another one, but for how its values are looked up."""
    maker: Any = type(kind)
    made: type[Any] = maker(kind.__name__, (kind,), {"__module__": __name__, "__getattribute__": look_up})
    return made


def _index(design: Design) -> dict[tuple[str, str], Any]:
    with reads.heard(passing_on=False):
        return {(key, part.name): part for key in LISTS for part in design._list(key)}


def part_of(design: Design, key: str, name: str) -> Any:
    """A part of one of the design's lists by its name.

    Parameters
    ----------
    design : the design
    key : key of the list in the file, such as ``cargo``
    name : name of the part
    """
    return design._find(key, name)


def inside(watched: Watched, axis: Span) -> tuple[Any, Any]:
    """What the ends of a range are in inside units, as numbers or tuples of them.

    Parameters
    ----------
    watched : the design that is varied
    axis : one of its axes
    """
    ends = []
    for value in (axis.low, axis.high):
        made = watched.base.replace(axis.path, value)
        owner, field = _place(made, axis.path)
        part: Any = made
        if owner is not None:
            part = getattr(made, owner[0]) if owner[1] is None else made._find(owner[0], owner[1])
        ends.append(getattr(part, field))
    return ends[0], ends[1]
