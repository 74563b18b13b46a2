"""Everything to buy or to have, counted, with a price where there is one and who said it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from trailerlib import reference, units
from trailerlib.design.design import Design
from trailerlib.design.model import Circuit, Restrained
from trailerlib.studies.answer import Answer, Column, Quantity, mapping, names
from trailerlib.studies.breakers import panel_legs
from trailerlib.studies.schedules.pieces import FEEDER, INLET, Piece
from trailerlib.studies.schedules.schedule import AmountColumn, Money, MoneyColumn, Schedule, tape
from trailerlib.studies.schedules.spools import Group

COLUMNS = (
    Column("part", "Part"), AmountColumn("count", "How many", "count"), Column("unit", "Unit"), Column("use", "For"),
    MoneyColumn("each", "Each", "money"), MoneyColumn("total", "Together", "money"), Column("said", "Price"),
)  # fmt: skip
TYPED, INVENTED, NONE = "typed by the user", "invented", "no price"
MOST_NAMED = 6
NOTE = (
    "Prices marked “invented” stand there to show the arithmetic and are nobody's offer: type your own under [prices] "
    "in the design file, each beside the name of its part as it stands here, in whatever money you reckon."
)


@dataclass(frozen=True)
class Part:
    """One line: what, how many of which unit, for what; the class its invented price is found by, a price per unit."""

    name: str
    count: float
    unit: str
    use: str
    price_class: str = ""
    price: float | None = None


def parts_list(design: Design, pieces: Sequence[Piece], groups: Sequence[Group], roof: Answer) -> Schedule:
    """The parts list.

    Parameters
    ----------
    design : the design
    pieces : all conductors to cut
    groups : the spool plan
    roof : the answer about openings and frames
    """
    listed = _merged([
        *_wire(design, groups), *_battery_side(design), *_mains_side(design), *_ends(pieces), *_plugged_in(design),
        *_loads(design), *_openings(design, roof), *_held(design),
    ])  # fmt: skip
    rows = [_row(design, part) for part in listed]
    strange = sorted(set(design.prices) - {part.name for part in listed})
    lacks = tuple(f"A price is typed for “{name}”, but no part is called so." for name in strange)
    return Schedule("parts", "Parts list", COLUMNS, tuple(rows), NOTE if rows else "", _sums(rows), lacks)


def _merged(parts: Sequence[Part]) -> list[Part]:
    """Parts of one name on one line."""
    found: dict[str, Part] = {}
    for part in parts:
        first = found.get(part.name)
        use = part.use if first is None or first.use == part.use else f"{first.use}; {part.use}"
        found[part.name] = part if first is None else replace(first, count=first.count + part.count, use=use)
    return list(found.values())


def _few(things: Iterable[str]) -> str:
    """A list in words; of a long one the first, and how many more."""
    words = list(things)
    if len(words) <= MOST_NAMED:
        return names(words)
    return f"{', '.join(words[: MOST_NAMED - 1])} and {len(words) - MOST_NAMED + 1} more"


def _row(design: Design, part: Part) -> Mapping[str, object]:
    each, said = design.prices.get(part.name), TYPED
    if each is None:
        each, said = part.price, INVENTED
    if each is None and part.price_class:
        each = reference.catalogue("part_prices").number("price", part=part.price_class)
    return {
        "part": part.name, "count": part.count, "unit": part.unit, "use": part.use, "each": each,
        "total": None if each is None else round(each * part.count, 2), "said": NONE if each is None else said,
    }  # fmt: skip


def _sums(rows: Sequence[Mapping[str, object]]) -> Mapping[str, Quantity]:
    def money(said: str) -> float:
        return round(sum(float(str(row["total"])) for row in rows if row["said"] == said), 2)

    return mapping(
        typed=Money("At prices typed by the user", money(TYPED), "money"),
        invented=Money("At invented prices", money(INVENTED), "money"),
        without=Quantity("Lines without a price", float(sum(row["said"] == NONE for row in rows)), "count"),
    )


def _wire(design: Design, groups: Sequence[Group]) -> Iterator[Part]:
    """What is bought, in the unit of the shop; what lies on the shelf is not bought."""
    per_unit = 0.3048 if design.units == "us" else 1.0
    for group in groups:
        bought = [spool.length_m for spool in group.spools if spool.bought]
        lengths = [f"{bought.count(m)} × {tape(m, design.units)}" for m in sorted(set(bought), reverse=True)]
        if bought:
            known = reference.catalogue("wire_prices").where(wire=group.wire).rows
            price = round(float(known[0]["price_per_m"]) * per_unit, 4) if known else None
            amount = round(sum(bought) / per_unit, 6)
            unit = units.unit("length", design.units)
            yield Part(
                f"wire {group.wire}, {group.insulation}, {group.colour}", amount, unit, names(lengths), "", price
            )


def _battery_side(design: Design) -> Iterator[Part]:
    battery, feeder, circuits = design.battery, design.feeder, design.circuits_of("dc")
    if battery is not None:
        kind = f"battery, {battery.chemistry}, {battery.nominal}, {units.show(battery.capacity, 'charge')}"
        yield Part(kind, battery.count, "", "battery side")
    if feeder is not None and feeder.protection is not None:
        yield Part(f"main fuse, {feeder.device}, {feeder.protection:g} A", 1, "", "at the battery", "main fuse")
        yield Part(f"holder for a {feeder.device} fuse", 1, "", "at the battery", "fuse holder")
    if feeder is not None and feeder.disconnect:
        yield Part("battery disconnect", 1, "", "between main fuse and fuse block", "disconnect")
    if circuits:
        yield Part(f"fuse block, {len(circuits)} places or more", 1, "", "battery side", "fuse block")
        yield Part("negative bus", 1, "", "battery side", "bar")
    for what, fed in _alike(circuits, lambda c: f"fuse, {c.device}, {c.protection:g} A"):
        yield Part(what, len(fed), "", _few(fed), "fuse")
    if design.charger is not None:
        yield Part(f"battery charger, {design.charger.current:g} A", 1, "", design.charger.circuit)
    for panel in design.solar:
        yield Part(f"solar panel, {units.show(panel.power, 'power')}", panel.count, "", panel.name)


def _alike(circuits: Iterable[Circuit], words: Callable[[Circuit], str]) -> Iterator[tuple[str, list[str]]]:
    """Circuits whose device is the same, under its words; those without a device are left out."""
    found: dict[str, list[str]] = {}
    for circuit in circuits:
        if circuit.protection is not None:
            found.setdefault(words(circuit), []).append(circuit.name)
    yield from found.items()


def _mains_side(design: Design) -> Iterator[Part]:
    circuits, mains = design.circuits_of("mains"), design.mains
    if not circuits:
        return
    legs = panel_legs(design)
    places = sum(2 if c.between_legs else 1 for c in circuits) + (legs if mains.main is not None else 0)
    yield Part(f"panel, {legs} {'legs' if legs > 1 else 'leg'}, {places} places or more", 1, "", "mains side", "panel")
    if mains.main is not None:
        kind = "two-pole breaker" if legs > 1 else "breaker"
        yield Part(f"main {kind}, {mains.main:g} A", 1, "", "mains side", kind)
    for what, fed in _alike(circuits, lambda c: f"{_pole(c)}, {c.protection:g} A"):
        yield Part(what, len(fed), "", _few(fed), what.partition(",")[0])
    yield Part("neutral bar, apart from the enclosure", 1, "", "mains side", "bar")
    yield Part("ground bar, bonded to the frame", 1, "", "mains side", "bar")
    if mains.inlet is not None:
        yield Part(f"inlet, {mains.inlet}", 1, "", "mains side", "inlet")
    yield from _receptacles(circuits)


def _pole(circuit: Circuit) -> str:
    return "two-pole breaker" if circuit.between_legs else "breaker"


def _receptacles(circuits: Sequence[Circuit]) -> Iterator[Part]:
    """The first receptacle of a circuit with ground-fault protection guards the others, unless its breaker does."""
    guarded, plain = dict[str, list[str]](), dict[str, list[tuple[str, int]]]()
    for circuit in circuits:
        if circuit.receptacle is None:
            continue
        first = 1 if circuit.gfci else 0
        if first:
            guarded.setdefault(circuit.receptacle, []).append(circuit.name)
        if (rest := (circuit.outlets or 1) - first) > 0:
            plain.setdefault(circuit.receptacle, []).append((circuit.name, rest))
    for kind, fed in guarded.items():
        yield Part(f"ground-fault receptacle, {kind}", len(fed), "", _few(fed), "ground-fault receptacle")
    for kind, some in plain.items():
        yield Part(f"receptacle, {kind}", sum(n for _, n in some), "", _few(name for name, _ in some), "receptacle")


def _ends(pieces: Sequence[Piece]) -> Iterator[Part]:
    lugs, terminals = dict[str, int](), dict[str, int]()
    at_inlet = {piece.wire for piece in pieces if piece.circuit == INLET and piece.system == "mains"}
    for piece in pieces:
        kind = lugs if piece.circuit == FEEDER else terminals
        kind[piece.wire] = kind.get(piece.wire, 0) + 2
    for wire, count in lugs.items():
        yield Part(f"lug, {wire}", count, "", "ends of the feeder", "lug")
    for wire, count in terminals.items():
        whose = "circuits and of the wires at the inlet" if wire in at_inlet else "circuits"
        yield Part(f"terminal or ferrule, {wire}", count, "", f"ends of the {whose}", "terminal")


def _plugged_in(design: Design) -> Iterator[Part]:
    for supply in design.supplies:
        if supply.is_generator:
            yield Part(f"generator, {supply.kind}", 1, "", supply.name)
        if supply.cord is not None and supply.cord_run is not None:
            yield Part(f"cord, {supply.cord}, {tape(supply.cord_run, design.units)}", 1, "", supply.name)
        for adapter in supply.adapters:
            yield Part(f"adapter, {adapter}", 1, "", supply.name)


def _loads(design: Design) -> Iterator[Part]:
    found: dict[str, list[tuple[str, int]]] = {}
    for load in design.loads:
        found.setdefault(load.appliance, []).append((load.name, load.count))
    for kind, some in found.items():
        yield Part(kind, sum(count for _, count in some), "", _few(name for name, _ in some))


def _openings(design: Design, roof: Answer) -> Iterator[Part]:
    for opening in design.openings:
        size = " by ".join(units.show(side, "small length", design.units) for side in opening.size)
        yield Part(f"{opening.kind}, {size}", 1, "", opening.name)
    if roof.picture is None or not roof.checks:
        return
    from trailerlib.studies.roof import build_up

    for frame in build_up.frames(design):
        if frame.board is not None and frame.boards is not None:
            yield Part(f"board, {frame.board}", frame.boards, "", f"spacer frame, {frame.opening.name}")
    bars: dict[str, float] = {}
    for row in () if roof.beside is None else roof.beside.rows:
        if row.get("piece") in ("trimmer", "header"):
            bars[row["section"]] = bars.get(row["section"], 0.0) + row["count"] * row["length_m"]
    for section, length_m in bars.items():
        amount = round(units.outside(length_m, "length", design.units), 2)
        yield Part(f"bar, {section}", amount, units.unit("length", design.units), "trimmers and headers, without waste")


def _held(design: Design) -> Iterator[Part]:
    """Straps by what each may hold; a working load limit that is not given is said."""
    things: list[tuple[str, Restrained]] = [] if design.battery is None else [("battery", design.battery)]
    things += [(supply.name, supply) for supply in design.supplies]
    things += [(one.name, one) for one in design.cargo]
    things += [(cabinet.name, cabinet) for cabinet in design.cabinets]
    found: dict[float | None, list[tuple[str, int]]] = {}
    for name, thing in things:
        if thing.straps:
            found.setdefault(thing.strap_limit, []).append((name, thing.straps))
    for limit, some in found.items():
        said = "not given" if limit is None else units.show(limit, "mass", design.units)
        yield Part(f"strap, working load limit {said}", sum(n for _, n in some), "", _few(name for name, _ in some))
