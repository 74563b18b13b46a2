"""One circuit with a thinner and a thicker wire beside the fitted one: drop, heat, fuse, mass, cost."""

from __future__ import annotations

from functools import lru_cache

from trailerlib import reference
from trailerlib.design.design import Design
from trailerlib.design.wire_sizes import wire as wire_size
from trailerlib.studies import feeder as dc
from trailerlib.studies.answer import Beside, Column
from trailerlib.studies.circuits import air_c, may_carry, wire_temperature_c
from trailerlib.studies.runs import Run
from trailerlib.studies.wire_choice import Option

COPPER_KG_M3 = 8890.0  # IEC 60028, annealed copper at 20 degC
NOTE = "Mass is copper alone. Prices are invented: type your own into the catalogue of wire prices."
COLUMNS = (
    Column("size", "Size"),
    Column("wire", "Wire"),
    Column("fuse_a", "With a fuse of", "current"),
    Column("drop", "Drop then", "fraction"),
    Column("heat_w", "Heat in the wire", "power"),
    Column("mass_kg", "Copper", "mass"),
    Column("cost", "Cost (invented)", "count"),
    Column("verdict", "Does it"),
)


def beside(design: Design, run: Run | None) -> Beside | None:
    """The fitted size between the next thinner and the next thicker, and the thinnest that does where it is another.

    A size so thin or thick that no branch is wired with it has no row; then only the thinnest that does is left.

    Parameters
    ----------
    design : the design
    run : the circuit in focus, or None
    """
    if run is None or run.run_m is None or run.current_a is None or not run.choice.options:
        return None
    options = run.choice.options
    fitted = next((k for k, option in enumerate(options) if option.wire == run.circuit.wire), None)
    shown = {} if fitted is None else {fitted - 1: "one down", fitted: "fitted", fitted + 1: "one up"}
    best = next((k for k, option in enumerate(options) if option.forbidden is None), None)
    if best is not None and best not in shown:
        shown[best] = "thinnest that does"
    rows = tuple(_row(design, run, options[k], words) for k, words in sorted(shown.items()) if 0 <= k < len(options))
    return Beside(f"Sizes for {run.circuit.name}", COLUMNS, rows, NOTE)


def _row(design: Design, run: Run, option: Option, words: str) -> dict[str, object]:
    circuit, wire_m = run.circuit, run.route.wire_m or run.run_m or 0.0
    carry, fitted = may_carry(design, circuit, option.wire), run.current_a or 0.0
    current = fitted if option.current_a is None else option.current_a
    hot = wire_temperature_c(carry, air_c(design, circuit), current)
    arrives = option.drop == option.drop
    price = price_per_m(option.wire)
    return {
        "size": words,
        "wire": option.wire,
        "drop": option.drop if arrives else None,
        "heat_w": current**2 * 2.0 * dc.ohm_per_m(option.wire, hot) * (run.run_m or 0.0) if arrives else None,
        "fuse_a": option.fuse_a,
        "mass_kg": 2.0 * wire_m * wire_size(option.wire).area_m2 * COPPER_KG_M3,
        "cost": "–" if price is None else f"{2.0 * wire_m * price:.2f}",
        "verdict": "does" if option.forbidden is None else f"no: {option.forbidden}",
    }


@lru_cache(maxsize=64)
def price_per_m(wire: str) -> float | None:
    """Invented price of one metre of one conductor; None where the catalogue has none."""
    rows = reference.catalogue("wire_prices").where(wire=wire).rows
    return float(rows[0]["price_per_m"]) if rows else None
