"""A change is looked at by the rules that its values bear on: none that could break is left out."""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Any, get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import BaseModel

import trailerlib as tl
from trailerlib.design import agree, built
from trailerlib.design.design import FIELDS, LISTS, Design
from trailerlib.design.errors import DesignError
from trailerlib.design.plain import with_value

RULES: list[tuple[str, Callable[[Design], None], frozenset[str]]] = [
    ("circuits", agree.check_circuits, agree.CIRCUITS),
    *((rule.__name__, rule, looks_at) for rule, looks_at in agree.OTHERS),
    ("feeding", lambda design: [design.volts_of(c) for c in design.circuits], agree.FEEDING),  # type: ignore[list-item,return-value]
]


def designs() -> list[Design]:
    """The shipped trailers, and one with panels on its roof."""
    shipped = [tl.read_design(path) for path in tl.shipped_trailers().values()]
    panels = [{"name": "front", "power": "100 W", "place": shipped[0].places[0].name}]
    return [*shipped, shipped[0].replace("solar", panels)]


def listening(design: Design, heard: set[str]) -> Design:
    """The same design, of parts that note which of their values somebody reads."""

    def twin(part: Any, field: str) -> Any:
        kind = type(part)

        def look_up(self: Any, name: str) -> Any:
            if name in kind.model_fields:
                heard.add(f"{field}.{name}")
            return object.__getattribute__(self, name)

        made = part.model_copy()
        for worked_out in set(made.__dict__) - set(kind.model_fields):
            del made.__dict__[worked_out]
        maker: Any = type(kind)
        own = maker(kind.__name__, (kind,), {"__module__": __name__, "__getattribute__": look_up})
        object.__setattr__(made, "__class__", own)
        return made

    made = design.model_copy()
    for worked_out in set(made.__dict__) - set(Design.model_fields):
        del made.__dict__[worked_out]
    for field in Design.model_fields:
        value = made.__dict__[field]
        if isinstance(value, BaseModel):
            made.__dict__[field] = twin(value, field)
        elif isinstance(value, tuple):
            made.__dict__[field] = tuple(twin(part, field) for part in value)
    return made


@pytest.mark.parametrize(("rule", "looks_at"), [pytest.param(r, looks, id=name) for name, r, looks in RULES])
def test_a_rule_reads_nothing_that_it_is_not_asked_about(
    rule: Callable[[Design], None], looks_at: frozenset[str]
) -> None:
    heard: set[str] = set()
    for design in designs():
        rule(listening(design, heard))
    of_whole = {name.split(".")[0] for name in looks_at if "." not in name}
    unasked = {name for name in heard if name not in looks_at and name.split(".")[0] not in of_whole}
    assert heard and not unasked


def test_what_a_rule_looks_at_is_there() -> None:
    for _, _, looks_at in RULES:
        for name in looks_at:
            field, *rest = name.split(".")
            assert field in Design.model_fields
            if rest:
                assert rest[0] in _part_of(field).model_fields, name


def _part_of(field: str) -> Any:
    of = get_args(Design.model_fields[field].annotation) or (Design.model_fields[field].annotation,)
    return next(kind for kind in of if isinstance(kind, type) and issubclass(kind, BaseModel))


def test_every_list_has_a_field() -> None:
    assert all(field in Design.model_fields for field in FIELDS.values()) and set(FIELDS) == set(LISTS)


def leaves(raw: Any) -> list[tuple[str, ...]]:
    """Paths to all plain values of a design that stand in a part."""
    found: list[tuple[str, ...]] = []
    for key, value in raw.items():
        for part in value if isinstance(value, list) else [value]:
            if not isinstance(part, dict):
                continue
            owner = (key, part["name"]) if isinstance(value, list) else (key,)
            found += [(*owner, name) for name, leaf in part.items() if not isinstance(leaf, dict | list)]
            if isinstance(part.get("on"), dict):
                found += [(*owner, "on", name) for name in part["on"]]
    return found


WORDS = [
    "no such thing",
    "mains",
    "dc",
    "all",
    "12 AWG",
    "20 A",
    "3 ft",
    "fuse block",
    "battery",
    1,
    2,
    "both",
    True,
    None,
]


@settings(max_examples=200, deadline=None)
@given(st.data())
def test_whatever_is_changed_the_design_and_the_sentence_are_those_of_reading_it_anew(data: st.DataObject) -> None:
    """One value in any part, put to another part's value of the same name or to a word from elsewhere."""
    demo = data.draw(st.sampled_from(designs()))
    paths = leaves(demo.raw)
    path = data.draw(st.sampled_from(paths))
    alike = [demo.get(other) for other in paths if other[0] == path[0] and other[-1] == path[-1]]
    value = data.draw(st.sampled_from(WORDS) | st.sampled_from(alike))
    try:
        fresh: Any = tl.design_from(copy.deepcopy(with_value(demo.raw, list(path), value, path))).model_dump()
    except DesignError as error:
        fresh = str(error)
    try:
        ours: Any = demo.replace(path, value).model_dump()
    except DesignError as error:
        ours = str(error)
    assert ours == fresh


def test_a_change_of_parts_builds_no_others(demo: tl.Design, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Design, "model_validate", lambda *_: pytest.fail("the whole was read anew"))
    changed = (
        demo.replace("circuit.usb.run", "31 ft")
        .replace("battery.capacity", "77 Ah")
        .replace("load.kettle.power", "910 W")
    )
    assert changed.circuits[0] is demo.circuits[0] and changed.load("kettle").circuit_v == demo.load("kettle").circuit_v
    assert {"circuits", "circuits.run"} == built.values_changed(
        demo, demo.replace("circuit.usb.run", "31 ft"), ["circuits"]
    )


def test_a_load_that_is_changed_is_told_its_voltage_anew() -> None:
    wagon = tl.read_design(tl.shipped_trailers()["type-wagon"])
    assert (
        wagon.replace("load.kettle.power", "1900 W").load("kettle").circuit_v == wagon.load("kettle").circuit_v == 230.0
    )
