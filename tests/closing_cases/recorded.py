"""The recorded cases: what ngspice read on the three trailers, healthy and with one fault each."""

from __future__ import annotations

import gzip
import json
from dataclasses import asdict, dataclass
from functools import cache
from pathlib import Path

from .fault import Fault

RECORD = Path(__file__).with_name("recorded.json.gz")


@dataclass(frozen=True)
class Case:
    """One test sheet filled in.

    ``trailer`` names the design under data/trailers; ``fault`` is the truth (kind "healthy" when nothing is wrong);
    ``readings`` hold every routine line of the battery side by key, as the meter shows it [V or A]; ``half`` are the
    keys that are left when only half the sheet is filled in.
    """

    trailer: str
    seed: int
    fault: Fault
    readings: dict[str, float]
    half: tuple[str, ...]

    @property
    def half_readings(self) -> dict[str, float]:
        """The readings when only half the sheet is filled in."""
        return {key: self.readings[key] for key in self.half}


@cache
def _record() -> dict[str, object]:
    return dict(json.loads(gzip.decompress(RECORD.read_bytes())))


def release() -> str:
    """The ngspice that the cases were recorded with."""
    return str(_record()["simulator"])


@cache
def cases() -> list[Case]:
    """All recorded cases, trailer after trailer, those with a fault before the healthy ones.

    Network, spreads (the "never exactly as drawn" of wires, contacts, fuses, loads and battery) and meter errors were
    drawn and solved by ngspice; the choice of the fault, its size and the half that is kept by numpy, from the seed.
    """
    record = _record()
    keys, found = record["keys"], []
    for trailer, seed, fault, values, half in record["cases"]:  # type: ignore[attr-defined]
        names = keys[trailer]  # type: ignore[index]
        if fault["element"] is not None:
            fault = {**fault, "element": tuple(fault["element"])}
        read = dict(zip(names, values, strict=True))
        found.append(Case(trailer, seed, Fault(**fault), read, tuple(names[k] for k in half)))
    return found


def write(found: list[Case], simulator: str, path: Path = RECORD) -> None:
    """Write cases so that the same cases make the same bytes."""
    keys = {case.trailer: list(case.readings) for case in found}
    rows = [
        [
            case.trailer, case.seed, asdict(case.fault), list(case.readings.values()),
            [keys[case.trailer].index(key) for key in case.half],
        ]
        for case in found
    ]  # fmt: skip
    text = json.dumps({"simulator": simulator, "keys": keys, "cases": rows}, separators=(",", ":"))
    path.write_bytes(gzip.compress(text.encode("ascii"), mtime=0))
