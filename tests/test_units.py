"""What a person writes becomes SI, and SI becomes what a person reads."""

from __future__ import annotations

import math
import re
from typing import cast

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trailerlib import quantities, times, units

SYSTEMS: tuple[units.System, ...] = ("us", "metric")
PLAIN = re.compile(r"−?\d+(\.\d+)?")
EXPONENT = re.compile(r"\d[eE][+-]?\d")

# Definitions: international foot 0.3048 m and pound 0.45359237 kg exactly (1959 agreement), US gallon 231 in³.
READ = [
    ("14 ft", "length", 14 * 0.3048),
    ("14ft", "length", 14 * 0.3048),
    ("5 ft 6 in", "length", 5.5 * 0.3048),
    ("5'6\"", "length", 5.5 * 0.3048),
    ("5′ 6 1/2″", "length", 66.5 * 0.0254),
    ("7/8 in", "small length", 0.875 * 0.0254),
    ("1 7/8 in", "small length", 1.875 * 0.0254),
    ("1-7/8 in", "small length", 1.875 * 0.0254),
    ("-2 in", "length", -2 * 0.0254),
    ("−1 1/2 in", "length", -1.5 * 0.0254),
    ("-2 ft 6 in", "length", -2.5 * 0.3048),
    ("−2′ 6 1/2″", "length", -30.5 * 0.0254),
    ("-0 ft 6 in", "length", -6 * 0.0254),
    (".5 m", "length", 0.5),
    ("1e1 m", "length", 10.0),
    ("4.2 m", "length", 4.2),
    ("42 cm", "length", 0.42),
    ("5200 ft", "elevation", 5200 * 0.3048),
    ("68 lb", "mass", 68 * 0.45359237),
    ("1.5 kW", "power", 1500.0),
    ("300 mA", "current", 0.3),
    ("10 kA", "current", 10_000.0),
    ("4 mohm", "resistance", 0.004),
    ("4 mΩ", "resistance", 0.004),
    ("20 kohm", "resistance", 20e3),
    ("20 kΩ", "resistance", 20e3),
    ("1.5 Mohm", "resistance", 1.5e6),
    ("1.5 MΩ", "resistance", 1.5e6),
    ("100 Ah", "charge", 100.0),
    ("1.2 kWh", "energy", 1200.0),
    ("90 min", "duration", 1.5),
    ("1 gal", "volume", 231 * 2.54**3 / 1000),
    ("1 gal/h", "fuel rate", 231 * 2.54**3 / 1000),
    ("95 °F", "temperature", 35.0),
    ("-40 F", "temperature", -40.0),
    ("0 °C", "temperature", 0.0),
    ("80 %", "fraction", 0.8),
]


@pytest.mark.parametrize(("text", "kind", "value"), READ)
def test_what_a_person_writes_is_read(text: str, kind: str, value: float) -> None:
    assert quantities.read(text, kind) == pytest.approx(value, rel=1e-10, abs=1e-12)


REFUSED = [
    ("", "length"), (" ", "length"), ("14", "length"), ("ft", "length"), ("14 foot-long", "length"), ("14 ftt", "length"),
    ("14 lb", "length"), ("14 ft 6", "length"), ("6 in 5 ft", "length"), ("5 ft 13 in", "length"), ("5 ft 6 in 2 in", "length"),
    ("ft 14", "length"), ("1/0 in", "length"), ("1.2.3 ft", "length"), ("1,5 m", "length"), ("- 5 ft", "length"),
    ("nan m", "length"), ("inf m", "length"), ("1e999 m", "length"), ("14 ft;", "length"), ("=14 ft", "length"),
    ("14 ft\n14 ft", "length"), ("2 ft -6 in", "length"), ("-2 ft -6 in", "length"), ("--2 ft 6 in", "length"),
    ("- 2 ft 6 in", "length"), ("-2 ft 13 in", "length"), ("-6 in 2 ft", "length"), ("0x10 m", "length"), ("1_000 m", "length"), ("95", "temperature"), ("95 K", "temperature"),
    ("95 °F 3 °F", "temperature"), ("80", "fraction"), ("0.8", "fraction"), ("12 AWG", "current"), ("15 V", "current"),
    ("9" * 400 + "/1 ft", "length"), ("9" * 5000 + "/1 ft", "length"), ("1/" + "9" * 5000 + " ft", "length"),
    ("9" * 400 + " 1/2 ft", "length"), ("9" * 400 + " ft", "length"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "kind"), REFUSED, ids=[f"{text[:12]!r}-{kind}" for text, kind in REFUSED])
def test_what_is_no_quantity_is_refused_in_one_sentence_with_an_example(text: str, kind: str) -> None:
    with pytest.raises(units.UnitError) as caught:
        quantities.read(text, kind)
    message = str(caught.value)
    assert message.endswith(".") and "\n" not in message
    assert units.KINDS[kind].example in message
    assert len(message) < 300


@given(st.text(max_size=30), st.sampled_from(sorted(units.KINDS)))
@settings(max_examples=300, deadline=None)
def test_any_text_is_a_finite_number_or_a_unit_error(text: str, kind: str) -> None:
    try:
        value = quantities.read(text, kind)
    except units.UnitError as error:
        assert "\n" not in str(error) and units.KINDS[kind].example in str(error)
    else:
        assert math.isfinite(value)


@given(st.text("0123456789/-+. eE'\"ftinm", max_size=14))
@settings(max_examples=400, deadline=None)
def test_texts_that_almost_are_lengths_never_break_it(text: str) -> None:
    try:
        assert math.isfinite(quantities.read(text, "length"))
    except units.UnitError as error:
        assert "\n" not in str(error)


@given(st.floats(-0.9e6, 0.9e6), st.sampled_from(sorted(units.KINDS)), st.sampled_from(SYSTEMS))
@settings(max_examples=400, deadline=None)
def test_what_is_written_reads_back(value: float, kind: str, system: units.System) -> None:
    """Four decimals are kept, so a value comes back to 0.00005 of the shown unit."""
    text = units.written(value, kind, system)
    assert not EXPONENT.search(text), text
    assert units.outside(quantities.read(text, kind), kind, system) == pytest.approx(value, abs=0.5001e-4, rel=1e-9)


@pytest.mark.parametrize("value", [0.0, 1.0, 14.5, 1234567.0, 1e9, 0.0001, -0.00001, 123456.7])
def test_written_has_no_exponent_and_no_minus_zero(value: float) -> None:
    text = units.written(value, "power", "us")
    assert re.fullmatch(r"-?\d+(\.\d+)? W", text), text
    assert not re.match(r"-0(\.0*)? ", text), text


@given(st.floats(-1e7, 1e7), st.sampled_from(sorted(units.KINDS)), st.sampled_from(SYSTEMS))
@settings(max_examples=200, deadline=None)
def test_outside_turns_reading_round(value: float, kind: str, system: units.System) -> None:
    shown = units.outside(value, kind, system)
    word = units.unit(kind, system).replace("mΩ", "mohm")
    assert quantities.read(f"{shown:.15f} {word}", kind) == pytest.approx(value, rel=1e-9, abs=1e-9)


@given(st.floats(allow_nan=False, allow_infinity=False, min_value=-1e15, max_value=1e15))
@settings(max_examples=400, deadline=None)
def test_three_significant_figures_and_never_an_exponent(value: float) -> None:
    text = units.figures(value)
    assert PLAIN.fullmatch(text), text
    back = float(text.replace("−", "-"))
    assert back == pytest.approx(value, rel=0.5001e-2)
    if value and 1e-9 < abs(value) < 100:
        digits = text.replace("−", "").replace(".", "").lstrip("0")
        assert len(digits) == 3, text


@pytest.mark.parametrize(
    ("value", "text"),
    [(0.0, "0"), (0.0123, "0.0123"), (14.0, "14.0"), (1230.0, "1230"), (1234.0, "1230"), (999.9, "1000"), (0.9999, "1.00"),
     (99.96, "100"), (9.996, "10.0"), (-3.14159, "−3.14"), (float("nan"), "–"), (float("inf"), "–")],
)  # fmt: skip
def test_figures(value: float, text: str) -> None:
    assert units.figures(value) == text


@pytest.mark.parametrize(
    ("value", "kind", "system", "text"),
    [(4.2672, "length", "us", "14.0 ft"), (4.2672, "length", "metric", "4.27 m"), (35.0, "temperature", "us", "95 °F"),
     (35.0, "temperature", "metric", "35 °C"), (-3.0, "temperature", "metric", "−3 °C"), (0.0219, "fraction", "us", "2.19 %"),
     (0.004, "resistance", "metric", "4.00 mΩ"), (None, "length", "us", "–"), (float("nan"), "power", "us", "–"),
     (-0.3, "temperature", "metric", "0 °C"), (-17.9, "temperature", "us", "0 °F")],
)  # fmt: skip
def test_show(value: float | None, kind: str, system: str, text: str) -> None:
    assert units.show(value, kind, cast("units.System", system)) == text


@given(st.integers(0, 24 * 60))
def test_a_time_of_day_reads_back(minutes: int) -> None:
    text = f"{minutes // 60:02d}:{minutes % 60:02d}"
    assert times.read_clock(text) == pytest.approx(minutes / 60)
    assert times.clock(times.read_clock(text)) == ("00:00" if minutes == 1440 else text)


@given(st.floats(-100, 200))
def test_a_clock_is_always_a_time_of_day(hours: float) -> None:
    text = times.clock(hours)
    away = abs(times.read_clock(text) - hours) % 24
    assert min(away, 24 - away) <= 0.5 / 60 + 1e-9


@pytest.mark.parametrize(
    "text", ["25:00", "24:01", "12:60", "12", "noon", "", "-1:00", "12:5", "12:00:00", "1200", "7pm"]
)
def test_no_time_of_day_is_refused_with_an_example(text: str) -> None:
    with pytest.raises(units.UnitError) as caught:
        times.read_clock(text)
    assert str(caught.value).endswith('such as "22:30".') and "\n" not in str(caught.value)


@given(st.floats(0, 500))
def test_a_span_reads_back_to_half_a_minute(hours: float) -> None:
    text = times.span(hours)
    match = re.fullmatch(r"(?:(\d+) h)? ?(?:(\d+) min)?", text)
    assert match is not None, text
    assert int(match[1] or 0) + int(match[2] or 0) / 60 == pytest.approx(hours, abs=0.5 / 60 + 1e-9)
    assert int(match[2] or 0) < 60


@given(st.text(max_size=300))
def test_a_shortened_text_stays_on_one_line(text: str) -> None:
    short = units.shorten(text)
    assert len(short) <= 60 and len(short.splitlines()) <= 1
