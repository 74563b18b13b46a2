"""Designs for the one-line diagram that are hard to draw, made as plain data."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from trailerlib.design import catalogue
from trailerlib.design.design import Design, design_from

BOX = {"length": "14 ft", "width": "7 ft", "height": "6 ft 6 in"}
LONG = "a very long name that has forty letters "
NAMES = ("", LONG, "without_a_space_" * 3, "Освещение рабочего места у входа в фургон", "ЖЩШЮФМ" * 7,
         "工作台上方的照明灯和插座以及冰箱空调通风扇水泵加热器充电器还有更多的设备和仪器", "MW" * 20)  # fmt: skip


def named(filler: str, tail: str) -> str:
    """A name of at most forty letters that ends in its own tail."""
    return f"{filler[: 39 - len(tail)].strip()} {tail}".strip()


def raw(**parts: Any) -> dict[str, Any]:
    return {"title": "Case", "trailer": BOX, **parts}


def made(**parts: Any) -> Design:
    return design_from(raw(**parts))


def circuits(count: int, system: str, name: str = "", **more: Any) -> list[dict[str, Any]]:
    return [
        {"name": named(name, f"{system} {n}"), "system": system, "wire": "12 AWG", "run": f"{5 + n % 90} ft",
         "protection": f"{(5, 10, 15, 20)[n % 4]} A", "device": "breaker" if system == "mains" else "blade", **more}
        for n in range(count)
    ]  # fmt: skip


def loads(of: list[dict[str, Any]], each: int = 1, name: str = "") -> list[dict[str, Any]]:
    kinds = {s: [a for a in catalogue.appliances().values() if a.system == s] for s in ("dc", "mains")}
    return [
        {"name": named(name, f"{c['system'][0]}{n}-{k}"), "circuit": c["name"],
         "class": kinds[c["system"]][(n + k) % len(kinds[c["system"]])].name, "count": 1 + k % 3}
        for n, c in enumerate(of)
        for k in range(each)
    ]  # fmt: skip


BATTERY = {"chemistry": "agm", "capacity": "100 Ah"}
FEEDER = {"wire": "6 AWG", "run": "4 ft", "protection": "80 A", "device": "terminal", "disconnect": True}
SUPPLY = {"name": "shore", "kind": "shore 30 A", "cord": "10 AWG", "cord_run": "25 ft"}


def many(dc: int, mains: int, each: int = 1, name: str = "", **more: Any) -> Design:
    of = [*circuits(mains, "mains", name), *circuits(dc, "dc", name)]
    return made(circuit=of, load=loads(of, each, name), battery=BATTERY, feeder=FEEDER, supply=[SUPPLY],
                mains={"inlet": "TT-30", "main": "30 A"}, **more)  # fmt: skip


def hard() -> dict[str, Design]:
    """Every hard design by name."""
    charged = circuits(3, "mains")
    sun = [{"name": f"panel {n}", "power": "100 W", "count": n + 1} for n in range(20)]
    yards = [
        {**SUPPLY, "name": f"yard {n}", "adapters": ["5-15 to TT-30"] * (n % 3)} for n in range(14)
    ]  # fmt: skip
    found = {
        "empty": made(),
        "one circuit alone": made(circuit=circuits(1, "dc")),
        "one mains circuit alone": made(circuit=circuits(1, "mains")),
        "battery alone": made(battery=BATTERY),
        "supply alone": made(supply=[SUPPLY]),
        "nothing stated": made(
            circuit=[{"name": n, "system": s, "wire": "14 AWG", "receptacle": "5-15"} for n, s in (("a", "dc"), ("b", "mains"))]
        ),
        "charger and no battery": made(circuit=charged, charger={"current": "20 A", "circuit": "mains 0"}),
        "charger on one sheet": made(circuit=[*charged, *circuits(2, "dc")], battery=BATTERY, feeder=FEEDER, charger={"current": "20 A", "circuit": "mains 0"}),
        "charger on two sheets": many(8, 9, charger={"current": "20 A", "circuit": "mains 3"}),
        "thirty": many(18, 12),
        "sixty": many(34, 26, 2),
        "sixty mains": many(0, 60),
        "metric": many(9, 9, units="metric"),
        "iec": many(5, 5, units="metric", practice="iec"),
        "forty loads on each": many(2, 2, 40),
        "many sources": made(battery=BATTERY, solar=sun, supply=yards, circuit=[*circuits(4, "dc"), *circuits(4, "mains")],
                             tow_charge={"wire": "10 AWG", "run": "25 ft", "converter": "20 A", "limit": "30 A"}, mains={"transfer": "interlock"}),
        "two legs": made(mains={"inlet": "14-50", "main": "50 A", "transfer": "transfer switch", "managed": True},
                         circuit=[{**c, **({"leg": leg} if leg else {}), "receptacle": "5-20", "gfci": gfci}
                                  for c, leg, gfci in zip(circuits(8, "mains"), (1, 2, "both", None) * 2, (True, False) * 4, strict=True)]),
        "no main": made(mains={"has_main": False}, circuit=circuits(2, "mains")),
        "main without rating": made(mains={"has_main": True}, circuit=circuits(2, "mains")),
    }  # fmt: skip
    return {**found, **{f"names {n}": many(7, 6, 2, name) for n, name in enumerate(NAMES)}}


_YES_NO = st.sampled_from([None, True, False])
_WIRES = ("16 AWG", "12 AWG", "4/0 AWG", "2.5 mm2", "70 mm2")
_CHARS = st.characters(whitelist_categories=("Lu", "Ll", "Lo", "Nd"), whitelist_characters=" &'\"-/#$*")


def _name(number: int) -> st.SearchStrategy[str]:
    """Names that are a number gone wrong are left out: the check for those would find them."""
    return (
        st.text(_CHARS, max_size=36)
        .map(lambda text: f"{text.strip(' -')} {number}".strip())
        .filter(lambda name: not {"nan", "inf", "-inf", "None"} & set(name.split()))
    )


def _kept(part: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in part.items() if value is not None}


@st.composite
def designs(draw: st.DrawFn) -> Design:
    """Any design: circuits of both sides with or without protection, run and outlets, with odd names."""
    parts: dict[str, Any] = {"circuit": [], "load": []}
    for number in range(draw(st.integers(0, 24))):
        system = draw(st.sampled_from(["dc", "mains"]))
        plug = draw(st.sampled_from([None, "5-15", "L14-20"])) if system == "mains" else None
        parts["circuit"].append(_kept({
            "name": draw(_name(number)), "system": system, "wire": draw(st.sampled_from(_WIRES)),
            "insulation": draw(st.sampled_from([None, "105 C"])),
            "run": draw(st.sampled_from([None, "3 in", "14.5 ft", "60 m"])),
            "protection": draw(st.sampled_from([None, "5 A", "7.5 A", "150 A"])),
            "device": draw(st.sampled_from([None, "blade", "maxi", "bolt-down", "breaker"])),
            "leg": draw(st.sampled_from([None, 1, 2, "both"])) if system == "mains" else None,
            "receptacle": plug, "outlets": draw(st.sampled_from([None, 3])) if plug else None,
            "gfci": draw(_YES_NO) if system == "mains" else None,
        }))  # fmt: skip
        kinds = [a.name for a in catalogue.appliances().values() if a.system == system]
        for k in range(draw(st.integers(0, 4))):
            parts["load"].append({"name": draw(_name(number)) + f" {k}", "class": draw(st.sampled_from(kinds)),
                                  "circuit": parts["circuit"][-1]["name"], "on": draw(st.booleans())})  # fmt: skip
            parts["load"][-1]["name"] = parts["load"][-1]["name"][:34] + f" {number}-{k}"
    parts["supply"] = [
        _kept({"name": draw(_name(n)), "kind": draw(st.sampled_from(["shore 30 A", "shore 50 A", "portable 2000 W"])),
               "cord": draw(st.sampled_from([None, "10 AWG"])), "cord_run": draw(st.sampled_from([None, "25 ft"]))})
        for n in range(draw(st.integers(0, 4)))
    ]  # fmt: skip
    mains_names = [c["name"] for c in parts["circuit"] if c["system"] == "mains"]
    if mains_names and draw(st.booleans()):
        parts["charger"] = {"current": "15 A", "circuit": draw(st.sampled_from(mains_names))}
    if draw(st.booleans()):
        parts["battery"] = {**BATTERY, "count": draw(st.integers(1, 3))}
    if draw(st.booleans()):
        parts["feeder"] = _kept({"wire": "6 AWG", "run": draw(st.sampled_from([None, "4 ft"])),
                                 "protection": draw(st.sampled_from([None, "80 A"])), "disconnect": draw(_YES_NO)})  # fmt: skip
    parts["mains"] = _kept({"inlet": draw(st.sampled_from([None, "TT-30", "14-50"])), "main": draw(st.sampled_from([None, "30 A"])),
                            "inlet_wire": draw(st.sampled_from([None, "10 AWG", "2.5 mm2"])),
                            "inlet_run": draw(st.sampled_from([None, "15 ft"])),
                            "frame_bond": draw(st.sampled_from([None, "8 AWG"]))})  # fmt: skip
    return made(units=draw(st.sampled_from(["us", "metric"])), **{key: value for key, value in parts.items() if value})
