"""Which generator: what runs together, the worst start, what height and heat leave, fuel."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from trailerlib.design import supply_classes
from trailerlib.design.design import Design
from trailerlib.design.model import Supply
from trailerlib.design.supply_classes import GeneratorKind
from trailerlib.studies.answer import Answer
from trailerlib.studies.circuits import charger_input_w, charger_name
from trailerlib.studies.generator import checks, classes, words
from trailerlib.studies.generator.asked import Asked, asked_of
from trailerlib.studies.generator.fuel import fuel_of
from trailerlib.studies.generator.site import Site, gives, site_factors
from trailerlib.studies.generator.start_case import StartCase, motors, start_case
from trailerlib.studies.yet import yet

TOLD = ("generator-running", "generator-starting", "generator-start-stalls", "generator-start-dip")


@dataclass(frozen=True)
class ClassBar:
    """One generator class in the picture: what it gives running and for a moment [W], derated."""

    name: str
    running_w: float | None
    starting_w: float | None
    chosen: bool
    does: bool


@dataclass(frozen=True)
class GeneratorPicture:
    """What the drawings need: the classes, and what is asked running and at the worst start [W, VA].

    ``show_start`` works out the start of a load by its name; None without a generator.
    """

    bars: tuple[ClassBar, ...]
    running_va: float
    start_va: float
    hardest: str
    show_start: Callable[[str], StartCase | None] = field(default=lambda load: None, compare=False, repr=False)
    _starts: dict[str, StartCase | None] = field(default_factory=dict, init=False, compare=False, repr=False)

    def start_of(self, load: str) -> StartCase | None:
        """The start of a load on this generator; None without one. Worked out once."""
        if load not in self._starts:
            self._starts[load] = self.show_start(load)
        return self._starts[load]


def answer(design: Design, supply: str | None = None) -> Answer:
    """Running power and worst start against what a generator gives here, fuel, and the smallest class that does.

    Parameters
    ----------
    design : the design
    supply : name of the generator; default is the first generator in the design

    Raises
    ------
    DesignError
        When there is no such supply.
    """
    chosen = _chosen(design, supply)
    site, asked, kind = site_factors(design), asked_of(design, chosen), classes.kind_of(chosen)

    def start_of(load: str) -> StartCase | None:
        if chosen is None or kind is None or load == charger_name(design):  # a charger has no start to follow
            return None
        return start_case(design, chosen, load, asked=asked)

    picture = GeneratorPicture(_bars(kind, site, asked), asked.running_va, asked.start_va, asked.hardest, start_of)
    cases = _cases(design, asked, picture) if kind is not None else ()
    found = tuple(checks.checks(design, chosen, kind, site, asked, cases))
    return Answer(
        question="generator",
        title="Which generator?",
        system=design.units,
        sentence=words.sentence(design, chosen, kind, site, asked, cases)
        + words.dead(asked)
        + yet(found, design.units, TOLD),
        numbers=words.numbers(
            kind, site, asked, fuel_of(asked, kind), charger_input_w(design) if asked.charger_va else 0.0
        ),
        columns=classes.COLUMNS,
        show_rows=lambda: classes.rows(site, asked),
        checks=found,
        show_working=lambda: checks.working(design, kind, site, asked, cases[0] if cases else None),
        picture=picture,
        show_beside=lambda: words.beside(design, chosen, kind, site, asked, cases),
    )


def _chosen(design: Design, name: str | None) -> Supply | None:
    if name is not None:
        return design.supply(name)
    return next((s for s in design.supplies if s.is_generator), None)


def _cases(design: Design, asked: Asked, picture: GeneratorPicture) -> tuple[StartCase, ...]:
    """The start of every motor that some stay on this generator switches on, the deepest dip first."""
    found = [picture.start_of(load.name) for load in motors(design) if asked.has(load.name)]
    return tuple(sorted((case for case in found if case is not None), key=_depth))


def _depth(case: StartCase) -> float:
    return 0.0 if case.dip_v is None else case.dip_v / case.rated_v


def _bars(chosen: GeneratorKind | None, site: Site, asked: Asked) -> tuple[ClassBar, ...]:
    bars = []
    for kind in supply_classes.generator_kinds().values():
        shown = chosen if chosen is not None and chosen.name == kind.name else kind
        running, surge = gives(shown.running_w, site), gives(shown.starting_w, site)
        works = classes.does(shown, site, asked.running_va, asked.start_va) == "yes"
        bars.append(ClassBar(kind.name, running, surge, shown is chosen, works))
    return tuple(bars)
