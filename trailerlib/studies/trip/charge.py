"""What charges the battery on a trip: the charger on mains, the sun, the tow vehicle on the road."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from trailerlib.design.design import Design
from trailerlib.design.model import Battery, TowCharge
from trailerlib.physics.battery_bank import Bank
from trailerlib.physics.battery_week import Sources
from trailerlib.physics.towing_charge import plain_wire, through_converter, tow_wire_ohm
from trailerlib.studies import cells, sunshine
from trailerlib.studies import feeder as dc
from trailerlib.studies.ampacity import Ampacity, ampacity
from trailerlib.studies.answer import names
from trailerlib.studies.trip.timeline import Timeline

DAY_H = 24.0


@dataclass(frozen=True)
class Feed:
    """What comes over the tow wire: behind a plain one a voltage [V] and a resistance [ohm], else a current [A].

    ``asked_a`` is the most that would flow in the wire if its fuse held [A], None where the wire cannot carry the
    converter at all.
    """

    source_v: float = 0.0
    wire_ohm: float = 1.0
    converter_a: float = 0.0
    said: tuple[str, ...] = ()
    asked_a: float | None = None


@dataclass(frozen=True)
class Charge:
    """The sources step by step, and each alone as it would stand all the time.

    ``left_out`` says in words what could not be worked out and is not counted; ``said`` what was taken. ``steady``
    are the sources of this design by name; the sun's is its mean over day and night.
    """

    sources: Sources
    steady: dict[str, Sources]
    charger_a: float
    left_out: str
    said: tuple[str, ...]
    feed: Feed


def charge(design: Design, battery: Battery, bank: Bank, floor: float, lived: Timeline) -> Charge:
    """Everything that charges on a trip.

    Parameters
    ----------
    design : the trailer
    battery : its battery
    bank : the same by its tables
    floor : [-] charge at which the tow wire must still hold its fuse
    lived : the steps of the trip
    """
    mains, towing = lived.on_mains(), lived.towing()
    charger_a = 0.0 if design.charger is None else design.charger.current
    feed = tow_feed(design, battery, bank, floor)
    sun, lacks = sunshine.between(design, lived.edges_h), sunshine.missing(design)
    quiet = np.zeros(len(lived.which))
    keeps = _voltages(design, battery, bank, mains)
    sources = Sources(
        charger_a=charger_a * mains,
        solar_w=quiet if sun is None else sun.tracking_w,
        solar_a=quiet if sun is None else sun.switching_a,
        converter_a=feed.converter_a * towing,
        tow_v=feed.source_v * towing,
        tow_ohm=feed.wire_ohm,
        absorption_v=keeps[0],
        float_v=keeps[1],
        absorption_limit_h=cells.limits(battery, "absorption_limit_h"),
    )
    left_out = f"the sun is left out: {names(lacks)} is not given" if lacks else ""
    said = (*sunshine.basis(design), *(feed.said if towing.any() else ()))
    return Charge(sources, _steady(design, battery, bank, feed, lived), charger_a, left_out, said, feed)


def _voltages(design: Design, battery: Battery, bank: Bank, mains: dc.Floats) -> tuple[dc.Floats, dc.Floats]:
    """Absorption and float voltage in each step [V]: the charger's own on mains, else the chemistry's."""
    usual = float(bank.absorption_v), cells.limits(battery, "float_v") * battery.blocks
    charger = design.charger
    own = (None, None) if charger is None else (charger.absorption, charger.float_)
    high, low = (
        np.where(mains > 0.0, volts if mine is None else mine, volts) for volts, mine in zip(usual, own, strict=True)
    )
    return high, np.minimum(low, high)


def _steady(design: Design, battery: Battery, bank: Bank, feed: Feed, lived: Timeline) -> dict[str, Sources]:
    high, low = _voltages(design, battery, bank, np.ones(1))
    keeps = {"absorption_v": float(bank.absorption_v), "float_v": cells.limits(battery, "float_v") * battery.blocks}
    alone: dict[str, Sources] = {}
    if design.charger is not None:
        alone["charger"] = Sources(charger_a=design.charger.current, absorption_v=float(high[0]), float_v=float(low[0]))
    first = DAY_H * np.floor(lived.edges_h[0] / DAY_H)
    sun = sunshine.between(design, np.array([first, first + DAY_H])) if design.solar else None
    if sun is not None:
        alone["sun"] = Sources(solar_w=float(sun.tracking_w[0]), solar_a=float(sun.switching_a[0]), **keeps)
    if design.tow_charge is not None:
        alone["tow"] = Sources(converter_a=feed.converter_a, tow_v=feed.source_v, tow_ohm=feed.wire_ohm, **keeps)
    return alone


def together(alone: dict[str, Sources]) -> Sources:
    """All steady sources at once; the charger's voltages hold where there is one."""
    first = next(iter(alone.values()))
    return Sources(
        charger_a=sum(one.charger_a for one in alone.values()),
        solar_w=sum(one.solar_w for one in alone.values()),
        solar_a=sum(one.solar_a for one in alone.values()),
        converter_a=sum(one.converter_a for one in alone.values()),
        tow_v=max(one.tow_v for one in alone.values()),
        tow_ohm=alone["tow"].tow_ohm if "tow" in alone else 1.0,
        absorption_v=first.absorption_v,
        float_v=first.float_v,
    )


def tow_feed(design: Design, battery: Battery, bank: Bank, floor: float) -> Feed:
    """What the tow vehicle sends, and whether its fuse and its wire hold.

    Parameters
    ----------
    design : the trailer
    battery : its battery
    bank : the same by its tables
    floor : [-] charge at which the most flows
    """
    tow = design.tow_charge
    if tow is None:
        return Feed(said=("nothing charges on the road: the design has no wire for it",))
    ohm = _wire_ohm(design, tow)
    rest = float(cells.open_circuit_v(battery, floor))
    inside, high = float(np.asarray(bank.resistance_ohm)), float(bank.absorption_v)
    most = float(np.asarray(bank.rate_per_h * bank.capacity_ah))
    if tow.converter is None:
        flow = plain_wire(tow.source, ohm, rest, inside, high, most_a=most)
    else:  # it works hardest near the end, where the battery stands at its absorption voltage
        flow = through_converter(tow.source, ohm, high, 0.0, tow.converter, tow.efficiency, most_a=most)
    if flow.collapses:
        return Feed(said=("the tow wire cannot carry the converter: nothing is counted on the road",))
    asked = float(flow.wire_a)
    if tow.limit is not None and asked > tow.limit:
        return Feed(said=("the fuse at the tow vehicle opens: nothing is counted on the road",), asked_a=asked)
    unfused = ("the tow wire has no fuse given; whether it is guarded is not checked",) if tow.limit is None else ()
    if tow.converter is None:
        return Feed(tow.source, ohm, said=unfused, asked_a=asked)
    return Feed(converter_a=tow.converter, said=unfused, asked_a=asked)


def tow_may_carry(design: Design, tow: TowCharge) -> Ampacity:
    """What the tow wire may carry at the hottest air of the site, its two conductors side by side."""
    return ampacity(tow.wire, tow.insulation, "dc", design.site.hottest, 2)


def _wire_ohm(design: Design, tow: TowCharge) -> float:
    """Wire out and back at its hottest, two lugs at each end, the fuse, and both blades of the plug [ohm]."""
    hottest = design.site.hottest
    at_c = float(tow.insulation.split()[0]) if hottest is None else hottest
    joints = 4 * dc.contact_ohm("lug") + 2 * dc.contact_ohm("plug and inlet") + dc.fuse_ohm(tow.limit)
    return float(tow_wire_ohm(dc.ohm_per_m(tow.wire, at_c), tow.run, joints))
