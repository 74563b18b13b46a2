"""Write tests/outside/recorded/load_flow.json: mains feeders solved by pandapower, a general power-flow library.

Run from the root of the project by a Python that has pandapower, which wants an older pandas than the project:
``python tests/outside/recorded/make_load_flow.py [file]``. Nothing of the project is imported, so that the record
stays independent of it.

pandapower thinks of a balanced three-phase network in per unit. A two-wire circuit has the same equations when its
voltage stands for the nominal voltage, the impedance is the loop's (out and back) and the power the whole power.
Two legs with a shared neutral have them too, leg 2 being turned by half a turn: then both are near +120 V, and the
neutral is the mutual admittance of two branches, which a network shows as four branches crosswise between their ends.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

RECORD = Path(__file__).parent / "load_flow.json"
BASE_MVA = 1e-3

# node: parent, loop impedance [ohm], then what it draws: power [VA], admittance [S], current [A], complex.
# A load that lags has +j in its power, -j in its admittance and its current.
TWO_WIRE: dict[str, tuple[float, list[tuple[int, complex, complex, complex, complex]]]] = {
    "five nodes of held power, mixed power factors": (
        120.0,
        [
            (-1, 0.0744 + 0.0030j, 0, 0, 0),  # feeder to the panel
            (0, 0.0871 + 0.0024j, 1500, 0, 0),  # dryer
            (0, 0.1188 + 0.0032j, 1500 + 220j, 0, 0),
            (0, 0.0554 + 0.0015j, 1450 + 618j, 0, 0),  # cooler, power factor 0.92
            (0, 0.0505 + 0.0009j, 600 - 197j, 0, 0),  # converter that leads
        ],
    ),
    "ten nodes of held impedance": (
        120.0,
        [
            (-1, 0.0310 + 0.0080j, 0, 0, 0),  # supply
            (0, 0.1510 + 0.0110j, 0, 0, 0),  # cord
            (1, 0.0120 + 0.0030j, 0, 0, 0),  # inlet and main
            (2, 0.1100 + 0.0030j, 0, 0.0694, 0),  # kettle, 1000 W at 120 V
            (2, 0.1620 + 0.0044j, 0, 0.0521 - 0.0112j, 0),
            (4, 0.0810 + 0.0022j, 0, 0.0104, 0),  # the same branch further on
            (5, 0.0810 + 0.0022j, 0, 0.0208 - 0.0020j, 0),
            (2, 0.2610 + 0.0045j, 0, 0.0417, 0),
            (7, 0.1300 + 0.0023j, 0, 0.0139 + 0.0021j, 0),
            (2, 0.0700 + 0.0012j, 0, 0.0035 - 0.0060j, 0),
        ],
    ),
    "ten nodes of all kinds on a long cord": (
        118.0,
        [
            (-1, 0.0420 + 0.0180j, 0, 0, 0),
            (0, 0.4150 + 0.0240j, 0, 0, 0),  # household cord
            (1, 0.0120 + 0.0030j, 60, 0, 0.4),
            (2, 0.1100 + 0.0030j, 0, 0.0694, 0),
            (2, 0.1620 + 0.0044j, 640 + 300j, 0, 0),
            (4, 0.0810 + 0.0022j, 45, 0, 1.2 - 0.9j),
            (5, 0.0810 + 0.0022j, 0, 0.0208 - 0.0020j, 0),
            (2, 0.2610 + 0.0045j, 350 - 40j, 0.0040, 0.8 - 0.2j),
            (7, 0.1300 + 0.0023j, 0, 0, 2.1 - 1.4j),
            (1, 0.0700 + 0.0012j, 25 + 60j, 0, 0),
        ],
    ),
    "loads between two legs": (
        240.0,
        [
            (-1, 0.0300 + 0.0150j, 0, 0, 0),
            (0, 0.0240 + 0.0032j, 0, 0, 0),
            (1, 0.0905 + 0.0043j, 4600, 0, 0),  # kiln
            (1, 0.1500 + 0.0040j, 2300 + 1100j, 0, 0),
            (3, 0.0500 + 0.0010j, 0, 0.0120, 1.5 - 0.5j),
        ],
    ),
}

# node: parent, impedance of leg 1, leg 2 and neutral one way [ohm], power on leg 1 and on leg 2 [VA], admittance
# on leg 1, on leg 2 and between the legs [S]
TWO_LEGS: dict[str, tuple[float, list[tuple[int, complex, complex, complex, complex, complex, complex, complex, complex]]]] = {
    "two legs that share a neutral": (
        120.0,
        [
            (-1, 0.0110 + 0.0080j, 0.0110 + 0.0080j, 0.0050 + 0.0020j, 0, 0, 0, 0, 0),  # pedestal
            (0, 0.0480 + 0.0050j, 0.0480 + 0.0050j, 0.0480 + 0.0050j, 0, 0, 0, 0, 0),  # cord
            (1, 0.0060 + 0.0010j, 0.0070 + 0.0010j, 0.0240 + 0.0010j, 0, 0, 0, 0, 0),  # inlet, a poor neutral blade
            (2, 0.0030 + 0.0010j, 0.0030 + 0.0010j, 0.0020 + 0.0010j, 400 + 90j, 0, 0, 0, 0.0550),  # panel, kiln
            (3, 0.0440 + 0.0012j, 0.0440 + 0.0012j, 0.0440 + 0.0012j, 1450 + 618j, 0, 0, 0, 0),  # cooler on leg 1
            (3, 0.0520 + 0.0014j, 0.0520 + 0.0014j, 0.0520 + 0.0014j, 0, 300 + 120j, 0, 0, 0),  # a fan on leg 2
            (3, 0.0810 + 0.0022j, 0.0810 + 0.0022j, 0.0810 + 0.0022j, 1400, 40, 0.0100, 0.0020 - 0.0010j, 0),
            (6, 0.0405 + 0.0011j, 0.0405 + 0.0011j, 0.0405 + 0.0011j, 120 + 60j, 0, 0, 0.0139, 0.0030 - 0.0010j),
        ],
    ),
}  # fmt: skip


class Network:
    """A pandapower network at one nominal voltage [V]; the source is bus 0."""

    def __init__(self, volts: float) -> None:
        import pandapower

        self.library, self.volts = pandapower, volts
        self.net = pandapower.create_empty_network(sn_mva=BASE_MVA)
        self.source = self.bus()
        pandapower.create_ext_grid(self.net, self.source, vm_pu=1.0)

    def bus(self) -> int:
        return int(self.library.create_bus(self.net, vn_kv=self.volts / 1e3))

    def branch(self, begin: int, end: int, siemens: complex) -> None:
        if begin == end or siemens == 0:
            return
        pu = 1 / siemens / (self.volts**2 / (BASE_MVA * 1e6))
        self.library.create_impedance(self.net, begin, end, rft_pu=pu.real, xft_pu=pu.imag, sn_mva=BASE_MVA)

    def admittance(self, bus: int, siemens: complex) -> None:
        va = complex(siemens).conjugate() * self.volts**2
        self.library.create_shunt(self.net, bus, p_mw=va.real / 1e6, q_mvar=va.imag / 1e6)

    def load(self, bus: int, va: complex, amps: complex = 0) -> None:
        """Held power and held current as one load: of several at a bus the library averages the shares."""
        held = complex(amps).conjugate() * self.volts
        whole = va + held
        shares = [100.0 * part / of if of else 0.0 for part, of in ((held.real, whole.real), (held.imag, whole.imag))]
        self.library.create_load(
            self.net, bus, p_mw=whole.real / 1e6, q_mvar=whole.imag / 1e6, const_i_p_percent=shares[0],
            const_i_q_percent=shares[1],
        )  # fmt: skip

    def solve(self) -> tuple[dict[int, complex], complex]:
        """Voltage of every bus [V] and the power of the source [VA]."""
        import numpy

        self.library.runpp(self.net, tolerance_mva=1e-12, init="flat", numba=False, max_iteration=60)
        table = self.net.res_bus
        volts = table.vm_pu * self.volts * numpy.exp(1j * numpy.radians(table.va_degree))
        source = self.net.res_ext_grid.iloc[0]
        return dict(volts.items()), complex(source.p_mw, source.q_mvar) * 1e6


def two_wire(volts: float, rows: list[tuple[int, complex, complex, complex, complex]]) -> dict[str, Any]:
    """One two-wire feeder: what went in and what came out."""
    network = Network(volts)
    buses: list[int] = []
    for parent, ohm, power, siemens, amps in rows:
        buses.append(network.bus())
        network.branch(network.source if parent < 0 else buses[parent], buses[-1], 1 / ohm)
        network.load(buses[-1], complex(power), amps)
        network.admittance(buses[-1], siemens)
    found, source = network.solve()
    names = ("parents", "impedance_ohm", "power_va", "admittance_s", "current_a")
    return {
        "emf_v": volts,
        **{name: plain(column) for name, column in zip(names, zip(*rows, strict=True), strict=True)},
        "voltage_v": plain([found[bus] for bus in buses]),
        "source_va": plain([source])[0],
    }


def two_legs(volts: float, rows: list[tuple[int, complex, complex, complex, complex, complex, complex, complex, complex]]) -> dict[str, Any]:  # fmt: skip
    """One feeder with two legs and a neutral: what went in and what came out."""
    network = Network(volts)
    buses: list[tuple[int, int]] = []
    for parent, z1, z2, zn, s1, s2, y1, y2, y12 in rows:
        above = (network.source, network.source) if parent < 0 else buses[parent]
        here = (network.bus(), network.bus())
        buses.append(here)
        scale = z1 * z2 + zn * (z1 + z2)  # determinant of [[z1 + zn, -zn], [-zn, z2 + zn]]
        mutual = zn / scale
        network.branch(above[0], here[0], (z2 + zn) / scale)
        network.branch(above[1], here[1], (z1 + zn) / scale)
        network.branch(above[0], here[1], mutual)
        network.branch(above[1], here[0], mutual)
        network.branch(above[0], above[1], -mutual)
        network.branch(here[0], here[1], -mutual - y12)
        for bus, power, siemens in zip(here, (s1, s2), (y1, y2), strict=True):
            network.load(bus, complex(power))
            network.admittance(bus, siemens + 2 * y12)  # with -y12 across: y12 times the sum of both voltages
    found, source = network.solve()
    names = ("parents", "leg1_ohm", "leg2_ohm", "neutral_ohm", "power1_va", "power2_va", "admittance1_s",
             "admittance2_s", "admittance12_s")  # fmt: skip
    return {
        "emf_v": volts,
        **{name: plain(column) for name, column in zip(names, zip(*rows, strict=True), strict=True)},
        "leg1_v": plain([found[first] for first, _ in buses]),
        "leg2_v": plain([found[second] for _, second in buses]),
        "source_va": plain([source])[0],
    }


def plain(values: Any) -> list[Any]:
    """Complex numbers as pairs; whole numbers stay."""
    column = list(values)
    if all(isinstance(value, int) for value in column) and min(column) < 0:
        return column
    return [[complex(value).real, complex(value).imag] for value in column]


def run() -> dict[str, Any]:
    """Solve every case."""
    import numpy
    import pandapower
    import pandas

    versions = {"pandapower": pandapower.__version__, "pandas": pandas.__version__, "numpy": numpy.__version__}
    return {
        "solver": "pandapower runpp, Newton, tolerance 1e-12 MVA",
        "versions": versions,
        "two_wire": {name: two_wire(*case) for name, case in TWO_WIRE.items()},
        "two_legs": {name: two_legs(*case) for name, case in TWO_LEGS.items()},
    }


if __name__ == "__main__":
    file = Path(sys.argv[1]) if len(sys.argv) > 1 else RECORD
    file.write_text(json.dumps(run(), indent=1) + "\n", encoding="utf-8")
    print(f"wrote {file}")
