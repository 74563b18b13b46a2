"""The skin of the box by hand: areas, where each part looks, its U, the sun on it, and what that does to its skin."""

from __future__ import annotations

import math

import numpy as np
import pytest
from box_by_hand import FT, FT2, INCH, LB, VOLUME_FT3, WHITE_FILM, by_hand, standard_pa

import trailerlib as tl
from trailerlib.studies.cooling import case as heat
from trailerlib.studies.cooling import shell, weather
from trailerlib.studies.cooling.shell import Surface


@pytest.fixture(scope="module")
def box(demo: tl.Design) -> tl.Design:
    return by_hand(demo)


def parts_of(design: tl.Design, season: shell.Season = "summer") -> tuple[Surface, ...]:
    return shell.surfaces(design, season)


def areas(design: tl.Design) -> dict[tuple[str, str], float]:
    """By name and side, halves of the nose together [ft2]."""
    found: dict[tuple[str, str], float] = {}
    for part in parts_of(design):
        found[part.name, part.side] = found.get((part.name, part.side), 0.0) + part.area_m2 / FT2
    return found


def with_window(design: tl.Design, **keys: object) -> tl.Design:
    window = {"name": "bunk window", "kind": "window", "wall": "road", "at": ["11 ft", "4 ft"], "size": ["3 ft", "2 ft"],
              "glazing": "double glass", **keys}  # fmt: skip
    return design.replace("opening", [*design.get("opening"), window])


def test_areas_of_the_demo_by_hand(box: tl.Design) -> None:
    """14 by 7 by 6.5 ft, a nose of 2 ft: the window lies in the side door, and comes off of it and not off the wall."""
    plan, nose = 14 * 7 + 0.5 * 2 * 7, 2 * math.hypot(2, 3.5) * 6.5
    assert areas(box) == {
        ("roof", "roof"): pytest.approx(plan),
        ("floor", "floor"): pytest.approx(plan),
        ("wall", "road"): pytest.approx(14 * 6.5),
        ("wall", "curb"): pytest.approx(14 * 6.5 - 32 / 12 * 6),
        ("side door", "curb"): pytest.approx(32 / 12 * 6 - 1.5 * 2),
        ("door window", "curb"): pytest.approx(1.5 * 2),
        ("wall", "nose"): pytest.approx(nose),
        ("wall", "rear"): pytest.approx(7 * 6.5 - 36),
        ("rear ramp", "rear"): pytest.approx(36),
    }
    assert shell.volume_m3(box.trailer) / FT**3 == pytest.approx(plan * 6.5)


def test_a_window_beside_the_door_comes_off_of_the_wall(box: tl.Design) -> None:
    moved = areas(box.replace("opening.door window.at", ["9 ft", "4 ft 6 in"]))
    assert moved["side door", "curb"] == pytest.approx(16) and moved["wall", "curb"] == pytest.approx(91 - 16 - 3)
    more = areas(with_window(box))
    assert more["wall", "road"] == pytest.approx(91 - 6) and more["bunk window", "road"] == pytest.approx(6)
    above = areas(with_window(box, wall="roof", at=["4 ft", "4 ft"]))
    assert above["wall", "road"] == pytest.approx(91) and above["roof", "roof"] == pytest.approx(105 - 6)


def test_an_opening_larger_than_its_wall_leaves_none_of_it(box: tl.Design) -> None:
    assert areas(box.replace("opening.rear ramp.size", ["7 ft", "7 ft"]))["wall", "rear"] == 0.0


def test_fan_and_cooler_count_as_the_roof_they_sit_in(box: tl.Design) -> None:
    holes = [hole for hole in box.get("opening") if hole["wall"] != "roof"]
    assert areas(box) == areas(box.replace("opening", holes))


def test_a_flat_nose_is_one_face(box: tl.Design) -> None:
    flat = box.replace("trailer.nose", "0 ft")
    (nose,) = [part for part in parts_of(flat) if part.side == "nose"]
    assert nose.area_m2 / FT2 == pytest.approx(7 * 6.5) and nose.azimuth == pytest.approx(90.0)
    assert shell.volume_m3(flat.trailer) / FT**3 == pytest.approx(14 * 7 * 6.5)


def test_a_pointed_nose_looks_two_ways(box: tl.Design) -> None:
    """What stands straight out of each half, from its two corners: east is 90, and the nose points there."""
    tip, left, right = (np.array(corner) for corner in ((2.0, 0.0), (0.0, -3.5), (0.0, 3.5)))
    looks = []
    for corner in (left, right):
        along = tip - corner
        out = np.array([along[1], -along[0]]) * (-1 if corner is right else 1)
        out = out if out @ (corner + tip) > 0 else -out
        looks.append(90.0 + math.degrees(math.atan2(out[1], out[0])))
    halves = [part for part in parts_of(box) if part.side == "nose"]
    assert [half.azimuth for half in halves] == pytest.approx(looks)
    assert halves[0].area_m2 == halves[1].area_m2 == pytest.approx(math.hypot(2, 3.5) * 6.5 * FT2)


@pytest.mark.parametrize("heading", [0, 90, 200, 359.5])
def test_where_the_sides_look(heading: float, box: tl.Design) -> None:
    """Seen from above the curb side is on the right of the nose."""
    looks = {
        part.name + " " + part.side: part.azimuth % 360 for part in parts_of(box.replace("envelope.heading", heading))
    }
    assert looks["wall curb"] == pytest.approx((heading + 90) % 360) == looks["door window curb"]
    assert looks["wall road"] == pytest.approx((heading - 90) % 360)
    assert looks["wall rear"] == pytest.approx((heading + 180) % 360) == looks["rear ramp rear"]


def zone_u(outside: float, inside: float, spacing_in: float) -> float:
    """Zone method written out for the demo's tube of 1 by 1 in, wall 0.065 in, in an inch of foam (from memory).

    Skin 0.030 in and ply 1/4 in cover it, so the zone is 1 in and twice the half inch of still air. In it each layer
    is joined by itself: two flanges of an inch of steel beside an inch of foam, and two webs beside 1.87 in of foam.
    """
    foam, steel, ply, skin = 0.0288, 45.3, 0.115, 221.0
    wide, wall = 2.0, 0.065
    layers = 0.030 * INCH / skin + 0.25 * INCH / ply
    clear = 1.0 / (outside + layers + 1.0 * INCH / foam + inside)
    flange = wall * INCH * wide / (1.0 * steel + 1.0 * foam)
    webs = (1.0 - 2 * wall) * INCH * wide / (2 * wall * steel + (wide - 2 * wall) * foam)
    zone = 1.0 / (outside + layers + 2 * flange + webs + inside)
    return wide / spacing_in * zone + (1.0 - wide / spacing_in) * clear


def test_u_of_the_demo_by_the_zone_method_written_out(box: tl.Design) -> None:
    summer = {part.name: part for part in parts_of(box)}
    winter = {part.name: part for part in parts_of(box, "winter")}
    assert summer["wall"].u == pytest.approx(zone_u(1 / WHITE_FILM, 0.12, 16), rel=1e-3)
    assert winter["wall"].u == pytest.approx(zone_u(0.03, 0.12, 16), rel=1e-3)
    assert summer["roof"].u == pytest.approx(zone_u(1 / WHITE_FILM, 0.16, 24), rel=1e-3)
    assert winter["roof"].u == pytest.approx(zone_u(0.03, 0.11, 24), rel=1e-3)
    assert summer["wall"].method == "zone method" and summer["floor"].method == "layers in series"


def test_u_of_what_has_no_studs(box: tl.Design) -> None:
    floor, door, glass = (next(p for p in parts_of(box) if p.name == n) for n in ("floor", "side door", "door window"))
    assert 1 / floor.u == pytest.approx(1 / WHITE_FILM + 0.75 * INCH / 0.115 + 0.11)
    layers = 0.030 * INCH / 221 + 0.75 * INCH / 0.0288 + 0.25 * INCH / 0.115
    assert 1 / door.u == pytest.approx(1 / WHITE_FILM + layers + 0.12)
    assert glass.u == 5.6 and glass.solar == 0.86 and glass.absorptance == 0.0
    bare = box.replace("face", [face for face in box.get("face") if face["name"] != "door"])
    assert next(p for p in parts_of(bare) if p.name == "rear ramp").u == pytest.approx(
        zone_u(1 / 17, 0.12, 16), rel=1e-3
    )


def test_what_the_box_passes_and_holds_by_hand(box: tl.Design) -> None:
    """Sum of U times area, and the leaks: 0.7 of 682.5 ft3 an hour of air at 5200 ft."""
    case = heat.case_of(box)
    walls = areas(box)
    u = {part.name: part.u for part in parts_of(box)}
    faces = sum(u[name] * area * FT2 for (name, _), area in walls.items())
    assert case.ua == pytest.approx(faces + case.leak_w_per_k)
    assert case.box.air_w_per_k == pytest.approx(case.leak_w_per_k + 5.6 * 3 * FT2)
    opaque = faces - 5.6 * 3 * FT2
    assert 1 / (1 / case.box.film_w_per_k + 1 / case.box.fabric_w_per_k) == pytest.approx(opaque)
    inside = {"roof": 0.16, "floor": 0.11}
    film = sum(area * FT2 / inside.get(side, 0.12) for (name, side), area in walls.items() if name != "door window")
    assert case.box.film_w_per_k == pytest.approx(film)


def test_the_leaks_by_the_gas_law(box: tl.Design) -> None:
    """Dry air by p/RT less its water's share; water of a dew point of 52 degF by the Magnus formula (from memory)."""
    pressure, air = standard_pa(5200 * FT), float(heat.case_of(box).weather.air_c.mean()) + 273.15
    dew = (52 - 32) / 1.8
    steam = 611.2 * math.exp(17.62 * dew / (243.12 + dew))
    dry = (pressure - steam) / (287.05 * air)
    water = 0.622 * steam / (pressure - steam)
    by_hand = 0.7 * VOLUME_FT3 * FT**3 / 3600 * dry * (1006 + 1860 * water)
    assert heat.case_of(box).leak_w_per_k == pytest.approx(by_hand, rel=3e-3)
    assert heat.case_of(box.replace("envelope.leakage", 1.4)).leak_w_per_k == pytest.approx(2 * by_hand, rel=3e-3)


def test_what_is_held_by_hand(box: tl.Design) -> None:
    """Air six times over, contents of 500 lb at 1500 J/(kg K), each layer by how far its middle follows the inside."""
    case = heat.case_of(box)
    water = case.outside_water or 0.0
    assert case.box.air_j_per_k == pytest.approx(6 * VOLUME_FT3 * FT**3 * case.dry_kg_m3 * (1006 + 1860 * water))
    empty = heat.case_of(box.replace("envelope.contents", None)).box.mass_j_per_k
    assert case.box.mass_j_per_k - empty == pytest.approx(500 * LB * 1500)
    floor = next(part for part in parts_of(box) if part.name == "floor")
    ply = 0.75 * INCH
    middle = (1 / WHITE_FILM + 0.5 * ply / 0.115) / (1 / WHITE_FILM + ply / 0.115 + 0.11)
    assert floor.heat_j_per_m2k == pytest.approx(540 * 1210 * ply * middle)


@pytest.mark.parametrize(("heading", "shade"), [(90, 0.0), (0, 0.0), (215, 0.4)])
def test_sun_on_each_face_as_a_library_has_it(heading: float, shade: float, box: tl.Design) -> None:
    """pvlib, isotropic sky, ground of 0.2, on the sun of the study; shade keeps off the direct part alone."""
    from pvlib import irradiance

    days = weather.hot_days(box.site)
    parts = parts_of(with_window(box).replace("envelope.heading", heading))
    found = heat.irradiance(parts, days, shade)
    for part, light in zip(parts, found, strict=True):
        apart = irradiance.get_total_irradiance(part.tilt, part.azimuth % 360, days.zenith_deg, days.azimuth_deg, days.dni,
                                                days.ghi, days.dhi, albedo=0.2, model="isotropic")  # fmt: skip
        wanted = (1 - shade) * apart["poa_direct"] + apart["poa_diffuse"]
        assert light == pytest.approx(np.asarray(wanted), abs=1e-6), (part.name, part.side)
    assert np.ptp(found.max(axis=1)) > 100, "the faces differ"


def test_sol_air_of_the_roof_at_noon(box: tl.Design) -> None:
    """Air + (0.25·I - 0.9·63)/17, what is on level ground being I; a dark roof is hotter, shade does not reach glass."""
    case = heat.case_of(box)
    noon = int(12 * 12)
    air, light = case.weather.air_c[noon], case.weather.ghi[noon]
    roof = [part.side for part in case.surfaces].index("roof")
    assert light > 800
    assert case.sol_air_c[roof, noon] == pytest.approx(air + (0.25 * light - 0.9 * 63) / 17)
    dark = heat.case_of(box.replace("envelope.roof_skin", "dark paint"))
    assert dark.sol_air_c[roof, noon] - case.sol_air_c[roof, noon] == pytest.approx((0.9 - 0.25) * light / 17)
    names = [part.name for part in case.surfaces]
    assert dark.sol_air_c[names.index("rear ramp")] == pytest.approx(case.sol_air_c[names.index("rear ramp")])


def test_under_the_floor_and_on_glass_it_is_as_warm_as_the_air(box: tl.Design) -> None:
    """Glass overhead as well, which sees the whole sky."""
    case = heat.case_of(with_window(box, wall="roof", at=["4 ft", "4 ft"]))
    names = [part.name for part in case.surfaces]
    for name in ("floor", "door window", "bunk window"):
        assert case.sol_air_c[names.index(name)] == pytest.approx(case.weather.air_c)


def test_the_floor_knows_nothing_of_the_colour(box: tl.Design) -> None:
    bare = box.replace("envelope.skin", "bare aluminium")
    floors = [next(part for part in parts_of(d) if part.name == "floor") for d in (box, bare)]
    assert floors[0] == floors[1]
    walls = [next(part for part in parts_of(d) if part.name == "wall") for d in (box, bare)]
    assert walls[1].film == pytest.approx(17 + 6.2 * (0.1 - 0.9)) and walls[1].u < walls[0].u


def test_sun_through_glass(box: tl.Design) -> None:
    case = heat.case_of(box)
    window = [part.name for part in case.surfaces].index("door window")
    light = heat.irradiance(case.surfaces, case.weather, 0.0)[window]
    assert case.sun_w[window] == pytest.approx(0.86 * 3 * FT2 * light)
    assert case.sun_w.sum() == pytest.approx(case.sun_w[window].sum()), "none but through glass"
    assert case.drive.mass_w == pytest.approx(0.5 * case.gains.dry_w + case.sun_w[window])
    assert case.drive.air_w == pytest.approx(0.5 * case.gains.dry_w)


def test_faces_pull_by_u_and_area(box: tl.Design) -> None:
    case = heat.case_of(box)
    opaque = [n for n, part in enumerate(case.surfaces) if part.solar is None]
    ua = np.array([case.surfaces[n].u * case.surfaces[n].area_m2 for n in opaque])
    wanted = sum(w * case.sol_air_c[n] for w, n in zip(ua, opaque, strict=True)) / ua.sum()
    assert case.drive.fabric_c == pytest.approx(wanted)
