"""Every combination of switches: against a search written out in plain Python, and by the definitions themselves."""

from __future__ import annotations

import itertools
import math
import random
from dataclasses import dataclass

import numpy as np
import pytest

from trailerlib.physics import together as t

PANELS = 1000


@dataclass
class Panel:
    """A panel drawn at random: what each switch adds to each limit, and the limits."""

    draw: list[list[complex]]
    limit: list[float]
    watts: list[float]

    @property
    def count(self) -> int:
        return len(self.watts)

    def holds(self, on: tuple[int, ...] | set[int]) -> bool:
        return all(abs(sum(row[i] for i in on)) <= most for row, most in zip(self.draw, self.limit, strict=True))


def panel(seed: int) -> Panel:
    rng = random.Random(seed)
    n = rng.randint(1, 8)
    loads = [complex(rng.uniform(0.1, 16), rng.choice((0.0, rng.uniform(0.0, 8.0)))) for _ in range(n)]
    if n > 2 and rng.random() < 0.3:
        loads[1] = loads[0]
    branch = [rng.randrange(3) for _ in range(n)]
    leg = [rng.randrange(2) for _ in range(n)]
    draw = [[load if branch[i] == k else 0j for i, load in enumerate(loads)] for k in range(3)]
    draw += [[load if leg[i] == k else 0j for i, load in enumerate(loads)] for k in range(2)]
    draw += [[complex(load.real * 120.0) for load in loads], list(loads), list(loads)]
    limit = [rng.choice((15.0, 20.0)) for _ in range(3)] + [rng.choice((20.0, 30.0))] * 2
    limit += [rng.uniform(1000, 6000), rng.choice((25.0, 30.0)), rng.choice((15.0, 30.0, 50.0))]
    return Panel(draw, limit, [load.real * 120.0 for load in loads])


def as_arrays(p: Panel) -> tuple[np.ndarray, np.ndarray]:
    return np.array(p.draw, dtype=complex), np.array(p.limit)


def mask(on: tuple[int, ...] | set[int]) -> int:
    return sum(1 << i for i in on)


def parts(n: int) -> list[tuple[int, ...]]:
    return [on for k in range(n + 1) for on in itertools.combinations(range(n), k)]


def test_a_thousand_panels_against_plain_python() -> None:
    for seed in range(PANELS):
        p = panel(seed)
        draw, limit = as_arrays(p)
        plain = {mask(on): p.holds(on) for on in parts(p.count)}
        ok = t.allowed(draw, limit)
        assert ok.tolist() == [plain[m] for m in range(1 << p.count)], seed
        largest = [
            m for m in plain if plain[m] and not any(plain[m | 1 << i] for i in range(p.count) if not m >> i & 1)
        ]
        least = [m for m in plain if not plain[m] and all(plain[m & ~(1 << i)] for i in range(p.count) if m >> i & 1)]
        assert t.maximal(ok).tolist() == sorted(largest), seed
        assert t.minimal_forbidden(ok).tolist() == sorted(least, key=lambda m: (m.bit_count(), m)), seed
        deciding = {i for m in least for i in range(p.count) if m >> i & 1}
        assert t.free(draw, limit).tolist() == [i not in deciding for i in range(p.count)], seed


def test_fewest_switches_against_plain_python() -> None:
    for seed in range(300):
        p = panel(seed)
        ok = t.allowed(*as_arrays(p))
        spare = [i == 0 for i in range(p.count)]
        every = tuple(range(p.count))
        left = t.members(t.fewest_off(ok, mask(every), p.watts, spare))
        holding = [on for on in parts(p.count) if p.holds(on)]
        most = max(len(on) for on in holding)
        assert len(left) == most and p.holds(left), seed
        best = max(sum(p.watts[i] for i in on) for on in holding if len(on) == most and (0 in on) == (0 in left))
        assert 0 in left or not any(0 in on for on in holding if len(on) == most), "it is spared where it can be"
        assert sum(p.watts[i] for i in left) == pytest.approx(best, rel=1e-6), seed


def test_what_is_better_left_on_stays_among_equals() -> None:
    ok = t.allowed(np.full((1, 3), 10.0 + 0j), np.array([20.0]))
    for kept in range(3):
        left = t.fewest_off(ok, 0b111, [1200.0] * 3, [i == kept for i in range(3)])
        assert left >> kept & 1 and left.bit_count() == 2


@pytest.mark.parametrize("seed", range(60))
def test_one_more_switch_never_makes_it_hold(seed: int) -> None:
    p = panel(seed)
    ok = t.allowed(*as_arrays(p))
    for m in np.flatnonzero(~ok).tolist():
        assert not any(ok[m | 1 << i] for i in range(p.count))


@pytest.mark.parametrize("seed", range(60))
def test_largest_and_smallest_by_their_definitions(seed: int) -> None:
    p = panel(seed)
    ok = t.allowed(*as_arrays(p))
    for m in t.maximal(ok).tolist():
        assert ok[m] and not any(ok[m | 1 << i] for i in range(p.count) if not m >> i & 1)
    for m in t.minimal_forbidden(ok).tolist():
        assert not ok[m] and all(ok[m & ~(1 << i)] for i in t.members(m))
    for m in range(1 << p.count):
        inside = any(m & big == m for big in t.maximal(ok).tolist())
        assert ok[m] == inside, "every set that holds lies within a largest one"


def test_twenty_equal_loads_counted_by_hand() -> None:
    """Fifteen of twenty loads of 2 A make 30 A: the counts are binomial."""
    ok = t.allowed(np.full((1, 20), 2.0 + 0j), np.array([30.0]))
    assert ok.sum() == sum(math.comb(20, k) for k in range(16))
    assert len(t.maximal(ok)) == math.comb(20, 15)
    assert len(t.minimal_forbidden(ok)) == math.comb(20, 16)


def test_lagging_current_adds_at_a_right_angle() -> None:
    draw = np.array([[3.0 + 0j, 0.0 + 4.0j]])
    assert t.allowed(draw, np.array([5.0])).all()
    assert not t.allowed(draw, np.array([4.99]))[0b11]
    assert not t.allowed(np.array([[0j, 4j]]), np.array([3.5]))[0b10], "lagging current alone fills a wire too"


def test_equal_to_the_limit_but_for_rounding_holds() -> None:
    draw = np.array([[0.1 + 0j] * 3])
    assert 0.1 + 0.1 + 0.1 > 0.3
    assert t.allowed(draw, np.array([0.3])).all()
    assert not t.allowed(draw, np.array([0.3 * (1 - 1e-7)]))[0b111]


def test_what_is_always_on_counts() -> None:
    draw, limit = np.array([[5.0 + 0j, 6.0 + 0j]]), np.array([12.0])
    assert t.allowed(draw, limit).all()
    assert t.allowed(draw, limit, np.array([2.0 + 0j])).tolist() == [True, True, True, False]


def test_many_small_loads_are_folded_away() -> None:
    large = [12.0, 11.0, 9.0, 8.0]
    draw = np.array([[*large, *([0.01] * 40)]], dtype=complex)
    limit = np.array([30.0])
    never = t.free(draw, limit)
    assert never.tolist() == [False] * 4 + [True] * 40
    ok = t.allowed(draw[:, :4], limit)
    with_all = [sum(large[i] for i in t.members(m)) + 0.4 <= 30.0 for m in range(16)]
    assert ok.tolist() == with_all


def test_too_many_that_decide_are_refused() -> None:
    with pytest.raises(ValueError, match="more than 22"):
        t.free(np.full((1, 23), 2.0 + 0j), np.array([30.0]))
    with pytest.raises(ValueError, match="more than 22"):
        t.allowed(np.full((1, 23), 2.0 + 0j), np.array([30.0]))
    assert t.free(np.full((1, 200), 0.1 + 0j), np.array([30.0])).all(), "all of them together hold"


def test_small_loads_that_decide_are_not_folded_away() -> None:
    """12, 10 and 8 A fill 30 A to the last: then every small load matters, and 44 are too many."""
    with pytest.raises(ValueError, match="more than 22"):
        t.free(np.array([[12.0, 11.0, 10.0, 8.0, *([0.01] * 40)]], dtype=complex), np.array([30.0]))


def test_no_limit_or_no_switch() -> None:
    assert t.allowed(np.zeros((0, 3), dtype=complex), np.zeros(0)).all()
    assert t.allowed(np.zeros((1, 0), dtype=complex), np.array([5.0])).tolist() == [True]
    assert t.free(np.zeros((0, 3), dtype=complex), np.zeros(0)).all()


@pytest.mark.parametrize(
    ("draw", "limit"),
    [
        ([[math.nan]], [5.0]),
        ([[-1.0]], [5.0]),
        ([[-1j]], [5.0]),
        ([[1.0]], [math.nan]),
        ([[1.0]], [-1.0]),
        ([[1.0]], [5.0, 6.0]),
    ],
)
def test_missing_numbers_are_no_pass(draw: list[list[complex]], limit: list[float]) -> None:
    for ask in (t.allowed, t.free):
        with pytest.raises(ValueError):
            ask(np.array(draw, dtype=complex), np.array(limit))


def test_nothing_to_leave_on_is_said() -> None:
    with pytest.raises(ValueError, match="even with all of them off"):
        t.fewest_off(np.array([False, False]), 1, [1.0], [False])
