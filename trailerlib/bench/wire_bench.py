"""The bench of “Which wire, which fuse?”."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from trailerlib.bench.base import Bench
from trailerlib.bench.choices import parts
from trailerlib.bench.controls import Changes, Control, count, of, pick, slider
from trailerlib.design.design import Design
from trailerlib.design.model import Load
from trailerlib.design.wire_sizes import INSULATIONS
from trailerlib.pictures import staircase, time_current_chart, wire_chart
from trailerlib.studies import wiring as study
from trailerlib.studies.ampacity import ratings
from trailerlib.studies.answer import Answer
from trailerlib.studies.battery_side import CHARGE_AT_TEST
from trailerlib.studies.circuits import air_c
from trailerlib.studies.fit import fit
from trailerlib.studies.mains_side.checks import TOTAL_LIMIT
from trailerlib.studies.path import Path
from trailerlib.studies.runs import Run
from trailerlib.studies.wire_choice import candidates

CHEMISTRIES = [("flooded", "flooded"), ("AGM", "agm"), ("gel", "gel"), ("LFP", "lfp")]
NO_PATH = Path(0.0, (), 0.0)


class WireBench(Bench):
    """One circuit at a time: its wire, run, fuse, load, surroundings and battery; see what each does to it."""

    name = "Which wire, which fuse?"
    pictures: Mapping[str, str] = {
        "sizes": "each wire size",
        "path": "voltage along the way",
        "time": "time and current",
    }

    def __init__(self, design: Design) -> None:
        self._circuit = self._first(design)
        self._charge = CHARGE_AT_TEST
        super().__init__(design)

    @staticmethod
    def _first(design: Design) -> str | None:
        """The circuit with the least room."""
        runs = study.answer(design).picture.runs
        return max(runs, key=lambda run: run.strain).circuit.name if runs else None

    def make_controls(self) -> Sequence[Control]:
        """Circuit, wire, run, protection, load, bundle, air, insulation, chemistry, charge."""
        system = self.design.units
        return (
            pick("circuit", "Circuit", lambda d: parts([c.name for c in d.circuits]), lambda d: self._circuit, None),
            pick("wire", "Wire", self._wires, self._of("wire"), self._put("wire")),
            slider(
                "run",
                "Run, one way",
                self._path("run"),
                self._layout("run_m"),
                "length",
                {"us": (1.0, 60.0, 0.5), "metric": (0.3, 20.0, 0.1)},
                system,
            ),
            pick("protection", "Protection", self._ratings, self._of("protection"), self._put_amps),
            self._load_slider(),
            count("bundle", "Wires in bundle", self._path("bundle"), self._layout("bundle_of"), 24),
            slider(
                "ambient",
                "Air around it",
                self._path("ambient"),
                self._air,
                "temperature",
                {"us": (30.0, 185.0, 1.0), "metric": (0.0, 85.0, 1.0)},
                system,
            ),
            pick(
                "insulation",
                "Insulation",
                lambda d: [(i.replace(" C", " °C"), i) for i in INSULATIONS],
                self._of("insulation"),
                self._put("insulation"),
            ),
            pick(
                "chemistry",
                "Battery",
                lambda d: CHEMISTRIES,
                lambda d: None if d.battery is None else d.battery.chemistry,
                lambda d, value: {("battery", "chemistry"): value},
            ),
            self._charge_slider(),
        )

    def _largest(self, design: Design) -> Load | None:
        """The load on this circuit that takes the most."""
        loads = design.loads_on(self._circuit) if self._circuit is not None else ()
        return max(loads, key=lambda load: load.running_w, default=None)

    def _load_slider(self) -> Control:
        """Power of each piece of the largest load; the slider's end follows the load's class."""

        def path(design: Design) -> tuple[str, ...] | None:
            load = self._largest(design)
            return None if load is None else ("load", load.name, "power")

        def read(design: Design) -> float | None:
            load = self._largest(design)
            return None if load is None else load.each_w

        ends = (1.0, 100.0, 1.0)
        control = slider("load", "Largest load", path, read, "power", {"us": ends, "metric": ends}, self.design.units)

        def fit_ends(design: Design) -> None:
            load = self._largest(design)
            if load is not None:
                low, high = min(1.0, load.each_w), max(2.0 * load.typical.power_high_w, load.each_w)
                control.widget.min, control.widget.max = min(low, control.widget.value), max(high, control.widget.value)
                control.widget.value = load.each_w
                control.widget.min, control.widget.max = low, high

        control.fit = fit_ends
        return control

    def _charge_slider(self) -> Control:
        """How full the battery is while everything runs: a what-if, not a part of the design."""
        control = slider(
            "charge",
            "How full it is",
            lambda d: None if d.battery is None else ("battery", "start_charge"),
            lambda d: None if d.battery is None else self._charge,
            "fraction",
            {"us": (10.0, 100.0, 5.0), "metric": (10.0, 100.0, 5.0)},
            self.design.units,
        )
        control.put = None
        return control

    def _path(self, key: str) -> Any:
        return of("circuit", lambda: self._circuit, key)

    def _of(self, key: str) -> Any:
        return lambda design: None if self._circuit is None else getattr(design.circuit(self._circuit), key)

    def _layout(self, key: str) -> Any:
        """What is stated, else what the layout says."""
        return lambda design: None if self._circuit is None else getattr(design, key)(design.circuit(self._circuit))

    def _put(self, key: str) -> Any:
        return lambda design, value: {("circuit", str(self._circuit), key): value}

    def _put_amps(self, design: Design, value: float) -> Changes:
        return {("circuit", str(self._circuit), "protection"): f"{value:g} A"}

    def _air(self, design: Design) -> float | None:
        return None if self._circuit is None else air_c(design, design.circuit(self._circuit))

    def _wires(self, design: Design) -> list[tuple[str, str]]:
        return parts(candidates(design.circuit(self._circuit).wire)) if self._circuit is not None else []

    def _ratings(self, design: Design) -> list[tuple[str, float]]:
        if self._circuit is None:
            return []
        device = design.circuit(self._circuit).device
        return [(f"{a:g} A {device}", a) for a in ratings(device) if a <= 200]

    def on_focus(self, key: str, value: Any) -> None:
        """The circuit the other controls speak of, or how full the battery is."""
        if key == "charge":
            self._charge = value / 100.0
        else:
            self._circuit = value

    def actions(self) -> Sequence[tuple[str, str, Callable[[], None]]]:
        """Fit a wire and a fuse to every circuit at once."""
        tooltip = (
            "The thinnest wires and smallest fuses that satisfy every rule together, in few sizes; Undo takes it back"
        )
        return [("Fit all circuits", tooltip, self.fit_all)]

    def fit_all(self) -> None:
        """Take the proposal for every circuit into the design on the bench."""
        found = fit(self.design)
        self.take(found.design, found.sentence)

    def ask(self, design: Design) -> Answer:
        """Every circuit, with the sentence on the one in focus."""
        self.focus = self._circuit
        return study.answer(design, self._circuit, self._charge)

    def draw(self, answer: Answer, ghost: Answer | None) -> str:
        """What each wire size would lose, the voltage along the way, or fuse and wire over time."""
        now, before = answer.picture, None if ghost is None else ghost.picture
        focus: Run | None = now.focus
        if self.shown == "sizes" or focus is None:
            return wire_chart(answer, ghost, circuit=self._circuit)
        title = focus.circuit.name
        if self.shown == "path":
            return staircase(
                now.path or NO_PATH,
                before.path if before is not None else None,
                title=title,
                limit_v=self._allowed_v(focus, now.path),
                lowest_v=self._lowest_v(),
            )
        return time_current_chart(
            focus.guard,
            before.focus.guard if before is not None and before.focus is not None else None,
            title=title,
            system=answer.system,
            others=[now.main] if now.main is not None and focus.circuit.system == "dc" else [],
        )

    def _allowed_v(self, focus: Run, path: Path | None) -> float | None:
        """What may be lost in all: the limit counts from the battery's or the pedestal's terminals, not from inside."""
        if path is None:
            return None
        inside = sum(step.lost_v for step in path.steps if step.way == "source")
        share = TOTAL_LIMIT if focus.circuit.system == "mains" else focus.circuit.drop_limit
        return inside + share * self.design.volts_of(focus.circuit)

    def _lowest_v(self) -> float | None:
        loads = self.design.loads_on(self._circuit) if self._circuit is not None else ()
        return max((load.lowest_v for load in loads if load.on and load.lowest_v is not None), default=None)


def wire(design: Design) -> WireBench:
    """The bench of “Which wire, which fuse?” for a design."""
    return WireBench(design)
