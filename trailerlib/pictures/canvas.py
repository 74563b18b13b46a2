"""A sheet to draw on: lines, boxes, texts and axes as SVG text."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from html import escape
from typing import Literal

from trailerlib.pictures.lettering import text_width

Ink = Literal["screen", "paper"]

PALETTE = {
    "ink": "#22313a",
    "grid": "#d9dfdc",
    "holds": "#2f6f4f",
    "watch": "#b7791f",
    "stop": "#a63d2f",
    "dc": "#1f6f8b",
    "mains": "#6b4c7d",
    "ghost": "#9aa5a1",
    "paper": "#ffffff",
    "wash": "#f4f6f5",
}
SCREEN_FONT = "var(--jp-ui-font-family, sans-serif)"
PAPER_FONT = "Inter"


def colour(name: str, ink: Ink) -> str:
    """A colour of the palette: a page variable on the screen, the value itself on paper."""
    return PALETTE[name] if ink == "paper" else f"var(--trailer-{name}, {PALETTE[name]})"


@dataclass
class Sheet:
    """A drawing of so many pixels, top left is 0, 0."""

    width: float
    height: float
    title: str
    ink: Ink = "screen"
    _parts: list[str] = field(default_factory=list)

    def line(
        self,
        points: Sequence[tuple[float, float]],
        tint: str = "ink",
        width: float = 1.0,
        dash: str = "",
        *,
        opacity: float = 1.0,
        note: str = "",
    ) -> None:
        """A line through points [px]; the note shows while the pointer rests on it."""
        path = " ".join(f"{_n(x)},{_n(y)}" for x, y in points)
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        faint = f' stroke-opacity="{opacity:g}"' if opacity < 1.0 else ""
        end = f"><title>{escape(note)}</title></polyline>" if note else "/>"
        self._parts.append(
            f'<polyline points="{path}" fill="none" stroke="{colour(tint, self.ink)}" stroke-width="{_n(width)}" '
            f'stroke-linejoin="round" stroke-linecap="round"{dashed}{faint}{end}'
        )

    def area(self, points: Sequence[tuple[float, float]], tint: str, opacity: float = 0.12) -> None:
        """A filled shape [px]."""
        path = " ".join(f"{_n(x)},{_n(y)}" for x, y in points)
        self._parts.append(f'<polygon points="{path}" fill="{colour(tint, self.ink)}" fill-opacity="{opacity:g}"/>')

    def box(
        self,
        x: float,
        y: float,
        w: float,
        h: float,
        fill: str | None = None,
        edge: str | None = None,
        *,
        width: float = 1.0,
        round_: float = 2.0,
        dash: str = "",
        opacity: float = 1.0,
    ) -> None:
        """A box with its top left corner at x, y [px]."""
        inside = f'{colour(fill, self.ink)}" fill-opacity="{opacity:g}' if fill else "none"
        outline = f' stroke="{colour(edge, self.ink)}" stroke-width="{_n(width)}"' if edge else ""
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        self._parts.append(
            f'<rect x="{_n(x)}" y="{_n(y)}" width="{_n(max(w, 0))}" height="{_n(max(h, 0))}" rx="{_n(round_)}" '
            f'fill="{inside}"{outline}{dashed}/>'
        )

    def dot(self, x: float, y: float, radius: float, fill: str = "ink", edge: str | None = None) -> None:
        """A round spot [px]."""
        outline = f' stroke="{colour(edge, self.ink)}" stroke-width="1.5"' if edge else ""
        self._parts.append(
            f'<circle cx="{_n(x)}" cy="{_n(y)}" r="{_n(radius)}" fill="{colour(fill, self.ink)}"{outline}/>'
        )

    def text(
        self,
        x: float,
        y: float,
        words: str,
        size: float = 13,
        tint: str = "ink",
        anchor: Literal["start", "middle", "end"] = "start",
        bold: bool = False,
        halo: bool = False,
    ) -> None:
        """A text with its base line at y [px]; a halo keeps it readable over lines."""
        weight = ' font-weight="600"' if bold else ""
        around = (
            f' stroke="{colour("paper", self.ink)}" stroke-width="4" stroke-linejoin="round" paint-order="stroke"'
            if halo
            else ""
        )
        if halo and self.ink == "paper":
            self._parts.append(
                self._letters(x, y, words, size, "paper", anchor, weight, ' stroke="#ffffff" stroke-width="4"')
            )
            around = ""
        self._parts.append(self._letters(x, y, words, size, tint, anchor, weight, around))

    def _letters(
        self, x: float, y: float, words: str, size: float, tint: str, anchor: str, weight: str, extra: str
    ) -> str:
        return (
            f'<text x="{_n(x)}" y="{_n(y)}" font-size="{_n(size)}" fill="{colour(tint, self.ink)}" '
            f'text-anchor="{anchor}"{weight}{extra}>{escape(words)}</text>'
        )

    def svg(self) -> str:
        """The whole drawing as SVG text."""
        font = SCREEN_FONT if self.ink == "screen" else PAPER_FONT
        return (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_n(self.width)} {_n(self.height)}" '
            f'font-family="{font}" role="img" aria-label="{escape(self.title, quote=True)}">'
            f"<title>{escape(self.title)}</title>{''.join(self._parts)}</svg>"
        )


def _n(value: float) -> str:
    return f"{value:.1f}".rstrip("0").rstrip(".")


@dataclass(frozen=True)
class Axis:
    """A straight scale from values to pixels."""

    low: float
    high: float
    start: float
    end: float

    def __call__(self, value: float) -> float:
        """Where a value lies [px], kept on the axis."""
        span = self.high - self.low or 1.0
        share = min(max((value - self.low) / span, -0.02), 1.02)
        return self.start + share * (self.end - self.start)


def ticks(low: float, high: float, most: int = 6) -> list[float]:
    """Round values between two ends, at most so many.

    Parameters
    ----------
    low : [-] lower end
    high : [-] upper end
    most : [-] most ticks
    """
    span = high - low
    if span <= 0:
        return [low]
    for power in range(-6, 8):
        for step in (1, 2, 5):
            size = step * 10.0**power
            if span / size <= most - 1 + 1e-9:
                first = int(-(-low // size)) if low % size else int(low / size)
                count = int((high + 1e-9 * span) // size) - first + 1
                return [(first + k) * size for k in range(count)]
    return [low, high]


def round_up(value: float) -> float:
    """The next round number at or above a value, so that a scale does not jump with every move.

    Parameters
    ----------
    value : [-] not negative
    """
    if value <= 0:
        return 1.0
    for power in range(-6, 9):
        for step in (1, 1.5, 2, 3, 4, 5, 6, 8):
            if step * 10.0**power >= value:
                return float(step * 10.0**power)
    return value


def legend(sheet: Sheet, x: float, y: float, entries: Iterable[tuple[str, str, str]]) -> None:
    """A row of keys.

    Parameters
    ----------
    sheet : where to draw
    x : [px] left end
    y : [px] middle of the row
    entries : sort of mark (``bar``, ``ghost``, ``line``, ``dash`` or ``tick``), colour, words
    """
    for mark, tint, words in entries:
        _MARKS[mark](sheet, x, y, tint)
        sheet.text(x + 22, y + 4, words, 12)
        x += 34 + text_width(words, 12)


_MARKS: dict[str, Callable[[Sheet, float, float, str], None]] = {
    "bar": lambda s, x, y, tint: s.box(x, y - 5, 16, 10, tint),
    "ghost": lambda s, x, y, tint: s.box(x, y - 5, 16, 10, None, tint, dash="3 2"),
    "line": lambda s, x, y, tint: s.line([(x, y), (x + 16, y)], tint, 2.5),
    "dash": lambda s, x, y, tint: s.line([(x, y), (x + 16, y)], tint, 1.8, "5 3"),
    "tick": lambda s, x, y, tint: s.line([(x + 8, y - 6), (x + 8, y + 6)], tint, 2.5),
}
