"""The trailer itself drawn at random: box, faces, roof, holes, cabinets, what is aboard, shelves and shop."""

from __future__ import annotations

from collections.abc import Sequence

from tests.rough.electric import hold
from tests.rough.numbers import Draw, Raw, names, pick, plain, some, sometimes, whole, written, yes_no
from trailerlib.design import box_classes, frame_classes, wire_sizes

WALLS = ("roof", "curb", "road", "nose", "rear")
KINDS = ("door", "window", "roof fan", "roof cooler", "hatch")


def site(draw: Draw) -> Raw:
    """Where it stands."""
    made: Raw = {}
    sometimes(draw, made, "elevation", lambda: written(draw, "length", -400.0, 5500.0))
    sometimes(draw, made, "latitude", lambda: plain(draw, -90, 90))
    sometimes(draw, made, "longitude", lambda: plain(draw, -180, 180))
    sometimes(draw, made, "hottest", lambda: written(draw, "temperature", 5.0, 55.0), 0.7)
    sometimes(draw, made, "coldest", lambda: written(draw, "temperature", -50.0, 25.0), 0.7)
    sometimes(draw, made, "day", lambda: pick(draw, ("01-01", "02-28", "06-21", "07-21", "10-05", "12-31")))
    sometimes(draw, made, "swing", lambda: written(draw, "step", 0.5, 38.0))
    sometimes(draw, made, "dew_point", lambda: written(draw, "temperature", -35.0, 34.0))
    sometimes(draw, made, "weather", lambda: pick(draw, ("Greensboro", "Sand Point", "Miami", "nowhere")), 0.15)
    return made


def trailer(draw: Draw) -> Raw:
    """The box and what stands on its plates, as a builder may know it."""
    length = written(draw, "length", 1.5, 16.0)
    made: Raw = {
        "length": length, "width": written(draw, "length", 1.0, 2.6), "height": written(draw, "length", 1.2, 2.6),
    }  # fmt: skip
    sometimes(draw, made, "nose", lambda: written(draw, "length", 0.0, 2.0))
    sometimes(draw, made, "tongue", lambda: written(draw, "length", 0.0, 2.5))
    sometimes(draw, made, "axles", lambda: whole(draw, 1, 3), 0.8)
    sometimes(draw, made, "floor", lambda: written(draw, "length", 0.0, 1.2))
    _weighed(draw, made)
    sometimes(draw, made, "axle", lambda: written(draw, "length", 0.1, 1.4), 0.2)
    if "axle" not in made and some(draw, 0.8):
        value, word = length.split()
        made["axle"] = f"{float(value) * whole(draw, 20, 95) / 100:.4g} {word}"
    if made.get("axles", 1) > 1:
        sometimes(draw, made, "axle_spread", lambda: written(draw, "length", 0.4, 1.5), 0.7)
    sometimes(draw, made, "track", lambda: written(draw, "length", 0.8, 2.6), 0.7)
    yes_no(draw, made, "equaliser")
    for key in ("gross_rating", "axle_rating", "coupler_rating", "tyre_rating", "tongue_limit"):
        sometimes(draw, made, key, lambda: written(draw, "mass", 50.0, 6000.0, log=True))
    for key in ("tyre_full", "tyre_pressure"):
        sometimes(draw, made, key, lambda: written(draw, "pressure", 100e3, 800e3))
    return made


def _weighed(draw: Draw, made: Raw) -> None:
    if some(draw, 0.6):
        sometimes(draw, made, "empty", lambda: written(draw, "mass", 100.0, 4000.0), 0.8)
        sometimes(draw, made, "empty_centre", lambda: written(draw, "length", 0.5, 12.0), 0.8)
    else:
        sometimes(draw, made, "coupler_scale", lambda: written(draw, "mass", -100.0, 500.0), 0.8)
        sometimes(draw, made, "axle_scale", lambda: written(draw, "mass", 100.0, 4000.0), 0.8)


def _spot(draw: Draw) -> list[str]:
    """Mostly inside the box, sometimes far outside."""
    far = 3.0 if some(draw, 0.1) else 1.0
    return [
        written(draw, "length", -0.5 * far, 8.0 * far),
        written(draw, "length", -0.2 * far, 2.5 * far),
        written(draw, "length", -0.1, 2.5),
    ]


def places(draw: Draw) -> list[Raw]:
    """None to six named spots."""
    return [{"name": name, "at": _spot(draw)} for name in names(draw, whole(draw, 0, 6))]


def raceways(draw: Draw, places: Sequence[Raw]) -> list[Raw]:
    """None to three ways for wires, bent at right angles as often as not, some through a named spot."""
    return [_raceway(draw, name, places) for name in names(draw, whole(draw, 0, 3))]


def _raceway(draw: Draw, name: str, places: Sequence[Raw]) -> Raw:
    here = list(pick(draw, places)["at"]) if places and some(draw) else _spot(draw)
    path = [here]
    for number in range(whole(draw, 1, 4)):
        there = _spot(draw)
        if some(draw):
            axis = whole(draw, 0, 2)
            there = [there[k] if k == axis else here[k] for k in range(3)]
        if [_metres(a) for a in there] == [_metres(a) for a in here]:
            there = [f"{number + 1} m", *here[1:]] if here[0] != f"{number + 1} m" else ["0.25 m", *here[1:]]
        path.append(there)
        here = there
    made: Raw = {
        "name": name,
        "kind": pick(draw, ("trim gap", "ceiling cavity", "floor chase", "conduit")),
        "path": path,
    }
    sometimes(draw, made, "ambient", lambda: written(draw, "temperature", -20.0, 75.0))
    sometimes(draw, made, "carries", lambda: pick(draw, ("dc", "mains", "both")))
    return made


def _metres(text: str) -> float:
    value, word = text.split()
    return round(float(value) * (0.3048 if word == "ft" else 1.0), 9)


def routing(draw: Draw) -> Raw:
    """How wires are laid."""
    made: Raw = {}
    sometimes(draw, made, "service_loop", lambda: written(draw, "length", 0.0, 1.0))
    sometimes(draw, made, "end_allowance", lambda: written(draw, "small", 0.0, 0.2))
    sometimes(draw, made, "reach", lambda: written(draw, "length", 0.1, 8.0))
    return made


def faces(draw: Draw) -> list[Raw]:
    """Any of the four faces, each layered and framed or not said."""
    return [_face(draw, name) for name in ("walls", "roof", "floor", "door") if some(draw, 0.6)]


def _face(draw: Draw, name: str) -> Raw:
    made: Raw = {"name": name}
    materials = tuple(box_classes.materials())
    layer = lambda: [pick(draw, materials), written(draw, "small", 0.0005, 0.1, log=True)]  # noqa: E731
    sometimes(draw, made, "layers", lambda: [layer() for _ in range(whole(draw, 1, 4))], 0.8)
    if some(draw):
        made |= {
            "stud": pick(draw, materials),
            "stud_width": written(draw, "small", 0.01, 0.12),
            "stud_depth": written(draw, "small", 0.01, 0.15),
            "stud_spacing": written(draw, "small", 0.05, 1.5),
        }
        sometimes(draw, made, "stud_wall", lambda: written(draw, "small", 0.0008, 0.02))
        sometimes(draw, made, "stud_first", lambda: written(draw, "small", 0.01, 1.0))
    return made


def envelope(draw: Draw) -> Raw:
    """What all faces share."""
    made: Raw = {}
    sometimes(draw, made, "skin", lambda: pick(draw, tuple(box_classes.skins())), 0.7)
    sometimes(draw, made, "roof_skin", lambda: pick(draw, tuple(box_classes.skins())), 0.3)
    sometimes(draw, made, "heading", lambda: plain(draw, 0, 360))
    sometimes(draw, made, "shade", lambda: written(draw, "share", 0.0, 1.0))
    sometimes(draw, made, "leakage", lambda: plain(draw, 0, 30), 0.7)
    sometimes(draw, made, "contents", lambda: written(draw, "mass", 1.0, 2000.0))
    return made


def comfort(draw: Draw) -> Raw:
    """How it should be inside."""
    made: Raw = {}
    sometimes(draw, made, "set_point", lambda: written(draw, "temperature", 10.0, 35.0))
    sometimes(draw, made, "band", lambda: written(draw, "step", 0.2, 9.0))
    sometimes(draw, made, "heat_to", lambda: written(draw, "temperature", -5.0, 9.0))
    sometimes(draw, made, "co2", lambda: plain(draw, 450, 5000))
    sometimes(draw, made, "heater", lambda: pick(draw, ("none", "electric", "sealed flame", "open flame")))
    return made


def roof(draw: Draw) -> Raw:
    """The bows, whole or not known."""
    made: Raw = {}
    section = pick(draw, ("tube", "solid", "hat"))
    sometimes(draw, made, "metal", lambda: pick(draw, tuple(frame_classes.metals())), 0.8)
    if some(draw, 0.8):
        made |= {
            "section": section,
            "width": written(draw, "small", 0.012, 0.1),
            "depth": written(draw, "small", 0.012, 0.1),
        }
        if section != "solid":
            made["wall"] = written(draw, "small", 0.0008, 0.0055)
        if section == "hat":
            made["flange"] = written(draw, "small", 0.008, 0.05)
    sometimes(draw, made, "spacing", lambda: written(draw, "length", 0.1, 4.0), 0.8)
    sometimes(draw, made, "first", lambda: written(draw, "length", 0.01, 4.0), 0.8)
    if some(draw):
        low, more = whole(draw, 0, 100), whole(draw, 0, 100)
        made["ends"] = [f"{min(low, more)} %", f"{max(low, more)} %"]
    sometimes(draw, made, "shock", lambda: plain(draw, 1, 10))
    sometimes(draw, made, "person", lambda: written(draw, "mass", 20.0, 200.0))
    yes_no(draw, made, "welded")
    return made


def openings(draw: Draw) -> list[Raw]:
    """None to five holes on any side."""
    return [_opening(draw, name) for name in names(draw, whole(draw, 0, 5))]


def _opening(draw: Draw, name: str) -> Raw:
    kind = pick(draw, KINDS)
    wall = (
        pick(draw, WALLS)
        if some(draw, 0.3)
        else "roof"
        if kind in ("roof fan", "roof cooler", "hatch")
        else pick(draw, WALLS[1:])
    )
    size = [whole(draw, 80, 2000), whole(draw, 80, 2000)]
    made: Raw = {
        "name": name, "kind": kind, "wall": wall, "size": [f"{mm} mm" for mm in size],
        "at": [written(draw, "length", -0.3, 8.0), written(draw, "length", -0.2, 2.5)],
    }  # fmt: skip
    if kind not in ("roof fan", "roof cooler"):
        sometimes(draw, made, "glazing", lambda: pick(draw, tuple(box_classes.glazings())))
        sometimes(draw, made, "gap", lambda: written(draw, "small", 0.0, 1.0))
        yes_no(draw, made, "screen")
    sometimes(draw, made, "mass", lambda: written(draw, "mass", 0.5, 150.0))
    sometimes(draw, made, "height", lambda: written(draw, "small", 0.0, 0.5))
    sometimes(draw, made, "flange", lambda: written(draw, "small", 0.0, 0.1))
    sometimes(draw, made, "shroud", lambda: [written(draw, "length", 0.1, 1.5) for _ in range(2)], 0.3)
    if some(draw):
        thin = whole(draw, 3, 80)
        made["made_for"] = [f"{thin} mm", f"{thin + whole(draw, 0, 60)} mm"]
    sometimes(draw, made, "flange_thickness", lambda: written(draw, "small", 0.0005, 0.02))
    sometimes(draw, made, "bolts", lambda: whole(draw, 1, 20))
    sometimes(draw, made, "bolt_limit", lambda: written(draw, "mass", 5.0, 400.0))
    sometimes(draw, made, "clear", lambda: [f"{whole(draw, 40, mm)} mm" for mm in sorted(size)], 0.3)
    yes_no(draw, made, "headers")
    return made


def cargo(draw: Draw) -> list[Raw]:
    """None to three heavy things."""
    return [_cargo(draw, name) for name in names(draw, whole(draw, 0, 3))]


def _cargo(draw: Draw, name: str) -> Raw:
    made: Raw = {"name": name, "mass": written(draw, "mass", 0.5, 900.0, log=True), "at": _spot(draw)}
    sometimes(draw, made, "when", lambda: pick(draw, ("always", "parked")))
    hold(draw, made)
    return made


def tanks(draw: Draw) -> list[Raw]:
    """None to two tanks."""
    made = [
        {"name": name, "volume": written(draw, "volume", 1.0, 400.0), "at": _spot(draw)}
        for name in names(draw, whole(draw, 0, 2))
    ]
    for tank in made:
        sometimes(draw, tank, "level", lambda: written(draw, "share", 0.0, 1.0))
    return made


def cabinets(draw: Draw) -> list[Raw]:
    """None to two cabinets."""
    return [_cabinet(draw, name) for name in names(draw, whole(draw, 0, 2))]


def _cabinet(draw: Draw, name: str) -> Raw:
    made: Raw = {"name": name, "at": _spot(draw), "size": [written(draw, "length", 0.1, 2.5) for _ in range(3)]}
    sometimes(draw, made, "mass", lambda: written(draw, "mass", 1.0, 200.0))
    hold(draw, made)
    return made


def boards(draw: Draw) -> list[Raw]:
    """None to three kinds of stock."""
    return [
        {
            "name": name,
            "thickness": written(draw, "small", 0.001, 0.05),
            "width": written(draw, "small", 0.02, 0.9),
            "length": written(draw, "small", 0.2, 0.9),
        }
        for name in names(draw, whole(draw, 0, 3))
    ]


def shop(draw: Draw) -> Raw:
    """How frames are cut."""
    made: Raw = {}
    sometimes(draw, made, "kerf", lambda: written(draw, "small", 0.0, 0.01))
    sometimes(draw, made, "strip", lambda: written(draw, "small", 0.01, 0.15))
    sometimes(draw, made, "corner", lambda: pick(draw, ("mitre", "butt")))
    sometimes(draw, made, "bite", lambda: written(draw, "small", 0.001, 0.03))
    return made


def spools(draw: Draw) -> list[Raw]:
    """None to two spools, on the shelf or to be bought."""
    made = []
    for name in names(draw, whole(draw, 0, 2)):
        spool: Raw = {
            "name": name,
            "wire": pick(draw, tuple(wire_sizes.wires())),
            "length": written(draw, "length", 1.0, 300.0),
        }
        sometimes(draw, spool, "colour", lambda: pick(draw, ("red", "black", "white", "green", "yellow")))
        if "colour" in spool:
            sometimes(draw, spool, "count", lambda: whole(draw, 1, 5))
        made.append(spool)
    return made


def safety(draw: Draw) -> Raw:
    """What guards the people."""
    made: Raw = {}
    yes_no(draw, made, "co_alarm", "smoke_alarm", "battery_vented")
    return made
