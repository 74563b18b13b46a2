"""Pick lists that several benches share."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from trailerlib import times, units
from trailerlib.bench.controls import Changes, Control, clock_range, pick, slider
from trailerlib.design import catalogue
from trailerlib.design.design import Design
from trailerlib.design.hours import ALL, DAYS, read_ranges, write_range
from trailerlib.design.model import Load, Stay
from trailerlib.studies.timetable import hours_on

Chosen = Callable[[Design], str | None]


def parts(names: Sequence[str]) -> list[tuple[str, str]]:
    """Names as choices that show themselves."""
    return [(name, name) for name in names]


def loads_of(side: str) -> Callable[[Design], list[tuple[str, str]]]:
    """The loads of one side as choices.

    Parameters
    ----------
    side : ``dc`` or ``mains``
    """
    return lambda design: parts([load.name for load in design.loads if load.typical.system == side])


def charger_amps(system: units.System) -> Control:
    """What the battery charger puts out.

    Parameters
    ----------
    system : units of the screen
    """
    amps = (5.0, 80.0, 1.0)
    return slider(
        "charger",
        "Charger",
        lambda d: ("charger", "current") if d.charger else None,
        lambda d: d.charger.current if d.charger else None,
        "current",
        {"us": amps, "metric": amps},
        system,
    )


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


def hours_in_stay(load: Chosen, stay: Chosen) -> Control:
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
    control = slider("hours", "On in this stay", path, read, "duration", {"us": ends, "metric": ends}, "us")

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


@dataclass(frozen=True)
class Timetable:
    """A load's hours in a stay: the range in focus [min after midnight], and the others as written."""

    first: tuple[int, int]
    before: tuple[str, ...] = ()
    after: tuple[str, ...] = ()

    def written(self, stay: Stay, first: tuple[int, int]) -> str:
        """What stands in the file when the range in focus is another one."""
        begin, end = _minutes(stay)
        if first == (begin, end):
            return ALL
        own = (_range(*first),) if first[1] > first[0] else ()
        return ", ".join((*self.before, *own, *self.after))


def _minutes(stay: Stay) -> tuple[int, int]:
    begin = round(60 * stay.start)
    return begin, begin + round(60 * stay.hours)


def _range(first: int, last: int) -> str:
    return f"{times.clock(first / 60)}-{times.clock(last / 60)}"


def timetable(stay: Stay, load: str, nth: int = 0) -> Timetable:
    """The hours of a load in a stay, one range of them in focus; one that is not there has no length, at the begin.

    Parameters
    ----------
    stay : the stay
    load : name of the load
    nth : [-] which of its ranges in this stay is in focus, from 0
    """
    begin, end = _minutes(stay)
    text = stay.on.get(load, "").strip()
    if text == ALL:
        return Timetable((begin, end))
    parts_, seen = _parts(text), 0
    for place, part in enumerate(parts_):
        here = _inside(part, begin, end)
        if nth < seen + len(here):
            own = nth - seen
            before, after = (tuple(_range(*piece) for piece in some) for some in (here[:own], here[own + 1 :]))
            return Timetable(here[own], (*parts_[:place], *before), (*after, *parts_[place + 1 :]))
        seen += len(here)
    return Timetable((begin, begin), parts_)


def ranges(stay: Stay, load: str) -> list[str]:
    """The ranges of a load that lie in a stay, as a clock shows them; the whole stay reads so."""
    begin, end = _minutes(stay)
    text = stay.on.get(load, "").strip()
    if text == ALL:
        return ["the whole stay"]
    return [_range(*piece) for part in _parts(text) for piece in _inside(part, begin, end)]


def _parts(text: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in text.split(",") if part.strip())


def which_range(load: Chosen, stay: Chosen, nth: Callable[[], int]) -> Control:
    """Which of the ranges of the load in focus is set; after the last one a further one can be added."""

    def choices(design: Design) -> list[tuple[str, int]]:
        name, when = load(design), stay(design)
        if name is None or when is None:
            return [("–", 0)]
        found = ranges(design.stay(when), name)
        more = [] if found == ["the whole stay"] else [("add more hours" if found else "none yet", len(found))]
        return [*((f"{n}: {words}", n - 1) for n, words in enumerate(found, 1)), *more]

    return pick("which", "Which hours", choices, lambda design: min(nth(), len(choices(design)) - 1), None)


def _inside(part: str, begin: int, end: int) -> list[tuple[int, int]]:
    """The pieces of a range that lie in a stretch of time [min]; a range is lived every day."""
    ((first, last),) = read_ranges(part)
    pieces = [(max(begin, round(60 * (first + day))), min(end, round(60 * (last + day)))) for day in DAYS]
    return [piece for piece in pieces if piece[1] > piece[0]]


def range_in_stay(load: Chosen, stay: Chosen, nth: Callable[[], int] = lambda: 0) -> Control:
    """From when to when the load in focus is on in the stay in focus; its other ranges are kept."""
    shown: dict[tuple[str, str], Timetable] = {}  # as last shown: a range drawn together to nothing can be drawn out

    def both(design: Design) -> tuple[str, Stay] | None:
        name, when = load(design), stay(design)
        return None if name is None or when is None else (name, design.stay(when))

    def edges(design: Design) -> tuple[int, int] | None:
        found = both(design)
        return None if found is None else _minutes(found[1])

    def read(design: Design) -> tuple[int, int] | None:
        found = both(design)
        return None if found is None else timetable(found[1], found[0], nth()).first

    def put(design: Design, value: tuple[int, int]) -> Changes:
        found = both(design)
        if found is None:
            return {}
        name, when = found
        return {("stay", when.name, "on", name): shown[when.name, name].written(when, value)}

    control = clock_range("hours", "On, from and to", edges, read, put)
    fit_times = control.fit

    def fit(design: Design) -> None:
        fit_times(design)
        found = both(design)
        if found is not None:
            shown[found[1].name, found[0]] = timetable(found[1], found[0], nth())

    control.fit = fit
    return control


def panel_watts(key: str, label: str, system: units.System) -> Control:
    """Power of each panel of the first part on the roof; none is 0, and the first watt puts one there."""
    ends = (0.0, 600.0, 10.0)
    control = slider(
        key,
        label,
        lambda d: ("solar",),
        lambda d: d.solar[0].power if d.solar else None,
        "power",
        {"us": ends, "metric": ends},
        system,
    )
    fit_ends = control.fit
    shown: dict[str, list[dict[str, Any]]] = {"first": []}  # as last shown, so that 0 and up again loses nothing

    def fit(design: Design) -> None:
        fit_ends(design)
        shown["first"] = [dict(part) for part in (design.get("solar") or [])[:1]]

    def put(design: Design, value: float) -> Changes:
        parts_ = list(design.get("solar") or [])
        first = shown["first"][0] if shown["first"] else {"name": NEW_PANEL}
        there = bool(parts_) and parts_[0].get("name") == first["name"]
        if value <= 0:
            rest = parts_[1:] if there else parts_
            return {("solar",): rest or None}
        written = units.written(value, "power", system)
        if there:
            return {("solar", first["name"], "power"): written}
        return {("solar",): [{**first, "power": written}, *parts_]}

    control.fit, control.put = fit, put
    return control


NEW_PANEL = "roof panels"
