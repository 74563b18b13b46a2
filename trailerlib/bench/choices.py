"""Pick lists that several benches share."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from trailerlib.bench.controls import Changes, Control, pick, slider
from trailerlib.design import catalogue
from trailerlib.design.design import Design
from trailerlib.design.hours import ALL, read_ranges, write_range
from trailerlib.design.model import Load, Stay
from trailerlib.studies.timetable import hours_on

Chosen = Callable[[Design], str | None]


def parts(names: Sequence[str]) -> list[tuple[str, str]]:
    """Names as choices that show themselves."""
    return [(name, name) for name in names]


def load_class(load: Chosen) -> Control:
    """The class of the load in focus: every class of its side."""

    def choices(design: Design) -> list[tuple[str, str]]:
        name = load(design)
        side = design.load(name).typical.system if name is not None else "dc"
        return [(f"{c.name} ({c.power_w:g} W)", c.name) for c in catalogue.appliances().values() if c.system == side]

    def read(design: Design) -> str | None:
        name = load(design)
        return None if name is None else design.load(name).appliance

    def put(design: Design, value: str) -> Changes:
        name = load(design)
        own = [key for key in ("power", "starting", "duty") if design.get(("load", str(name), key))]
        return {("load", str(name), "class"): value, **{("load", str(name), key): None for key in own}}

    return pick("class", "Class", choices, read, put)


def hours_in_stay(load: Chosen, stay: Chosen, label: str = "On in this stay") -> Control:
    """How long the load in focus is on in the stay in focus."""

    def both(design: Design) -> tuple[Load, Stay] | None:
        name, when = load(design), stay(design)
        return None if name is None or when is None else (design.load(name), design.stay(when))

    def path(design: Design) -> tuple[str, ...] | None:
        found = both(design)
        return None if found is None else ("stay", found[1].name, "on", found[0].name)

    def read(design: Design) -> float | None:
        found = both(design)
        return None if found is None else hours_on(found[1], found[0])

    ends = (0.0, 24.0, 0.5)
    control = slider("hours", label, path, read, "duration", {"us": ends, "metric": ends}, "us")

    def fit(design: Design) -> None:
        found = both(design)
        control.widget.max = found[1].hours if found is not None else 24.0

    def put(design: Design, value: float) -> Changes:
        found = both(design)
        assert found is not None
        where = ("stay", found[1].name, "on", found[0].name)
        return {where: _written(found[1], found[0], value)}

    control.fit, control.put = fit, put
    return control


def _written(stay: Stay, load: Load, hours: float) -> str:
    """A range of so many hours that begins where the load is switched on now."""
    if hours >= stay.hours - 1e-9:
        return ALL
    now = stay.on.get(load.name, "")
    ranges = read_ranges(now)
    start = stay.start if not ranges or now.strip() == ALL else ranges[0][0]
    return write_range(start, hours)
