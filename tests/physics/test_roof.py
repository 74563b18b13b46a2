"""Bows that share: statics holds, stiffer takes more, limits are reached, a cut bow leans on its headers."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.end_springs import end_spring_nm
from tests.rigid_ring import rigid_ring_n
from trailerlib.physics import beam, cut_bow
from trailerlib.physics.beam import Bow, Loads
from trailerlib.physics.roof import RailLoads, Rails, RoofBow, carry

SPAN, EI, ACROSS = 2.0, 3000.0, (0.8, 1.2)
FOUR = RailLoads(np.full((2, 2), 110.0), np.array([0.25, 0.55]))  # four feet of a unit of 440 N
stiffness = st.floats(500.0, 20000.0)
share = st.floats(0.0, 1.0)


def three(*stiff: float, fixity: float = 0.0, cut: bool = False) -> list[RoofBow]:
    return [RoofBow(0.4 * i, Bow(SPAN, ei, fixity, fixity), cut=cut and i == 1) for i, ei in enumerate(stiff)]


def under(ei: Any = EI, begin: float = 0.0, end: float = 0.8) -> Rails:
    return Rails(ACROSS, ei, begin, end)


def test_rigid_rails_share_alike_and_soft_ones_leave_it_to_the_middle() -> None:
    """Closed form: W / 3 under a rigid ring; rails that give way and are stiff beside nothing, 4 (W/4) by a beam on
    three supports that do not sink: loads at 3/8 of each span from the middle, 75.5 % there."""
    ring = rigid_ring_n(three(EI, EI, EI), under(), FOUR)
    np.testing.assert_allclose(ring.sum(-1), 440 / 3, rtol=1e-9)
    stiff = carry(three(EI, EI, EI), under(1e9), FOUR)
    np.testing.assert_allclose(stiff.onto_n, ring, rtol=1e-4)
    soft = carry(three(EI, EI, EI), under(1e-3), FOUR)
    b = 1 - 0.15 / 0.4  # of the span from the far support
    assert soft.share[1] == pytest.approx(b * (3 - b**2) / 2, rel=1e-5)


def test_a_rigid_ring_is_the_limit_of_stiff_rails_that_lean_alike() -> None:
    """Limit: unlike bows with springs, twist and loads of their own, one cut; left and right alike; 1e-3."""
    bows = [
        RoofBow(0.3 * i, Bow(SPAN, 2000.0 + 900 * i, 0.2 * i, 0.2 * i), Loads(per_m_n=20.0 * i), i == 2, 7000.0)
        for i in range(4)
    ]
    on = RailLoads(np.full((2, 1), 150.0), np.array([0.25]), np.full(2, 80.0), (0.4, 0.7))
    ring = rigid_ring_n(bows, under(end=0.9), on)
    stiff = carry(bows, under(3e8, end=0.9), on)
    np.testing.assert_allclose(stiff.onto_n, ring, atol=1e-3 * np.abs(ring).max())


def test_a_rigid_ring_stays_flat_and_rails_may_warp() -> None:
    """Invariant: what the ring presses balances the load, and the bows sag under it to one plane."""
    own = Loads(np.array([90.0]), np.array([0.5]), 20.0)
    bows = [RoofBow(0.3 * i, Bow(SPAN, 2000.0 + 900 * i, 0.1 * i, 0.4), own) for i in range(4)]
    on = RailLoads(np.array([[150.0], [40.0]]), np.array([0.25]), np.array([30.0, 80.0]), (0.4, 0.7))
    ring = rigid_ring_n(bows, under(end=0.9), on)
    along = 0.3 * np.arange(4)
    assert ring.sum() == pytest.approx(223.0) and ring.sum(0)[0] == pytest.approx(159.0)
    assert ring.sum(-1) @ along == pytest.approx(190.0 * 0.25 + 33.0 * 0.55)
    sag = [
        beam.solved(one.bow, one.own.plus(r, np.array(ACROSS))).deflection_m(np.array(ACROSS))
        for one, r in zip(bows, ring, strict=True)
    ]
    plane = np.array([(1.0, z, x) for z in along for x in ACROSS])
    flat = np.ravel(sag)
    np.testing.assert_allclose(plane @ np.linalg.lstsq(plane, flat, rcond=None)[0], flat, atol=1e-12)
    loose = carry(bows, under(3e8, end=0.9), on)
    corners = loose.sag_m[0, 0] - loose.sag_m[0, 1] - loose.sag_m[3, 0] + loose.sag_m[3, 1]
    assert abs(corners) > 1e-4, "two rails that nothing joins lean each by itself"


def test_ever_stiffer_rails_share_ever_more_evenly() -> None:
    found = carry(three(EI, EI, EI), under(np.geomspace(1.0, 1e7, 15)), FOUR)
    assert found.share.shape == (15, 3)
    assert np.all(np.diff(found.share[:, 1]) < 0) and np.all(np.diff(found.share[:, 0]) > 0)


@settings(max_examples=25)
@given(stiffness, stiffness, stiffness, share, st.floats(1.0, 1e6), st.floats(0.0, 0.8), st.booleans())
def test_what_the_bows_take_balances_what_stands_on_them(
    a: float, b: float, c: float, fixity: float, ei: float, at: float, cut: bool
) -> None:
    """Invariant: forces, and moments about both axes; rails and bows with their own loads; 1e-7."""
    own = Loads(np.array([60.0]), np.array([0.3]), 20.0)
    bows = [replace(one, own=own) for one in three(a, b, c, fixity=fixity, cut=cut)]
    on = RailLoads(np.array([[200.0], [90.0]]), np.array([at]), np.array([50.0, 10.0]), (0.1, 0.5))
    found = carry(bows, under(ei), on)
    along = np.array([0.0, 0.4, 0.8])
    total, lean = 290.0 + 60.0 * 0.4, 290.0 * at + 60.0 * 0.4 * 0.3
    taken = found.onto_n.sum(-1)
    assert taken.sum() == pytest.approx(total, rel=1e-7)
    assert (taken * along).sum() == pytest.approx(lean, rel=1e-6, abs=1e-6)
    np.testing.assert_allclose(found.onto_n.sum(0), [220.0, 94.0], rtol=1e-7)
    on_bows = 3 * (60.0 + 20.0 * SPAN) - (20.0 * 0.4 if cut else 0.0)
    assert found.wall_n.sum() == pytest.approx(total + on_bows, rel=1e-7)


@settings(max_examples=25)
@given(stiffness, st.floats(1.05, 3.0), share, st.floats(1e3, 1e6))
def test_a_stiffer_bow_takes_more(ei: float, more: float, fixity: float, rail: float) -> None:
    before, after = (carry(three(ei, ei * k, ei, fixity=fixity), under(rail), FOUR) for k in (1.0, more))
    assert after.share[1] > before.share[1]
    leaning = carry(three(ei, ei, ei * more, fixity=fixity), under(rail), FOUR)
    assert leaning.share[2] == pytest.approx(leaning.share[0], rel=1e-9), "moments about the middle allow nothing else"
    five = [RoofBow(0.2 * i, Bow(SPAN, ei * (more if i == 3 else 1.0), fixity, fixity)) for i in range(5)]
    found = carry(five, under(rail), FOUR)
    assert found.share[3] > found.share[1]


@settings(max_examples=20)
@given(share, st.floats(1.0, 1e6))
def test_symmetric_roofs_sag_symmetrically(fixity: float, rail: float) -> None:
    found = carry(three(EI, 2 * EI, EI, fixity=fixity), under(rail), FOUR)
    np.testing.assert_allclose(found.sag_m, found.sag_m[::-1, ::-1], rtol=1e-7)
    assert found.bows.deflection_m[0] == pytest.approx(found.bows.deflection_m[2], rel=1e-7)
    assert found.bows.deflection_at_m == pytest.approx([1.0, 1.0, 1.0], abs=1e-6)


def test_rails_lie_on_their_bows() -> None:
    """Invariant: rail and bow sag alike where they meet, and the shear of the rail steps by what the bow takes."""
    bows = [replace(one, own=Loads(np.array([75.0]), np.array([0.5]), 15.0)) for one in three(EI, 900.0, 2 * EI)]
    on = RailLoads(np.array([[200.0], [90.0]]), np.array([0.3]), np.array([50.0, 10.0]), (0.1, 0.5))
    found = carry(bows, under(), on)
    at = np.array([0.0, 0.4, 0.8])
    sag, _, after = found.rail_pieces.read(at)
    np.testing.assert_allclose(sag, found.sag_m.T, atol=1e-12)
    before = found.rail_pieces.read(at - 1e-9)[2]
    assert after[:, 1] - before[:, 1] == pytest.approx(found.onto_n[1], abs=1e-4)
    assert after[:, 0] == pytest.approx(found.onto_n[0], rel=1e-9)
    for i, one in enumerate(bows):
        whole = one.own.plus(found.onto_n[i], np.array(ACROSS))
        assert beam.solved(one.bow, whole).deflection_m(np.array(ACROSS)) == pytest.approx(found.sag_m[i], rel=1e-9)


def test_a_uniform_load_is_the_limit_of_many_forces() -> None:
    """Independent of the uniform load's own formulas; 1e-5 with 200 forces at the middles of their parts."""
    at = 0.1 + (np.arange(200) + 0.5) * 0.4 / 200
    many = carry(three(EI, 900.0, EI), under(), RailLoads(np.full((2, 200), 120.0 * 0.4 / 200), at))
    even = carry(three(EI, 900.0, EI), under(), RailLoads(per_m_n=np.full(2, 120.0), over_m=(0.1, 0.5)))
    np.testing.assert_allclose(even.onto_n, many.onto_n, rtol=1e-5)
    assert even.rails.moment_nm == pytest.approx(many.rails.moment_nm, rel=1e-4)
    ring = [rigid_ring_n(three(EI, 900.0, EI), under(), on) for on in
            (RailLoads(np.full((2, 200), 120.0 * 0.4 / 200), at), RailLoads(per_m_n=np.full(2, 120.0), over_m=(0.1, 0.5)))]  # fmt: skip
    np.testing.assert_allclose(*ring, rtol=1e-6)


def test_twist_of_the_bows_holds_the_rails() -> None:
    """Limit: bows that cannot be twisted clamp soft rails; loads at 3/8 from the middle of clamped spans, 68.4 % there."""
    bows = [replace(one, twist_nm2=1e9) for one in three(1e9, 1e9, 1e9)]
    a = 0.15 / 0.4
    assert carry(bows, under(1.0), FOUR).share[1] == pytest.approx((1 - a) ** 2 * (1 + 2 * a), rel=1e-4)
    bows = [replace(one, twist_nm2=1e13) for one in bows]
    ring = rigid_ring_n([*bows[:2], replace(bows[2], bow=Bow(SPAN, 1e8))], under(), FOUR).sum(-1)
    assert ring[0] == pytest.approx(ring[1], rel=0.02) and ring[2] < ring[0] / 5  # it sinks and does not lean


def test_a_cut_bow_between_hinges_hangs_on_its_headers() -> None:
    """Statics: half of a stub's uniform load, and what stands on it by its place, go to the header and on to both
    neighbours; the header bends as a simple span."""
    bows = three(EI, EI, EI, cut=True)
    bows[1] = replace(bows[1], own=Loads(np.array([100.0]), np.array([0.6]), 50.0))
    found = carry(bows, under(), RailLoads())
    tip = 50.0 * 0.8 / 2 + 100.0 * 0.6 / 0.8, 50.0 * 0.8 / 2
    for rail in (0, 1):
        assert found.onto_n[:, rail] == pytest.approx([tip[rail] / 2, -tip[rail], tip[rail] / 2], rel=1e-9)
        assert found.rails.moment_nm[rail] == pytest.approx(tip[rail] * 0.8 / 4, rel=1e-9)
        assert found.rails.moment_at_m[rail] == pytest.approx(0.4)
        assert cut_bow.neighbour_load_n(tip[rail], 0.4, 0.4) == pytest.approx(found.onto_n[0, rail], rel=1e-9)
    assert found.wall_n[1] == pytest.approx([20.0 + 25.0, 20.0])
    sunk = found.sag_m[0, 0] + tip[0] * 0.8**3 / (48 * EI)
    assert found.sag_m[1, 0] == pytest.approx(sunk, rel=1e-9)
    assert found.bows.moment_nm[1] == pytest.approx(45.0 * 0.6 - 50.0 * 0.6**2 / 2, rel=1e-9)
    assert found.bows.deflection_at_m[1] == pytest.approx(0.8, abs=0.2)


def test_neighbours_at_unequal_distances_take_unequal_parts() -> None:
    bows = [
        RoofBow(0.0, Bow(SPAN, 1e9)),
        RoofBow(0.3, Bow(SPAN, EI), Loads(per_m_n=50.0), cut=True),
        RoofBow(0.8, Bow(SPAN, 1e9)),
    ]
    found = carry(bows, under(), RailLoads())
    assert found.onto_n[0, 0] == pytest.approx(cut_bow.neighbour_load_n(20.0, 0.3, 0.5), rel=1e-6)
    assert found.onto_n[2, 0] == pytest.approx(cut_bow.neighbour_load_n(20.0, 0.5, 0.3), rel=1e-6)


def test_a_stub_on_a_spring_is_a_cantilever_on_it() -> None:
    """Closed form: the tip under one newton sinks by a³ / 3 E I and by a² over the spring of the wall."""
    f, a = 0.4, 0.8
    spring = end_spring_nm(EI, SPAN, f)
    own = cut_bow.stub_fixity(f, a, SPAN)
    assert end_spring_nm(EI, a, own) == pytest.approx(spring, rel=1e-12)
    assert 1 / cut_bow.stub_tip_n_m(EI, own, a) == pytest.approx(a**3 / (3 * EI) + a**2 / spring, rel=1e-12)


def test_clamped_stubs_carry_by_themselves_where_the_headers_are_soft() -> None:
    """Limit: a clamped cantilever, M = P a + w a² / 2; seen from the left wall on both sides."""
    bows = three(EI, EI, EI, fixity=1.0, cut=True)
    bows[1] = replace(bows[1], own=Loads(per_m_n=50.0))
    found = carry(bows, under(1e-6), RailLoads(np.array([[30.0], [60.0]]), np.array([0.4])))
    assert found.bows.moment_nm[1] == pytest.approx(-(60.0 * 0.8 + 50.0 * 0.32), rel=1e-6)
    assert found.bows.moment_at_m[1] == pytest.approx(SPAN)
    assert found.wall_n[1] == pytest.approx([70.0, 100.0], rel=1e-6)
    assert found.bows.shear_n[1] == pytest.approx(-100.0, rel=1e-6)
    sunk = 60.0 * 0.8**3 / (3 * EI) + 50.0 * 0.8**4 / (8 * EI)
    assert (found.sag_m[1, 1], found.bows.deflection_m[1]) == pytest.approx((sunk, sunk), rel=1e-6)
    assert found.bows.deflection_at_m[1] == pytest.approx(1.2)


def test_bows_out_of_reach_carry_only_their_own_and_rails_may_stand_out() -> None:
    far = RoofBow(1.4, Bow(SPAN, EI), Loads(np.array([80.0]), np.array([1.0])))
    out = RailLoads(np.full((2, 1), 110.0), np.array([0.9]))
    found = carry([far, *three(EI, EI, EI)], under(end=1.0), out)
    assert found.onto_n[0].tolist() == [0.0, 0.0] and found.bows.moment_nm[0] == pytest.approx(80.0 * SPAN / 4)
    sag, moment, shear = found.rail_pieces.read(np.array([0.8, 0.95]))
    assert found.share[3] > 0.9 and moment[0] == pytest.approx([-110.0 * 0.1, 0.0], abs=1e-9)
    assert shear[0] == pytest.approx([110.0, 0.0], abs=1e-9) and sag[0, 0] == pytest.approx(found.sag_m[3, 0])
    mirrored = [replace(one, at_m=1.0 - one.at_m) for one in three(EI, EI, EI)]
    back = carry(mirrored, under(end=1.0), RailLoads(np.full((2, 1), 110.0), np.array([0.1])))
    assert back.rails.moment_nm == pytest.approx(found.rails.moment_nm)
    assert back.rails.deflection_m == pytest.approx(found.rails.deflection_m)
    assert back.rails.deflection_at_m == pytest.approx(0.0) and found.rails.deflection_at_m == pytest.approx(1.0)
    tip = found.rail_pieces.read(np.array([0.9, 1.0]))[0]
    assert back.rail_pieces.read(np.array([0.1, 0.0]))[0] == pytest.approx(tip)


@pytest.mark.parametrize("off", [1e-3, 1e-5, 1e-7, 1e-12])
def test_a_load_just_beside_a_bow_is_as_good_as_on_it(off: float) -> None:
    on, beside = (
        carry(three(EI, EI, EI), under(), RailLoads(np.full((2, 1), 110.0), np.array([0.4 + d]))) for d in (0.0, off)
    )
    np.testing.assert_allclose(beside.onto_n, on.onto_n, atol=1e3 * off + 1e-9)
    np.testing.assert_allclose(beside.onto_n.sum(), 220.0, rtol=1e-12)
    assert beside.rails.moment_nm == pytest.approx(on.rails.moment_nm, abs=1e3 * off + 1e-9)


def test_leading_axes_are_cases_side_by_side() -> None:
    ei = np.array([900.0, 3000.0, 8000.0])
    on = RailLoads(np.full((2, 1, 2, 2), 110.0) * np.array([1.0, 2.0])[:, None, None, None], FOUR.at_m)
    many = carry([RoofBow(0.4 * i, Bow(SPAN, ei, 0.3, 0.1), cut=i == 1) for i in range(3)], under(), on)
    one = carry([RoofBow(0.4 * i, Bow(SPAN, 8000.0, 0.3, 0.1), cut=i == 1) for i in range(3)], under(), FOUR)
    assert many.onto_n.shape == (2, 3, 3, 2) and many.rails.moment_nm.shape == (2, 3, 2)
    np.testing.assert_allclose(many.onto_n[0, 2], one.onto_n, rtol=1e-9)
    np.testing.assert_allclose(many.bows.moment_nm[1, 2], 2 * one.bows.moment_nm, rtol=1e-9)
    np.testing.assert_allclose(many.rails.deflection_m[1, 2], 2 * one.rails.deflection_m, rtol=1e-9)


HALF = three(EI, EI, EI, cut=True)


@pytest.mark.parametrize(
    ("bows", "rail", "on", "words"),
    [
        (three(EI), under(), FOUR, "at least two bows"),
        ([HALF[0], HALF[1]], under(), FOUR, "at least two bows"),
        (three(EI, EI, EI), under(begin=0.1, end=0.1), RailLoads(), "length and a stiffness"),
        (three(EI, EI, EI), under(0.0), FOUR, "length and a stiffness"),
        (three(EI, EI, EI), under(end=0.5), FOUR, "between the two ends"),
        (three(EI, EI, EI), under(), RailLoads(per_m_n=np.ones(2), over_m=(0.5, 0.1)), "between the two ends"),
        (three(EI, EI, EI), under(), RailLoads(per_m_n=np.ones(2)), "over_m"),
        (three(EI, EI, EI), Rails((1.2, 0.8), EI, 0.0, 0.8), FOUR, "between the walls"),
        (three(EI, EI, EI), Rails((0.8, 2.0), EI, 0.0, 0.8), FOUR, "between the walls"),
        ([*three(EI, EI, EI), replace(HALF[0], at_m=0.4003)], under(), FOUR, "1 mm apart"),
        ([*three(EI, EI, EI), replace(HALF[1], at_m=1.3)], under(), FOUR, "no rail that carries"),
        ([HALF[0], replace(HALF[1], own=Loads(np.ones(1), np.ones(1))), HALF[2]], under(), FOUR, "cut out"),
    ],
)
def test_what_cannot_be_is_refused(bows: list[RoofBow], rail: Rails, on: RailLoads, words: str) -> None:
    with pytest.raises(ValueError, match=words):
        carry(bows, rail, on)
