"""What is measured on the mains side: at the panel, at every receptacle bare and loaded, and what must trip."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from trailerlib.studies.closing.line import Asks, Line
from trailerlib.studies.closing.mains_side import Point, Side
from trailerlib.units import show

VOLTS, CLAMP, DC_CLAMP, DC_VOLTS = "volts ac", "amps ac clamp", "amps dc clamp", "volts dc 20"
CAUTION = "by a qualified person, one hand where it can be, insulated probes"
SETTINGS = {
    VOLTS: "V ac; meter and leads marked CAT III 300 V or better (IEC 61010)",
    CLAMP: "A ac clamp round one wire",
    DC_CLAMP: "A dc clamp, set to zero first",
    DC_VOLTS: "V dc, range of 20 V",
    "": "",
}
BARE = f"supply on, all breakers on, nothing plugged in; {CAUTION}"
TRIPS_MA = (4.0, 6.0)  # UL 943 class A, as NFPA 70 article 100 quotes it (seen in a copy): not below, surely at
RCD_MA = 30.0  # IEC 60364-4-41 for socket-outlets, from memory
WORDS = {
    "north-america": {"hot": "hot", "neutral": "neutral", "ground": "ground", "guard": "GFCI"},
    "iec": {"hot": "line", "neutral": "neutral", "ground": "earth", "guard": "RCD"},
}


@dataclass(frozen=True)
class Read:
    """How a line's reading follows: ``what`` is shown at a point, by its name, or at the panel where that is empty."""

    line: Line
    what: str
    point: str = ""


def readings(side: Side) -> Iterator[Read]:
    """Every line of the mains side in the order a person walks, closer ones last.

    Parameters
    ----------
    side : the mains side as it is tested
    """
    yield from _supply(side)
    yield from _panel(side)
    for point in side.points:
        yield from _bare(side, point)
    for point in side.points:
        if point.first and (point.circuit.gfci or (point.circuit.gfci is None and point.circuit.receptacle)):
            yield from _guard(side, point)
    for point in side.points:
        yield from _loaded(side, point)
    yield from _unequal(side)
    if side.design.charger is not None:
        yield from _charger(side)
    for point in side.points:
        yield from _closer(side, point)


def _line(
    key: str,
    asks: Asks,
    meter: str,
    where: str,
    state: str,
    why: str,
    point: Point | None = None,
    at: str | None = None,
    *,
    routine: bool = True,
) -> Line:
    circuit = None if point is None else point.circuit.name
    return Line(
        key, "mains", asks, where, SETTINGS[meter], state, why, meter, circuit, None,
        at if point is None else point.at, routine,
    )  # fmt: skip


def _supply(side: Side) -> Iterator[Read]:
    at = None if side.supply is None else side.supply.place
    yield Read(
        _line(
            "supply/polarity", "yes or no", "",
            "at the supply's receptacle, with a meter, before the cord is plugged in",
            f"supply on, trailer unplugged; {CAUTION}",
            "Right polarity and a ground there? What is wrong outside cannot be put right inside.", at=at,
        ),
        "polarity",
    )  # fmt: skip
    if len(side.design.supplies) > 1:
        yield Read(
            _line(
                "transfer/one at a time", "yes or no", "",
                "at the transfer switch, interlock or inlet: with one supply on, is the way of the other dead",
                f"one supply on, the other one's plug in hand, not touched: its blades are measured; {CAUTION}",
                "Two supplies that meet burn the smaller one, and a bare plug is live.", at=side.design.panel,
            ),
            "transfer",
        )  # fmt: skip


def _panel(side: Side) -> Iterator[Read]:
    hot, neutral, ground = (WORDS[side.design.practice][word] for word in ("hot", "neutral", "ground"))
    pairs = {"hot neutral": f"{hot} to {neutral}", "hot ground": f"{hot} to {ground}"}
    if side.legs == 2:
        pairs = {
            "leg 1 neutral": "leg 1 to neutral", "leg 2 neutral": "leg 2 to neutral", "leg to leg": "leg 1 to leg 2",
            "leg 1 ground": "leg 1 to ground", "leg 2 ground": "leg 2 to ground",
        }  # fmt: skip
    pairs["neutral ground"] = f"{neutral} to {ground}"
    for what, words in pairs.items():
        why = "Every other voltage is judged from here; stop when it is not what it should be."
        if what == "neutral ground":
            why = "They meet at the source only; more than a volt or two with nothing on is a fault outside."
        yield Read(
            _line(f"panel/{what}", "voltage", VOLTS, f"in the panel, {words}", BARE, why, at=side.design.panel), what
        )


def _spot(point: Point) -> str:
    at = f" at {point.at}" if point.at and point.at not in point.name else ""
    kind = "the receptacle of" if point.circuit.receptacle else "the wired-in ends of"
    return f"{kind} {point.name}{at}"


def _pairs(side: Side, point: Point) -> tuple[str, str, str]:
    """What a point's two live wires and the ground are called, two by two."""
    hot, neutral, ground = (WORDS[side.design.practice][word] for word in ("hot", "neutral", "ground"))
    if point.between:
        return "leg 1 to leg 2", "leg 1 to ground", "leg 2 to ground"
    return f"{hot} to {neutral}", f"{hot} to {ground}", f"{neutral} to {ground}"


def _bare(side: Side, point: Point) -> Iterator[Read]:
    names = ("leg to leg", "leg 1 ground", "leg 2 ground") if point.between else (
        "hot neutral", "hot ground", "neutral ground"
    )  # fmt: skip
    whys = (
        "Is it live, and on the right wires?",
        "With the other two it tells polarity and an open wire; a plug that lights proves none of it.",
        "Where it is the full voltage, the two live wires are exchanged: a switched-off lamp is still live.",
    )
    if point.between:
        whys = (*whys[:2], "Both legs must stand against ground alike.")
    for what, name, words, why in zip(("hn", "hg", "ng"), names, _pairs(side, point), whys, strict=True):
        yield Read(
            _line(f"bare/{point.name}/{name}", "voltage", VOLTS, f"at {_spot(point)}, {words}", BARE, why, point),
            what, point.name,
        )  # fmt: skip


def _guard(side: Side, point: Point) -> Iterator[Read]:
    name, american = WORDS[side.design.practice]["guard"], side.design.practice == "north-america"
    trips = (
        f"It lets {TRIPS_MA[0]:g} mA pass and opens at {TRIPS_MA[1]:g} mA (UL 943)."
        if american
        else f"It opens at {RCD_MA:g} mA, within 0.3 s."
    )
    own = f"Press its own button: does it open and take the power away? {trips}"
    yield Read(
        _line(
            f"trip/{point.circuit.name}/own button", "yes or no", "", f"on the {name} of {point.circuit.name}", BARE,
            own, point,
        ),
        "own button", point.name,
    )  # fmt: skip
    yield Read(
        _line(
            f"trip/{point.circuit.name}/tester", "yes or no", "", f"with a plug-in {name} tester at {_spot(point)}",
            BARE, "The tester leaks to the ground wire: without one it does nothing, and a bad ground is found.", point,
        ),
        "tester", point.name,
    )  # fmt: skip


def state_loaded(side: Side, point: Point) -> str:
    """State of the switches with the test load on at one point."""
    watts = show(side.test_w(point), "power")
    on = "plugged in" if point.circuit.receptacle else "put on the wired-in ends with the supply off"
    known = " (the pedestal was not measured)" if side.supply is None or side.supply.prospective is None else ""
    return f"test load of {watts} {on}, not longer than a minute, nothing else on{known}; {CAUTION}"


def _loaded(side: Side, point: Point) -> Iterator[Read]:
    state = state_loaded(side, point)
    first, to_ground, last = _pairs(side, point)
    hot = WORDS[side.design.practice]["hot"]
    name = "leg to leg" if point.between else "hot neutral"
    other = "leg 1 ground" if point.between else "neutral ground"
    yield Read(
        _line(f"load/{point.name}/amps", "current", CLAMP, f"in the panel, on the {hot} wire of {point.circuit.name}",
              state, "What really flows; all drops are read with it.", point),
        "amps", point.name,
    )  # fmt: skip
    yield Read(
        _line(f"load/{point.name}/{name}", "voltage", VOLTS, f"at {_spot(point)}, {first}", state,
              "What is left at the far end; the panel's reading tells which part the cord lost.", point),
        "loaded hn", point.name,
    )  # fmt: skip
    yield Read(
        _line(f"load/{point.name}/{other}", "voltage", VOLTS,
              f"at {_spot(point)}, {to_ground if point.between else last}", state,
              "The ground wire carries nothing, so it reaches back as a probe: this is one wire's loss alone.",
              point),
        "loaded hg" if point.between else "loaded ng", point.name,
    )  # fmt: skip
    yield Read(
        _line(f"load/{point.name}/panel", "voltage", VOLTS, f"in the panel, {first}", state,
              "What source and cord have lost before the panel.", point),
        "panel hn", point.name,
    )  # fmt: skip


def _closer(side: Side, point: Point) -> Iterator[Read]:
    words = _pairs(side, point)[1 if point.between else 2]
    what = "leg 1 ground" if point.between else "neutral ground"
    yield Read(
        _line(f"load/{point.name}/panel {what}", "voltage", VOLTS, f"in the panel, {words}", state_loaded(side, point),
              "Tells a bad wire of the cord from a bad wire of the branch.", point, routine=False),
        "panel hg" if point.between else "panel ng", point.name,
    )  # fmt: skip
    hot = "leg 1" if point.between else WORDS[side.design.practice]["hot"]
    yield Read(
        _line(f"load/{point.name}/hot drop", "voltage", VOLTS,
              f"by a long fused lead from the breaker's screw to the {hot} end at {_spot(point)}",
              state_loaded(side, point), "One wire alone: nothing else can be meant by this reading.", point,
              routine=False),
        "hot drop", point.name,
    )  # fmt: skip


def unequal_points(side: Side) -> tuple[Point, Point] | None:
    """A point of known way on each leg, for loads of unequal size; None where there is no second leg to test."""
    if side.legs < 2:
        return None
    found = [next((p for p in side.points if p.legs[0] == leg and not p.between and p.way), None) for leg in (1, 2)]
    return None if found[0] is None or found[1] is None else (found[0], found[1])


def _unequal(side: Side) -> Iterator[Read]:
    pair = unequal_points(side)
    if pair is None:
        return
    watts = show(side.test_w(pair[0]), "power"), show(500.0, "power")
    state = (
        f"{watts[0]} at {pair[0].name} and {watts[1]} at {pair[1].name}, both heaters, all else unplugged; "
        f"off at once if a leg climbs; {CAUTION}"
    )
    for leg in (1, 2):
        yield Read(
            _line(f"unequal/leg {leg} neutral", "voltage", VOLTS, f"in the panel, leg {leg} to neutral", state,
                  "A neutral that is open lets one leg climb while the other sags, and burns what hangs on it.",
                  at=side.design.panel),
            f"unequal {leg}",
        )  # fmt: skip


def _charger(side: Side) -> Iterator[Read]:
    at = None if side.design.battery is None else side.design.battery.place
    state = "after half an hour with every 12 V load on; supply on, charger on for a minute, 12 V loads off"
    yield Read(
        _line("charger/amps", "current", DC_CLAMP, "on the charger's plus wire to the battery", state,
              "A charger that is fed and does not charge shows here first.", at=at),
        "charger amps",
    )  # fmt: skip
    yield Read(
        _line("charger/volts rise", "voltage", DC_VOLTS, "over the battery's posts: charger on, less charger off",
              state, "The battery's voltage climbs as soon as it is charged.", at=at),
        "charger rise",
    )  # fmt: skip
