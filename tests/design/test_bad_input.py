"""Everything that can be wrong with a design gives one sentence: where, what, what would be right."""

from __future__ import annotations

import copy
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

import trailerlib as tl

MACHINE_WORDS = ("pydantic", "Traceback", "type=", "input_value", "ValidationError", "value_error", "function-", "NoneType",
                 "object at 0x", "line 1 col")  # fmt: skip
Raw = dict[str, Any]


def one_sentence(error: BaseException) -> str:
    """The text of the error, after checking that a builder can read it."""
    text = str(error)
    assert text and len(text.splitlines()) == 1, text
    assert text.rstrip('"').endswith((".", "?")), text
    assert len(text) < 500, text
    assert not [word for word in MACHINE_WORDS if word in text], text
    return text


def refused(raw: Any) -> str:
    with pytest.raises(tl.DesignError) as caught:
        tl.design_from(raw)
    return one_sentence(caught.value)


def plain(design: tl.Design) -> Raw:
    return copy.deepcopy(dict(design.raw))


def part(raw: Raw, key: str, name: str) -> Raw:
    found: Raw = next(p for p in raw[key] if p["name"] == name)
    return found


def put(*path: str, value: Any) -> Callable[[Raw], None]:
    """A change of the plain data: the last step of the path gets the value; a list is searched by name."""

    def change(raw: Raw) -> None:
        here: Any = raw
        for step in path[:-1]:
            here = next(p for p in here if p["name"] == step) if isinstance(here, list) else here[step]
        here[path[-1]] = value

    return change


def drop(*path: str) -> Callable[[Raw], None]:
    def change(raw: Raw) -> None:
        here: Any = raw
        for step in path[:-1]:
            here = next(p for p in here if p["name"] == step) if isinstance(here, list) else here[step]
        del here[path[-1]]

    return change


def double(key: str, name: str) -> Callable[[Raw], None]:
    return lambda raw: raw[key].append(copy.deepcopy(part(raw, key, name)))


# change, what the sentence must hold: where, and what is wrong or what would be right
CASES: list[tuple[str, Callable[[Raw], None], tuple[str, ...]]] = [
    ("missing title", drop("title"), ("title", "missing")),
    ("missing trailer", drop("trailer"), ("trailer", "missing")),
    ("missing key of a part", drop("circuit", "usb", "wire"), ('circuit "usb", wire', "missing")),
    ("missing name", drop("circuit", "usb", "name"), ("circuit number 6, name", "missing")),
    ("unknown key", put("site", "height", value="1 m"), ("site, height", "not known")),
    ("unknown key of a part", put("load", "kettle", "watts", value="1 W"), ('load "kettle", watts', "not known")),
    ("unknown table", put("plumbing", value={"pump": 1}), ("plumbing", "not known")),
    ("unknown class", put("load", "kettle", "class", value="ketle"), ('load "kettle", class', '"ketle"', '"kettle"')),
    ("unknown circuit", put("load", "kettle", "circuit", value="nowhere"), ('load "kettle"', '"nowhere"', "bench outlets")),
    ("wrong side", put("load", "kettle", "circuit", value="usb"), ('load "kettle"', "usb", "another")),
    ("charger to nowhere", put("charger", "circuit", value="nowhere"), ("charger", '"nowhere"', "bench outlets")),
    ("charger on dc", put("charger", "circuit", value="usb"), ("charger", '"usb"', "mains")),
    ("negative length", put("trailer", "length", value="-14 ft"), ("trailer, length", "-14 ft", "14 ft")),
    ("length of nothing", put("circuit", "usb", "run", value="0 ft"), ('circuit "usb", run', "0 ft", "above zero")),
    ("too long", put("trailer", "length", value="900 ft"), ("trailer, length", "900 ft", "too high")),
    ("no quantity", put("trailer", "length", value="14 foot-long"), ("trailer, length", "14 foot-long", '"14 ft"')),
    ("number without unit", put("battery", "capacity", value=100), ("battery, capacity", "100", "no unit", '"100 Ah"')),
    ("text without unit", put("battery", "capacity", value="100"), ("battery, capacity", '"100"', '"100 Ah"')),
    ("other unit", put("battery", "capacity", value="100 W"), ("battery, capacity", "100 W", '"100 Ah"')),
    ("gauge that is not made", put("circuit", "usb", "wire", value="13 AWG"), ('circuit "usb", wire', "13 AWG", "12 AWG")),
    ("gauge as a number", put("circuit", "usb", "wire", value=12), ('circuit "usb", wire', "12")),
    ("insulation", put("circuit", "usb", "insulation", value="80 C"), ('circuit "usb", insulation', "80 C", "90 C")),
    ("unknown supply kind", put("supply", "shore", "kind", value="shore 40 A"), ('supply "shore"', "shore 40 A", "shore 30 A")),
    ("supply called battery", put("supply", "shore", "name", value="battery"), ("supply", "battery", "another")),
    ("unknown place", put("load", "kettle", "place", value="kitchen"), ('load "kettle"', "kitchen", "bench")),
    ("unknown place of a circuit", put("circuit", "charger", "to", value="kitchen"), ('circuit "charger"', "kitchen")),
    ("unknown place of the block", put("fuse_block", value="kitchen"), ("fuse_block", "kitchen", "fuse block")),
    ("unknown place of the battery", put("battery", "place", value="kitchen"), ("battery", "kitchen")),
    ("two loads of one name", double("load", "kettle"), ("load", "kettle", "its own name")),
    ("two circuits of one name", double("circuit", "usb"), ("circuit", "usb", "its own name")),
    ("two places of one name", double("place", "bunk"), ("place", "bunk", "its own name")),
    ("two stays of one name", double("stay", "night"), ("stay", "night", "its own name")),
    ("two openings of one name", double("opening", "roof fan"), ("opening", "roof fan", "its own name")),
    ("two supplies of one name", double("supply", "shore"), ("supply", "shore", "its own name")),
    ("stay with unknown load", put("stay", "night", "on", value={"heater": "all"}), ('stay "night", on', "heater")),
    ("stay with unknown supply", put("stay", "night", "supply", value="sun"), ('stay "night"', "sun", "shore")),
    ("bad hours", put("stay", "night", "on", "roof fan", value="25:00-26:00"), ('stay "night"', "roof fan", "25:00", "22:30")),
    ("no hours", put("stay", "night", "on", "roof fan", value="always"), ('stay "night"', "roof fan", "always", '"all"')),
    ("hours as a number", put("stay", "night", "on", "roof fan", value=8), ('stay "night"', "roof fan", "8")),
    ("bad clock", put("stay", "night", "from", value="25:00"), ('stay "night", from', "25:00", "22:30")),
    ("clock as a number", put("stay", "night", "from", value=18), ('stay "night", from', "18", "22:30")),
    ("title with a script", put("title", value="<script>alert(1)</script>"), ("title", "script")),
    ("title with a formula", put("title", value="=cmd()"), ("title", "=cmd()")),
    ("title with a plus", put("title", value="+1"), ("title", "+1")),
    ("title with an at", put("title", value="@SUM(1)"), ("title", "@SUM(1)")),
    ("title with a path", put("title", value="../../etc/passwd"), ("title", "../")),
    ("title with a back path", put("title", value="..\\..\\x"), ("title",)),
    ("title on two lines", put("title", value="one\ntwo"), ("title",)),
    ("title that breaks a line unseen", put("title", value="one\u2028two"), ("title",)),
    ("title that turns the writing", put("title", value="one\u202etwo"), ("title",)),
    ("title with a control", put("title", value="one\x07two"), ("title",)),
    ("title too long", put("title", value="x" * 201), ("title", "200")),
    ("title as a number", put("title", value=5), ("title", "5")),
    ("title as a list", put("title", value=["a"]), ("title",)),
    ("name with a script", put("load", "kettle", "name", value="<b>"), ("load", "<b>")),
    ("name with a stop", put("load", "kettle", "name", value="a.b"), ("load", "a.b", "full stop")),
    ("name of nothing", put("load", "kettle", "name", value=""), ("load", "name")),
    ("name too long", put("load", "kettle", "name", value="x" * 41), ("load", "40")),
    ("not a number", put("site", "latitude", value=float("nan")), ("site.latitude", "nan")),
    ("without end", put("site", "latitude", value=float("inf")), ("site.latitude", "inf")),
    ("nan in a list", put("place", "bunk", "at", value=["1 m", float("nan"), "1 m"]), ("place", "nan")),
    ("latitude", put("site", "latitude", value=91), ("site, latitude", "91", "90")),
    ("too few numbers", put("place", "bunk", "at", value=["1 m", "1 m"]), ('place "bunk", at',)),
    ("too many numbers", put("place", "bunk", "at", value=["1 m"] * 4), ('place "bunk", at',)),
    ("no list", put("place", "bunk", "at", value="1 m"), ('place "bunk", at',)),
    ("units", put("units", value="imperial"), ("units", "imperial", "'us'", "'metric'")),
    ("chemistry", put("battery", "chemistry", value="AGM"), ("battery, chemistry", "AGM", "'agm'")),
    ("count of nothing", put("load", "kettle", "count", value=0), ('load "kettle", count', "0")),
    ("half a piece", put("load", "kettle", "count", value=1.5), ('load "kettle", count', "1.5")),
    ("share above one", put("battery", "start_charge", value="120 %"), ("battery, start_charge", "120 %", "too high")),
    ("a list instead of a table", put("site", value=[1]), ("site",)),
    ("a table instead of a list", put("load", value={"name": "x"}), ("load",)),
    ("a text instead of a list", put("load", value="kettle"), ("load",)),
    ("a number instead of a part", put("load", value=[5]), ("load number 1",)),
    ("date", put("title", value=__import__("datetime").date(2024, 1, 1)), ("title",)),
    ("yes instead of a number", put("use", "sleepers", value=True), ("use, sleepers",)),
]  # fmt: skip


@pytest.mark.parametrize(("change", "says"), [case[1:] for case in CASES], ids=[case[0] for case in CASES])
def test_bad_data_gives_one_sentence(demo: tl.Design, change: Callable[[Raw], None], says: tuple[str, ...]) -> None:
    raw = plain(demo)
    change(raw)
    text = refused(raw)
    assert not [word for word in says if word not in text], text


ZEROES = [("battery.age", "0 %"), ("charger.efficiency", "0 %"), ("charger.power_factor", "0 %"), ("circuit.usb.drop_limit", "0 %"),
          ("battery.start_charge", "0 %"), ("battery.lowest_charge", "0 %"), ("battery.lowest_charge", "100 %"),
          ("load.specimen fridge.duty", "0 %"), ("feeder.fuse_from_battery", "0 in"), ("site.hottest", "85 °C"),
          ("site.coldest", "-60 °C"), ("site.elevation", "6000 m"), ("battery.hour_rate", "200 h"), ("battery.capacity", "0.01 Ah"),
          ("battery.resistance", "1000 mohm"), ("circuit.usb.run", "1e-9 m"), ("load.kettle.power", "1e-9 W"),
          ("charger.current", "1e-9 A"), ("use.sleepers", 0)]  # fmt: skip


@pytest.mark.parametrize(("path", "value"), ZEROES)
def test_the_ends_of_a_range_are_answered_or_refused(demo: tl.Design, path: str, value: Any) -> None:
    """A value is either refused by the design or all studies have an answer to it: nothing may break in between."""
    try:
        changed = demo.replace(path, value)
    except tl.DesignError as error:
        one_sentence(error)
        return
    for answer in tl.assess(changed).answers.values():
        assert answer.sentence.endswith(".")


def nested(depth: int) -> Any:
    node: Any = 1
    for _ in range(depth):
        node = [node]
    return node


@pytest.mark.parametrize("depth", [5, 99, 500, 5000, 100_000])
def test_deep_plain_data_gives_one_sentence(demo: tl.Design, depth: int) -> None:
    raw = plain(demo)
    raw["title"] = nested(depth)
    refused(raw)


def test_a_number_of_endless_digits_gives_one_sentence(demo: tl.Design) -> None:
    raw = plain(demo)
    raw["trailer"]["length"] = "9" * 400 + "/1 ft"
    assert "trailer, length" in refused(raw)


@pytest.mark.parametrize("raw", [None, 5, "title", [], [("title", "x")], {}, {1: 2}, {"": 1}, {None: None}])
def test_what_is_no_design_at_all_gives_one_sentence(raw: Any) -> None:
    refused(raw)


def put_before(front: str) -> Callable[[str], str]:
    return lambda text: f"{front}\n{text}"


def with_bom(text: str) -> bytes:
    return b"\xef\xbb\xbf" + text.encode()


TEXTS: list[tuple[str, Callable[[str], str | bytes], tuple[str, ...]]] = [
    ("empty", lambda text: "", ("title", "missing")),
    ("only a comment", lambda text: "# nothing\n", ("title", "missing")),
    ("latin-1", lambda text: text.replace("Fen survey", "Fen relevé").encode("latin-1", "replace"), ("line 1", "UTF-8")),
    ("utf-16", lambda text: text.encode("utf-16"), ("UTF-8",)),
    ("broken quote", lambda text: text.replace('title = "Fen survey"', 'title = "Fen survey'), ("line 7", "TOML")),
    ("no value", lambda text: text.replace("revision = 1", "revision ="), ("line 8", "TOML")),
    ("no quotes", lambda text: text.replace('length = "14 ft"', "length = 14 ft"), ("line 29", "TOML")),
    ("double key", lambda text: text.replace("revision = 1", "revision = 1\nrevision = 2"), ("line 9", "TOML")),
    ("double table", lambda text: text + "\n[site]\n", ("line 6", "site")),
    ("impossible date", lambda text: text.replace('"Fen survey"', "2024-13-45"), ("line 7", "TOML")),
    ("nul", lambda text: text.replace("Fen", "F\0n"), ("line", "TOML")),
    ("nan", lambda text: text.replace("latitude = 44.6", "latitude = nan"), ("site.latitude", "nan")),
    ("inf", lambda text: text.replace("latitude = 44.6", "latitude = 1e400"), ("site.latitude", "inf")),
    ("two megabytes", lambda text: text + "# " + "x" * 2_000_000, ("1000 kB",)),
    ("two megabytes of noughts", lambda text: b"\0" * 2_000_000, ("1000 kB",)),
    ("long name", lambda text: text.replace('class = "kettle"', f'class = "{"x" * 100_000}"'), ('load "kettle", class',)),
] + [
    (f"{kind} {depth} deep", put_before(front), ())
    for depth in (50, 200, 1000, 3000)
    for kind, front in (
        ("lists", "x = " + "[" * depth + "]" * depth),
        ("tables", "x = " + "{a=" * depth + "1" + "}" * depth),
        ("keys", "a." * depth + "a = 1"),
    )
]  # fmt: skip


@pytest.mark.parametrize(("change", "says"), [case[1:] for case in TEXTS], ids=[case[0] for case in TEXTS])
def test_a_bad_file_gives_one_sentence_that_begins_with_its_name(
    file: Path, change: Callable[[str], str | bytes], says: tuple[str, ...]
) -> None:
    text = change(file.read_text(encoding="utf-8"))
    file.write_bytes(text.encode() if isinstance(text, str) else text)
    with pytest.raises(tl.DesignError) as caught:
        tl.read_design(file)
    sentence = one_sentence(caught.value)
    assert sentence.startswith("trailer.toml")
    assert not [word for word in says if word not in sentence], sentence


def test_a_mark_that_some_editors_put_at_the_front_does_no_harm(file: Path) -> None:
    file.write_bytes(with_bom(file.read_text(encoding="utf-8")))
    assert tl.read_design(file).title == "Fen survey"


def test_line_ends_of_another_system_do_no_harm(file: Path, demo: tl.Design) -> None:
    file.write_bytes(file.read_bytes().replace(b"\n", b"\r\n"))
    assert tl.read_design(file).raw == demo.raw


@pytest.mark.parametrize("name", ["missing.toml", "", "x" * 300, "nul\0byte.toml", "folder/missing.toml"])
def test_a_file_that_is_not_there_gives_one_sentence(tmp_path: Path, name: str) -> None:
    with pytest.raises(tl.DesignError) as caught:
        tl.read_design(tmp_path / name)
    one_sentence(caught.value)


def test_a_folder_is_no_file(tmp_path: Path) -> None:
    with pytest.raises(tl.DesignError) as caught:
        tl.read_design(tmp_path)
    assert tmp_path.name in one_sentence(caught.value)


JUNK = st.one_of(
    st.none(), st.booleans(), st.integers(-(10**20), 10**20), st.floats(), st.text(max_size=20), st.just([]), st.just({}),
    st.lists(st.integers(), max_size=4), st.dictionaries(st.text(max_size=5), st.integers(), max_size=3),
    st.sampled_from(["1 ft", "-1 ft", "0 %", "100 %", "12 AWG", "battery", "all", "22:00-06:00", "1e9 W", "24:00", "<x>", "{subject}"]),
)  # fmt: skip


def branches(node: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    steps = list(node.items()) if isinstance(node, dict) else list(enumerate(node)) if isinstance(node, list) else []
    found = [(*path, key) for key, _ in steps]
    return found + [deeper for key, child in steps for deeper in branches(child, (*path, key))]


def change_at(raw: Any, path: tuple[Any, ...], how: str, junk: Any) -> None:
    here = raw
    for step in path[:-1]:
        here = here[step]
    if how == "remove":
        del here[path[-1]]
    elif how == "double" and isinstance(here, list):
        here.append(copy.deepcopy(here[path[-1]]))
    elif how == "add" and isinstance(here, dict):
        here[str(junk)] = junk
    else:
        here[path[-1]] = junk


@given(st.data())
@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_random_changes_raise_nothing_but_a_design_error(demo: tl.Design, data: st.DataObject) -> None:
    """One to three changes anywhere in the demo; what is still valid must also have an answer."""
    raw = plain(demo)
    for _ in range(data.draw(st.integers(1, 3))):
        path = data.draw(st.sampled_from(branches(raw)))
        change_at(raw, path, data.draw(st.sampled_from(["remove", "double", "add", "set", "set"])), data.draw(JUNK))
    try:
        design = tl.design_from(raw)
    except tl.DesignError as error:
        one_sentence(error)
    else:
        tl.assess(design)


@given(st.data())
@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow]
)
def test_random_changes_of_the_text_raise_nothing_but_a_design_error(tmp_path: Path, data: st.DataObject) -> None:
    text = tl.shipped_trailers()["one-lamp"].read_text(encoding="utf-8")
    for _ in range(data.draw(st.integers(1, 4))):
        at = data.draw(st.integers(0, len(text)))
        gone = data.draw(st.integers(0, 5))
        text = text[:at] + data.draw(st.text("[]{}=\"#.\n\\'abc019-: \t\r,", max_size=4)) + text[at + gone :]
    path = tmp_path / "lamp.toml"
    path.write_bytes(text.encode())
    try:
        tl.read_design(path)
    except tl.DesignError as error:
        one_sentence(error)
