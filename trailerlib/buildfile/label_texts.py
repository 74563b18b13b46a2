"""What stands on every label: fuses, breakers, disconnect, inlet, and both ends of every wire."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from trailerlib.design import plug_types
from trailerlib.design.design import Design
from trailerlib.studies.schedules import Schedule

SIZES_MM = {
    "fuse": (50.0, 12.0), "breaker": (50.0, 12.0), "disconnect": (80.0, 25.0), "inlet": (95.0, 50.0),
    "wire end": (44.0, 10.0),
}  # fmt: skip
# NFPA 70 551.46(D): the label at the inlet is at least 75 by 45 mm; from memory
LEAST_MM = {"inlet": (75.0, 45.0)}
HERTZ = {"north-america": "60", "iec": "50"}


@dataclass(frozen=True)
class Label:
    """One label: its kind, what is large on it, its name, and what stands small below."""

    kind: str
    mark: str
    name: str
    small: str = ""

    @property
    def called(self) -> str:
        """The label in words, for a sentence about it."""
        return f"{self.kind} label {self.mark}" if self.mark else f"{self.kind} label"


def labels(design: Design, schedules: Mapping[str, Schedule]) -> tuple[Label, ...]:
    """Every label of a trailer, by kind and in the order of block, panel and cut list.

    Parameters
    ----------
    design : the design
    schedules : what is built from, by key
    """
    return (
        *_devices("fuse", schedules["fuses"].rows),
        *_devices("breaker", schedules["panel"].rows),
        *_disconnect(design),
        *_inlet(design),
        *_wire_ends(schedules["cut_list"].rows),
    )


def _devices(kind: str, rows: Sequence[Mapping[str, Any]]) -> Iterator[Label]:
    for row in rows:
        if row["number"] == "main" and row["rating_a"] is None:
            continue
        rating = "rating not given" if row["rating_a"] is None else f"{row['rating_a']:g} A"
        small = [rating, *([row["device"]] if kind == "fuse" else []), *([] if row["wire"] == "–" else [row["wire"]])]
        mark = "MAIN" if row["number"] == "main" else row["number"]
        yield Label(kind, mark, row["name"], ", ".join(small))


def _disconnect(design: Design) -> Iterator[Label]:
    if design.feeder is not None and design.feeder.disconnect:
        volts = "12 V" if design.battery is None else design.battery.nominal
        yield Label(
            "disconnect", "OFF", "Battery disconnect", f"Turn off before any work. It cuts everything on {volts}."
        )


def _inlet(design: Design) -> Iterator[Label]:
    """The words at the inlet: volts, hertz and amps, and that they are not exceeded (NFPA 70 551.46(D))."""
    if design.mains.inlet is None:
        return
    plug = plug_types.plug(design.mains.inlet)
    volts = f"{plug.leg_volts:g}" if plug.legs == 1 else f"{plug.leg_volts:g}/{2 * plug.leg_volts:g}"
    what = f"{volts}-volt AC, {HERTZ[design.practice]} Hz, {plug.rating_a:g} ampere supply"
    small = "Do not exceed the circuit rating. Plug in here first, then at the supply."
    yield Label("inlet", "", f"This connection is for {what}.", small)


def _wire_ends(rows: Sequence[Mapping[str, Any]]) -> Iterator[Label]:
    """Both ends of a wire carry its mark and say where the other end is."""
    for row in rows:
        yield Label("wire end", row["tag"], "", f"to {row['end']}")
        yield Label("wire end", row["tag"], "", f"to {row['start']}")
