"""What each bow bears: its stress against what is allowed, its share of what sits in the roof, its sag."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trailerlib import units
from trailerlib.pictures.box_heat import nothing
from trailerlib.pictures.canvas import Axis, Ink, Sheet, legend, round_up, ticks
from trailerlib.pictures.lettering import broken, cut, wide
from trailerlib.pictures.roof_words import TINTS, headline
from trailerlib.rules.finding import MARKS, ORDER, Severity
from trailerlib.rules.roof import BOW_SAG, BOW_STRESS
from trailerlib.studies.answer import Answer
from trailerlib.studies.roof.picture import BowCarries, RoofPicture

WIDTH, HEIGHT = 520.0, 304.0
MARGIN, LEFT, RIGHT = 8.0, 120.0, 346.0
TOP, FOOT = 64.0, 248.0  # [px] of the rows
COLUMNS = (404.0, 456.0, 512.0)  # [px] right ends of stress, share and sag
MOST, TALLEST = 12, 30.0  # rows, and the height of one [px]
SIZE = 12.0


@dataclass(frozen=True)
class _Row:
    """One bow, or neighbours that are joined: the worst of them, and what they carry together."""

    bows: tuple[BowCarries, ...]

    @property
    def stress_pa(self) -> float:
        """The largest [Pa]."""
        return max(bow.stress_pa for bow in self.bows)

    @property
    def sag_m(self) -> float:
        """The largest [m]."""
        return max(bow.sag_m for bow in self.bows)

    @property
    def share(self) -> float:
        """Of what the trimmers hand on, together [-]."""
        return sum(bow.share for bow in self.bows)

    @property
    def cut(self) -> bool:
        """Whether one of them is cut."""
        return any(bow.cut for bow in self.bows)

    @property
    def word(self) -> Severity:
        """The worst of them."""
        return min((bow.word for bow in self.bows), key=ORDER.index)

    @property
    def bent_too_far(self) -> bool:
        """Whether the stress of one is over what is allowed."""
        return any(bow.stress_pa > bow.allowed_pa for bow in self.bows)

    @property
    def sags_too_far(self) -> bool:
        """Whether one sags farther than it may."""
        return any(bow.sag_m > bow.allowed_sag_m for bow in self.bows)

    @property
    def name(self) -> str:
        """Its name; of several the first and the last."""
        first, last = self.bows[0].name, self.bows[-1].name
        if first == last:
            return first
        alike = first.rpartition(" ")[0] == last.rpartition(" ")[0]
        return f"{first} to {last.rpartition(' ')[2] if alike else last}"


def bows_carry(answer: Answer, ghost: Answer | None = None, ink: Ink = "screen") -> str:
    """How hard each bow is bent.

    Parameters
    ----------
    answer : the answer of the roof study
    ghost : the answer before the last move, its stresses drawn as outlines
    ink : ``screen`` or ``paper``
    """
    sheet = Sheet(WIDTH, HEIGHT, "What each bow bears", ink)
    bows = _bows(answer)
    if not bows:
        return nothing(sheet, answer, "bows")
    before = {bow.name: bow.stress_pa for bow in _bows(ghost)}
    worst = max(bows, key=lambda bow: max(_used(bow)))
    rows, system = _rows(bows, worst), answer.system
    allowed = [bow.allowed_pa for bow in bows]
    most = max(
        units.outside(value, "stress", system) for value in (*allowed, *(b.stress_pa for b in bows), *before.values())
    )
    axis = Axis(0.0, round_up(1.02 * most), LEFT, RIGHT)
    pitch = min(TALLEST, (FOOT - TOP) / len(rows))
    _frame(sheet, axis, TOP + pitch * len(rows), system)
    for number, row in enumerate(rows):
        _row(sheet, axis, row, (TOP + pitch * number, pitch), _before(row, before), worst in row.bows, system)
    _limit(sheet, axis, bows, TOP + pitch * len(rows), system)
    moved = any(_before(row, before) is not None for row in rows)
    _heading(sheet, bows, worst, moved, system)
    _foot(sheet, bows, TOP + pitch * len(rows), system)
    return sheet.svg()


def _bows(answer: Answer | None) -> tuple[BowCarries, ...]:
    picture: RoofPicture | None = None if answer is None else answer.picture
    return () if picture is None or picture.bows is None else tuple(sorted(picture.bows, key=lambda bow: bow.x))


def _used(bow: BowCarries) -> tuple[float, float]:
    """Stress and sag as a part of what is allowed [-]."""
    return bow.stress_pa / bow.allowed_pa, bow.sag_m / bow.allowed_sag_m


def _rows(bows: Sequence[BowCarries], worst: BowCarries) -> list[_Row]:
    """A row for each bow; of more than there is room for, neighbours that are most alike are joined."""
    rows = [_Row((bow,)) for bow in bows]
    while len(rows) > MOST:
        at = min(range(len(rows) - 1), key=lambda k: _unlike(rows[k], rows[k + 1], worst))
        rows[at : at + 2] = [_Row((*rows[at].bows, *rows[at + 1].bows))]
    return rows


def _unlike(one: _Row, other: _Row, worst: BowCarries) -> tuple[bool, float]:
    """How much is lost when two rows are joined; the worst bow and those that are cut stay apart when they can."""
    apart = worst in (*one.bows, *other.bows) or one.cut or other.cut or one.word != other.word
    stress = abs(one.stress_pa - other.stress_pa) / worst.allowed_pa
    share = abs(one.share / len(one.bows) - other.share / len(other.bows))
    return apart, round(stress + share, 6)


def _before(row: _Row, before: dict[str, float]) -> float | None:
    """The stress before the last move; None where it is not known or the same."""
    known = [before[bow.name] for bow in row.bows if bow.name in before]
    if not known or abs(max(known) - row.stress_pa) <= 1e-3 * row.stress_pa:
        return None
    return max(known)


def _frame(sheet: Sheet, axis: Axis, bottom: float, system: units.System) -> None:
    for value in ticks(axis.low, axis.high, 5):
        sheet.line([(axis(value), TOP), (axis(value), bottom)], "grid")
        sheet.text(axis(value), bottom + 14, f"{value:g}", 11, anchor="middle")
    unit = units.unit("stress", system)
    sheet.text((LEFT + RIGHT) / 2, bottom + 28, f"stress on a bad road, {unit}", 11, "ghost", "middle")


def _row(
    sheet: Sheet,
    axis: Axis,
    row: _Row,
    place: tuple[float, float],
    before: float | None,
    worst: bool,
    system: units.System,
) -> None:
    """One bow: name, whether it is cut, bar, stress, share, sag."""
    top, pitch = place
    middle, half, base = top + pitch / 2, 0.31 * pitch, top + pitch / 2 + 4
    tint, sign = TINTS[row.word], "" if row.word == "holds" else f"{MARKS[row.word]} "
    end = LEFT - 8
    if row.cut:
        sheet.text(end, base, "cut", 11, "stop", "end", bold=True)
        end -= wide("cut", 11, bold=True) + 5
    sheet.text(MARGIN, base, cut(sign + row.name, SIZE, end - MARGIN, worst), SIZE, tint if sign else "ink", bold=worst)
    long = axis(units.outside(row.stress_pa, "stress", system)) - LEFT
    sheet.box(LEFT, middle - half, max(long, 1.0), 2 * half, tint, round_=1, opacity=1.0 if worst else 0.75)
    if before is not None:
        then = axis(units.outside(before, "stress", system)) - LEFT
        sheet.box(LEFT, middle - half - 2, then, 2 * half + 4, None, "ghost", dash="3 2")
    share = "leans" if row.cut and row.share < 0.005 else "–"
    share = share if row.share < 0.005 else f"{units.whole(100 * row.share)} %"
    cells = (
        _cell(row.stress_pa, "stress", BOW_STRESS.severity if row.bent_too_far else None, system),
        (share, "ink"),
        _cell(row.sag_m, "small length", BOW_SAG.severity if row.sags_too_far else None, system),
    )
    for x, (words, shade) in zip(COLUMNS, cells, strict=True):
        sheet.text(x, base, words, SIZE, shade, "end", bold=worst)


def _cell(value: float, kind: str, word: Severity | None, system: units.System) -> tuple[str, str]:
    """A number of the row and its tint; with the sign of its rule where it is over the limit."""
    figures = units.figures(units.outside(value, kind, system))
    return (figures, "ink") if word is None else (f"{MARKS[word]} {figures}", TINTS[word])


def _limit(sheet: Sheet, axis: Axis, bows: Sequence[BowCarries], bottom: float, system: units.System) -> None:
    """What is allowed, as a line over all bars."""
    for allowed in sorted({round(units.outside(bow.allowed_pa, "stress", system), 6) for bow in bows}):
        sheet.line([(axis(allowed), TOP - 4), (axis(allowed), bottom)], "stop", 1.8, "6 4")
    least = min(bow.allowed_pa for bow in bows)
    words = f"allowed {units.show(least, 'stress', system)}"
    room, x = wide(words, 11, bold=True), axis(units.outside(least, "stress", system))
    left = min(max(x - room / 2, LEFT), COLUMNS[0] - 46 - room)
    sheet.text(left, TOP - 8, words, 11, "stop", bold=True)


def _heading(sheet: Sheet, bows: Sequence[BowCarries], worst: BowCarries, moved: bool, system: units.System) -> None:
    """The worst bow in words, the keys and the heads of the columns."""
    bent, sags = _used(worst)
    share = f"{units.whole(100 * max(bent, sags))} % of the limit"
    words = f" bends most: {share}, {worst.case}" if bent >= sags else f" sags most: {share}"
    headline(sheet, worst.word, worst.name, words)
    told = [("bar", TINTS[word], word) for word in ORDER if any(bow.word == word for bow in bows)]
    legend(sheet, MARGIN, 32, [*told, *([("ghost", "ghost", "before the last move")] if moved else [])])
    heads = (
        ("stress", units.unit("stress", system)),
        ("share", "taken"),
        ("sag", units.unit("small length", system)),
    )
    for x, (over, under) in zip(COLUMNS, heads, strict=True):
        sheet.text(x, TOP - 20, over, 11, "ghost", "end")
        sheet.text(x, TOP - 8, under, 11, "ghost", "end")
    sheet.text(MARGIN, TOP - 8, "from the nose", 11, "ghost")


def _foot(sheet: Sheet, bows: Sequence[BowCarries], bottom: float, system: units.System) -> None:
    """How far they may sag, under that column, and where the limit of the stress comes from."""
    may = min(bow.allowed_sag_m for bow in bows)
    words = f"allowed {units.show(may, 'small length', system)}"
    sheet.text(COLUMNS[2], bottom + 14, words, 11, "stop", "end", bold=True)
    words = "of what trimmers hand on" + ("; a cut bow leans" if any(bow.cut for bow in bows) else "")
    sheet.text(COLUMNS[2], bottom + 28, words, 10, "ghost", "end")
    for number, line in enumerate(broken(f"stress allowed: {BOW_STRESS.clause}", 10, WIDTH - 2 * MARGIN, 2)):
        sheet.text(MARGIN, HEIGHT - 15 + 11 * number, line, 10, "ghost")
