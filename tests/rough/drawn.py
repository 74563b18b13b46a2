"""Whole trailers drawn at random, every part of a design file missing as often as it is there; all of them valid."""

from __future__ import annotations

from hypothesis import strategies as st

from tests.rough import body, electric
from tests.rough.numbers import Draw, Raw, pick, plain, some, sometimes, whole


@st.composite
def designs(draw: Draw) -> Raw:
    """The plain data of one design file."""
    practice = pick(draw, ("north-america", "iec"))
    raw: Raw = {
        "title": pick(draw, ("Drawn", "Grüße", "{subject}", "50 % off", "a_b", "$1", "Box #2")),
        "units": pick(draw, ("us", "metric")),
        "practice": practice,
        "trailer": body.trailer(draw),
        "place": body.places(draw),
    }
    sometimes(draw, raw, "revision", lambda: whole(draw, 1, 99))
    spots = [place["name"] for place in raw["place"]]
    for key in ("fuse_block", "panel"):
        if spots:
            sometimes(draw, raw, key, lambda: pick(draw, spots), 0.7)
    raw["circuit"] = electric.circuits(draw, spots, practice)
    raw["load"] = electric.loads(draw, raw["circuit"], spots)
    raw["supply"] = electric.supplies(draw, spots)
    raw["stay"] = electric.stays(draw, raw["load"], raw["supply"])
    sometimes(draw, raw, "raceway", lambda: body.raceways(draw, raw["place"]))
    sometimes(draw, raw, "battery", lambda: electric.battery(draw, spots), 0.75)
    sometimes(draw, raw, "feeder", lambda: electric.feeder(draw), 0.75)
    charger = electric.charger(draw, raw["circuit"]) if some(draw) else None
    if charger is not None:
        raw["charger"] = charger
    sometimes(draw, raw, "solar", lambda: electric.solar(draw, spots))
    sometimes(draw, raw, "tow_charge", lambda: electric.tow_charge(draw))
    sometimes(draw, raw, "mains", lambda: electric.mains(draw, spots))
    _trip(draw, raw)
    _around(draw, raw)
    return {key: value for key, value in raw.items() if value not in ([], {})}


def _trip(draw: Draw, raw: Raw) -> None:
    stays = [stay["name"] for stay in raw["stay"]]
    if stays and some(draw, 0.3):
        raw["trip"] = {"stays": [pick(draw, stays) for _ in range(whole(draw, 0, 7))]}


def _around(draw: Draw, raw: Raw) -> None:
    """What is around the electric side."""
    for key, make in (
        ("site", body.site), ("routing", body.routing), ("face", body.faces), ("envelope", body.envelope),
        ("comfort", body.comfort), ("roof", body.roof), ("opening", body.openings), ("cargo", body.cargo),
        ("tank", body.tanks), ("cabinet", body.cabinets), ("board", body.boards), ("shop", body.shop),
        ("spool", body.spools), ("safety", body.safety),
    ):  # fmt: skip
        sometimes(draw, raw, key, lambda make=make: make(draw), 0.65)
    if some(draw):
        raw["use"] = {}
        sometimes(draw, raw["use"], "sleepers", lambda: whole(draw, 0, 6))
        sometimes(draw, raw["use"], "note", lambda: pick(draw, ("", "by day", "{0}", "5 % & more")))
    if some(draw, 0.2):
        raw["prices"] = {pick(draw, ("12 AWG red", "blade fuse 10 A", "x")): plain(draw, 0, 500)}
