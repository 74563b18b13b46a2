"""Raceways and routing in the file: what is wrong with them is said in one sentence, and every field can be changed."""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Any

import pytest

import trailerlib as tl

Raw = dict[str, Any]
TRIM = "road side trim"


def raw_of(design: tl.Design) -> Raw:
    return copy.deepcopy(dict(design.raw))


def raceway(raw: Raw, name: str = TRIM) -> Raw:
    found: Raw = next(part for part in raw["raceway"] if part["name"] == name)
    return found


def put(key: str, value: Any) -> Callable[[Raw], None]:
    return lambda raw: raceway(raw).__setitem__(key, value)


AT = ["1 ft", "1 ft", "1 ft"]
CASES: list[tuple[str, Callable[[Raw], None], tuple[str, ...]]] = [
    ("one point", put("path", [AT]), (f'raceway "{TRIM}", path', "two points")),
    ("no point", put("path", []), (f'raceway "{TRIM}", path', "two points")),
    ("a text", put("path", "along the roof"), (f'raceway "{TRIM}", path', "along the roof", "list of points")),
    ("texts", put("path", ["1 ft", "2 ft", "3 ft"]), (f'raceway "{TRIM}", path', "list of points")),
    ("too many points", put("path", [[f"{x} in", "1 ft", "1 ft"] for x in range(51)]), ("path", "50", "split")),
    ("twice the same", put("path", [AT, AT]), (f'raceway "{TRIM}", path', "points 1 and 2 are the same")),
    ("a point of two", put("path", [AT, ["1 ft", "1 ft"]]), (f'raceway "{TRIM}", path',)),
    ("far outside", put("path", [AT, ["900 ft", "1 ft", "1 ft"]]), (f'raceway "{TRIM}", path', "900 ft", "too high")),
    ("far before", put("path", [AT, ["-900 ft", "1 ft", "1 ft"]]), (f'raceway "{TRIM}", path', "too low")),
    ("no unit", put("path", [AT, [1.0, "1 ft", "1 ft"]]), (f'raceway "{TRIM}", path', "no unit", '"14 ft"')),
    ("not a number", put("path", [AT, [float("nan"), "1 ft", "1 ft"]]), ("raceway", "nan")),
    ("unknown kind", put("kind", "pipe"), (f'raceway "{TRIM}", kind', "pipe", "'trim gap'", "'conduit'")),
    ("unknown side", put("carries", "water"), (f'raceway "{TRIM}", carries', "water", "'both'")),
    ("hot as an oven", put("ambient", "300 °C"), (f'raceway "{TRIM}", ambient', "300 °C", "too high")),
    ("unknown key", put("size", "1 in"), (f'raceway "{TRIM}", size', "not known")),
    ("no path", lambda raw: raceway(raw).pop("path"), (f'raceway "{TRIM}", path', "missing")),
    ("no kind", lambda raw: raceway(raw).pop("kind"), (f'raceway "{TRIM}", kind', "missing")),
    ("twice the name", lambda raw: raw["raceway"].append(raceway(raw)), ("raceway", TRIM, "its own name")),
    ("a negative loop", lambda raw: raw["routing"].update(service_loop="-6 in"), ("routing, service_loop", "too low")),
    ("a loop of miles", lambda raw: raw["routing"].update(service_loop="60 ft"), ("routing, service_loop", "too high")),
    ("no reach", lambda raw: raw["routing"].update(reach="0 ft"), ("routing, reach", "above zero")),
    ("unknown routing", lambda raw: raw["routing"].update(slack="1 ft"), ("routing, slack", "not known")),
]


@pytest.mark.parametrize(("change", "says"), [case[1:] for case in CASES], ids=[case[0] for case in CASES])
def test_bad_raceways_give_one_sentence(demo: tl.Design, change: Callable[[Raw], Any], says: tuple[str, ...]) -> None:
    raw = raw_of(demo)
    change(raw)
    with pytest.raises(tl.DesignError) as caught:
        tl.design_from(raw)
    text = str(caught.value)
    assert len(text.splitlines()) == 1 and text.rstrip('"').endswith((".", "?")) and "pydantic" not in text
    assert not [word for word in says if word not in text], text


@pytest.mark.parametrize(
    ("path", "value", "read"),
    [
        (f"raceway.{TRIM}.kind", "conduit", lambda d: d.raceway(TRIM).kind == "conduit"),
        (f"raceway.{TRIM}.carries", "both", lambda d: d.raceway(TRIM).takes("mains")),
        (f"raceway.{TRIM}.ambient", "40 °C", lambda d: d.raceway(TRIM).ambient == pytest.approx(40.0)),
        (f"raceway.{TRIM}.path", [["0 m", "0 m", "1 m"], ["2 m", "0 m", "1 m"]],
         lambda d: d.raceway(TRIM).path == ((0.0, 0.0, 1.0), (2.0, 0.0, 1.0))),
        ("routing.service_loop", "20 cm", lambda d: d.routing.service_loop == pytest.approx(0.2)),
        ("routing.reach", None, lambda d: d.routing.reach is None),
    ],
)  # fmt: skip
def test_every_field_can_be_replaced(demo: tl.Design, path: str, value: Any, read: Callable[[tl.Design], bool]) -> None:
    before = demo.model_dump()
    assert read(demo.replace(path, value))
    assert demo.model_dump() == before


def test_without_a_word_on_it_six_inches_are_left_at_each_end(lamp: tl.Design) -> None:
    """6 in: common practice, no source."""
    assert lamp.routing.service_loop == pytest.approx(6 * 0.0254) and lamp.routing.reach is None


@pytest.mark.parametrize(
    ("changes", "circuit", "says"),
    [
        ({"raceway": None}, "usb", "no raceway"),
        ({"fuse_block": None}, "usb", "fuse block has no place"),
        ({"panel": None}, "charger", "mains panel has no place"),
        ({"load.USB at the bunk.place": None}, "usb", "load “USB at the bunk” has no place"),
        ({"charger": None, "circuit.charger.to": None}, "charger", "leads nowhere"),
        ({f"raceway.{TRIM}.carries": "mains", "raceway.curb side trim.carries": "mains",
          "raceway.ceiling cavity.carries": "mains", "raceway.nose chase.carries": "mains"}, "usb", "battery side"),
        ({f"raceway.{TRIM}.carries": "mains"}, "usb", "leads to load “USB at the bunk”"),
        ({"routing.reach": "1 ft"}, "usb", "leads to load"),
    ],
    ids=str,
)  # fmt: skip
def test_a_way_that_cannot_be_found_says_why(demo: tl.Design, changes: Any, circuit: str, says: str) -> None:
    design = demo.replace_all({tuple(key.split(".")): value for key, value in changes.items()})
    route = design.layout.routes[circuit]
    assert route.run_m is None and not route.legs and not route.branches and says in route.reason, route.reason
    assert design.run_m(design.circuit(circuit)) is None and design.bundle_of(design.circuit(circuit)) is None
    answer = tl.study("wiring", design)
    drop = next(c for c in answer.checks if c.rule == "wire-drop" and c.subject == f'circuit "{circuit}"')
    assert drop.severity == "not checked"
    assert tl.study("wiring", design, circuit=circuit).sentence.startswith("Not checked")


def test_a_feeder_without_a_run_goes_straight_along_the_axes(demo: tl.Design) -> None:
    """Battery box 6 in, 1 ft 6 in, 6 in; fuse block 1 ft, 8 in, 3 ft: 6 + 10 + 30 in and two loops of 6 in = 58 in."""
    assert demo.feeder_run_m == pytest.approx(48 * 0.0254)  # stated
    bare = demo.replace("feeder.run", None)
    assert bare.feeder_run_m == pytest.approx(58 * 0.0254)
    lost = bare.replace("battery.place", None)
    assert lost.feeder_run_m is None
    assert {c.severity for c in tl.study("wiring", lost).checks if c.rule == "wire-delivers"} == {"not checked"}
    assert tl.study("night", lost).word == "not checked"
