"""The bench of “Which wire, which fuse?”."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from trailerlib.bench.base import Bench
from trailerlib.bench.choices import parts
from trailerlib.bench.controls import Changes, Control, count, pick, slider
from trailerlib.design.catalogue import INSULATIONS
from trailerlib.design.design import Design
from trailerlib.pictures import wire_chart
from trailerlib.studies import wiring as study
from trailerlib.studies.ampacity import ratings
from trailerlib.studies.answer import Answer
from trailerlib.studies.circuits import air_c
from trailerlib.studies.wire_choice import candidates


class WireBench(Bench):
    """One circuit at a time: its wire, run, fuse and surroundings; see what is lost on the way."""

    name = "Which wire, which fuse?"

    def __init__(self, design: Design) -> None:
        self._circuit = self._first(design)
        super().__init__(design)

    @staticmethod
    def _first(design: Design) -> str | None:
        """The circuit with the least room."""
        runs = study.answer(design).picture.runs
        return max(runs, key=lambda run: run.strain).circuit.name if runs else None

    def make_controls(self) -> Sequence[Control]:
        """Circuit, wire, run, protection, bundle, air, insulation, allowed drop."""
        system = self.design.units
        drop = (1.0, 15.0, 0.5)
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
            slider(
                "drop_limit",
                "Drop allowed",
                self._path("drop_limit"),
                self._of("drop_limit"),
                "fraction",
                {"us": drop, "metric": drop},
                system,
            ),
        )

    def _path(self, key: str) -> Any:
        return lambda design: None if self._circuit is None else ("circuit", self._circuit, key)

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
        """The circuit the other controls speak of."""
        self._circuit = value

    def ask(self, design: Design) -> Answer:
        """Every circuit, with the sentence on the one in focus."""
        self.focus = self._circuit
        return study.answer(design, self._circuit)

    def draw(self, answer: Answer, ghost: Answer | None) -> str:
        """What each wire size would lose on this circuit."""
        return wire_chart(answer, ghost, circuit=self._circuit)


def wire(design: Design) -> WireBench:
    """The bench of “Which wire, which fuse?” for a design."""
    return WireBench(design)
