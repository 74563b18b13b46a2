"""Legs, short-circuit current and measured voltage in the file: what is wrong with them is said in one sentence."""

from __future__ import annotations

import copy
from typing import Any

import pytest

import trailerlib as tl

CASES: list[tuple[str, str, str, Any, tuple[str, ...]]] = [
    ("circuit", "roof cooler", "leg", 3, ("leg", '1, 2 or "both"')),
    ("circuit", "roof cooler", "leg", 0, ("leg", '1, 2 or "both"')),
    ("circuit", "roof cooler", "leg", "1", ("leg", '1, 2 or "both"')),
    ("circuit", "roof cooler", "leg", True, ("leg", '1, 2 or "both"')),
    ("circuit", "roof cooler", "leg", 1.0, ("leg", '1, 2 or "both"')),
    ("circuit", "roof cooler", "leg", [1], ("leg", '1, 2 or "both"')),
    ("circuit", "fridge", "leg", 1, ("leg", "battery side", "remove")),
    ("supply", "shore", "prospective", "1.2 A", ("prospective", "too low", "20.0 A")),
    ("supply", "shore", "prospective", "1.2 MA", ("prospective",)),
    ("supply", "shore", "prospective", "900 kA", ("prospective", "too high")),
    ("supply", "shore", "prospective", 1200, ("prospective", "no unit")),
    ("supply", "shore", "prospective", "0.1 ohm", ("prospective",)),
    ("supply", "shore", "voltage", "240 V", ("voltage", "neutral", "120 V")),
    ("supply", "shore", "voltage", "12 V", ("voltage", "neutral", "120 V")),
    ("supply", "shore", "voltage", "0 V", ("voltage", "above zero")),
    ("supply", "shore", "voltage", "120", ("voltage",)),
    ("supply", "generator", "voltage", "240 V", ("voltage", "neutral", "120 V")),
]


@pytest.mark.parametrize(("part", "name", "key", "value", "says"), CASES, ids=[f"{c[2]} {c[3]!r}" for c in CASES])
def test_bad_values_give_one_sentence(
    demo: tl.Design, part: str, name: str, key: str, value: Any, says: tuple[str, ...]
) -> None:
    raw = copy.deepcopy(dict(demo.raw))
    next(p for p in raw[part] if p["name"] == name)[key] = value
    with pytest.raises(tl.DesignError) as caught:
        tl.design_from(raw)
    text = str(caught.value)
    assert text.startswith(f'{part} "{name}", {key}: ') and len(text.splitlines()) == 1 and "pydantic" not in text
    assert not [word for word in says if word not in text], text


@pytest.mark.parametrize(
    ("key", "value", "says"),
    [
        ("inlet_wire", "10 gauge", "inlet_wire: "),
        ("inlet_insulation", "100 C", "inlet_insulation: "),
        ("inlet_run", "-3 ft", "inlet_run: "),
        ("inlet_run", 15, "inlet_run: "),
        ("inlet_place", "the moon", 'mains, inlet_place: there is no place called "the moon"; there are: '),
    ],
)
def test_what_is_wrong_with_the_wire_behind_the_inlet_is_said_in_one_sentence(
    demo: tl.Design, key: str, value: Any, says: str
) -> None:
    raw = copy.deepcopy(dict(demo.raw))
    raw["mains"][key] = value
    with pytest.raises(tl.DesignError) as caught:
        tl.design_from(raw)
    text = str(caught.value)
    assert "mains, " in text and says in text and len(text.splitlines()) == 1 and "pydantic" not in text


def test_an_unknown_kind_is_said_first(demo: tl.Design) -> None:
    with pytest.raises(tl.DesignError, match="kind of supply"):
        demo.replace_all({"supply.shore.kind": "a long rope", "supply.shore.voltage": "118 V"})


def test_what_is_written_is_read(demo: tl.Design) -> None:
    design = demo.replace_all(
        {"circuit.charger.leg": 2, "supply.shore.prospective": "0.8 kA", "supply.shore.voltage": "113 V"}
    )
    shore = design.supply("shore")
    assert (design.circuit("charger").leg, shore.prospective, shore.voltage) == (2, pytest.approx(800.0), 113.0)
    household = demo.supply("household")
    assert (demo.circuit("charger").leg, household.prospective, household.voltage) == (None, None, None)


def test_a_leg_of_a_large_inlet_is_half_its_voltage(demo: tl.Design) -> None:
    large = demo.replace("supply.shore.kind", "shore 50 A")
    assert large.replace("supply.shore.voltage", "117 V").supply("shore").voltage == 117.0
    with pytest.raises(tl.DesignError, match="neutral"):
        large.replace("supply.shore.voltage", "236 V")
