"""What is being built: the parts of a design, frozen and validated, with no behaviour beyond look-ups."""

from __future__ import annotations

from trailerlib.design.body import Cargo, Opening, Place, Site, Tank, Trailer
from trailerlib.design.fields import BOTH, Name, OnLeg, Part, Point, Restrained, Text, Whole, plain_text
from trailerlib.design.living import BATTERY_SUPPLY, TOWING_SUPPLY, Safety, Stay, Trip, Use
from trailerlib.design.load import Load
from trailerlib.design.sources import Battery, Charger, Mains, Solar, Supply, TowCharge
from trailerlib.design.wiring import Circuit, Feeder, Raceway, Routing

__all__ = [
    "BATTERY_SUPPLY",
    "BOTH",
    "TOWING_SUPPLY",
    "Battery",
    "Cargo",
    "Charger",
    "Circuit",
    "Feeder",
    "Load",
    "Mains",
    "Name",
    "OnLeg",
    "Opening",
    "Part",
    "Place",
    "Point",
    "Raceway",
    "Restrained",
    "Routing",
    "Safety",
    "Site",
    "Solar",
    "Stay",
    "Supply",
    "Tank",
    "Text",
    "TowCharge",
    "Trailer",
    "Trip",
    "Use",
    "Whole",
    "plain_text",
]
