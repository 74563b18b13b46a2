"""The owner's desk: problems on paper with their key, and the class sheet."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

import ipywidgets as widgets

from trailerlib.bench import lesson_words
from trailerlib.bench.build_desk import written
from trailerlib.bench.button import button
from trailerlib.bench.keys import Keys
from trailerlib.bench.lesson_style import LESSON_STYLE
from trailerlib.bench.number_field import guarded
from trailerlib.design.learner import learners, learners_folder
from trailerlib.studies.lessons.book import LESSONS

FOLDER = "class papers"
MOST = 40


class ClassDesk(widgets.VBox):
    """Handed in are two writers: of problem sheets (folder, lesson, first, count, system to paths), of class sheets."""

    def __init__(self, problems: Callable[..., Mapping[str, Path]], sheet: Callable[[str], Path]) -> None:
        self._problems, self._sheet = problems, sheet
        narrow, style = {"width": "220px"}, {"description_width": "110px"}
        self.lesson = widgets.Dropdown(
            options=[(f"{key} {one.title}", key) for key, one in LESSONS.items()], description="Lesson",
            layout={"width": "460px"}, style=style,
        )  # fmt: skip
        self.first = widgets.BoundedIntText(1, min=1, max=9900, description="First problem", layout=narrow, style=style)
        self.count = widgets.BoundedIntText(8, min=1, max=MOST, description="How many", layout=narrow, style=style)
        self.system = widgets.ToggleButtons(options=[("feet and pounds", "us"), ("metric", "metric")])
        self._said = widgets.HTML(layout={"min_height": "84px"})
        buttons = [
            button("Write problems and key", "", self.write_problems, "write-sheets"),
            button("Write the class sheet", "", self.write_sheet, "write-class"),
        ]
        rows = [self.lesson, widgets.HBox([self.first, self.count]), self.system, widgets.HBox(buttons), self._said]
        super().__init__([widgets.HTML(LESSON_STYLE), *rows, Keys()])
        self.add_class("trailer")
        self.add_class("trailer-lesson")

    @property
    def said(self) -> str:
        """What the desk last said, as HTML."""
        return str(self._said.value)

    def _say(self, html: str) -> None:
        self._said.value = html

    def write_problems(self) -> None:
        """Write the sheet and its key."""
        with guarded("The class desk", self._say):
            chosen = (self.lesson.value, self.first.value, self.count.value, self.system.value)
            self._say(written(list(self._problems(FOLDER, *chosen).values()), Path.cwd()))

    def write_sheet(self) -> None:
        """Write the class sheet of all learners whose files can be read, and say which cannot and why."""
        with guarded("The class desk", self._say):
            why: list[str] = []
            read = list(learners(learners_folder(), lambda file, error: why.append(str(error))))
            done = written([self._sheet(FOLDER)], Path.cwd())
            lines = "".join(lesson_words.note("not read", "▲", "fix", words) for words in why)
            count = f"{len(read)} of {len(read) + len(why)} learners' files could be read; the sheet holds those."
            self._say(done + (lesson_words.note("not whole", "▲", "fix", count) + lines if why else ""))


def class_desk(problems: Callable[..., Mapping[str, Path]], sheet: Callable[[str], Path]) -> ClassDesk:
    """The owner's desk with the two writers it is given."""
    return ClassDesk(problems, sheet)
