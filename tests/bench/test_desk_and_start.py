"""The build desk, the start page, and the charts."""

from __future__ import annotations

import subprocess
import sys
from html import escape
from pathlib import Path

import numpy as np
import pytest

import trailerlib as tl
from trailerlib.bench.start_page import NOTEBOOKS

ROOT = Path(__file__).parent.parent.parent


def test_the_desk_writes_where_it_says(demo, tmp_path, monkeypatch, press):
    monkeypatch.chdir(tmp_path)
    desk = tl.bench.build(demo, tl.write_build_file)
    desk.date.value = "2026-01-31"
    press(desk, "write")
    (folder,) = (tmp_path / "build files").iterdir()
    written = sorted(path.name for path in folder.iterdir())
    assert "build-file.pdf" in written
    assert (folder / "build-file.pdf").read_bytes()[:5] == b"%PDF-"
    for name in written:
        assert f"<b>{name}</b>" in desk.said
    assert escape(folder.name) in desk.said
    assert "Written" in desk.said


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


@pytest.mark.parametrize("name", ["loads", "night", "wire", "generator", "start", "build"])
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
        found = np.interp(circuit.run / 0.3048, line.x, line.y)
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
