"""The build desk, the start page, and the charts."""

from __future__ import annotations

import re
import subprocess
import sys
from dataclasses import replace
from html import escape, unescape
from pathlib import Path
from urllib.parse import unquote

import numpy as np
import pytest

import trailerlib as tl
from trailerlib.bench.start_page import NOTEBOOKS

ROOT = Path(__file__).parent.parent.parent
LINK = re.compile(r'<a href="([^"]*)" target="_blank">')


def test_the_desk_writes_where_it_says(demo, tmp_path, monkeypatch, press):
    monkeypatch.chdir(tmp_path)
    desk = tl.bench.build(demo, tl.write_build_file)
    desk.date.value = "2026-01-31"
    press(desk, "write")
    (folder,) = (tmp_path / "build files").iterdir()
    in_order = re.findall(r"<b>(.+?)</b>", desk.said)
    assert sorted(in_order) == sorted(path.name for path in folder.iterdir())
    assert "build-file.pdf" in in_order
    assert (folder / "build-file.pdf").read_bytes()[:5] == b"%PDF-"
    assert "Written" in desk.said
    targets = [unquote(unescape(address)) for address in LINK.findall(desk.said)]
    assert targets == [f"build files/{folder.name}", *(f"build files/{folder.name}/{name}" for name in in_order)]
    assert all((tmp_path / target).exists() for target in targets)
    assert desk.said.count(escape(str(folder))) == 1


def test_what_lies_outside_the_workbook_is_named_and_not_linked(demo, tmp_path, monkeypatch, press):
    (tmp_path / "workbook").mkdir()
    monkeypatch.chdir(tmp_path / "workbook")
    desk = tl.bench.build(demo, tl.write_build_file)
    desk.folder.value, desk.date.value = str(tmp_path / "elsewhere"), "2026-01-31"
    press(desk, "write")
    (folder,) = (tmp_path / "elsewhere").iterdir()
    assert "<a " not in desk.said
    assert "<b>build-file.pdf</b>" in desk.said
    assert escape(str(folder)) in desk.said


@pytest.mark.parametrize("name", ['"><img src=x onerror=alert(1)>', "a & b's", "50 % #1?", "javascript:alert(1)"])
def test_a_folder_of_any_name_is_escaped_and_found_again(name, demo, tmp_path, monkeypatch, press):
    monkeypatch.chdir(tmp_path)
    desk = tl.bench.build(demo, tl.write_build_file)
    desk.folder.value, desk.date.value = name, "2026-01-31"
    press(desk, "write")
    assert "<img" not in desk.said
    first, *_ = LINK.findall(desk.said)
    assert ":" not in first
    assert (tmp_path / unquote(unescape(first))).is_dir()
    assert tmp_path / name in (tmp_path / unquote(unescape(first))).parents


def test_the_desk_never_overwrites(demo, tmp_path, press):
    desk = tl.bench.build(demo, tl.write_build_file)
    desk.folder.value, desk.date.value = str(tmp_path), "2026-01-31"
    press(desk, "write")
    (first,) = tmp_path.iterdir()
    (first / "build-file.pdf").write_bytes(b"signed")
    press(desk, "write")
    assert (first / "build-file.pdf").read_bytes() == b"signed"
    assert len(list(tmp_path.iterdir())) == 2


@pytest.mark.parametrize("date", ["yesterday", "2026-02-31", "../../x"])
def test_a_date_that_is_none_is_answered_by_a_sentence(date, demo, tmp_path, press):
    desk = tl.bench.build(demo, tl.write_build_file)
    desk.folder.value, desk.date.value = str(tmp_path / "out"), date
    press(desk, "write")
    assert "not written" in desk.said
    assert "Error:" not in desk.said
    assert not (tmp_path / "out").exists() or not list((tmp_path / "out").iterdir())


def test_a_writer_that_breaks_is_recorded(demo, press, watch):
    def broken(*_):
        raise ZeroDivisionError("no paper")

    desk = tl.bench.build(demo, broken)
    press(desk, "write")
    assert "not written" in desk.said
    assert "no paper" in desk.said
    with pytest.raises(AssertionError, match="no paper"):
        tl.bench.assert_sound()
    assert len(watch.faults()) == 1


@pytest.mark.parametrize(
    "name", ["loads", "night", "wire", "mains", "generator", "cool", "roof", "tow", "start", "build"]
)
def test_a_bench_is_called_by_its_name_whoever_imported_its_module_first(name):
    modules = "import pkgutil, trailerlib.bench as b; [__import__(m.name) for m in pkgutil.iter_modules(b.__path__, 'trailerlib.bench.')]"
    code = f"{modules}; import trailerlib as tl; assert callable(tl.bench.{name}), tl.bench.{name}"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_the_start_page_says_what_the_studies_say(demo):
    page = tl.bench.start(demo)
    html, words = page._repr_html_(), repr(page)
    for answer in tl.assess(demo).answers.values():
        assert escape(answer.sentence) in html
        assert f"{answer.mark} {answer.word}: {answer.title} {answer.sentence}" in words
    assert html.count("<svg") == 1


def test_the_start_page_lists_what_does_not_hold(demo):
    found = tl.assess(demo).finding_list
    html = tl.bench.start(demo)._repr_html_()
    assert f"<h4>Findings ({len(found)})</h4>" in html
    assert all(escape(finding.text(demo.units)) in html for finding in found[:5])


def test_a_start_page_without_findings_says_so(demo):
    page = tl.bench.start(demo)
    answers = {question: replace(answer, checks=()) for question, answer in page.assessment.answers.items()}
    page.assessment = replace(page.assessment, answers=answers)
    html = page._repr_html_()
    assert "<h4>Findings: none</h4>" in html
    assert '<ul class="trailer-findings"' not in html


def test_the_start_page_leads_to_notebooks_that_exist(demo):
    html = tl.bench.start(demo)._repr_html_()
    assert set(tl.assess(demo).answers) <= set(NOTEBOOKS)
    for notebook in NOTEBOOKS.values():
        assert (ROOT / "workbook" / notebook).exists()
        assert f'href="{notebook}"' in html


def test_the_start_page_follows_the_design(demo):
    small = demo.replace("battery.capacity", "30 Ah")
    assert tl.study("night", small).sentence in repr(tl.bench.start(small))
    assert repr(tl.bench.start(small)) != repr(tl.bench.start(demo))


def axis_titles(figure):
    return [axis.title.text for axis in (figure.layout.xaxis, figure.layout.yaxis)]


def all_charts(design):
    charts = tl.bench.charts
    yield charts.drop_over_run(design, design.circuits[0].name)
    yield charts.battery_over_night(design)
    if design.stays:
        yield charts.power_over_day(design, design.stays[-1].name)
    yield charts.power_over_height(design)


@pytest.mark.parametrize("system", ["us", "metric"])
def test_every_axis_of_every_chart_has_a_unit(system, demo):
    for figure in all_charts(demo.replace("units", system)):
        assert figure.data
        for title in axis_titles(figure):
            assert "[" in title or title == "time of day"


def test_the_charts_open_with_parts_missing(changed):
    bare = changed(lambda raw: [raw.pop(key) for key in ("battery", "charger", "stay")])
    assert len(list(all_charts(bare))) == 3


def test_the_drop_chart_meets_the_study_where_the_run_is_the_designs(demo):
    """The line of the fitted wire passes through the drop the wiring study gives."""
    for name in ("fridge", "roof fan", "kettle"):
        circuit = next((c for c in demo.circuits if c.name == name), demo.circuits[0])
        figure = tl.bench.charts.drop_over_run(demo, circuit.name)
        (line,) = [trace for trace in figure.data if trace.name == circuit.wire]
        found = np.interp(demo.run_m(circuit) / 0.3048, line.x, line.y)
        lost = tl.study("wiring", demo, circuit=circuit.name).value("drop")
        assert found == pytest.approx(100 * lost, rel=1e-3)


def test_the_height_chart_meets_the_study_at_the_designs_height(demo):
    figure = tl.bench.charts.power_over_height(demo)
    answer = tl.study("generator", demo)
    for bar in answer.picture.bars:
        (line,) = [trace for trace in figure.data if trace.name == bar.name]
        assert np.interp(5200, line.x, line.y) == pytest.approx(bar.running_w, rel=5e-3)


def test_the_night_chart_ends_where_the_study_ends(demo):
    figure = tl.bench.charts.battery_over_night(demo)
    charge = figure.data[0].y
    assert min(charge) == pytest.approx(100 * tl.study("night", demo).value("lowest"), rel=1e-6)


def test_the_day_chart_stacks_to_the_loads_that_are_on(demo):
    figure = tl.bench.charts.power_over_day(demo, "night")
    assert {trace.name for trace in figure.data} == set(demo.stay("night").on)
    at_night = {trace.name: dict(zip(trace.x, trace.y, strict=True)) for trace in figure.data}
    assert at_night["ceiling lights"]["18:00"] == demo.load("ceiling lights").running_w
    assert at_night["ceiling lights"]["22:30"] == 0.0
