"""The fitted size between its neighbours: every cell worked by hand or by putting the size into the design."""

from __future__ import annotations

from typing import Any

import by_hand
import pytest
from brute_force import FUSE_RULES, WIRE_RULES, against, battery_side_only, judged
from random_designs import DC, SIZES, random_design

import trailerlib as tl

RULES = (*FUSE_RULES, *WIRE_RULES)


def beside(design: tl.Design, circuit: str) -> list[Any]:
    found = tl.study("wiring", design, circuit=circuit).beside
    assert found is not None and found.title == f"Sizes for {circuit}"
    return list(found.rows)


@pytest.mark.parametrize("circuit", DC)
def test_the_neighbours_of_the_fitted_size(demo: tl.Design, circuit: str) -> None:
    rows = beside(demo, circuit)
    sizes = [row["wire"] for row in rows]
    assert sizes == sorted(sizes, key=SIZES.index)
    at = SIZES.index(demo.circuit(circuit).wire)
    words = {row["size"]: row["wire"] for row in rows}
    assert words["fitted"] == SIZES[at] and words["one up"] == SIZES[at + 1]
    assert words.get("one down") == (SIZES[at - 1] if at else None)
    does = [row["wire"] for row in rows if row["verdict"] == "does"]
    table = {row["name"]: row for row in tl.study("wiring", demo).rows}
    assert does[0] == table[circuit]["smallest"], "the thinnest that does is among the rows"


@pytest.mark.parametrize("circuit", DC)
def test_copper_and_cost_by_hand(demo: tl.Design, circuit: str) -> None:
    """Both conductors over all the cable that is laid, 8890 kg/m³ (IEC 60028); prices out of the raw table."""
    found = by_hand.named(demo.raw, "circuit", circuit)
    metres = 2.0 * sum(piece.metres for piece in by_hand.pieces(demo.raw, found))
    for row in beside(demo, circuit):
        area = by_hand.cell("tables/wire_awg", "area_mm2", awg=row["wire"].removesuffix(" AWG")) * 1e-6
        assert row["mass_kg"] == pytest.approx(metres * area * 8890.0, rel=1e-9)
        price = by_hand.cell("catalogue/wire_prices", "price_per_m", wire=row["wire"])
        assert row["cost"] == f"{metres * price:.2f}"


@pytest.mark.parametrize("seed", range(12))
def test_a_size_that_does_does_when_it_is_fitted(demo: tl.Design, seed: int) -> None:
    """Each row put into the design with the fuse it names: drop, and whether anything speaks against it."""
    design = battery_side_only(demo if seed == 0 else random_design(demo, 8000 + seed))
    circuit = DC[seed % len(DC)]
    for row in beside(design, circuit):
        if row["fuse_a"] is None or row["drop"] is None:
            assert row["verdict"] != "does"
            continue
        changes = {
            ("circuit", circuit, "wire"): row["wire"],
            ("circuit", circuit, "protection"): f"{row['fuse_a']:g} A",
        }
        tried = design.replace_all(changes)
        (run,) = [r for r in tl.study("wiring", tried).picture.runs if r.circuit.name == circuit]
        if run.drop is None:
            continue
        assert row["drop"] == pytest.approx(run.drop, rel=1e-9)
        words, _ = judged(tried, circuit)
        speaks = bool(against(words, RULES))
        assert (row["verdict"] != "does") is speaks, (row, against(words, RULES))


def test_heat_in_the_wire_by_hand(demo: tl.Design) -> None:
    """The fridge holds its power: its current with each size and fuse fitted, squared in 24 ft, at the heat it gives."""
    air = by_hand.number("96 °F")
    for row in beside(demo, "fridge"):
        tried = {"circuit.fridge.wire": row["wire"], "circuit.fridge.protection": f"{row['fuse_a']:g} A"}
        rows = tl.study("wiring", demo.replace_all(tried)).rows
        (current,) = [r["current_a"] for r in rows if r["name"] == "fridge"]
        hot = by_hand.heat_c(current, by_hand.dc_ampacity(row["wire"], "105 C", air, 2), air, 105.0)
        ohm = 24 * 0.3048 * by_hand.ohm_per_m(row["wire"], hot)
        assert row["heat_w"] == pytest.approx(current**2 * ohm, rel=1e-4)


def test_thicker_loses_less_weighs_more_and_costs_more(demo: tl.Design) -> None:
    for circuit in DC:
        rows = beside(demo, circuit)
        for thin, thick in zip(rows, rows[1:], strict=False):
            assert thin["heat_w"] > thick["heat_w"]
            assert thin["mass_kg"] < thick["mass_kg"] and float(thin["cost"]) < float(thick["cost"])


@pytest.mark.parametrize("changes", [
    {"circuit.fridge.run": None, "load.specimen fridge.place": None}, {"battery": None}, {"feeder": None},
], ids=str)  # fmt: skip
def test_nothing_is_put_beside_a_circuit_that_is_not_known(demo: tl.Design, changes: dict[str, Any]) -> None:
    assert tl.study("wiring", demo.replace_all(changes), circuit="fridge").beside is None


def test_nothing_does_where_the_air_is_not_known(demo: tl.Design) -> None:
    rows = beside(demo.replace("site.hottest", None), "fridge")
    assert rows and {row["verdict"] for row in rows} == {"no: air that is not known"}


def test_the_prices_are_said_to_be_invented(demo: tl.Design) -> None:
    found = tl.study("wiring", demo, circuit="fridge").beside
    assert "invented" in found.note and any("invented" in column.title for column in found.columns)
