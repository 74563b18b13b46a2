"""What the shipped fonts can draw is read off their character maps."""

from __future__ import annotations

import string
import subprocess
import sys

import pytest
from fontTools.ttLib import TTFont

from trailerlib.buildfile import faces, glyphs
from trailerlib.buildfile.type_width import POINT_MM, SPARE, width_mm, wrapped
from trailerlib.rules.finding import MARKS


def test_the_licences_lie_beside_the_fonts() -> None:
    folder = faces.font_folder()
    said = {file.name: file.read_text(encoding="utf-8") for file in folder.glob("*.txt")}
    assert "SIL OPEN FONT LICENSE Version 1.1" in said["OFL.txt"] and "Copyright" in said["OFL.txt"]
    assert "Apache License" in said["Apache-2.0.txt"] and "Version 2.0, January 2004" in said["Apache-2.0.txt"]
    files = {file.name for file in folder.iterdir()} - set(said)
    assert files == set(faces.FILES.values())
    assert all(any(name in text for text in said.values()) for name in files)


@pytest.mark.parametrize("key", faces.FILES)
def test_letters_and_their_widths_are_those_a_font_library_reads(key: tuple[str, bool]) -> None:
    """Independent: fontTools' own reading of the same file; only letters with an empty drawing are left out."""
    font = TTFont(faces.font_folder() / faces.FILES[key], fontNumber=0, lazy=True)
    found, theirs, widths = faces.face(*key), font.getBestCmap(), font["hmtx"].metrics
    assert found.glyphs.keys() <= theirs.keys()
    if "glyf" in font:
        empty = {c for c, name in theirs.items() if font["glyf"][name].numberOfContours == 0}
        assert theirs.keys() - found.glyphs.keys() == empty
    else:
        assert theirs.keys() == found.glyphs.keys()
    for point in list(found.glyphs)[::7]:
        assert found.advance(point) == pytest.approx(widths[theirs[point]][0] / font["head"].unitsPerEm, abs=1e-12)


def test_the_second_face_is_not_opened_for_what_the_first_draws() -> None:
    code = (
        "from trailerlib.buildfile import faces, glyphs, type_width as t; opened = [];"
        "read = faces._read; faces._read = lambda font: opened.append(len(font)) or read(font);"
        "glyphs.marked('Полевой 12 V'); t.width_mm('lamp', 9.0); first = len(opened);"
        "glyphs.marked('灯'); glyphs.marked('水泵'); t.width_mm('灯', 9.0); print(first, len(opened), max(opened))"
    )
    said = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.split()
    size = (faces.font_folder() / faces.FILES[faces.SECOND, False]).stat().st_size
    assert said == ["2", "3", str(size)]


def test_latin_greek_cyrillic_and_the_signs_of_the_pages_are_drawn() -> None:
    for text in (string.printable, "абвгдежзийклмнопрстуфхцчшщъыьэюяЄєЇї", "αβγδεζηθικλμνξοπρστυφχψωΩ",
                 "×·−–—…“”’°²³½≤≥→", "".join(MARKS.values())):  # fmt: skip
        assert glyphs.undrawable(text) == ""


def test_chinese_japanese_and_korean_are_drawn_by_the_second_face() -> None:
    for text in ("湖边的灯", "书桌台灯", "書斎のランプ、キッチン", "책상 위 램프", "（１２伏）：水泵。", "\u3000"):
        assert glyphs.undrawable(text) == "" and glyphs.marked(text) == text
    assert not any(glyphs.in_first(letter) for letter in "湖あ한")


def test_what_no_face_draws_is_marked() -> None:
    for text in ("א", "ع", "ก", "😀", "\u202e", "\ue000", "\u3164"):  # the last has an empty drawing in the second face
        assert glyphs.undrawable(text) == text


def test_a_stretch_gets_one_mark() -> None:
    assert glyphs.marked("lake אגם 湖边 house") == f"lake {glyphs.MARK} 湖边 house"
    assert glyphs.marked("]^-😀\\") == f"]^-{glyphs.MARK}\\"
    assert glyphs.marked("plain") == "plain"


def test_places_are_said_in_words() -> None:
    raw = {"title": "אג", "load": [{"name": "灯"}, {"name": "ע"}], "stay": [{"on": {"ע": "all"}}]}
    assert glyphs.needs_a_font(raw) == [
        "title (U+05D0 U+05D2)", "load 2, name (U+05E2)", f"stay 1, on, the key {glyphs.MARK} (U+05E2)",
    ]  # fmt: skip


def test_a_text_without_spaces_is_broken_between_its_signs() -> None:
    text, size = "湖边工作台上方的灯（左）和水泵", 10.0
    em = SPARE * size * POINT_MM
    assert width_mm("湖边", size) == pytest.approx(2 * em * faces.face(faces.SECOND).advance(ord("湖")))
    lines = wrapped(text, size, 4.5 * em)
    assert lines is not None and "".join(lines) == text and len(lines) > 3
    assert all(width_mm(line, size) <= 4.5 * em for line in lines)
    assert not any(line[0] in "）」。、" or line[-1] in "（「" for line in lines)
    assert wrapped("bench lamp 湖边", size, 100.0) == ["bench lamp 湖边"]
    assert wrapped("lamp_without_a_space", size, 2 * em) is None
