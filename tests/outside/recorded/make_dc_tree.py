"""Write dc_tree.json and dc_tree_long.json beside this file: 12 V feeders of mixed loads, solved by ngspice.

Run from the root of the project: ``python tests/outside/recorded/make_dc_tree.py``.
Nothing of the project is imported, so that the record stays independent of it.
"""

from __future__ import annotations

import json
import re
import subprocess
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
RECORD = HERE / "dc_tree.json"
LONG_RECORD = HERE / "dc_tree_long.json"
Branches = Sequence[tuple[int, float, float, float, float]]

# node: parent, ohms out and back, then watts, siemens and amps drawn there
BRANCHES = [
    (-1, 0.0062, 0.0, 0.0, 0.0),  # battery terminals
    (0, 0.0011, 0.0, 0.0, 0.0),  # disconnect and main fuse
    (1, 0.0008, 0.0, 0.0, 0.3),  # busbar, with a monitor that holds its current
    (2, 0.0049, 280.0, 0.0, 0.0),  # inverter
    (2, 0.0031, 0.0, 0.0, 0.0),  # fuse block
    (4, 0.0712, 18.0, 0.0, 0.0),  # lamps, in a chain of three
    (5, 0.0355, 12.0, 0.0, 0.0),
    (6, 0.0355, 12.0, 0.0, 0.0),
    (4, 0.0448, 0.0, 0.31, 0.0),  # fan, motor taken as a resistor
    (4, 0.0617, 55.0, 0.0, 0.0),  # refrigerator
    (4, 0.1204, 0.0, 0.0, 2.4),  # heater blower held by its controller
    (4, 0.0533, 0.0, 0.0, 0.0),  # tap without a load
    (11, 0.0289, 15.0, 0.05, 0.2),  # outlet with all three kinds at once
    (11, 0.0674, 30.0, 0.0, 0.0),
    (13, 0.0381, 0.0, 0.12, 0.0),
    (2, 0.0093, 0.0, 0.0, 0.0),  # second fuse block, far end
    (15, 0.0958, 60.0, 0.0, 0.0),  # pump
    (15, 0.0402, 24.0, 0.0, 1.1),
    (17, 0.0402, 8.0, 0.0, 0.0),
    (15, 0.2110, 3.0, 0.01, 0.0),  # thin long run
    (19, 0.1500, 2.0, 0.0, 0.0),
]
EMF_V = 12.7


def long_branches() -> list[tuple[int, float, float, float, float]]:
    """Forty-eight nodes: the feeder, four fuse blocks in a row, ten runs that fork behind their second tap.

    The taps take turns in holding power, resistance or current; one end of every run has all three.
    """
    rows: list[tuple[int, float, float, float, float]] = [(-1, 0.0041, 0.0, 0.0, 0.0), (0, 0.0009, 0.0, 0.0, 0.2)]
    blocks = []
    for block in range(4):
        rows.append((blocks[-1] if blocks else 1, 0.0017 + 0.0006 * block, 0.0, 0.0, 0.0))
        blocks.append(len(rows) - 1)
    for run in range(10):
        above = blocks[run % 4]
        for tap in range(4):
            ohm = round(0.011 + 0.0037 * ((3 * run + 5 * tap) % 7), 6)
            kind = (run + tap) % 3
            watts = round(4.0 + 1.7 * run, 3) if kind == 0 or tap == 3 else 0.0
            siemens = round(0.015 + 0.006 * tap, 4) if kind == 1 or tap == 3 else 0.0
            amps = round(0.25 + 0.11 * run, 3) if kind == 2 or tap == 3 else 0.0
            rows.append((above, ohm, watts, siemens, amps))
            above = len(rows) - 1 if tap < 2 else above
    return [*rows, (blocks[3], 0.0240, 0.0, 0.0, 0.0), (46, 0.3100, 5.0, 0.0, 0.1)]


def netlist(branches: Branches = BRANCHES, emf_v: float = EMF_V) -> str:
    """A feeder as ngspice reads it; every load draws from its node to the common return."""
    lines = ["12 V feeder", f"Vsource emf 0 DC {emf_v!r}"]
    for node, (parent, ohm, watts, siemens, amps) in enumerate(branches):
        above = "emf" if parent < 0 else f"n{parent}"
        lines.append(f"R{node} {above} n{node} {ohm!r}")
        lines += [f"Bp{node} n{node} 0 I={watts!r}/V(n{node})"] if watts else []
        lines += [f"Rg{node} n{node} 0 {1 / siemens!r}"] if siemens else []
        lines += [f"Ic{node} n{node} 0 DC {amps!r}"] if amps else []
    nodes = range(len(branches))
    lines += [f".nodeset V(n{node})={emf_v}" for node in nodes]
    lines += [".options reltol=1e-10 abstol=1e-14 vntol=1e-12", ".control", "set numdgt=15", "op"]
    return "\n".join(
        [*lines, *(f"print v(n{node})" for node in nodes), "print i(vsource)", "quit", ".endc", ".end", ""]
    )


def run(branches: Branches = BRANCHES, emf_v: float = EMF_V) -> dict[str, Any]:
    """Run ngspice once and hand back what went in and what came out.

    Raises FileNotFoundError when there is no ngspice, RuntimeError when it does not give every voltage.
    """
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "feeder.cir"
        file.write_text(netlist(branches, emf_v), encoding="ascii")
        command = ["ngspice", "-b", str(file)]
        done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)  # judged below
    found = {int(node): float(value) for node, value in re.findall(r"v\(n(\d+)\) = (\S+)", done.stdout)}
    source = re.search(r"i\(vsource\) = (\S+)", done.stdout)
    if sorted(found) != list(range(len(branches))) or source is None:
        raise RuntimeError(f"ngspice gave no full answer:\n{done.stdout}\n{done.stderr}")
    columns = list(zip(*branches, strict=True))
    names = ("parents", "resistance_ohm", "power_w", "conductance_s", "current_a")
    return {
        "solver": "ngspice -b, operating point, reltol 1e-10",
        "emf_v": emf_v,
        **{name: list(column) for name, column in zip(names, columns, strict=True)},
        "voltage_v": [found[node] for node in sorted(found)],
        "source_current_a": -float(source[1]),
    }


if __name__ == "__main__":
    for file, feeder in ((RECORD, BRANCHES), (LONG_RECORD, long_branches())):
        file.write_text(json.dumps(run(feeder), indent=1) + "\n", encoding="utf-8")
        print(f"wrote {file}")
