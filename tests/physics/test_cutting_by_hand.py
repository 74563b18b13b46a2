"""The steps of the cutting plan one by one, on cases that can be seen through, and what the solver says it has proved."""

from __future__ import annotations

from itertools import product

import numpy as np
import pytest

from trailerlib.physics import cutting
from trailerlib.physics.cutting import Cut, CuttingError, Plan, Stock, cut_length_m, left_share, plan

HARD = [44, 24, 24, 22, 21, 17, 8, 8, 6, 6]  # 180 in three of 61; longest first takes four


def test_what_a_wire_is_cut_to_and_what_is_left() -> None:
    assert cut_length_m(3.0, 0.15) == pytest.approx(3.3) and left_share(20.0, 15.0) == pytest.approx(0.25)


@pytest.mark.parametrize(
    "room",
    [
        [Stock(7, 5)],
        [Stock(7, 5), Stock(3, 2)],
        [Stock(9, 1, 1), Stock(4, 3)],
        [Stock(5, 4, 2), Stock(6, 3, 1), Stock(8, 9)],
        [Stock(6, 7, 9), Stock(5, 3, 9)],
        [Stock(5, 0, 1), Stock(6, 1, 0), Stock(10, 6)],
    ],
)
def test_the_least_that_so_much_stock_can_weigh(room: list[Stock]) -> None:
    """Independent: every number of every stock."""
    for total in (1, 4, 5, 9, 13, 20, 23):
        counts = [range((5 if one.count is None or one.count > 5 else one.count) + 8) for one in room]
        weighs = [
            sum(n * one.weight for n, one in zip(many, room, strict=True))
            for many in product(*counts)
            if sum(n * one.length for n, one in zip(many, room, strict=True)) >= total
            and all(one.count is None or n <= one.count for n, one in zip(many, room, strict=True))
        ]
        assert cutting._least_weight(total, room, 12) == min(weighs)


def test_no_more_of_a_limited_stock_than_there_are_pieces() -> None:
    """Three pieces cannot lie in four stocks: 3 x 5 is less than 16 with the limit, and nothing covers it."""
    assert cutting._least_weight(15, [Stock(5, 2, 9)], 3) == 6
    assert cutting._least_weight(16, [Stock(5, 2, 9)], 3) == 1 << 60


def test_longest_first_each_where_it_leaves_least() -> None:
    """6 into the remnant of 7 (not of 9), 5 into that of 9, 4 beside it; 3 no longer fits: a new length, cut short."""
    room = [Stock(9, 0, 1), Stock(7, 0, 1), Stock(20, 20), Stock(4, 4)]
    assert cutting._filled([3, 6, 4, 5], room, 2) == [Cut(0, (3, 2)), Cut(1, (1,)), Cut(3, (0,))]
    assert cutting._filled([3, 6, 4, 5], room, None) is None
    assert cutting._filled([8, 8], room, 3) is None, "one goes into the remnant, the other into no short length"
    assert cutting._filled([4, 4, 4, 4], [Stock(4, 1)], 0) == [Cut(0, (n,)) for n in range(4)]
    assert cutting._endless(room) == [2, 3] and cutting._endless(room[:2]) == [None]


def test_the_lightest_endless_stock_that_holds_it_the_first_of_those_alike() -> None:
    room = [Stock(9, 1, 1), Stock(10, 8), Stock(6, 5), Stock(8, 5), Stock(7, 9)]
    assert [cutting._shortest(filled, 1, room) for filled in (5, 6, 7, 8, 9, 10)] == [2, 2, 3, 3, 1, 1]
    assert cutting._shortest(3, 0, room) == 0


def test_the_simple_filling_that_weighs_least_is_taken() -> None:
    """Two of 6 lie in one of 12 for 9, or in two of 6 for 10."""
    assert cutting._simple([6, 6], [Stock(6, 5), Stock(12, 9)]) == [Cut(1, (0, 1))]
    assert cutting._simple([6, 6], [Stock(6, 4), Stock(12, 9)]) == [Cut(0, (0,)), Cut(0, (1,))]
    assert cutting._simple([6, 6], [Stock(6, 4, 1)]) is None


def test_every_place_a_cut_can_lie_at() -> None:
    """Lengths 4 (twice) and 3 (once) in 10, longest first."""
    assert cutting._arcs([4, 3], [2, 1], 10) == [(0, 4, 0), (4, 8, 0), (0, 3, 1), (4, 7, 1)]
    assert cutting._arcs([4, 3], [2, 1], 11)[-1] == (8, 11, 1)  # type: ignore[index]
    assert cutting._arcs([4], [5], 10) == [(0, 4, 0), (4, 8, 0)]


def test_a_model_that_would_be_too_large_is_not_written(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cutting, "MOST_ARCS", 4)
    assert cutting._arcs([4, 3], [2, 1], 10) is not None and cutting._arcs([4, 3], [2, 1], 11) is None
    found = plan(HARD, [Stock(61, 61)])
    assert (len(found.cuts), found.weight, found.least, found.proof) == (4, 244, 183, "none")
    with pytest.raises(CuttingError, match="one more length"):
        plan(HARD, [Stock(61, 61, 3)])


def test_what_the_solver_says_it_has_proved_is_a_weight() -> None:
    """Three of 61; with one of 60 at no weight and the rest of it in two of 61, 122."""
    cuts, proved = cutting._solved(HARD, [Stock(61, 61)], 20.0)  # type: ignore[misc]
    assert proved == 183 and cuts is not None and sorted(n for cut in cuts for n in cut.pieces) == list(range(10))
    cuts, proved = cutting._solved(HARD, [Stock(61, 0, 1), Stock(61, 61)], 20.0)  # type: ignore[misc]
    assert proved == 122 and cuts is not None and sorted(cut.stock for cut in cuts) == [0, 1, 1]


def test_a_filling_that_is_not_the_best_is_not_called_proved() -> None:
    """Where the solver hands over no plan, what it proved still counts; a plan never weighs less than its least."""
    found = plan(HARD, [Stock(61, 61)])
    assert (found.weight, found.least) == (183, 183) and found.proof in ("bound", "solver")
    cramped = plan([5, 5, 5], [Stock(8, 8)])  # 15 fit into two of 8 by length, no two into one
    assert (cramped.weight, cramped.least, cramped.proof) == (24, 24, "solver")


@pytest.mark.parametrize("solved", [None, (None, 0), (None, 200), (None, 300)])
def test_without_a_plan_of_the_solver_the_simple_one_stands(
    monkeypatch: pytest.MonkeyPatch, solved: tuple[None, int] | None
) -> None:
    monkeypatch.setattr(cutting, "_solved", lambda *_: solved)
    found = plan(HARD, [Stock(61, 61)])
    proved = 183 if solved is None else max(183, solved[1])
    assert (found.weight, found.least) == (244, min(244, proved))
    assert found.proof == ("solver" if proved >= 244 else "none")


def test_the_lighter_of_both_plans_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    heavy = [Cut(0, (n,)) for n in range(10)]
    monkeypatch.setattr(cutting, "_solved", lambda *_: (heavy, 183))
    assert plan(HARD, [Stock(61, 61)]).weight == 244


def test_longest_pieces_first_those_alike_in_their_order() -> None:
    cuts, _ = cutting._solved([3, 5, 3, 5], [Stock(8, 8)], 20.0)  # type: ignore[misc]
    assert cuts == [Cut(0, (1, 0)), Cut(0, (3, 2))]


def test_a_piece_as_long_as_the_stock_goes_in() -> None:
    assert plan([10], [Stock(10, 3)]) == Plan((Cut(0, (0,)),), 3, 3, "bound")
    assert plan([1], [Stock(10, 3)]).weight == 3
    with pytest.raises(CuttingError, match="a piece of 11 steps"):
        plan([11, 4], [Stock(10, 3)], kerf=2)
    with pytest.raises(CuttingError, match="no length"):
        plan([5, -1], [Stock(10, 3)], kerf=3)


def test_a_stock_and_a_cut_cannot_be_changed() -> None:
    for one, name in ((Stock(10, 1), "count"), (Cut(0, (1,)), "stock"), (plan([], []), "weight")):
        with pytest.raises(AttributeError):
            setattr(one, name, np.inf)
