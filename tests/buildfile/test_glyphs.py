"""What the shipped fonts can draw is read off their character maps."""

from __future__ import annotations

import string

from fontTools.ttLib import TTFont

from trailerlib.buildfile import faces, glyphs
from trailerlib.rules.finding import MARKS


def test_the_licence_lies_beside_the_fonts() -> None:
    folder = faces.font_folder()
    licence = (folder / "OFL.txt").read_text(encoding="utf-8")
    assert "SIL OPEN FONT LICENSE Version 1.1" in licence and "Copyright" in licence
    assert "Apache License" in (folder / "Apache-2.0.txt").read_text(encoding="utf-8")
    assert {file.name for file in folder.glob("*.[ot]t[fc]")} == set(faces.FILES.values())


def test_characters_and_widths_are_what_a_font_library_reads() -> None:
    """fontTools, written by others, on the same files."""
    for (family, bold), name in faces.FILES.items():
        read = TTFont(faces.font_folder() / name, fontNumber=0 if name.endswith(".ttc") else -1)
        names, widths, face = read.getBestCmap(), read["hmtx"].metrics, faces.face(family, bold)
        assert face.per_em == read["head"].unitsPerEm and len(face.glyphs) > 2000
        assert face.glyphs.keys() <= names.keys()
        for point in sorted(face.glyphs)[::7]:
            assert face.advance(point) == widths[names[point]][0] / face.per_em, (name, hex(point))


def test_latin_greek_cyrillic_and_the_signs_of_the_pages_are_drawn() -> None:
    for text in (string.printable, "абвгдежзийклмнопрстуфхцчшщъыьэюяЄєЇї", "αβγδεζηθικλμνξοπρστυφχψωΩ",
                 "×·−–—…“”’°²³½≤≥→", "".join(MARKS.values())):  # fmt: skip
        assert glyphs.undrawable(text) == ""


def test_chinese_japanese_and_korean_are_drawn() -> None:
    for text in ("湖边 工作灯 电池 冷藏箱", "あいう カナ 電池", "한국어 전등", "鋁合金頂棚"):
        assert glyphs.undrawable(text) == "" and not glyphs.in_first(text[0])


def test_other_scripts_and_hidden_characters_are_not() -> None:
    for text in ("א", "😀", "\u202e", "\ue000"):
        assert glyphs.undrawable(text) == text


def test_a_stretch_gets_one_mark() -> None:
    assert glyphs.marked("lake אבג house") == f"lake {glyphs.MARK} house"
    assert glyphs.marked("plain") == "plain"


def test_places_are_said_in_words() -> None:
    raw = {"title": "א", "load": [{"name": "lamp"}, {"name": "ב"}], "stay": [{"on": {"ב": "all"}}]}
    assert glyphs.needs_a_font(raw) == [
        "title (U+05D0)", "load 2, name (U+05D1)", f"stay 1, on, the key {glyphs.MARK} (U+05D1)",
    ]  # fmt: skip
