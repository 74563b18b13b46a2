"""The form on the start page: what stands in it is what is written, and a slip is one sentence."""

from __future__ import annotations

import pytest

import trailerlib as tl
from trailerlib.bench.begin_form import begin_own
from trailerlib.design.begin_answers import Answers


@pytest.fixture
def form(tmp_path):
    file = tmp_path / "trailer.toml"
    file.write_text(tl.shipped_trailers()["fen-survey"].read_text(encoding="utf-8"), encoding="utf-8")
    return begin_own(tl.read_design(file)), file


def test_every_answer_has_a_field_and_every_field_a_label(form):
    page, _ = form
    assert set(page.fields) == set(Answers.__dataclass_fields__)
    assert all(field.description for field in page.fields.values())


def test_the_button_writes_what_stands_in_the_form(form):
    page, file = form
    page.fields["title"].value = "Bird count"
    page.fields["length"].value = "16 ft"
    page.fields["sleepers"].value = 0
    page.fields["chemistry"].value = "lfp"
    page.button.click()
    design = tl.read_design(file)
    assert "begun" in page.said.value and "assumed" in page.said.value
    assert (design.title, design.use.sleepers, design.battery.chemistry) == ("Bird count", 0, "lfp")
    assert design.trailer.length == pytest.approx(16 * 0.3048, abs=0.005)
    page.fields["title"].value = "Bird count two"
    page.button.click()
    assert tl.read_design(file).title == "Bird count two"


@pytest.mark.parametrize(
    ("key", "value", "said"),
    [("length", "banana", "Length inside"), ("capacity", "100", "Battery"), ("title", "<b>", "plain text")],
)
def test_a_slip_is_said_and_nothing_is_written(form, key, value, said):
    page, file = form
    before = file.read_text(encoding="utf-8")
    page.fields[key].value = value
    page.button.click()
    assert "not begun" in page.said.value and said in page.said.value and "<b>&" not in page.said.value
    assert file.read_text(encoding="utf-8") == before


def test_other_units_show_the_same_lengths(form):
    page, _ = form
    before = page.answers()
    page.fields["system"].value = "metric"
    after = page.answers()
    assert page.fields["length"].value.endswith(" m") and page.fields["coldest"].value.endswith("°C")
    assert after.length == pytest.approx(before.length, abs=0.006) and after.hottest == pytest.approx(before.hottest)


def test_a_file_that_changed_meanwhile_is_said(form):
    page, file = form
    file.write_text(
        file.read_text(encoding="utf-8").replace('title = "Fen survey"', 'title = "Theirs"'), encoding="utf-8"
    )
    page.button.click()
    assert "has changed on disk" in page.said.value and tl.read_design(file).title == "Theirs"
