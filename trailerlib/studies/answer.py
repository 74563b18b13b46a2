"""What every study returns: a verdict, numbers, a table, the working, and findings."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from trailerlib import times, units
from trailerlib.physics.formula import Worked
from trailerlib.rules.finding import MARKS, Finding, Severity, in_order, worst
from trailerlib.studies import printed

if TYPE_CHECKING:
    import pandas as pd


@dataclass(frozen=True)
class Column:
    """One column of an answer's table: key in the rows, title, unit kind ("" for text, "count" for whole numbers)."""

    key: str
    title: str
    kind: str = ""

    def head(self, system: units.System) -> str:
        """Title with its unit."""
        return f"{self.title} [{units.unit(self.kind, system)}]" if self.kind in units.KINDS else self.title

    def cell(self, value: Any, system: units.System) -> str:
        """A value of this column as text, without the unit.

        Parameters
        ----------
        value : [inside unit of the column's kind] number, or text
        system : ``us`` or ``metric``
        """
        if value is None or value != value:
            return "–"
        if self.kind == "temperature":
            return units.whole(units.outside(value, self.kind, system))
        if self.kind in units.KINDS:
            return units.figures(units.outside(value, self.kind, system))
        return str(value)

    @property
    def numeric(self) -> bool:
        """Whether the cells are numbers, set to the right."""
        return self.kind != ""


@dataclass(frozen=True)
class Quantity:
    """One number of an answer: value in the inside unit of its kind, what it is called."""

    title: str
    value: float | None
    kind: str

    def text(self, system: units.System) -> str:
        """The number as a person reads it."""
        if self.kind == "clock":
            return "–" if self.value is None else times.clock(self.value)
        if self.kind == "count":
            return "–" if self.value is None else f"{self.value:g}"
        if self.kind == "duration":
            return "–" if self.value is None else times.span(self.value)
        return units.show(self.value, self.kind, system)


@dataclass(frozen=True)
class Beside:
    """A small table about the thing in focus: title, columns, rows; ``note`` says what to know of its figures.

    ``also`` is the next one, where a question has several.
    """

    title: str
    columns: tuple[Column, ...]
    rows: tuple[Mapping[str, Any], ...]
    note: str = ""
    also: Beside | None = None

    @property
    def each(self) -> tuple[Beside, ...]:
        """This one and all that follow."""
        return (self, *(() if self.also is None else self.also.each))


@dataclass(frozen=True)
class Answer:
    """The answer to one question about one design; the same design always gives the same answer.

    ``picture`` is what the drawing of this question needs; each study says what it holds.
    """

    question: str
    title: str
    system: units.System
    sentence: str
    numbers: Mapping[str, Quantity]
    columns: tuple[Column, ...]
    show_rows: Callable[[], Iterable[Mapping[str, Any]]] = field(compare=False, repr=False)
    checks: tuple[Finding, ...]
    picture: Any = None
    show_working: Callable[[], tuple[Worked, ...]] = field(default=tuple, compare=False, repr=False)
    show_beside: Callable[[], Beside | None] = field(default=lambda: None, compare=False, repr=False)

    @cached_property
    def rows(self) -> tuple[Mapping[str, Any], ...]:
        """The rows of the table, worked out when somebody looks at it."""
        return tuple(self.show_rows())

    @cached_property
    def beside(self) -> Beside | None:
        """A second, smaller table about the thing in focus, where the question has one."""
        return self.show_beside()

    @property
    def besides(self) -> tuple[Beside, ...]:
        """All the smaller tables of this answer, in order."""
        return () if self.beside is None else self.beside.each

    @property
    def notes(self) -> str:
        """What is to be known of the figures of the smaller tables."""
        return " ".join(part.note for part in self.besides if part.note)

    @cached_property
    def working(self) -> tuple[Worked, ...]:
        """Every step of the working, worked out when somebody looks at it."""
        return self.show_working()

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What does not hold, worst first."""
        return in_order(self.checks)

    @property
    def word(self) -> Severity:
        """The worst severity among the checks; without any, nothing was checked."""
        return worst(self.checks) if self.checks else "not checked"

    @property
    def mark(self) -> str:
        """The sign of that severity."""
        return MARKS[self.word]

    def value(self, key: str) -> float:
        """One number in the inside unit of its kind; NaN when it is not known."""
        value = self.numbers[key].value
        return float("nan") if value is None else value

    def table(self) -> pd.DataFrame:
        """The table as shown: titles with units, three significant figures."""
        import pandas as pd

        heads = [column.head(self.system) for column in self.columns]
        cells = [[column.cell(row.get(column.key), self.system) for column in self.columns] for row in self.rows]
        return pd.DataFrame(cells, columns=heads)

    def text(self) -> str:
        """The answer as plain text: verdict, numbers, table; no line is wider than a page."""
        lines = [*printed.hanging(f"{self.mark} {self.word}: {self.sentence}"), ""]
        width = max((len(q.title) for q in self.numbers.values()), default=0)
        lines += [f"{q.title:<{width}}  {q.text(self.system)}" for q in self.numbers.values()]
        lines += self._printed(self.columns, self.rows)
        for part in self.besides:
            lines += [*self._printed(part.columns, part.rows), *printed.hanging(part.note)]
        return "\n".join(lines)

    def _printed(self, columns: Iterable[Column], rows: Iterable[Mapping[str, Any]]) -> list[str]:
        table = printed.table([self._strip(column, rows) for column in columns])
        return ["", *table] if table else []

    def _strip(self, column: Column, rows: Iterable[Mapping[str, Any]]) -> printed.Strip:
        cells = tuple(column.cell(row.get(column.key), self.system) for row in rows)
        return printed.Strip(column.head(self.system), cells, column.numeric)

    def findings_text(self) -> str:
        """The findings as plain text, each with its clause and what to do."""
        held = sum(check.severity == "holds" for check in self.checks)
        return "\n".join([f"{held} of {len(self.checks)} checks hold.", *_in_words(self.findings, self.system)])


def _in_words(findings: Iterable[Finding], system: units.System) -> list[str]:
    return [
        line
        for finding in findings
        for line in printed.hanging(
            f"{finding.mark} {finding.severity}: {finding.text(system)} {finding.mend(system)}"
            f" ({finding.clause}; {finding.confidence})"
        )
    ]


def mapping(**numbers: Quantity) -> Mapping[str, Quantity]:
    """Numbers of an answer by key, read only."""
    return MappingProxyType(numbers)


class Later(Mapping[str, Quantity]):
    """Numbers of an answer by key, read only, worked out when somebody looks at them: no verdict waits for them.

    ``show`` works them out; like all that an answer works out later, it may rest on nothing that changes.
    """

    def __init__(self, show: Callable[[], Mapping[str, Quantity]]) -> None:
        self._show = show

    @cached_property
    def _shown(self) -> Mapping[str, Quantity]:
        return self._show()

    def __getitem__(self, key: str) -> Quantity:
        return self._shown[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._shown)

    def __len__(self) -> int:
        return len(self._shown)

    def __repr__(self) -> str:
        return repr(self._shown)


@dataclass(frozen=True)
class Assessment:
    """Every study of one design."""

    title: str
    system: units.System
    answers: Mapping[str, Answer]
    _frames: dict[str, Any] = field(default_factory=dict, compare=False, repr=False)

    @property
    def finding_list(self) -> tuple[Finding, ...]:
        """The findings of all studies, worst first, each once."""
        return in_order(list(dict.fromkeys(check for answer in self.answers.values() for check in answer.checks)))

    @property
    def findings(self) -> pd.DataFrame:
        """The findings as a table: severity, where, what, value, limit, clause, remedy."""
        import pandas as pd

        if "findings" not in self._frames:
            self._frames["findings"] = pd.DataFrame(
                [self._row(finding) for finding in self.finding_list],
                columns=["severity", "where", "what", "value", "limit", "clause", "remedy"],
            )
        frame: pd.DataFrame = self._frames["findings"]
        return frame

    def text(self) -> str:
        """The verdict of every question as plain text."""
        answers = self.answers.values()
        lines = [printed.hanging(f"{a.mark} {a.word}: {a.title} {a.sentence}") for a in answers]
        return "\n".join(line for verdict in lines for line in verdict)

    def findings_text(self) -> str:
        """The findings of all studies as plain text, worst first."""
        return "\n".join(_in_words(self.finding_list, self.system)) or "Findings: none."

    def _row(self, finding: Finding) -> list[str]:
        return [
            finding.severity,
            finding.subject,
            finding.text(self.system),
            finding.number(finding.measured, self.system),
            finding.number(finding.limit, self.system),
            f"{finding.clause} ({finding.confidence})",
            finding.mend(self.system),
        ]

    def __getitem__(self, question: str) -> Answer:
        return self.answers[question]


def names(things: Iterable[str]) -> str:
    """A list in words: ``a``, ``a and b``, ``a, b and c``."""
    words = list(things)
    return " and ".join(words) if len(words) <= 2 else ", ".join(words[:-1]) + " and " + words[-1]
