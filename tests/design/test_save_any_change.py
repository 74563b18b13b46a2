"""Whatever is changed, and however the file is laid out: the file then says what was meant, and its remarks stay."""

from __future__ import annotations

import tempfile
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import trailerlib as tl

ODD = '''\
title = "Odd" # a remark
revision=4
units   =   'metric'
  fuse_block = "a = b # c" # another
site = { elevation = "10 m", hottest = "30 °C" } # inline
"use".sleepers = 2   # dotted, quoted
use.note = """two words""" # long quotes
trailer.length = "4 m"
trailer.width = "2 m"
trailer.height = "2 m"

# before the places
[[place]] # first
name = "a = b # c" # hash in a name
at = [ # over
  "1 m", # several
  "1 m",
  "1 m", ] # lines

[[place]]
at = ["2 m", "1 m", "1 m"]
name = 'lamp "one"'
[[circuit]]
name = "lamp"
system = "dc"
wire = "14 AWG"
run = "5 m" # no blank line before the next
[[load]]
name = "x.y"
class = "filament lamp"
circuit = "lamp"
[battery]
chemistry = "agm"
capacity = "100 Ah"

  [[stay]]   # indented
  name = "night"
  supply = "battery"
  from = "20:00"
  to = "06:00"
    [stay.on] # a table of its own
    # what is on
    lamp = "all" # all night
[safety]
# nothing is known yet
co_alarm = true # the last line has no end'''.replace('"x.y"', '"lamp"')

CHANGES: dict[str, st.SearchStrategy[Any]] = {
    "title": st.sampled_from(["New", 'quoted "words"', "back \\ slash", "a # b = c", "ünï", "'single'"]),
    "site.hottest": st.sampled_from(["31 °C", "95 °F", None]),
    "site.latitude": st.sampled_from([44.5, 0.1, -12, None]),
    "use.sleepers": st.sampled_from([0, 3, None]),
    "use.note": st.sampled_from(["short", None]),
    "battery.capacity": st.sampled_from(["50 Ah", "120.5 Ah"]),
    "battery.count": st.sampled_from([2, None]),
    "safety.co_alarm": st.sampled_from([True, False, None]),
    "safety.smoke_alarm": st.sampled_from([True, None]),
    "safety": st.sampled_from([{}, {"co_alarm": False}]),
    "charger": st.none(),
    "circuit.lamp.wire": st.sampled_from(["12 AWG", "2.5 mm2"]),
    "circuit.lamp.protection": st.sampled_from(["5 A", None]),
    "load.lamp.on": st.sampled_from([True, False, None]),
    "load.lamp.count": st.sampled_from([2, None]),
    "place.lamp.at": st.just(["3 m", "1 m", "1 m"]),
    "stay.night.on.lamp": st.sampled_from(["20:00-23:00", None]),
    "stay.evening.on.lamp": st.sampled_from(["20:00-23:00", None]),
    "stay.night.on": st.sampled_from([{}, {"lamp": "all"}]),
    "stay.night.ambient": st.sampled_from(["5 °C", None]),
    "supply": st.just([{"name": "shore", "kind": "shore 30 A"}]),
    "opening": st.just([]),
    "feeder": st.sampled_from([{"wire": "6 AWG", "run": "1 m"}, None]),
}  # fmt: skip


def texts() -> dict[str, str]:
    shipped = {name: path.read_text(encoding="utf-8") for name, path in tl.shipped_trailers().items()}
    return {**shipped, "odd": ODD, "odd with other line ends": ODD.replace("\n", "\r\n")}


def own_lines(text: str) -> list[str]:
    """The remarks that stand on lines of their own."""
    return [line.strip() for line in text.splitlines() if line.strip().startswith("#")]


def try_all(design: tl.Design, changes: dict[str, Any]) -> tl.Design:
    """The design with those of the changes that fit it."""
    for path, value in changes.items():
        if value is None and design.get(path) is None:
            continue
        try:
            design = design.replace(path, value)
        except tl.DesignError:
            continue
    return design


@pytest.mark.parametrize("name", ["fen-survey", "one-lamp", "odd", "odd with other line ends"])
@given(data=st.data())
@settings(max_examples=8, deadline=None)
def test_any_changes_are_saved_as_meant(name: str, data: st.DataObject) -> None:
    text = texts()[name]
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "trailer.toml"
        file.write_bytes(text.encode())
        wanted = tl.read_design(file)
        for _ in range(2):
            keys = data.draw(st.lists(st.sampled_from(sorted(CHANGES)), min_size=1, max_size=4, unique=True))
            wanted = tl.save_design(try_all(wanted, {key: data.draw(CHANGES[key]) for key in keys}))
            after = file.read_bytes().decode()
            assert dict(tl.read_design(file).raw) == dict(wanted.raw)
            assert own_lines(after) == own_lines(text)
            assert ("\r\n" in after) == ("\r\n" in text) and after.count("\r\n") in (0, after.count("\n"))


def one_save(text: str, path: str, value: Any, folder: Path) -> tuple[tl.Design, str]:
    file = folder / "trailer.toml"
    file.write_bytes(text.encode())
    tl.save_design(tl.read_design(file).replace(path, value))
    return tl.read_design(file), file.read_bytes().decode()


@pytest.mark.parametrize(
    ("path", "value", "old", "new"),
    [("title", "New", 'title = "Odd" # a remark', 'title = "New" # a remark'),
     ("units", "us", "units   =   'metric'", 'units   =   "us"'),
     ("use.sleepers", 3, '"use".sleepers = 2   # dotted, quoted', '"use".sleepers = 3   # dotted, quoted'),
     ("circuit.lamp.run", "6 m", 'run = "5 m" # no blank', 'run = "6 m" # no blank'),
     ("stay.night.from", "21:00", '  from = "20:00"', '  from = "21:00"'),
     ("stay.night.on.lamp", "20:00-21:00", 'lamp = "all" # all night', 'lamp = "20:00-21:00" # all night'),
     ("safety.co_alarm", False, "co_alarm = true # the last", "co_alarm = false # the last"),
     ("use.note", "other", 'use.note = """two words""" # long', 'use.note = "other" # long')],
)  # fmt: skip
def test_one_value_of_an_oddly_written_file(tmp_path: Path, path: str, value: Any, old: str, new: str) -> None:
    assert old in ODD
    design, after = one_save(ODD, path, value, tmp_path)
    assert design.get(path) == value
    assert after == ODD.replace(old, new).replace("revision=4", "revision=5")


@pytest.mark.parametrize(
    "text", ["", "# remark\u2028that an editor broke\n", "# remark with \x85 in it\n", "#\ttab\n", "\ufeff"]
)
def test_a_strange_first_line_does_no_harm(tmp_path: Path, text: str) -> None:
    design, after = one_save(text + ODD, "use.sleepers", 3, tmp_path)
    assert design.use.sleepers == 3
    assert after.lstrip("\ufeff") == (text + ODD).lstrip("\ufeff").replace("sleepers = 2", "sleepers = 3").replace(
        "revision=4", "revision=5"
    )


def test_emptying_a_timetable_keeps_every_remark(tmp_path: Path) -> None:
    text = tl.shipped_trailers()["fen-survey"].read_text(encoding="utf-8")
    design, after = one_save(text, "stay.night.on", {}, tmp_path)
    assert design.stay("night").on == {} and own_lines(after) == own_lines(text)


def test_turning_loads_round_keeps_every_remark(tmp_path: Path) -> None:
    text = tl.shipped_trailers()["fen-survey"].read_text(encoding="utf-8")
    raw = tl.read_design(tl.shipped_trailers()["fen-survey"]).raw
    design, after = one_save(text, "load", raw["load"][::-1], tmp_path)
    assert [load.name for load in design.loads] == [load["name"] for load in raw["load"]][::-1]
    assert own_lines(after) == own_lines(text)
