"""What trips first: every supply against its stays and against everything at once, and what may run together."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from trailerlib import times, units
from trailerlib.design import supply_classes
from trailerlib.design.design import Design
from trailerlib.design.model import Supply
from trailerlib.physics.formula import Worked, worked
from trailerlib.physics.starting import running_va
from trailerlib.rules import mains as rules
from trailerlib.rules.finding import Finding
from trailerlib.studies import leg_balance, mains_rules, panel, plugs, together
from trailerlib.studies.ampacity import cord_a
from trailerlib.studies.answer import Answer, Beside, Column, Quantity, mapping, names
from trailerlib.studies.cooling import starts
from trailerlib.studies.mains import LONG_SHARE, Moment, everything
from trailerlib.studies.mains_side import sides
from trailerlib.studies.panel import Panel
from trailerlib.studies.supply_asked import Asked, asked_of
from trailerlib.studies.together import Together
from trailerlib.studies.together.result import Forbidden, Trip
from trailerlib.studies.yet import yet

LIKE_NOTHING = "Nothing is on the mains side: there is nothing to trip."


@dataclass(frozen=True)
class MainsPicture:
    """What the drawings need. ``bars``: for each supply its rating, the current of everything and of its stays [A].

    ``together`` is what may run together on the supply in focus, ``panel`` the panel with what is on now.
    """

    bars: tuple[tuple[str, float, float, float], ...]
    together: Together | None
    show_panel: Callable[[], Panel] = field(compare=False, repr=False)

    @cached_property
    def panel(self) -> Panel:
        """Worked out when somebody looks at it."""
        return self.show_panel()


def answer(design: Design, supply: str | None = None, on: Iterable[str] | None = None) -> Answer:
    """Every supply against everything at once and against its stays, and what may run together on one of them.

    Parameters
    ----------
    design : the design
    supply : which supply the sentence speaks of; default is the one with the least room in its stays
    on : what runs now, names of loads and ``charger``; default is what its stays and everything at once ask

    Raises
    ------
    DesignError
        When there is no such supply.
    """
    whole = everything(design)
    asked = [asked_of(design, s) for s in design.supplies if not s.is_generator]
    focus = _focus(design, asked, supply)
    found = None if focus is None else together.of(design, focus.supply.name)
    now = None if on is None else frozenset(on)
    checks = (
        *(check for a in asked for check in _checks(a)),
        *_general(design, asked),
        *mains_rules.checks(design),
    )
    planned = _sentence(focus, whole) + yet(checks, design.units, ("supply-total",))
    return Answer(
        question="mains",
        title="What trips first?",
        system=design.units,
        sentence=planned if now is None or found is None else _now(design, found, now) + _stays(focus),
        numbers=_numbers(focus, found),
        columns=COLUMNS,
        show_rows=lambda: [_row(design, a) for a in asked],
        checks=checks,
        show_working=lambda: _working(whole),
        show_beside=lambda: _schedule(design, focus),
        picture=MainsPicture(
            tuple((a.supply.name, a.gives_a, a.every_a, a.peak_a) for a in asked),
            found,
            lambda: panel.panel(design) if now is None else _panel_now(design, found, now),
        ),
    )


def _focus(design: Design, asked: list[Asked], supply: str | None) -> Asked | None:
    if supply is not None:
        return asked_of(design, design.supply(supply))
    return max(asked, default=None, key=lambda a: (a.has_stay, a.peak_a / a.gives_a))


def _numbers(focus: Asked | None, found: Together | None) -> Mapping[str, Quantity]:
    return mapping(
        all_a=Quantity("Everything at once", focus.every_a if focus else None, "current"),
        stay_a=Quantity(
            "Busiest moment of its stays", focus.peak_a if focus is not None and focus.has_stay else None, "current"
        ),
        rating_a=Quantity("The supply gives", focus.gives_a if focus else None, "current"),
        most_w=Quantity("Most that may run together", found.most_w if found else None, "power"),
    )


def _panel_words(design: Design, focus: Asked | None) -> str:
    """What the panel gets in the busiest moment of the stays on a supply; empty while it cannot be worked out."""
    if focus is None or not focus.has_stay:
        return ""
    side = next(side for side in sides(design) if side.supply.name == focus.supply.name)
    if not side.panel_v:
        return ""
    volts = units.show(min(side.panel_v), "voltage")
    sure = "" if side.pedestal_known else ", as if the pedestal held its voltage whatever is drawn"
    return f"In the busiest moment of its stays the panel gets {volts} from {focus.supply.name}{sure}."


def _working(whole: Moment) -> tuple[Worked, ...]:
    return (worked(running_va, power_w=whole.watts, power_factor=whole.watts / whole.va),) if whole.va else ()


COLUMNS = (
    Column("name", "Supply"),
    Column("kind", "Kind"),
    Column("rating_a", "Gives", "current"),
    Column("stay_a", "Busiest moment", "current"),
    Column("when", "Begins"),
    Column("all_a", "Everything at once", "current"),
    Column("cord", "Cord"),
    Column("way", "Plugs on the way"),
)


def _cord(supply: Supply) -> str:
    return supply.cord or supply_classes.every_supply()[supply.kind].cord


def _row(design: Design, asked: Asked) -> dict[str, object]:
    start = asked.peak.start_h
    return {
        "name": asked.supply.name,
        "kind": asked.supply.kind,
        "rating_a": asked.gives_a,
        "stay_a": asked.peak_a if asked.has_stay else None,
        "when": times.clock(start) if asked.has_stay and start is not None else "no stay",
        "all_a": asked.every_a,
        "cord": _cord(asked.supply),
        "way": plugs.chain(design, asked.supply).words,
    }


def _schedule(design: Design, focus: Asked | None) -> Beside | None:
    if not design.circuits_of("mains"):
        return None
    whole = panel.panel(design)
    columns = tuple(c for c in panel.COLUMNS if c.key != "leg" or len(whole.legs) > 1)
    said = _panel_words(design, focus), leg_balance.balance_words(whole.balance), starts.on_the_mains(design)
    note = " ".join(filter(None, said))
    return Beside("The panel, with everything on", columns, panel.rows(design), note)


def _sentence(asked: Asked | None, whole: Moment) -> str:
    if asked is None:
        return "Not checked: the design has no inlet or cord to plug in."
    if whole.va == 0:
        return LIKE_NOTHING
    name = asked.supply.name
    gives, peak, every = (units.show(a, "current") for a in (asked.gives_a, asked.peak_a, asked.every_a))
    if not asked.has_stay:
        trips = " and trip it" if asked.every_a > asked.gives_a else ""
        return f"No stay lives on {name}; everything at once would be {every} of {gives}{trips}."
    if asked.peak_a > asked.gives_a:
        return f"{name} gives {gives} and is asked for {peak}: it trips with {names(asked.peak.on)} on together."
    if asked.every_a > asked.gives_a:
        return f"Its stays ask {name} for {peak} of {gives}; everything at once would be {every} and trip it."
    return f"Everything at once is {every}; {name} gives {gives}."


def _panel_now(design: Design, found: Together | None, now: frozenset[str]) -> Panel:
    return panel.panel(design, now, "what is on now", _flows(found, now))


def _flows(found: Together | None, now: frozenset[str]) -> Mapping[str, complex] | None:
    """Current of every circuit with what is on now, at the voltage of the supply [A]."""
    if found is None:
        return None
    flows: dict[str, complex] = {}
    for switch in found.switches:
        if switch.name in now:
            flows[switch.circuit] = flows.get(switch.circuit, 0j) + switch.amps
    return flows


def _stays(asked: Asked | None) -> str:
    """What the stays ask beyond what the supply gives, whatever is on at this moment."""
    if asked is None or not asked.has_stay or asked.peak_a <= asked.gives_a:
        return ""
    peak, gives = units.show(asked.peak_a, "current"), units.show(asked.gives_a, "current")
    return f" Its stays ask for {peak} of {gives}."


def _now(design: Design, found: Together, now: frozenset[str]) -> str:
    """The sentence on what is on at this moment."""
    if not found.switches:
        return LIKE_NOTHING
    if found.holds is None:
        return f"Not checked: {found.too_many}"
    broken = together.ask(design, found.supply, now & {switch.name for switch in found.switches})
    dead = [name for name in found.dead if name in now]
    off = f" {names(dead)} cannot run here: one leg arrives and it needs both." if dead else ""
    idle = [name for name in found.not_starting if name in now]
    if idle:
        does, it = ("does", "it") if len(idle) == 1 else ("do", "them")
        words = f"{names(idle)} {does} not start on {found.supply}, not even alone: leave {it} off."
        return f"{words} {_now(design, found, now - set(idle))}" if now - set(idle) else words
    if broken is not None:
        return _trips(found.supply, broken) + off
    unsure = "" if found.checked else f" As far as is known: {found.gaps[0]}."
    held = "for as long as you like" if found.holds_for_good(now) else "for less than three hours"
    what = names(switch.name for switch in found.deciding if switch.name in now) or "What is on"
    return f"On {found.supply} this holds {held}: {what}, with what is always fine.{off}{unsure}"


def _trips(supply: str, broken: Forbidden) -> str:
    first: Trip = broken.first
    rest = " A compressor that was switched off rests three minutes before it starts again." if broken.rests else ""
    return (
        f"On {supply} this does not hold: {first.limit.name}, {first.load}, {first.when}. "
        f"Switch off {names(broken.switch_off)}.{rest}"
    )


def _checks(asked: Asked) -> list[Finding]:
    """On two legs a total that would hold if well spread is not checked until it holds on one leg alone."""
    subject, gives = f'supply "{asked.supply.name}"', asked.gives_a
    lasting, limit = asked.lasting_a, LONG_SHARE * gives
    total_known = asked.has_stay and (asked.spread_known or asked.peak_a > gives)
    lasting_known = lasting is not None and (asked.spread_known or lasting > limit)
    return [
        rules.cord(subject, gives, cord_a(_cord(asked.supply))),
        rules.supply_total(subject, asked.peak_a if total_known else None, gives),
        rules.supply_continuous(subject, lasting if lasting_known else None, limit),
    ]


def _general(design: Design, asked: list[Asked]) -> tuple[Finding, ...]:
    checks = []
    if not asked and design.circuits_of("mains"):
        checks.append(rules.supply_total("mains side", None, None))
    return tuple(checks)
