"""The bows by hand: where they lie, what they weigh, how they share, bend and sag; what holds for any roof."""

from __future__ import annotations

import copy
import random
from functools import cache
from math import isnan
from typing import Any

import numpy as np
import pytest
from roofs import box, hole

import trailerlib as tl
from trailerlib.studies.roof.carry import Carrying, mass_of
from trailerlib.studies.roof.result import Result, result_of

G, INCH, FT, LB = 9.80665, 0.0254, 0.3048, 0.45359237
# Tube of 30 x 40 x 2 mm by hand [mm]: 30·40 - 26·36 = 264; (30·40³ - 26·36³)/12 = 58 912; over 20: 2945.6.
AREA, SECOND, MODULUS = 264e-6, 58912e-12, 2945.6e-9
# Its own 7850·264e-6 = 2.0724 kg/m; skin, foam and ceiling 2.70 + 1.40 + 3.24 = 7.34 kg/m² over 0.5 m: 3.67 kg/m.
PER_M = (2.0724 + 3.67) * G


def unit(name: str, x: float, kilos: float | None, y: float = 1.0, **more: Any) -> dict[str, Any]:
    return hole(name, x, y, mass=None if kilos is None else f"{kilos} kg", **more)


def carried(design: tl.Design, name: str = "cooler") -> Carrying:
    return result_of(design).carried[name]


def two_forces(force: float, arm: float, span: float, per_m: float) -> float:
    """Moment in the middle of a span on two walls: equal forces at the same distance from either, and a uniform load."""
    return force * arm + per_m * span**2 / 8


def sag_of_two(force: float, arm: float, span: float, per_m: float, ei: float) -> float:
    """Sag of its middle, from beam tables: F·a·(3L² - 4a²)/24EI + 5wL⁴/384EI (from memory)."""
    return force * arm * (3 * span**2 - 4 * arm**2) / (24 * ei) + 5 * per_m * span**4 / (384 * ei)


def test_bows_where_they_lie_and_what_they_weigh() -> None:
    framing = result_of(box([])).framing
    assert framing is not None
    assert framing.at_m == pytest.approx((0.25, 0.75, 1.25, 1.75, 2.25, 2.75)) and framing.span_m == 2.0
    assert (framing.section.area_m2, framing.section.second_m4) == (pytest.approx(AREA), pytest.approx(SECOND))
    assert framing.section.modulus_m3 == pytest.approx(MODULUS)
    assert framing.per_m_n == pytest.approx(PER_M) and framing.ei_nm2 == pytest.approx(200e9 * SECOND)
    assert framing.allowed_pa == pytest.approx(250e6 / 1.67)
    ends = result_of(box([], {"first": "0.5 m"})).framing
    assert ends is not None and ends.at_m[-1] == pytest.approx(3.0), "one that stands on the rear edge counts"
    none = result_of(box([], {"first": "3.1 m"})).framing
    assert none is not None and none.at_m == ()


def test_other_sections_and_metals() -> None:
    solid = result_of(box([], {"section": "solid", "wall": None, "metal": "tube steel"})).framing
    assert solid is not None and solid.section.modulus_m3 == pytest.approx(0.03 * 0.04**2 / 6)
    assert solid.allowed_pa == pytest.approx(317e6 / 1.67)
    hat = result_of(box([], {"section": "hat", "flange": "25 mm"})).framing
    assert hat is not None and hat.section.area_m2 == pytest.approx((30 + 2 * 25 + 2 * 38 - 2 * 2) * 2e-6)
    for welded, strength in ((True, 103e6), (False, 241e6), (None, 103e6)):
        light = result_of(box([], {"metal": "aluminium 6061-T6", "welded": welded})).framing
        assert light is not None and light.allowed_pa == pytest.approx(strength / 1.65), "not known is the weaker"


@pytest.mark.parametrize(("x", "cut", "span"), [
    (1.0, (), (0.75, 1.25)), (0.966, (), (0.75, 1.25)), (0.964, (0.75,), (0.25, 1.25)),
    (1.034, (), (0.75, 1.25)), (1.036, (1.25,), (0.75, 1.75)), (1.25, (1.25,), (0.75, 1.75)),
])  # fmt: skip
def test_a_bow_is_cut_where_its_edge_stands_in_the_hole(
    x: float, cut: tuple[float, ...], span: tuple[float, float]
) -> None:
    """Half the hole and half the bow: 200 + 15 mm from the middle of the one to that of the other."""
    one = carried(box([unit("cooler", x, 50.0)]))
    assert one.cut == pytest.approx(cut) and one.span == pytest.approx(span)


def test_two_bows_by_hand() -> None:
    """A quarter of 50 kg at each rail of each of two bows, 0.8 m from the wall; twice its weight on the road."""
    design = box([unit("cooler", 1.0, 50.0)])
    one, moment = carried(design), two_forces(50 * G / 4, 0.8, 2.0, PER_M)
    assert one.share == pytest.approx((0, 0.5, 0.5, 0, 0, 0), abs=1e-12)
    own = 2 * (PER_M * 4 / 8) / MODULUS
    assert one.stress_pa == pytest.approx((own, 2 * moment / MODULUS, 2 * moment / MODULUS, own, own, own))
    ei = 200e9 * SECOND
    assert max(one.sag_m) == pytest.approx(sag_of_two(50 * G / 4, 0.8, 2.0, PER_M, ei))
    assert min(one.sag_m) == pytest.approx(sag_of_two(0.0, 0.8, 2.0, PER_M, ei))
    trimmer = 50 * G / 2 * (0.5 / 4 - 0.4 / 8)
    assert one.trimmer_pa == pytest.approx(2 * trimmer / MODULUS), "half of it over 0.4 m of a span of 0.5 m"
    lever = carried(box([unit("cooler", 1.03, 50.0)])).share
    assert lever[1:3] == pytest.approx((0.44, 0.56)), "the lever: 0.28 m of 0.5 m from the second"


def test_the_nearer_wall_by_hand() -> None:
    """Out of the middle, rails 0.5 and 0.9 m from the left wall: the largest moment is where shear passes zero."""
    one, force = carried(box([unit("cooler", 1.0, 50.0, 0.7)])), 50 * G / 4
    left = (force * 1.5 + force * 1.1) / 2 + PER_M
    at = (left - force) / PER_M
    assert at > 0.9, "past both rails"
    at = max(0.9, (left - 2 * force) / PER_M)
    moment = left * at - force * (at - 0.5) - force * (at - 0.9) - PER_M * at**2 / 2
    assert one.stress_pa is not None and max(one.stress_pa) == pytest.approx(2 * moment / MODULUS, rel=1e-9)
    other = carried(box([unit("cooler", 1.0, 50.0, 1.3)]))
    assert other.stress_pa == pytest.approx(one.stress_pa) and other.sag_m == pytest.approx(one.sag_m), "mirrored"


def test_what_the_fasteners_of_a_trimmer_have_to_hold(demo: tl.Design) -> None:
    """42 kg lie on four ends, three times on a bad road; moved toward a bow, that bow's ends by the lever."""
    said = tl.study("roof", demo).beside.note
    assert f"roof cooler: on a bad road an end of a trimmer has to hold up to {3 * 42 / 4 / LB:.3g} lb" in said
    nearer = tl.study("roof", demo.replace((*("opening", "roof cooler"), "at"), ["5 ft 9 in", "3 ft 6 in"])).beside.note
    assert f"an end of a trimmer has to hold up to {3 * 42 / 2 * 15 / 24 / LB:.3g} lb" in nearer
    assert "an end of a trimmer" not in tl.study("roof", demo.replace("roof.shock", None)).beside.note


def test_clamped_ends_by_hand() -> None:
    """F·a·(L - a)/L + wL²/12 at the wall; the worse of a range is that of ends that only rest."""
    force = 50 * G / 4
    wall = force * (0.8 * 1.2**2 + 1.2 * 0.8**2) / 4 + PER_M * 4 / 12
    middle = two_forces(force, 0.8, 2.0, PER_M) - wall
    held = carried(box([unit("cooler", 1.0, 50.0)], {"ends": ["100 %", "100 %"]}))
    assert held.stress_pa is not None and max(held.stress_pa) == pytest.approx(2 * max(wall, middle) / MODULUS)
    assert held.case == "ends held 100 %"
    half = carried(box([unit("cooler", 1.0, 50.0)], {"ends": ["50 %", "50 %"]}))
    part = two_forces(force, 0.8, 2.0, PER_M) - 3 * 0.5 / 2.5 * wall
    assert half.stress_pa is not None and max(half.stress_pa) == pytest.approx(2 * part / MODULUS), "3f/(2+f) of it"
    both = carried(box([unit("cooler", 1.0, 50.0)], {"ends": ["0 %", "100 %"]}))
    rests = carried(box([unit("cooler", 1.0, 50.0)]))
    assert both.stress_pa == pytest.approx(rests.stress_pa) and both.sag_m == pytest.approx(rests.sag_m)
    assert both.case == "ends held 0 %" and max(held.sag_m) < max(half.sag_m) < max(rests.sag_m)


def test_a_cut_bow_by_hand() -> None:
    """The stubs of the bow at 1.25 m rest on the trimmers with half their own weight each; the two bows beside carry."""
    one = carried(box([unit("cooler", 1.25, 50.0, headers=True)]))
    stub = PER_M * 0.8 / 2
    force = 50 * G / 4 + stub / 2
    assert one.cut == (1.25,) and one.share == pytest.approx((0, 0.5, 0, 0.5, 0, 0), abs=1e-9), "of all they hand on"
    assert one.leans_n.sum(axis=1) == pytest.approx((0, 25 * G + stub, -2 * stub, 25 * G + stub, 0, 0), abs=1e-6)
    assert one.stress_pa is not None
    assert one.stress_pa[1] == pytest.approx(2 * two_forces(force, 0.8, 2.0, PER_M) / MODULUS)
    assert one.stress_pa[2] == pytest.approx(2 * PER_M * 0.8**2 / 8 / MODULUS), "a stub of 0.8 m under its own weight"
    assert one.trimmer_pa == pytest.approx(2 * (50 * G / 2 * (1 / 4 - 0.4 / 8) + stub / 4) / MODULUS)


def test_two_that_hang_on_one_bow_add_up() -> None:
    """The bow at 1.25 m carries half of 50 kg and half of 30 kg, whichever of the two is asked about."""
    pair = box([unit("cooler", 1.0, 50.0), unit("fan", 1.5, 30.0)])
    both = 2 * two_forces((50 + 30) * G / 4, 0.8, 2.0, PER_M) / MODULUS
    for name in ("cooler", "fan"):
        found = carried(pair, name).stress_pa
        assert found is not None and found[2] == max(found) == pytest.approx(both)
    assert carried(pair, "fan").share == pytest.approx((0, 0, 0.5, 0.5, 0, 0), abs=1e-12)
    cooler = carried(pair, "cooler").stress_pa
    assert cooler is not None and cooler[3] < carried(pair, "fan").stress_pa[3]  # type: ignore[index]
    apart = box([unit("cooler", 0.5, 50.0), unit("fan", 2.5, 30.0)])
    alone = box([unit("cooler", 0.5, 50.0)])
    assert carried(apart).stress_pa == carried(alone).stress_pa


def test_two_of_which_one_cuts_what_carries_the_other_are_not_checked() -> None:
    """No answer rather than one that hangs a cooler on a bow that the fan has cut."""
    design = box([unit("cooler", 1.5, 50.0, 0.5), unit("fan", 1.25, 5.0, 1.4, headers=True)])
    assert result_of(design).carried == {}
    answer = tl.study("roof", design)
    for name in ("cooler", "fan"):
        (found,) = [f for f in answer.checks if f.rule == "bow-stress" and f.subject == f"The bow under {name}"]
        assert found.severity == "not checked" and "whole bow before and behind" in found.text("us")
    assert answer.sentence == (
        "Not checked: cooler and fan; its mass is not known, or no whole bow carries it on either side."
    )


@pytest.mark.parametrize(("x", "y"), [(0.1, 1.0), (2.9, 1.0), (1.0, 0.15), (1.0, 0.2), (1.0, 1.8), (1.0, 1.9), (9.0, 1.0),
                                      (1.0, -5.0)])  # fmt: skip
def test_what_lies_over_an_edge_is_not_worked_out_and_not_a_pass(x: float, y: float) -> None:
    design = box([unit("cooler", x, 50.0, y)])
    assert result_of(design).carried == {}
    answer = tl.study("roof", design)
    words = {f.rule: f.severity for f in answer.checks}
    assert words["opening-over-edge"] == "fix" and words["bow-stress"] == words["bow-sag"] == "not checked"
    assert answer.text() and isnan(answer.value("stress"))


def test_the_worst_bow_of_the_demo_by_hand(demo: tl.Design) -> None:
    """42 kg on the bows at 5 and 7 ft, a quarter at each rail 35 in from the walls; three times on a bad road."""
    width, depth, wall, span = 1.0 * INCH, 1.5 * INCH, 0.065 * INCH, 7 * FT
    inside = (width - 2 * wall, depth - 2 * wall)
    second = (width * depth**3 - inside[0] * inside[1] ** 3) / 12
    skin = 2700 * 0.030 * INCH + 35 * 1.5 * INCH + 540 * 0.25 * INCH
    per_m = (7850 * (width * depth - inside[0] * inside[1]) + skin * 2 * FT) * G
    modulus, force, arm = second / (depth / 2), 42 * G / 4, 35 * INCH
    answer = tl.study("roof", demo, opening="roof cooler")
    moment = two_forces(force, arm, span, per_m)
    assert answer.value("stress") == pytest.approx(3 * moment / modulus, rel=1e-9)
    assert answer.value("allowed") == pytest.approx(317e6 / 1.67)
    assert answer.value("share") == pytest.approx(0.5)
    assert answer.value("sag_m") == pytest.approx(sag_of_two(force, arm, span, per_m, 200e9 * second))
    (sag,) = [f for f in answer.checks if f.rule == "bow-sag" and f.subject == "The bow under roof cooler"]
    assert sag.limit == pytest.approx(84 / 180 * INCH)
    trimmer = 42 * G / 2 * (24 / 4 - 14 / 8) * INCH
    assert answer.value("trimmer") == pytest.approx(3 * trimmer / modulus)
    standing = 250 * LB * G * span / 4 + per_m * span**2 / 8 + force * arm
    assert answer.value("person") == pytest.approx(standing / modulus), "standing still, beside the cooler"
    kneeling = standing - 250 * LB * G / 2 * 0.15
    assert answer.value("kneeling") == pytest.approx(kneeling / modulus), "half on each knee, 0.3 m apart"
    fan = tl.study("roof", demo, opening="roof fan")
    hung = 6 * G / 4 + per_m * arm / 2 / 2
    assert fan.value("stress") == pytest.approx(3 * two_forces(hung, arm, span, per_m) / modulus, rel=1e-9)


def test_the_person_by_hand() -> None:
    """P·L/4 + wL²/8 for ends that rest; at the wall P·L/8 + wL²/12 for ends that cannot turn."""
    rests = tl.study("roof", box([])).value("person")
    assert rests == pytest.approx((80 * G * 2 / 4 + PER_M * 4 / 8) / MODULUS)
    held = tl.study("roof", box([], {"ends": ["100 %", "100 %"]})).value("person")
    assert held == pytest.approx((80 * G * 2 / 8 + PER_M * 4 / 12) / MODULUS)
    assert tl.study("roof", box([], {"ends": ["0 %", "100 %"]})).value("person") == pytest.approx(rests)
    assert tl.study("roof", box([], {"shock": 5})).value("person") == pytest.approx(rests), "nobody kneels on the road"


def test_a_person_keeps_off_a_bow_that_is_cut() -> None:
    """Its neighbours get what its ends lean on the trimmers with, so they are the worse: by statics, pinned."""
    open_roof, framed = box([]), box([unit("hatch", 1.25, 20.0, headers=True)])
    (one,) = result_of(framed).carried.values()
    assert one.cut == (1.25,)
    hung = [(float(push[0]), float(push[1])) for n, push in enumerate(one.leans_n) if n not in (2,) and push[0] > 0]
    worst = max(sum(push) for push in hung)
    arm = 1.0 - 0.2  # of the trimmers from the wall
    more = tl.study("roof", framed).value("person") - tl.study("roof", open_roof).value("person")
    assert more == pytest.approx(worst / 2 * arm / MODULUS, rel=1e-6) and worst > 0


def test_kneeling_is_kinder_than_standing(demo: tl.Design) -> None:
    for mass in ("60 lb", "250 lb", "400 lb"):
        answer = tl.study("roof", demo.replace("roof.person", mass))
        assert answer.value("kneeling") < answer.value("person")


def test_bolts_by_hand() -> None:
    """50 kg, its middle 150 mm up, four bolts 0.2 m from the middle: lift (k - 2)·W/4, braking 0.8·W·h/(4·0.2)."""
    cooler = unit("cooler", 1.0, 50.0, kind="roof cooler", height="150 mm", bolts=4, bolt_limit="60 kg")
    brake = 0.8 * 50 * 0.15 / (4 * 0.2)
    for shock, lift in ((1.5, 0.0), (2, 0.0), (3, 50 / 4), (4, 100 / 4)):
        design = box([cooler], {"shock": shock})
        assert tl.study("roof", design).value("bolt_kg") == pytest.approx(brake + lift), shock
        assert tl.study("roof", design).value("bolt_shear_kg") == pytest.approx(0.8 * 50 / 4), "braking, on all alike"
    eight = box([{**cooler, "bolts": 8}], {"shock": 3})
    squares = 6 * 0.2**2
    assert tl.study("roof", eight).value("bolt_kg") == pytest.approx(50 / 8 + 0.8 * 50 * 0.15 * 0.2 / squares)
    # Three more in the middle of the road side, the rear and the curb side: with 50 kg of lift and 0.8·50·0.15 of braking
    # either way, or 0.5·50·0.15 of a bend, the pull is a plane over their places that balances force and moments.
    places = np.array([(1, x, y) for x in (-0.2, 0.2) for y in (-0.2, 0.2)] + [(1, 0, -0.2), (1, 0.2, 0), (1, 0, 0.2)])
    asked_for = [(50, 6.0, 0), (50, -6.0, 0), (50, 0, 3.75), (50, 0, -3.75)]
    pulls = [places @ np.linalg.solve(places.T @ places, np.array(balance)) for balance in asked_for]
    seven = tl.study("roof", box([{**cooler, "bolts": 7}], {"shock": 3})).value("bolt_kg")
    assert seven == pytest.approx(np.max(pulls))
    # In shear the middle of these seven lies to the rear of the middle of the mass and it turns about it in a bend.
    middle = places[:, 1:].mean(axis=0)
    arms, squares = places[:, 1:] - middle, np.sum((places[:, 1:] - middle) ** 2)
    sheared = []
    for push in (np.array([40.0, 0.0]), np.array([0.0, 25.0])):
        turn = (-middle[0] * push[1] + middle[1] * push[0]) / squares
        sheared += list(np.linalg.norm(push / 7 + turn * np.column_stack([-arms[:, 1], arms[:, 0]]), axis=1))
    found = tl.study("roof", box([{**cooler, "bolts": 7}], {"shock": 3})).value("bolt_shear_kg")
    assert found == pytest.approx(max(sheared)) and found > 40 / 7
    for few in (1, 3):
        answer = tl.study("roof", box([{**cooler, "bolts": few}]))
        assert isnan(answer.value("bolt_kg")) and isnan(answer.value("bolt_shear_kg")), "not a frame of four corners"


def test_the_mass_is_that_of_the_load_of_the_same_name(demo: tl.Design) -> None:
    def weighs(design: tl.Design, name: str) -> float | None:
        return mass_of(design, next(o for o in design.openings if o.name == name))

    assert (weighs(demo, "roof cooler"), weighs(demo, "roof fan")) == (42.0, 6.0)
    assert weighs(demo.replace("load.roof cooler.mass", "30 kg"), "roof cooler") == 30.0
    both = demo.replace_all({("load", "roof cooler", "mass"): "30 kg", ("opening", "roof cooler", "mass"): "35 kg"})
    assert weighs(both, "roof cooler") == 35.0, "what the opening says wins"
    assert weighs(demo, "door window") is None
    assert weighs(box([unit("hatch", 1.0, None)]), "hatch") is None
    unnamed = demo.replace("opening.roof fan.name", "fan")
    assert weighs(unnamed, "fan") is None and "fan" not in result_of(unnamed).carried


@cache
def drawn(seed: int) -> dict[str, Any]:
    """A roof and two units at random, as plain data; some are cut through, over an edge or in each other's way."""
    dice = random.Random(seed)
    roof = {
        "metal": dice.choice(("mild steel", "tube steel", "aluminium 6061-T6")), "section": "tube",
        "width": f"{dice.randint(20, 60)} mm", "depth": f"{dice.randint(20, 80)} mm", "wall": f"{dice.uniform(1, 4):.2f} mm",
        "spacing": f"{dice.randint(500, 900)} mm", "first": f"{dice.randint(50, 500)} mm",
        "ends": [f"{dice.randint(0, 50)} %", f"{dice.randint(50, 100)} %"], "shock": dice.choice((1, 2, 3, 4.5)),
        "person": None,
    }  # fmt: skip
    size = [f"{dice.randint(200, 500)} mm", f"{dice.randint(200, 500)} mm"]
    cooler = unit("cooler", round(dice.uniform(0.6, 2.2), 3), dice.randint(5, 120), round(dice.uniform(0.5, 1.5), 3),
                  size=size, headers=True)  # fmt: skip
    return dict(box([cooler], roof).raw)


def with_(raw: dict[str, Any], section: str, **keys: Any) -> tl.Design:
    changed = copy.deepcopy(raw)
    (changed["roof"] if section == "roof" else changed["opening"][0]).update(keys)
    return tl.design_from(changed)


def asked(design: tl.Design) -> tuple[float, Result]:
    return tl.study("roof", design, opening="cooler").value("stress"), result_of(design)


@pytest.mark.parametrize(("way", "begin"), [("heavier", 0), ("deeper", 50), ("nearer", 100), ("shaken", 150)])
def test_what_holds_for_any_roof(way: str, begin: int) -> None:
    """Fifty roofs a way, from seeds: shares sum to 1; mass and road never lower the stress, depth never raises it, and
    a unit moved toward a whole bow never lowers the share of that bow."""
    seen = 0
    for seed in range(begin, begin + 50):
        raw = drawn(seed)
        stress, found = asked(tl.design_from(raw))
        if "cooler" not in found.carried:
            assert isnan(stress)
            continue
        seen += 1
        one = found.carried["cooler"]
        assert sum(one.share) == pytest.approx(1.0, abs=1e-9)
        assert all(share == 0 for at, share in zip(found.framing.at_m, one.share, strict=True)  # type: ignore[union-attr]
                   if not one.span[0] <= at <= one.span[1])  # fmt: skip
        if way == "heavier":
            assert asked(with_(raw, "opening", mass=f"{one.mass_kg * 1.3} kg"))[0] > stress
        elif way == "shaken":
            assert asked(with_(raw, "roof", shock=raw["roof"]["shock"] + 1))[0] > stress
        elif way == "deeper":
            deep = float(raw["roof"]["depth"].split()[0]) * 1.2
            assert asked(with_(raw, "roof", depth=f"{deep} mm"))[0] < stress
        else:
            x, y = one.opening.at
            moved = asked(with_(raw, "opening", at=[f"{x + 0.004} m", f"{y} m"]))[1].carried.get("cooler")
            if moved is not None and (moved.span, moved.cut) == (one.span, one.cut):
                n = next(n for n, at in enumerate(found.framing.at_m) if at == one.span[1])  # type: ignore[union-attr]
                assert moved.share[n] > one.share[n]
            else:
                seen -= 1
    assert seen > 35, "most of them stand on whole bows"


def test_what_has_not_changed_is_not_worked_out_again(demo: tl.Design) -> None:
    before = result_of(demo)
    moved = result_of(demo.replace(("opening", "roof fan", "at"), ["11 ft 1 in", "3 ft 6 in"]))
    assert moved.framing is before.framing and moved.carried["roof cooler"] is before.carried["roof cooler"]
    assert moved.carried["roof fan"] is not before.carried["roof fan"]
    heavier = result_of(demo.replace(("face", "roof", "layers", "plywood"), "1/2 in"))
    assert heavier.framing is not None and before.framing is not None
    assert heavier.framing.per_m_n > before.framing.per_m_n, "a thicker ceiling is"
    assert result_of(demo.replace("load.roof cooler.mass", "60 kg")).carried["roof cooler"].mass_kg == 60.0
