"""What a lesson says, as HTML: prose, hints, the comparison of a number with the answer, the working, the rule."""

from __future__ import annotations

import re
from collections.abc import Iterable
from html import escape

from trailerlib import units
from trailerlib.bench.panes import latex, step
from trailerlib.bench.style import tone
from trailerlib.physics.formula import Worked
from trailerlib.studies.lessons.glossary import TERMS
from trailerlib.studies.lessons.lesson import Lesson, Told
from trailerlib.studies.lessons.letters import letters
from trailerlib.studies.lessons.problem import Judged, Problem, unbroken

NAMED = {"right": "right", "slip": "a known slip", "off": "not it"}


def prose(paragraphs: Iterable[str]) -> str:
    """Paragraphs; what stands between two pairs of stars is set bold.

    Parameters
    ----------
    paragraphs : plain text
    """
    return "".join(f'<p class="trailer-read">{_bold(escape(words))}</p>' for words in paragraphs)


def _bold(words: str) -> str:
    return re.sub(r"\*\*([^*]+)\*\*", r"<b>\1</b>", words)


def note(word: str, mark: str, severity: str, words: str) -> str:
    """A line with a mark and a word in the tone of a severity.

    Parameters
    ----------
    word : what it is
    mark : its sign
    severity : whose tone it takes
    words : the sentence
    """
    return (
        f'<div class="trailer-hint" role="status" style="--tone:{tone(severity)}"><b>{escape(mark)} {escape(word)}</b> '
        f"{escape(unbroken(words))}</div>"
    )


def trouble(words: str) -> str:
    """What stands where an input cannot be taken."""
    return note("not taken", "▲", "fix", words)


def judged(found: Judged) -> str:
    """What an answer is worth, without the answer."""
    if found.verdict == "right":
        return note(NAMED["right"], "✓", "holds", "That is it, as near as it need be.")
    return note(NAMED[found.verdict], "▲", "fix", found.hint)


def compared(problem: Problem, found: Judged | None) -> str:
    """The number that was committed, the answer, and the one over the other; only for what has been committed.

    Parameters
    ----------
    problem : what was asked
    found : how the number was judged; None when it was skipped
    """
    if found is None:
        return (
            note("skipped", "●", "note", "No number was committed.")
            + f'<div class="trailer-compare"><div>The answer<b>{escape(problem.answer)}</b></div></div>'
        )
    cells = (
        ("You said", problem.shown(found.said)),
        ("It is", problem.answer),
        ("Yours over the answer", units.figures(found.ratio)),
    )
    shown = "".join(f"<div>{title}<b>{escape(value)}</b></div>" for title, value in cells)
    return f'<div class="trailer-compare">{shown}</div>{judged(found)}'


def recalled(terms: Iterable[str]) -> str:
    """Words of earlier lessons in a fold, so that a lesson can be taken by itself; nothing where there are none."""
    rows = "".join(f"<li><b>{escape(term)}</b> {escape(TERMS[term])}</li>" for term in terms)
    fold = f"<details><summary>Words from earlier lessons</summary><ul>{rows}</ul></details>"
    return f'<div class="trailer-recalled">{fold}</div>' if rows else ""


def formulas(working: Iterable[Worked], system: units.System) -> str:
    """The working, step by step, each with its letters in plain words.

    Parameters
    ----------
    working : the steps
    system : units that the learner reads
    """
    return "".join(step(one) + _letters(one, system) for one in working)


def _letters(one: Worked, system: units.System) -> str:
    rows = "".join(
        f"<li>{latex(letter.latex)} {escape(letter.words)}: <b>{escape(letter.value)}</b></li>"
        for letter in letters(one, system)
    )
    return f'<ul class="trailer-letters">{rows}</ul>'


def told(found: Told) -> str:
    """What a position of the slider does."""
    return note(found.word, "■" if found.fails else "✓", "stop" if found.fails else "holds", found.sentence)


def rule(lesson: Lesson) -> str:
    """The line that stays."""
    return (
        f'<div class="trailer-rule">{escape(lesson.rule)}<small>Shop rule of lesson {escape(lesson.key)}</small></div>'
    )
