"""What the shipped fonts can draw is read off their character maps."""

from __future__ import annotations

import string

from trailerlib.buildfile import glyphs
from trailerlib.rules.finding import MARKS


def test_the_licence_lies_beside_the_fonts() -> None:
    licence = (glyphs.font_folder() / "OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence and "Copyright" in licence
    assert len(list(glyphs.font_folder().glob("*.otf"))) == 2


def test_latin_greek_cyrillic_and_the_signs_of_the_pages_are_drawn() -> None:
    for text in (string.printable, "абвгдежзийклмнопрстуфхцчшщъыьэюяЄєЇї", "αβγδεζηθικλμνξοπρστυφχψωΩ",
                 "×·−–—…“”’°²³½≤≥→", "".join(MARKS.values())):  # fmt: skip
        assert glyphs.undrawable(text) == ""


def test_other_scripts_and_hidden_characters_are_not() -> None:
    for text in ("湖", "あ", "한", "א", "😀", "\u202e", "\ue000"):
        assert glyphs.undrawable(text) == text


def test_a_stretch_gets_one_mark() -> None:
    assert glyphs.marked("lake 湖边 house") == f"lake {glyphs.MARK} house"
    assert glyphs.marked("plain") == "plain"


def test_places_are_said_in_words() -> None:
    raw = {"title": "湖", "load": [{"name": "lamp"}, {"name": "灯"}], "stay": [{"on": {"灯": "all"}}]}
    assert glyphs.needs_a_font(raw) == [
        "title (U+6E56)", "load 2, name (U+706F)", f"stay 1, on, the key {glyphs.MARK} (U+706F)",
    ]  # fmt: skip
