"""The PDF: what it says is what the answers say, and what a person typed stays text."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader

from trailerlib.buildfile import binder, pages
from trailerlib.buildfile.alike import gathered
from trailerlib.buildfile.drawings import _for_paper
from trailerlib.design.design import Design, design_from
from trailerlib.studies import assess
from trailerlib.studies.answer import Answer

DAY = "2026-11-25"
Read = Callable[[bytes], str]
ReadPages = Callable[[bytes], list[str]]
Strip = Callable[[str], str]
Change = Callable[[Callable[[dict[str, Any]], None]], Design]


def row_texts(answer: Answer) -> list[str]:
    """Every row of an answer as it stands on the page, table by table, all cells in a line."""
    return ["".join(row) for table in pages.tables(answer) for row in table["rows"]]


@pytest.mark.parametrize("system", ["us", "metric"])
def test_every_row_of_every_table_is_on_the_page(demo: Design, system: str, read_pdf: Read, strip: Strip) -> None:
    design = demo.replace("units", system)
    text = read_pdf(binder.parts(design, DAY)["pdf"])
    assessment = assess(design)
    rows = [row for answer in assessment.answers.values() for row in row_texts(answer)]
    assert len(rows) > 40
    missing = [row for row in rows if strip(row) not in text]
    assert not missing, missing[:3]


def test_every_number_and_sentence_is_on_the_page(
    demo: Design, made: dict[str, bytes], read_pdf: Read, strip: Strip
) -> None:
    text = read_pdf(made["pdf"])
    for answer in assess(demo).answers.values():
        assert strip(answer.sentence) in text
        for number in answer.numbers.values():
            assert strip(number.title + number.text(answer.system)) in text
        if answer.beside is not None:
            assert strip(answer.beside.note) in text


def test_a_number_that_is_not_computed_is_not_on_the_page(
    demo: Design, made: dict[str, bytes], read_pdf: Read, strip: Strip
) -> None:
    """The check above can fail: another battery, other numbers."""
    other = assess(demo.replace("battery.capacity", "173 Ah"))["night"].numbers["capacity_ah"]
    text = read_pdf(made["pdf"])
    assert strip(other.title + other.text("us")) not in text


def test_findings_bring_clause_and_remedy(demo: Design, made: dict[str, bytes], read_pdf: Read, strip: Strip) -> None:
    text = read_pdf(made["pdf"])
    found = assess(demo).finding_list
    assert found
    for finding in found:
        for words in (finding.text("us"), finding.mend("us"), finding.clause, finding.confidence, finding.severity):
            assert strip(words) in text


def test_cautions_stand_on_the_first_page(
    crowded_pdf: bytes, made: dict[str, bytes], strip: Strip, read_pages: ReadPages
) -> None:
    for data in (made["pdf"], crowded_pdf):
        first = read_pages(data)[0]
        for caution in pages.CAUTIONS:
            assert strip(caution) in first


def test_pages_are_numbered_and_carry_title_and_revision(made: dict[str, bytes], read_pages: ReadPages) -> None:
    sheets = read_pages(made["pdf"])
    for number, text in enumerate(sheets, start=1):
        assert f"page{number}of{len(sheets)}" in text
        assert "Fensurvey" in text and "revision1" in text


def test_paper_follows_the_units(demo: Design, made: dict[str, bytes]) -> None:
    """US letter is 612 × 792 points, A4 is 210 × 297 mm (ISO 216)."""
    letter = PdfReader(BytesIO(made["pdf"])).pages[0].mediabox
    assert (round(letter.width), round(letter.height)) == (612, 792)
    metric = PdfReader(BytesIO(binder.parts(demo.replace("units", "metric"), DAY)["pdf"])).pages[0].mediabox
    assert (round(float(metric.width) / 72 * 25.4), round(float(metric.height) / 72 * 25.4)) == (210, 297)


def test_the_pictures_are_in_it(demo: Design, made: dict[str, bytes], read_pdf: Read, strip: Strip) -> None:
    """Words that stand in the pictures alone."""
    text = read_pdf(made["pdf"])
    for words in (
        "curb side",
        "when it starts",
        "fitted",
        "usable floor",
        "what it gives",
        "power where the trailer stands",
    ):
        assert strip(words) in text


def test_two_runs_give_the_same_bytes(demo: Design, made: dict[str, bytes]) -> None:
    assert binder.parts(demo, DAY) == made


def test_another_process_on_another_day_of_the_clock_gives_the_same_bytes(made: dict[str, bytes]) -> None:
    """Nothing depends on the order of a set or on the time of day."""
    code = (
        "import hashlib; from trailerlib.buildfile import binder; from trailerlib.design.files import *;"
        f"p = binder.parts(read_design(shipped_trailers()['fen-survey']), '{DAY}');"
        "print({k: hashlib.sha256(v).hexdigest() for k, v in p.items()})"
    )
    import hashlib

    root = Path(binder.__file__).parents[2]
    shown = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=root,
                           env={"PYTHONHASHSEED": "7", "PYTHONPATH": str(root), "TZ": "Asia/Tokyo"})  # fmt: skip
    assert shown.stdout.strip() == str({key: hashlib.sha256(value).hexdigest() for key, value in made.items()})


HOSTILE = (
    "#text(red)", "$x^2$ bold", "*bold* _it_ `raw`", "#panic(1)", "[a] (b) {c}", "// gone /* gone */", "a \\ b \\u{41}",
    "label and @ref", '"quoted" \'q\'', "#read(\"x\")",
)  # fmt: skip


def test_markup_in_names_is_text(changed: Change, read_pdf: Read, strip: Strip) -> None:
    def spoil(raw: dict[str, Any]) -> None:
        raw["title"] = "#set page(width: 1cm) $ * _ ` \\"
        raw["use"]["note"] = "#import nothing; #pagebreak() [x"
        for load, name in zip(raw["load"], HOSTILE, strict=False):
            for stay in raw["stay"]:
                if load["name"] in stay.get("on", {}):
                    stay["on"][name] = stay["on"].pop(load["name"])
            load["name"] = name

    design = changed(spoil)
    text = read_pdf(binder.parts(design, DAY)["pdf"])
    for words in (design.title, design.use.note, *HOSTILE):
        assert strip(words) in text, words


def test_sixty_circuits_with_long_names_are_all_there(
    crowded: Design, crowded_pdf: bytes, read_pdf: Read, strip: Strip
) -> None:
    text = read_pdf(crowded_pdf)
    for part in (*crowded.circuits, *crowded.loads):
        assert strip(part.name) in text


def test_every_finding_of_a_large_trailer_is_on_paper(
    crowded: Design, crowded_pdf: bytes, read_pdf: Read, strip: Strip
) -> None:
    text, found = read_pdf(crowded_pdf), assess(crowded).finding_list
    told = gathered(found, "us")
    assert len(told) < len(found) / 5
    for finding, names in told:
        for words in (finding.text("us"), finding.mend("us"), finding.clause, *names.split("; ")):
            if len(words) < 300:  # a longer one is in the middle of a page break
                assert strip(words) in text, words
    assert sum(len(names.split("; ")) if names else 1 for _, names in told) == len(found)


def test_cyrillic_and_greek_are_drawn(changed: Change, read_pdf: Read) -> None:
    def rename(raw: dict[str, Any]) -> None:
        raw["title"], raw["use"]["note"] = "Полевой фургон", "Ελληνικά, naïve café, Ł ő ß"

    text = read_pdf(binder.parts(changed(rename), DAY)["pdf"])
    assert "Полевойфургон" in text and "Ελληνικά,naïvecafé,Łőß" in text
    assert "[?]" not in text and "doesnotdraw" not in text


def test_chinese_and_korean_are_printed(changed: Change, read_pages: ReadPages) -> None:
    def rename(raw: dict[str, Any]) -> None:
        raw["title"] = "湖边 전등 field van"
        for part in (*raw["place"], *raw["circuit"], raw["battery"]):
            part.update({key: "电池箱" for key, value in part.items() if value == "battery box"})

    parts = binder.parts(changed(rename), DAY)
    sheets = read_pages(parts["pdf"])
    assert "湖边전등fieldvan" in sheets[0] and "电池箱" in sheets[1] and not any("[?]" in sheet for sheet in sheets)
    assert binder.parts(changed(rename), DAY) == parts, "not the same bytes"


def test_latin_beside_chinese_in_a_drawing_keeps_its_face() -> None:
    svg = '<svg><title>灯</title><text x="1" font-weight="600">Lamp 湖边 &lt;b&gt; 灯</text><text>plain אג</text></svg>'
    lake, lamp = (f'<tspan font-family="WenQuanYi Micro Hei">{word}</tspan>' for word in ("湖边", "灯"))
    assert _for_paper(svg) == (
        f'<svg><title>灯</title><text x="1" font-weight="600">Lamp {lake} &lt;b&gt; {lamp}</text><text>plain [?]</text></svg>'
    )


def test_hebrew_is_marked_and_said_on_the_cover(changed: Change, read_pages: ReadPages) -> None:
    def rename(raw: dict[str, Any]) -> None:
        raw["title"], raw["use"]["note"] = "אב field van", "Plain words"
        for part in (*raw["place"], *raw["circuit"], raw["battery"]):
            part.update({key: "ג" for key, value in part.items() if value == "battery box"})

    data = binder.parts(changed(rename), DAY)["pdf"]
    sheets = read_pages(data)
    assert "[?]fieldvan" in sheets[0]
    assert (
        "lettersthattheshippedtypedoesnotdraw" in sheets[0]
        and "title(U+05D0U+05D1)" in sheets[0]
        and "place1,name(U+05D2)" in sheets[0]
    )
    assert not any("א" in sheet or "ג" in sheet for sheet in sheets)
    assert "[?]" in sheets[1]  # in the plan too


def test_a_trailer_with_next_to_nothing(one_lamp: Design, read_pdf: Read) -> None:
    raw = {
        key: value for key, value in one_lamp.raw.items() if key not in ("battery", "feeder", "stay", "load", "site")
    }
    text = read_pdf(binder.parts(design_from(raw), DAY)["pdf"])
    assert "Onelamp" in text and "notchecked" in text and "notgiven" in text


def test_an_answer_without_checks_is_never_a_pass(one_lamp: Design) -> None:
    answer = assess(one_lamp)["generator"]
    if answer.checks:
        raise AssertionError("this trailer has no generator: choose another answer for this test")
    assert pages.verdict(answer) == {"mark": "○", "word": "not checked"}
