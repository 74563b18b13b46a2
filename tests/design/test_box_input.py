"""Faces, skin, comfort, people and openings in the file: what is wrong is said in one sentence."""

from __future__ import annotations

import copy
import itertools
from typing import Any

import pytest

import trailerlib as tl
from trailerlib.design import box_classes, catalogue

INCH_M, BTU_PER_H_W = 0.0254, 0.29307107017222  # International Table Btu: ISO 31-4
WALLS = [["aluminium", "0.030 in"], ["extruded polystyrene", "1 in"], ["plywood", "1/4 in"]]
STUD = {"stud": "steel", "stud_width": "1 in", "stud_depth": "1 in", "stud_wall": "0.065 in", "stud_spacing": "16 in"}


@pytest.fixture(scope="module")
def boxed(demo: tl.Design) -> tl.Design:
    return demo.replace_all(
        {
            ("face",): [{"name": "walls", "layers": WALLS, **STUD}, {"name": "roof", "layers": WALLS}],
            ("envelope",): {"skin": "white paint", "heading": 90, "shade": "0 %", "leakage": 0.5, "contents": "200 kg"},
            ("comfort",): {"set_point": "76 °F", "band": "2 °F", "heat_to": "60 °F", "co2": 1000},
        }
    )


CASES: list[tuple[tuple[str, ...], str, Any, tuple[str, ...]]] = [
    (("site",), "swing", "30", ("is not a temperature step", "2 °F")),
    (("site",), "swing", "0 °F", ("above zero",)),
    (("site",), "dew_point", 55, ("no unit",)),
    (("envelope",), "skin", "pink", ("pink", "a colour of the skin", "white paint")),
    (("envelope",), "roof_skin", 3, ("roof_skin",)),
    (("envelope",), "heading", "east", ("plain number", "90")),
    (("envelope",), "heading", 400, ("400", "360")),
    (("envelope",), "heading", True, ("plain number",)),
    (("envelope",), "shade", "120 %", ("too high",)),
    (("envelope",), "leakage", "0.5 cfm", ("plain number", "0.5")),
    (("envelope",), "leakage", -1, ("-1", "0")),
    (("envelope",), "contents", "200 gal", ("is not a mass",)),
    (("face", "walls"), "name", "side", ("walls", "roof", "floor", "door")),
    (("face", "walls"), "layers", [], ("layers", "outside to inside", "plywood")),
    (("face", "walls"), "layers", [["plywood"]], ("layers", "thickness", "1/4 in")),
    (("face", "walls"), "layers", "plywood", ("layers", "outside to inside")),
    (("face", "walls"), "layers", [["plywod", "1/4 in"]], ("plywod", "a material", "plywood")),
    (("face", "walls"), "layers", [["plywood", "0 in"]], ("above zero",)),
    (("face", "walls"), "layers", [["plywood", "1/4 in"]] * 13, ("at most 12",)),
    (("face", "walls"), "stud", "steel tube", ("steel tube", "a material", "steel")),
    (("face", "walls"), "stud", None, ("stud_width", "stud = ")),
    (("face", "walls"), "stud_spacing", None, ("stud_spacing", "missing")),
    (("face", "walls"), "stud_width", "1 lb", ("is not a small length",)),
    (("face", "walls"), "colour", "red", ("not known here",)),
    (("comfort",), "set_point", "76", ("is not a temperature",)),
    (("comfort",), "band", "90 °F", ("too high",)),
    (("comfort",), "heat_to", "80 °F", ("under the set point",)),
    (("comfort",), "co2", "1000 ppm", ("plain number", "1000")),
    (("comfort",), "co2", 100, ("100", "450")),
    (("comfort",), "heater", "candle", ("none", "electric", "sealed flame", "open flame")),
    (("stay", "night"), "people", -1, ("people",)),
    (("stay", "night"), "people", "two", ("people",)),
    (("stay", "night"), "activity", "dancing", ("dancing", "an activity", "asleep")),
    (("opening", "door window"), "glazing", "plate", ("a kind of glazing",)),
    (("opening", "door window"), "gap", "-1 in", ("too low",)),
    (("opening", "door window"), "gap", 2, ("no unit",)),
    (("opening", "door window"), "screen", "yes", ("screen",)),
    (("opening", "roof fan"), "gap", "2 in", ("fills its hole", "window")),
    (("load", "roof cooler"), "cooling", "13500", ("is not a cooling power", "Btu/h")),
    (("load", "kettle"), "cooling", "13500 Btu/h", ("kettle", "no cooler")),
]


@pytest.mark.parametrize(
    ("path", "key", "value", "says"), CASES, ids=[f"{c[0][-1]} {c[1]} {c[2]!r}"[:60] for c in CASES]
)
def test_bad_values_give_one_sentence(
    boxed: tl.Design, path: tuple[str, ...], key: str, value: Any, says: tuple[str, ...]
) -> None:
    raw = copy.deepcopy(dict(boxed.raw))
    here: Any = raw[path[0]]
    part = here if len(path) == 1 else next(p for p in here if p["name"] == path[1])
    part[key] = value
    if value is None:
        del part[key]
    with pytest.raises(tl.DesignError) as caught:
        tl.design_from(raw)
    text = str(caught.value)
    assert path[0] in text and len(text.splitlines()) == 1 and "pydantic" not in text and text.endswith((".", "?")), (
        text
    )
    assert not [word for word in says if word not in text], text


def test_two_faces_cannot_share_a_name(boxed: tl.Design) -> None:
    raw = copy.deepcopy(dict(boxed.raw))
    raw["face"].append(dict(raw["face"][0]))
    with pytest.raises(tl.DesignError, match='two face parts are called "walls"'):
        tl.design_from(raw)


def test_what_is_written_is_read(boxed: tl.Design) -> None:
    walls = boxed.face("walls")
    assert walls.layers == (
        ("aluminium", pytest.approx(0.030 * INCH_M)),
        ("extruded polystyrene", pytest.approx(INCH_M)),
        ("plywood", pytest.approx(0.25 * INCH_M)),
    )
    assert (walls.stud, walls.stud_wall) == ("steel", pytest.approx(0.065 * INCH_M))
    assert walls.insulation == "extruded polystyrene" and walls.thickness_of("extruded polystyrene") == pytest.approx(
        INCH_M
    )
    assert walls.thickness_of("steel") is None
    assert boxed.envelope.roof_colour == "white paint"
    assert boxed.replace("envelope.roof_skin", "dark paint").envelope.roof_colour == "dark paint"
    comfort = boxed.comfort
    assert (comfort.set_point, comfort.band) == (pytest.approx(76 / 1.8 - 32 / 1.8), pytest.approx(2 / 1.8))
    assert (boxed.envelope.heading, boxed.envelope.contents, comfort.co2) == (90.0, 200.0, 1000.0)


def test_a_slider_sets_one_layer_by_its_material(boxed: tl.Design) -> None:
    path = ("face", "walls", "layers", "extruded polystyrene")
    thicker = boxed.replace(path, "2 in")
    assert thicker.get(path) == "2 in" and boxed.get(path) == "1 in"
    assert thicker.face("walls").thickness_of("extruded polystyrene") == pytest.approx(2 * INCH_M)
    assert thicker.face("roof") is boxed.face("roof")
    for beyond in (("face", "walls", "layers", "glass fibre"), ("face", "floor", "layers", "plywood"), (*path, "1 in")):
        with pytest.raises(tl.DesignError, match="nothing called"):
            boxed.replace(beyond, "1 in")


def test_an_opening_gives_what_stands_open(boxed: tl.Design) -> None:
    window = boxed.replace("opening.door window.gap", "2 in").openings
    found = next(o for o in window if o.name == "door window")
    assert found.free_m2 == pytest.approx(48 * INCH_M**2), "2 in of a sash 24 in high"
    wide = boxed.replace("opening.door window.gap", "60 in").openings
    assert next(o for o in wide if o.name == "door window").free_m2 == pytest.approx(18 * 24 * INCH_M**2)
    assert boxed.replace("opening.door window.gap", None).openings[1].free_m2 is None


def test_a_cooler_makes_cold_and_a_fan_has_a_curve(boxed: tl.Design) -> None:
    cooler = boxed.load("roof cooler")
    assert cooler.cooling_w == pytest.approx(13500 * BTU_PER_H_W, rel=2e-4)
    stated = boxed.replace("load.roof cooler.cooling", "9000 Btu/h").load("roof cooler")
    assert stated.cooling_w == pytest.approx(9000 * BTU_PER_H_W)
    assert boxed.load("kettle").cooling_w is None and boxed.load("kettle").fan is None
    fan = boxed.load("roof fan").fan
    assert fan is not None and 0 < fan.speed < 1 and fan.free_flow_m3_s > 0 and fan.shut_off_pa > 0


def test_every_fan_is_an_appliance_and_slower_ones_use_less() -> None:
    known = box_classes.fans()
    assert set(known) <= set(catalogue.appliances()) and len(known) >= 3
    for fast, slow in itertools.pairwise(known.values()):
        assert fast.speed > slow.speed
        power = [catalogue.appliance(fan.name).power_w for fan in (fast, slow)]
        assert slow.speed / fast.speed == pytest.approx((power[1] / power[0]) ** (1 / 3), abs=0.01), "fan law"


def test_every_class_says_where_it_comes_from_and_makes_sense() -> None:
    for m in box_classes.materials().values():
        assert m.conductivity > 0 and m.density > 0 and m.specific_heat > 0 and m.source, m.name
    for s in box_classes.skins().values():
        assert 0 < s.absorptance < 1 and 0 < s.emittance < 1 and s.source, s.name
    for g in box_classes.glazings().values():
        assert 1 < g.u < 7 and 0 < g.solar < 1 and g.source, g.name
    for a in box_classes.activities().values():
        assert a.sensible_w > 0 and a.latent_w > 0 and 1e-6 < a.co2_m3_s < 2e-5 and a.source, a.name


def test_an_air_space_goes_by_no_thickness() -> None:
    space = box_classes.material("air space")
    assert space.fixed_r is not None
    for thick in (0.02, 0.05):
        assert thick / space.conductivity_of(thick) == pytest.approx(space.fixed_r)
    foam = box_classes.material("extruded polystyrene")
    assert foam.conductivity_of(0.02) == foam.conductivity and foam.heat_j_per_m3k == pytest.approx(35 * 1470)


def test_what_is_not_written_is_not_known() -> None:
    bare = tl.design_from({"title": "Bare", "trailer": {"length": "10 ft", "width": "5 ft", "height": "6 ft"}})
    assert set(bare.envelope.model_dump().values()) == {None} and set(bare.comfort.model_dump().values()) == {None}
    assert (bare.faces, bare.site.swing, bare.site.dew_point) == ((), None, None)
