"""Slopes of a feeder against what the solver itself gives for a small change."""

from __future__ import annotations

import numpy as np
import pytest

from trailerlib.physics import feeder_slopes
from trailerlib.physics.network import Tree, solve_dc

TREE = Tree.of([-1, 0, 1, 1, 3])
OHM = np.array([0.01, 0.02, 0.1, 0.2, 0.05])
POWER, SIEMENS, FIXED = np.array([0, 0, 20.0, 0, 8.0]), np.array([0, 0, 0, 0.2, 0]), np.array([0, 0, 0.5, 0, 0])


def solved(emf=12.6, ohm=OHM, power=POWER, siemens=SIEMENS, fixed=FIXED):
    found = solve_dc(TREE, emf, ohm, power_w=power, conductance_s=siemens, current_a=fixed, tolerance_v=1e-14)
    return found.voltage_v, found.branch_current_a


def slopes(emf_v, ohm, drawn_a):
    volt, amps = solved()
    turn = SIEMENS - POWER / volt**2
    return feeder_slopes.slopes(TREE, OHM, amps, turn, emf_v=emf_v, ohm=ohm, drawn_a=drawn_a)


def check(found, up, down, step):
    for have, a, b in ((found.voltage_v, up[0], down[0]), (found.branch_current_a, up[1], down[1])):
        assert have[:, 0] == pytest.approx((a - b) / (2 * step), rel=1e-6, abs=1e-7)


def test_of_the_source():
    found = slopes(np.ones(1), np.zeros((5, 1)), np.zeros((5, 1)))
    check(found, solved(emf=12.6 + 1e-4), solved(emf=12.6 - 1e-4), 1e-4)


@pytest.mark.parametrize("branch", range(5))
def test_of_each_resistance(branch):
    one = np.eye(5)[branch]
    found = slopes(np.zeros(1), one[:, None], np.zeros((5, 1)))
    check(found, solved(ohm=OHM + 1e-6 * one), solved(ohm=OHM - 1e-6 * one), 1e-6)


@pytest.mark.parametrize("node", range(5))
def test_of_each_load(node):
    one = np.eye(5)[node]
    found = slopes(np.zeros(1), np.zeros((5, 1)), one[:, None])
    check(found, solved(fixed=FIXED + 1e-5 * one), solved(fixed=FIXED - 1e-5 * one), 1e-5)


def test_the_way_to_each_node():
    assert feeder_slopes.way_matrix(TREE).tolist() == [
        [1, 0, 0, 0, 0],
        [1, 1, 0, 0, 0],
        [1, 1, 1, 0, 0],
        [1, 1, 0, 1, 0],
        [1, 1, 0, 1, 1],
    ]
