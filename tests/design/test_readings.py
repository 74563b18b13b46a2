"""Readings beside a design: what a person types, what the file says, and that neither is ever lost."""

from __future__ import annotations

import os
import random
import shutil
import time
import tomllib
from pathlib import Path
from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st

import trailerlib as tl
from trailerlib.design.files import history, shipped_trailers
from trailerlib.design.readings import Readings, as_text, read_typed, readings_from, readings_path, unit_of

REST, DROP, BOND, ROD = "rest/battery volts", "alone/lamp/fuse drop", "bond/frame", "polarity/lamp/plus"
KILLS = 40


def line(asks: str, meter: str = "") -> SimpleNamespace:
    return SimpleNamespace(asks=asks, meter=meter, where="over the battery's posts")


VOLTS, MILLIVOLTS = line("voltage", "volts dc 20"), line("voltage", "millivolts dc")
AMPS, OHMS = line("current", "amps dc clamp"), line("resistance", "ohms")
MILLIOHMS, MEGOHMS = line("resistance", "milliohms"), line("resistance", "megohms")
TRIES = line("yes or no")


@pytest.fixture
def four() -> Readings:
    return (
        Readings()
        .with_(REST, tl.Reading(12.62, "voltage", "2026-03-01", "M. Keller"))
        .with_(DROP, tl.Reading(0.038, "voltage", "", "", 'read twice: "38" and 39 # the lamp was warm'))
        .with_(BOND, tl.Reading(1.5e6, "resistance"))
        .with_(ROD, tl.Reading(0.0, "yes or no", "2026-03-02"))
    )


# ── what a person types ──


@pytest.mark.parametrize(
    ("where", "text", "value"),
    [
        (VOLTS, "12.6", 12.6), (VOLTS, " 12.6 V ", 12.6), (VOLTS, "38 mV", 0.038), (VOLTS, "-0.05", -0.05),
        (VOLTS, "−0.05 V", -0.05), (VOLTS, "12.", 12.0), (VOLTS, ".5", 0.5),
        (MILLIVOLTS, "38", 0.038), (MILLIVOLTS, "0.25 V", 0.25), (AMPS, "4.2", 4.2), (AMPS, "300 mA", 0.3),
        (OHMS, "0.2", 0.2), (OHMS, "20 kohm", 20e3), (OHMS, "20 kΩ", 20e3), (OHMS, "12 mohm", 0.012),
        (MILLIOHMS, "12", 0.012), (MILLIOHMS, "100 ohm", 100.0), (MEGOHMS, "300", 300e6), (MEGOHMS, "900 kohm", 900e3),
        (TRIES, "yes", 1.0), (TRIES, "Y", 1.0), (TRIES, "no", 0.0), (TRIES, "0", 0.0),
        (VOLTS, "", None), (VOLTS, "-", None), (OHMS, " – ", None), (TRIES, "", None),
    ],
)  # fmt: skip
def test_what_is_typed_is_a_number_in_the_inside_unit(where: SimpleNamespace, text: str, value: float | None) -> None:
    assert read_typed(where, text) == (value if value is None else pytest.approx(value, rel=1e-12))


@pytest.mark.parametrize(
    ("where", "text", "says"),
    [
        (VOLTS, "12,6", "has a comma; write the number with a point, such as 12.6 V"),
        (VOLTS, "12.6 A", "is not a voltage"), (VOLTS, "about 12", "is not a voltage"), (VOLTS, "1e9 V", "too large"),
        (AMPS, "12.6 V", "is not a current"), (OHMS, "OL", "write the end of the range"),
        (OHMS, "-3", "less than nothing"), (OHMS, "nan", "is not a resistance"), (OHMS, "inf ohm", "is not a resist"),
        (MEGOHMS, "1.5 mohm", "m is a thousandth and M a million"), (MEGOHMS, "1.5 mΩ", "write 1.5 Mohm"),
        (MILLIOHMS, "12 Mohm", "write 12 mohm"),
        (TRIES, "12.6", 'write "yes" or "no"'), (TRIES, "maybe", "neither yes nor no"),
        (VOLTS, "<b>12</b>", "is not a voltage"), (VOLTS, "=1+1", "is not a voltage"), (VOLTS, "9" * 5000, "is not a"),
    ],
)  # fmt: skip
def test_what_cannot_be_read_is_one_sentence(where: SimpleNamespace, text: str, says: str) -> None:
    with pytest.raises(tl.DesignError) as caught:
        read_typed(where, text)
    sentence = str(caught.value)
    assert says in sentence and sentence.startswith("over the battery's posts: ")
    assert "\n" not in sentence and len(sentence) < 400


@given(st.text(max_size=80))
def test_any_text_at_all_is_read_or_refused(text: str) -> None:
    for where in (VOLTS, MILLIVOLTS, MEGOHMS, TRIES):
        try:
            value = read_typed(where, text)
        except tl.DesignError:
            continue
        assert value is None or abs(value) <= 1e11


def test_every_routine_line_of_every_trailer_says_its_unit() -> None:
    from trailerlib.studies.closing.sheet import sheet_of

    for path in shipped_trailers().values():
        for one in sheet_of(tl.read_design(path)).routine:
            assert (unit_of(one.line) == "") == (one.line.asks == "yes or no")
            if one.line.asks != "yes or no":
                assert read_typed(one.line, "7") == pytest.approx(read_typed(one.line, f"7 {unit_of(one.line)}"))


# ── one reading ──


@given(
    st.sampled_from(["voltage", "current", "resistance", "duration"]),
    st.floats(min_value=-10.0, max_value=2.5, allow_nan=False).map(lambda power: 10.0**power),
    st.sampled_from([1.0, -1.0, 0.0]),
)
def test_any_number_comes_back_from_the_file_as_it_was(asks: str, size: float, sign: float) -> None:
    if asks in ("resistance", "duration"):
        sign, size = abs(sign), min(size, 20.0)
    one = tl.Reading(sign * size, asks)
    assert one.value == pytest.approx(sign * size, rel=1e-11)
    again = readings_from(tomllib.loads(as_text(Readings().with_("a line", one))))
    assert again["a line"] == one


@pytest.mark.parametrize(
    ("value", "asks", "text"),
    [
        (12.6, "voltage", "12.6 V"), (0.038, "voltage", "38 mV"), (-0.0021, "voltage", "-2.1 mV"), (0.0, "voltage", "0 V"),
        (-0.0, "voltage", "0 V"), (0.3, "current", "300 mA"), (0.2, "resistance", "200 mohm"), (20e3, "resistance", "20 kohm"),
        (1.5e6, "resistance", "1.5 Mohm"), (0.0, "resistance", "0 ohm"), (1.0, "yes or no", "yes"), (0.0, "yes or no", "no"),
    ],
)  # fmt: skip
def test_a_reading_is_written_as_a_person_would(value: float, asks: str, text: str) -> None:
    assert tl.Reading(value, asks).text() == text


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"value": float("nan")}, "too large"), ({"value": 1e6}, "too large"), ({"asks": "weight"}, "is one of"),
        ({"value": 0.5, "asks": "yes or no"}, "neither yes nor no"), ({"on": "1.3.2026"}, "is not a date"),
        ({"on": "2026-02-30"}, "such as 2026-03-01"), ({"on": "20260301"}, "is not a date"),
        ({"by": "=cmd()"}, "by: "), ({"by": "x" * 41}, "at most 40"), ({"note": "<script>"}, "note: "),
        ({"note": "two\nlines"}, "note: "), ({"note": "\ud800"}, "note: "), ({"note": "x" * 201}, "at most 200"),
    ],
)  # fmt: skip
def test_what_is_no_reading_is_refused(given: dict[str, object], says: str) -> None:
    with pytest.raises(tl.DesignError, match=says):
        tl.Reading(**{"value": 12.6, "asks": "voltage", **given})  # type: ignore[arg-type]


def test_readings_are_replaced_and_never_changed(four: Readings) -> None:
    more = four.with_(REST, tl.Reading(12.5, "voltage")).without(DROP)
    assert four.values() == {REST: 12.62, DROP: 0.038, BOND: 1.5e6, ROD: 0.0}
    assert more.values() == {REST: 12.5, BOND: 1.5e6, ROD: 0.0}
    assert (len(four), DROP in four, DROP in more, more.get(DROP), list(more)) == (
        4,
        True,
        False,
        None,
        [REST, BOND, ROD],
    )
    with pytest.raises(TypeError):
        four.taken[REST] = tl.Reading(1.0, "voltage")  # type: ignore[index]
    for key in ("", "<b>", "two\nlines", "x" * 201):
        with pytest.raises(tl.DesignError):
            four.with_(key, tl.Reading(1.0, "voltage"))


# ── the file ──


def test_without_a_file_nothing_was_measured(file: Path) -> None:
    assert tl.read_readings(file) == Readings() and not readings_path(file).exists()


def test_a_round_trip(file: Path, four: Readings) -> None:
    saved = tl.save_readings(four, file)
    again = tl.read_readings(file)
    assert readings_path(file).name == "trailer.readings.toml"
    assert again == saved and dict(again.taken) == dict(four.taken)
    assert 'measured = "38 mV"' in readings_path(file).read_text(encoding="utf-8")
    assert tl.read_design(file).title == "Fen survey"  # the design beside it is as it was


def test_every_save_is_a_revision_and_the_text_before_is_kept(file: Path, four: Readings) -> None:
    first = tl.save_readings(four, file)
    text = readings_path(file).read_text(encoding="utf-8")
    second = tl.save_readings(first.without(DROP), file)
    assert second.revision == first.revision + 1
    assert [old.read_text(encoding="utf-8") for old in history(readings_path(file))] == [text]
    assert history(file) == []


def test_comments_stay_where_they_are(file: Path) -> None:
    readings_path(file).write_text(
        '# measured in the yard\nrevision = 7\n\n[reading]  # by walking order\n"rest/battery volts" = "12.6 V"  # cold\n'
        '# the next one twice\n"alone/lamp/fuse drop" = { measured = "38 mV", on = 2026-03-01 }\n',
        encoding="utf-8",
    )
    read = tl.read_readings(file)
    assert read.revision == 7 and read[DROP].on == "2026-03-01" and read[REST].value == 12.6
    saved = tl.save_readings(
        read.with_(REST, tl.Reading(12.7, "voltage")).with_(ROD, tl.Reading(1.0, "yes or no")), file
    )
    text = readings_path(file).read_text(encoding="utf-8")
    for words in ("# measured in the yard", "# by walking order", "# cold", "# the next one twice", "on = 2026-03-01"):
        assert words in text
    assert saved.revision == 8 and tl.read_readings(file) == saved and saved[REST].value == 12.7


def test_a_file_that_changed_meanwhile_is_not_overwritten(file: Path, four: Readings) -> None:
    mine = tl.save_readings(four, file)
    theirs = tl.save_readings(tl.read_readings(file).without(BOND), file)
    before = readings_path(file).read_bytes()
    with pytest.raises(tl.DesignError, match=r"^trailer\.readings\.toml: it has changed on disk .*\.mine-1\.toml"):
        tl.save_readings(mine.with_(REST, tl.Reading(11.9, "voltage")), file)
    assert readings_path(file).read_bytes() == before and tl.read_readings(file) == theirs
    spare = file.with_name("trailer.readings.mine-1.toml")
    assert readings_from(tomllib.loads(spare.read_text(encoding="utf-8")))[REST].value == 11.9


def test_new_readings_do_not_replace_a_file_that_is_there(file: Path, four: Readings) -> None:
    tl.save_readings(four, file)
    with pytest.raises(tl.DesignError, match="has changed on disk"):
        tl.save_readings(Readings(), file)
    assert len(tl.read_readings(file)) == 4


def test_readings_beside_a_shipped_trailer_are_no_trailer(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shutil.copytree(tl.shipped_trailers()["one-lamp"].parent, tmp_path / "trailers")
    monkeypatch.setattr("trailerlib.reference.data_root", lambda: tmp_path)
    names = list(tl.shipped_trailers())
    tl.save_readings(Readings().with_(REST, tl.Reading(12.6, "voltage")), tl.shipped_trailers()["one-lamp"])
    assert list(tl.shipped_trailers()) == names


BAD = [
    ("x", "not valid TOML"),
    ("reading = 3", "this is not a table"),
    ("revision = true", "whole number"),
    ("revision = -1", "whole number"),
    ("other = 1", "other: this is not known here"),
    ('[reading]\n"a/b" = "12,6 V"', 'reading "a/b": "12,6 V" is not a reading; write a number with a point'),
    ('[reading]\n"a/b" = 12.6', "the quantity is missing"),
    ('[reading]\n"a/b" = "12.6"', "its unit"),
    ('[reading]\n"a/b" = true', "the quantity is missing"),
    ('[reading]\n"a/b" = { measured = 3 }', "is not a reading"),
    ('[reading]\n"a/b" = { measured = "3 V", colour = "red" }', "colour is not known here"),
    ('[reading]\n"a/b" = { measured = "3 V", on = "yesterday" }', "is not a date"),
    ('[reading]\n"a/b" = { measured = "3 V", by = 7 }', "by: "),
    ('[reading]\n"<b>" = "3 V"', "the key of a line"),
    ('[reading]\n"" = "3 V"', "needs the key of its line"),
    ('[reading]\n"a/b" = "3 parsec"', "is not a reading"),
    ('[reading]\n"a/b" = "1e9 V"', "too large"),
    ('[reading]\n"a" = "3 V"\n"a" = "4 V"', "not valid TOML"),
    ("a = " + "[" * 5000, "it is not a list of readings"),
]


@pytest.mark.parametrize(("text", "says"), BAD)
def test_a_bad_file_is_one_sentence(file: Path, text: str, says: str) -> None:
    readings_path(file).write_text(text, encoding="utf-8")
    with pytest.raises(tl.DesignError) as caught:
        tl.read_readings(file)
    sentence = str(caught.value)
    assert sentence.startswith("trailer.readings.toml: ") and says in sentence
    assert "\n" not in sentence and len(sentence) < 400


@pytest.mark.parametrize("data", [b"\xff\xfe", b"#" * 1_000_001, b"\x00"])
def test_a_file_that_is_no_text_is_one_sentence(file: Path, data: bytes) -> None:
    readings_path(file).write_bytes(data)
    with pytest.raises(tl.DesignError, match=r"^trailer\.readings\.toml[:,] [^\n]*[.?]$"):
        tl.read_readings(file)


HOSTILE = ('"]\nrevision = 99', "' # \\u0041 \\", "[reading]", '"""', "a = 1, b = {c}", "${HOME} $(ls)", "łódź 湖 🙂")


@pytest.mark.parametrize("text", HOSTILE)
def test_what_is_written_does_nothing_in_the_file(file: Path, text: str) -> None:
    """As a note and as a key: either refused or a text that comes back, and nothing beside it."""
    readings = Readings()
    try:
        readings = readings.with_(REST, tl.Reading(12.6, "voltage", note=text))
        readings = readings.with_(f"alone/{text}/volts", tl.Reading(12.5, "voltage"))
    except tl.DesignError:
        assert "\n" in text  # only what is no line of text is refused
        return
    tl.save_readings(readings, file)
    again = tl.read_readings(file)
    assert dict(again.taken) == dict(readings.taken) and again.revision == 1
    saved = tl.save_readings(again.with_(REST, tl.Reading(12.7, "voltage", note=text)), file)
    assert tl.read_readings(file) == saved and saved.revision == 2


def test_a_folder_that_cannot_be_written_is_one_sentence(tmp_path: Path, four: Readings) -> None:
    (tmp_path / "blocked").write_text("", encoding="utf-8")
    with pytest.raises(tl.DesignError, match=r"cannot be written \([^\n]*\); nothing was changed\.$"):
        tl.save_readings(four, tmp_path / "blocked" / "trailer.toml")


def forked_saver(file: Path) -> int:
    """A process that saves readings in a loop until it is killed."""
    child = os.fork()
    if child == 0:
        number = 0
        while True:
            number += 1
            tl.save_readings(tl.read_readings(file).with_(REST, tl.Reading(12.0 + number % 90 / 100, "voltage")), file)
    return child


def test_a_kill_at_any_moment_leaves_a_whole_file_and_no_lock(small_file: Path, four: Readings) -> None:
    file, chance = small_file, random.Random(11)
    tl.save_readings(four, file)
    start = tl.read_readings(file).revision
    for _ in range(KILLS):
        before, patience = readings_path(file).read_bytes(), time.monotonic() + 30.0
        child = forked_saver(file)
        while readings_path(file).read_bytes() == before and time.monotonic() < patience:
            time.sleep(0.001)
        time.sleep(chance.uniform(0.0, 0.03))
        os.kill(child, 9)
        os.waitpid(child, 0)
        read = tl.read_readings(file)
        assert set(read) == set(four) and read[DROP] == four[DROP]
        began = time.monotonic()
        tl.save_readings(read, file)
        assert time.monotonic() - began < 5.0, "a lock was left behind"
    assert tl.read_readings(file).revision >= start + 2 * KILLS, "every killed process was in the midst of saving"
    visible = {path.name for path in file.parent.iterdir() if not path.name.startswith(".")}
    assert visible == {"trailer.toml", "trailer.readings.toml", "trailer.readings.history"}
    for old in history(readings_path(file)):
        assert set(readings_from(tomllib.loads(old.read_text(encoding="utf-8")))) == set(four)
