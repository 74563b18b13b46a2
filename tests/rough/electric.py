"""The electric side of a trailer drawn at random: circuits, loads, battery and what charges it, mains, supplies, stays."""

from __future__ import annotations

from collections.abc import Sequence

from tests.rough.numbers import Draw, Raw, names, pick, plain, some, sometimes, whole, written, yes_no
from trailerlib.design import box_classes, catalogue, plug_types, supply_classes, wire_sizes

INSULATIONS = wire_sizes.INSULATIONS
DEVICES = ("blade", "maxi", "bolt-down", "breaker")
MAIN_DEVICES = ("maxi", "bolt-down", "terminal", "class t", "breaker")
FUSES = (1, 2, 3, 5, 7.5, 10, 15, 20, 25, 30, 40, 50, 60, 80, 100, 150, 200)


def _wire(draw: Draw) -> str:
    return pick(draw, tuple(wire_sizes.wires()))


def _usual_wire(draw: Draw) -> str:
    """Mostly a size that somebody would pull."""
    usual = ("18 AWG", "16 AWG", "14 AWG", "12 AWG", "10 AWG", "8 AWG", "6 AWG", "4 AWG", "2.5 mm2", "4 mm2", "16 mm2")
    return pick(draw, usual) if some(draw, 0.8) else _wire(draw)


def _fuse(draw: Draw) -> str:
    return f"{pick(draw, FUSES):g} A" if some(draw, 0.9) else written(draw, "current", 0.5, 400.0, log=True)


def circuits(draw: Draw, places: Sequence[str], practice: str) -> list[Raw]:
    """None to seven circuits of both sides."""
    count = whole(draw, 0, 7)
    return [_circuit(draw, name, places, practice) for name in names(draw, count)]


def _circuit(draw: Draw, name: str, places: Sequence[str], practice: str) -> Raw:
    side = pick(draw, ("dc", "mains"))
    made: Raw = {"name": name, "system": side, "wire": _usual_wire(draw)}
    sometimes(draw, made, "insulation", lambda: pick(draw, INSULATIONS))
    sometimes(draw, made, "run", lambda: written(draw, "length", 0.1, 60.0, log=True))
    sometimes(draw, made, "protection", lambda: _fuse(draw), 0.8)
    sometimes(draw, made, "device", lambda: "breaker" if side == "mains" else pick(draw, DEVICES), 0.8)
    sometimes(draw, made, "drop_limit", lambda: written(draw, "share", 0.0, 0.2))
    sometimes(draw, made, "bundle", lambda: whole(draw, 1, 40), 0.3)
    sometimes(draw, made, "ambient", lambda: written(draw, "temperature", -30.0, 80.0), 0.3)
    for end in ("from", "to"):
        if places:
            sometimes(draw, made, end, lambda: pick(draw, places), 0.3)
    if side == "mains":
        legs = (1, 2, "both") if practice == "north-america" else (1, 2)
        sometimes(draw, made, "leg", lambda: pick(draw, legs))
        sometimes(draw, made, "receptacle", lambda: pick(draw, tuple(plug_types.plugs())))
        yes_no(draw, made, "gfci")
    sometimes(draw, made, "outlets", lambda: whole(draw, 1, 12), 0.3)
    return made


def loads(draw: Draw, circuits: Sequence[Raw], places: Sequence[str]) -> list[Raw]:
    """None to nine loads, each on a circuit of its side, by its class, its name plate or numbers of its own."""
    if not circuits:
        return []
    return [_load(draw, name, pick(draw, circuits), places) for name in names(draw, whole(draw, 0, 9))]


def _load(draw: Draw, name: str, circuit: Raw, places: Sequence[str]) -> Raw:
    kinds = [kind for kind in catalogue.appliances().values() if kind.system == circuit["system"]]
    kind = pick(draw, kinds)
    made: Raw = {"name": name, "class": kind.name, "circuit": circuit["name"]}
    if places:
        sometimes(draw, made, "place", lambda: pick(draw, places), 0.7)
    sometimes(draw, made, "count", lambda: whole(draw, 1, 100 if some(draw, 0.05) else 6))
    yes_no(draw, made, "on") if some(draw, 0.2) else None
    sometimes(draw, made, "power", lambda: written(draw, "power", 0.5, 6000.0, log=True), 0.3)
    sometimes(draw, made, "duty", lambda: written(draw, "share", 0.0, 1.0), 0.3)
    sometimes(draw, made, "starting", lambda: written(draw, "power", 1.0, 20000.0, log=True), 0.2)
    yes_no(draw, made, "soft_start") if some(draw, 0.3) else None
    sometimes(draw, made, "mass", lambda: written(draw, "mass", 0.1, 400.0, log=True), 0.4)
    sometimes(draw, made, "lowest_voltage", lambda: written(draw, "voltage", 5.0, 240.0), 0.2)
    sometimes(draw, made, "run", lambda: written(draw, "length", 0.1, 60.0, log=True), 0.2)
    if some(draw, 0.3):
        _name_plate(draw, made)
    if kind.cooling_w is not None:
        sometimes(draw, made, "cooling", lambda: written(draw, "cooling", 300.0, 9000.0), 0.3)
    return made


def _name_plate(draw: Draw, made: Raw) -> None:
    sometimes(draw, made, "rated_current", lambda: written(draw, "current", 0.1, 60.0, log=True))
    sometimes(draw, made, "rated_voltage", lambda: f"{pick(draw, (12, 13.8, 24, 110, 115, 120, 208, 230, 240))} V")
    sometimes(draw, made, "locked_rotor", lambda: written(draw, "current", 1.0, 300.0, log=True))
    sometimes(draw, made, "largest_breaker", lambda: f"{pick(draw, (10, 15, 20, 30, 40))} A")
    sometimes(draw, made, "start_time", lambda: written(draw, "seconds", 0.05 / 3600, 20.0 / 3600, log=True))


def battery(draw: Draw, places: Sequence[str]) -> Raw:
    """One of each chemistry, full or low, young or old."""
    made: Raw = {
        "chemistry": pick(draw, ("flooded", "agm", "gel", "lfp")),
        "capacity": written(draw, "charge", 5.0, 600.0, log=True),
    }
    sometimes(draw, made, "hour_rate", lambda: f"{pick(draw, (1, 5, 10, 20, 100))} h")
    sometimes(draw, made, "count", lambda: whole(draw, 1, 8))
    sometimes(draw, made, "nominal", lambda: pick(draw, ("12 V", "24 V")))
    sometimes(draw, made, "age", lambda: written(draw, "share", 0.1, 1.0))
    sometimes(draw, made, "start_charge", lambda: written(draw, "share", 0.01, 1.0))
    sometimes(draw, made, "lowest_charge", lambda: written(draw, "share", 0.0, 1.0), 0.3)
    sometimes(draw, made, "resistance", lambda: written(draw, "resistance", 0.0005, 0.3, log=True), 0.3)
    sometimes(draw, made, "cut_off", lambda: written(draw, "voltage", 8.0, 26.0), 0.3)
    sometimes(draw, made, "heater", lambda: written(draw, "power", 5.0, 400.0), 0.3)
    sometimes(draw, made, "heated_to", lambda: written(draw, "temperature", 0.0, 25.0), 0.3)
    sometimes(draw, made, "mass", lambda: written(draw, "mass", 1.0, 120.0), 0.3)
    if places:
        sometimes(draw, made, "place", lambda: pick(draw, places))
    hold(draw, made)
    return made


def hold(draw: Draw, made: Raw) -> None:
    """Straps, bolts, both or nothing known."""
    sometimes(draw, made, "straps", lambda: whole(draw, 0, 6))
    sometimes(draw, made, "strap_limit", lambda: written(draw, "mass", 20.0, 2000.0))
    sometimes(draw, made, "strap_angle", lambda: whole(draw, 0, 90))
    sometimes(draw, made, "strap_way", lambda: pick(draw, ("over", "direct")))
    sometimes(draw, made, "bolts", lambda: whole(draw, 0, 12), 0.3)
    sometimes(draw, made, "bolt_limit", lambda: written(draw, "mass", 5.0, 500.0), 0.3)
    yes_no(draw, made, "contained")


def feeder(draw: Draw) -> Raw:
    """From the battery to the fuse block."""
    made: Raw = {"wire": _usual_wire(draw)}
    sometimes(draw, made, "insulation", lambda: pick(draw, INSULATIONS))
    sometimes(draw, made, "run", lambda: written(draw, "length", 0.1, 15.0, log=True), 0.7)
    sometimes(draw, made, "protection", lambda: _fuse(draw), 0.8)
    sometimes(draw, made, "device", lambda: pick(draw, MAIN_DEVICES))
    sometimes(draw, made, "fuse_from_battery", lambda: written(draw, "small", 0.0, 3.0))
    sometimes(draw, made, "interrupting", lambda: written(draw, "large current", 100.0, 50_000.0, log=True))
    yes_no(draw, made, "disconnect")
    return made


def charger(draw: Draw, circuits: Sequence[Raw]) -> Raw | None:
    """A charger, where there is a mains circuit to feed it."""
    mains = [circuit["name"] for circuit in circuits if circuit["system"] == "mains"]
    if not mains:
        return None
    made: Raw = {"current": written(draw, "current", 0.5, 150.0, log=True), "circuit": pick(draw, mains)}
    sometimes(draw, made, "efficiency", lambda: written(draw, "share", 0.1, 1.0))
    sometimes(draw, made, "power_factor", lambda: written(draw, "share", 0.1, 1.0))
    sometimes(draw, made, "absorption", lambda: written(draw, "voltage", 12.0, 30.0), 0.3)
    sometimes(draw, made, "float", lambda: written(draw, "voltage", 12.0, 30.0), 0.3)
    return made


def solar(draw: Draw, places: Sequence[str]) -> list[Raw]:
    """None to two fields of panels."""
    return [_panel(draw, name, places) for name in names(draw, whole(draw, 0, 2))]


def _panel(draw: Draw, name: str, places: Sequence[str]) -> Raw:
    made: Raw = {"name": name, "power": written(draw, "power", 5.0, 600.0)}
    sometimes(draw, made, "count", lambda: whole(draw, 1, 8))
    sometimes(draw, made, "tilt", lambda: plain(draw, 0, 90))
    sometimes(draw, made, "azimuth", lambda: plain(draw, 0, 360))
    sometimes(draw, made, "shading", lambda: written(draw, "share", 0.0, 1.0))
    sometimes(draw, made, "losses", lambda: written(draw, "share", 0.0, 1.0))
    sometimes(draw, made, "controller", lambda: pick(draw, ("tracking", "switching")))
    sometimes(draw, made, "mass", lambda: written(draw, "mass", 0.5, 40.0))
    if places:
        sometimes(draw, made, "place", lambda: pick(draw, places))
    return made


def tow_charge(draw: Draw) -> Raw:
    """A charge wire to the tow vehicle, with a converter or without."""
    made: Raw = {"wire": _usual_wire(draw), "run": written(draw, "length", 1.0, 20.0)}
    sometimes(draw, made, "insulation", lambda: pick(draw, INSULATIONS))
    sometimes(draw, made, "source", lambda: written(draw, "voltage", 11.0, 29.0))
    sometimes(draw, made, "limit", lambda: written(draw, "current", 5.0, 80.0))
    sometimes(draw, made, "converter", lambda: written(draw, "current", 2.0, 60.0))
    sometimes(draw, made, "efficiency", lambda: written(draw, "share", 0.1, 1.0))
    return made


def mains(draw: Draw, places: Sequence[str]) -> Raw:
    """Inlet and panel."""
    made: Raw = {}
    sometimes(draw, made, "inlet", lambda: pick(draw, tuple(plug_types.plugs())))
    sometimes(draw, made, "main", lambda: f"{pick(draw, (15, 20, 30, 50))} A")
    if "main" not in made:
        yes_no(draw, made, "has_main")
    sometimes(draw, made, "transfer", lambda: pick(draw, ("single inlet", "interlock", "transfer switch", "none")))
    sometimes(draw, made, "frame_bond", lambda: _wire(draw))
    sometimes(draw, made, "inlet_wire", lambda: _usual_wire(draw))
    sometimes(draw, made, "inlet_insulation", lambda: pick(draw, INSULATIONS))
    sometimes(draw, made, "inlet_run", lambda: written(draw, "length", 0.2, 20.0))
    if places:
        sometimes(draw, made, "inlet_place", lambda: pick(draw, places))
    yes_no(draw, made, "neutral_isolated", "skin_bonded", "inlet_labelled", "panel_clear", "managed")
    return made


def supplies(draw: Draw, places: Sequence[str]) -> list[Raw]:
    """None to three inlets, cords and generators."""
    return [_supply(draw, name, places) for name in names(draw, whole(draw, 0, 3), ("battery", "towing"))]


def _supply(draw: Draw, name: str, places: Sequence[str]) -> Raw:
    kind = pick(draw, (*supply_classes.supply_kinds(), *supply_classes.generator_kinds()))
    made: Raw = {"name": name, "kind": kind}
    sometimes(draw, made, "cord", lambda: _usual_wire(draw))
    sometimes(draw, made, "cord_run", lambda: written(draw, "length", 1.0, 100.0))
    sometimes(draw, made, "prospective", lambda: written(draw, "large current", 20.0, 20_000.0, log=True))
    sometimes(draw, made, "voltage", lambda: written(draw, "voltage", 90.0, 135.0))
    plugs = tuple(plug_types.plugs())
    sometimes(
        draw,
        made,
        "adapters",
        lambda: [f"{pick(draw, plugs)} to {pick(draw, plugs)}" for _ in range(whole(draw, 0, 2))],
        0.3,
    )
    for key in ("place", "rides"):
        if places:
            sometimes(draw, made, key, lambda: pick(draw, places))
    if supply_classes.is_generator(kind):
        sometimes(draw, made, "running", lambda: written(draw, "power", 200.0, 10_000.0), 0.3)
        sometimes(draw, made, "starting", lambda: written(draw, "power", 200.0, 15_000.0), 0.3)
        sometimes(draw, made, "neutral", lambda: pick(draw, ("floating", "bonded")))
        sometimes(draw, made, "mass", lambda: written(draw, "mass", 5.0, 200.0))
        hold(draw, made)
    return made


def stays(draw: Draw, loads: Sequence[Raw], supplies: Sequence[Raw]) -> list[Raw]:
    """None to four stays on the battery, on the road or on any supply."""
    where = ("battery", "battery", "towing", *(supply["name"] for supply in supplies))
    return [_stay(draw, name, where, loads) for name in names(draw, whole(draw, 0, 4))]


def _stay(draw: Draw, name: str, where: Sequence[str], loads: Sequence[Raw]) -> Raw:
    made: Raw = {"name": name, "supply": pick(draw, where), "from": clock(draw), "to": clock(draw)}
    sometimes(draw, made, "ambient", lambda: written(draw, "temperature", -35.0, 45.0), 0.7)
    sometimes(draw, made, "people", lambda: whole(draw, 0, 6))
    sometimes(draw, made, "activity", lambda: pick(draw, tuple(box_classes.activities())))
    made["on"] = {load["name"]: _hours(draw) for load in loads if some(draw, 0.6)}
    return made


def clock(draw: Draw) -> str:
    """A time of day; midnight at both ends comes too."""
    minutes = whole(draw, 0, 96) * 15
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def _hours(draw: Draw) -> str:
    how = whole(draw, 0, 4)
    if how == 0:
        return "all"
    if how == 1:
        return ""
    return ", ".join(f"{clock(draw)}-{clock(draw)}" for _ in range(how - 1))
