"""The symbols of a one-line diagram, after IEC 60617 and IEEE 315 (shapes from memory), drawn by our own hand.

Each is drawn along its line: ``u`` runs with the line, ``v`` across it, in pixels from the middle of the symbol. It
takes the place of the line from ``-HALF`` to ``HALF``.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import cos, pi, sin

from trailerlib.pictures.canvas import Sheet

HALF = 11.0  # [px] half the length of line a symbol takes
REACH = 9.0  # [px] the farthest a symbol stands out across its line
UNKNOWN_DASH = "3 2"
Flat = tuple[float, float]


@dataclass(frozen=True)
class Pen:
    """Draws one symbol: its middle [px], whether its line runs downwards, and whether it is known."""

    sheet: Sheet
    x: float
    y: float
    tint: str
    upright: bool = False
    known: bool = True

    def at(self, u: float, v: float) -> Flat:
        """A place along and across the line on the sheet [px]."""
        return (self.x - v, self.y + u) if self.upright else (self.x + u, self.y + v)

    def line(self, *points: Flat, width: float = 1.5) -> None:
        """A line through places along and across [px]."""
        self.sheet.line([self.at(*p) for p in points], self.tint, width, "" if self.known else UNKNOWN_DASH)

    def filled(self, *points: Flat) -> None:
        """A filled shape [px]."""
        self.sheet.area([self.at(*p) for p in points], self.tint, 1.0)

    def frame(self, u: float, v: float) -> None:
        """A frame so far to each side [px]."""
        self.line((-u, -v), (u, -v), (u, v), (-u, v), (-u, -v))

    def ring(self, radius: float = REACH) -> None:
        """A circle [px]."""
        self.arc(radius, 0.0, 360.0)

    def arc(self, radius: float, start: float, end: float, u: float = 0.0) -> None:
        """A part of a circle, from one angle to another [°], 0 along the line [px]."""
        steps = max(6, round(abs(end - start) / 12))
        turns = [(start + (end - start) * k / steps) * pi / 180 for k in range(steps + 1)]
        self.line(*((u + radius * cos(t), radius * sin(t)) for t in turns))

    def letter(self, words: str, size: float = 11.0) -> None:
        """A letter in the middle, never turned [px]."""
        self.sheet.text(self.x, self.y + 0.36 * size, words, size, self.tint, "middle", bold=True)

    def wave(self, x: float, y: float) -> None:
        """The sign of alternating current, never turned [px]."""
        points = [(x - 4 + 8 * k / 8, y - 1.8 * sin(2 * pi * k / 8)) for k in range(9)]
        self.sheet.line([(self.x + a, self.y + b) for a, b in points], self.tint, 1.2)

    def bars(self, x: float, y: float) -> None:
        """The sign of direct current, never turned [px]."""
        self.sheet.line([(self.x + x - 4, self.y + y - 1), (self.x + x + 4, self.y + y - 1)], self.tint, 1.2)
        self.sheet.line([(self.x + x - 4, self.y + y + 2), (self.x + x + 4, self.y + y + 2)], self.tint, 1.2, "2 1.2")


def _fuse(pen: Pen) -> None:
    pen.frame(HALF - 2, 4)
    pen.line((-HALF, 0), (HALF, 0))


def _gap(pen: Pen) -> None:
    """A contact that opens: two ends of the line and the blade between them."""
    pen.line((-HALF, 0), (-6, 0))
    pen.line((HALF, 0), (6, 0), (-5, -5.4))


def _breaker(pen: Pen) -> None:
    _gap(pen)
    pen.line((-8.5, -2.5), (-3.5, 2.5))
    pen.line((-8.5, 2.5), (-3.5, -2.5))


def _two_poles(pen: Pen) -> None:
    _breaker(pen)
    for u in (7.0, 9.5):
        pen.line((u - 1.5, 4), (u + 1.5, -4), width=1.2)


def _switch(pen: Pen) -> None:
    _gap(pen)
    pen.line((-6, -4), (-6, 4))


def _change_over(pen: Pen) -> None:
    pen.line((-HALF, -5), (-6, -5))
    pen.line((-HALF, 5), (-6, 5))
    pen.line((-6, -5), (6, 0), (HALF, 0))
    pen.line((-HALF, 0), (-HALF, 5))
    pen.line((-HALF, 0), (-HALF, -5))


def _ground_fault(pen: Pen) -> None:
    """The ring of a summing transformer round the line."""
    pen.line((-HALF, 0), (HALF, 0))
    steps = [2 * pi * k / 20 for k in range(21)]
    pen.line(*((4 * cos(t), 5.6 * sin(t)) for t in steps))


def _outlet(pen: Pen) -> None:
    """A socket with its protective contact: a half circle open to the far side, a stroke on its back."""
    pen.line((-HALF, 0), (-2, 0))
    pen.arc(5.8, 90, 270, 3.8)
    pen.line((-2, -5.6), (-2, 5.6))


def _outlet_on_the_way(pen: Pen) -> None:
    """A socket and what is plugged into it."""
    _outlet(pen)
    pen.line((6, 0), (HALF, 0))
    pen.filled((1, -1.8), (6, -1.8), (6, 1.8), (1, 1.8))


def _inlet(pen: Pen) -> None:
    """A plug on the trailer in the socket of the cord."""
    pen.line((-HALF, 0), (-7, 0))
    pen.arc(7, 90, 270)
    pen.filled((-4, -2.2), (6, -2.2), (6, 2.2), (-4, 2.2))
    pen.line((6, 0), (HALF, 0))


def _adapter(pen: Pen) -> None:
    pen.line((-HALF, 0), (HALF, 0), width=1.2)
    pen.filled((-8, -2.2), (-1, -2.2), (-1, 2.2), (-8, 2.2))
    pen.arc(5.6, 90, 270, 8)


def _battery(pen: Pen) -> None:
    for u, long in ((-7, True), (-3, False), (3, True), (7, False)):
        pen.line((u, -9 if long else -4.5), (u, 9 if long else 4.5), width=1.4 if long else 2.6)
    pen.line((-3, 0), (3, 0), width=1.2)
    pen.line((7, 0), (HALF, 0))


def _generator(pen: Pen) -> None:
    pen.ring()
    pen.sheet.text(pen.x, pen.y + 1.5, "G", 10, pen.tint, "middle", bold=True)
    pen.wave(0, 5)
    pen.line((REACH, 0), (HALF, 0))


def _dc_generator(pen: Pen) -> None:
    pen.ring()
    pen.sheet.text(pen.x, pen.y + 1.5, "G", 10, pen.tint, "middle", bold=True)
    pen.bars(0, 4.5)
    pen.line((REACH, 0), (HALF, 0))


def _sun(pen: Pen) -> None:
    pen.frame(9, 7)
    pen.line((-9, -7), (-2, 0), (-9, 7))
    pen.line((9, 0), (HALF, 0))
    for v in (-4.0, 2.0):
        pen.line((6, v - 2), (2, v + 2), (4.5, v + 1.8), width=1.1)


def _converter(pen: Pen, first: str, second: str) -> None:
    pen.line((-HALF, 0), (-REACH, 0))
    pen.frame(REACH, REACH)
    pen.line((-REACH, REACH), (REACH, -REACH), width=1.2)
    for sign, x, y in ((first, -4.0, -4.5), (second, 4.2, 4.0)):
        (pen.wave if sign == "~" else pen.bars)(x, y)


def _dc_converter(pen: Pen) -> None:
    _converter(pen, "=", "=")
    pen.line((REACH, 0), (HALF, 0))


def _charger(pen: Pen) -> None:
    _converter(pen, "~", "=")


def _lamp(pen: Pen) -> None:
    pen.line((-HALF, 0), (-8, 0))
    pen.ring(8)
    side = 8 * sin(pi / 4)
    pen.line((-side, -side), (side, side))
    pen.line((-side, side), (side, -side))


def _motor(pen: Pen) -> None:
    pen.line((-HALF, 0), (-REACH, 0))
    pen.ring()
    pen.letter("M")


def _heater(pen: Pen) -> None:
    pen.line((-HALF, 0), (-10, 0))
    pen.frame(10, 5)
    for u in (-5.0, 0.0, 5.0):
        pen.line((u, -5), (u, 5), width=1.2)


def _device(pen: Pen) -> None:
    pen.line((-HALF, 0), (-8, 0))
    pen.frame(8, 7)


def _frame_bond(pen: Pen) -> None:
    """From a case, drawn as a box, down to the frame: a bar with three strokes."""
    pen.frame(5, 4)
    pen.line((5, 0), (HALF - 1, 0))
    pen.line((HALF - 1, -7), (HALF - 1, 7), width=2)
    for v in (-6.0, 0.0, 6.0):
        pen.line((HALF - 1, v), (HALF + 4, v + 3))


def _unknown(pen: Pen) -> None:
    Pen(pen.sheet, pen.x, pen.y, pen.tint, pen.upright, False).frame(HALF - 1, 5.2)
    pen.letter("?", 10)


def _wire(pen: Pen) -> None:
    pen.line((-HALF, 0), (HALF, 0))


def _off_sheet(pen: Pen) -> None:
    pen.line((HALF, 0), (2, 0))
    pen.line((-9, -6), (-4, -6), (2, 0), (-4, 6), (-9, 6), (-9, -6))


@dataclass(frozen=True)
class Symbol:
    """How a symbol is drawn and what the legend calls it; an empty word keeps it out of the legend."""

    draw: Callable[[Pen], None]
    words: str


SYMBOLS = {
    "outlet": Symbol(_outlet, "receptacle"),
    "plugged": Symbol(_outlet_on_the_way, "receptacle with what is plugged in"),
    "generator": Symbol(_generator, "generator"),
    "battery": Symbol(_battery, "battery"),
    "sun": Symbol(_sun, "solar panel"),
    "dc generator": Symbol(_dc_generator, "alternator"),
    "converter": Symbol(_dc_converter, "dc converter, controller"),
    "charger": Symbol(_charger, "charger"),
    "adapter": Symbol(_adapter, "adapter"),
    "inlet": Symbol(_inlet, "inlet"),
    "change-over": Symbol(_change_over, "change-over"),
    "switch": Symbol(_switch, "disconnect"),
    "fuse": Symbol(_fuse, "fuse"),
    "breaker": Symbol(_breaker, "breaker"),
    "two-pole breaker": Symbol(_two_poles, "two-pole breaker"),
    "ground fault": Symbol(_ground_fault, "ground-fault protection"),
    "lamp": Symbol(_lamp, "lamp"),
    "motor": Symbol(_motor, "motor, compressor"),
    "heater": Symbol(_heater, "heater"),
    "device": Symbol(_device, "other load"),
    "frame": Symbol(_frame_bond, "case to frame"),
    "not stated": Symbol(_unknown, "not stated"),
    "guard not stated": Symbol(_unknown, "not stated"),
    "off sheet": Symbol(_off_sheet, "from another sheet"),
    "wire": Symbol(_wire, ""),
}


def draw(sheet: Sheet, name: str, x: float, y: float, tint: str, *, upright: bool = False, known: bool = True) -> None:
    """A symbol with its middle at x, y [px].

    Parameters
    ----------
    sheet : where to draw
    name : one of ``SYMBOLS``
    x : [px] its middle
    y : [px] its middle
    tint : colour of the palette
    upright : whether its line runs downwards
    known : whether the design states it; else it is dashed
    """
    SYMBOLS[name].draw(Pen(sheet, x, y, tint, upright, known))


def in_order(names: Sequence[str]) -> list[str]:
    """The symbols of a drawing as the legend lists them, one for every word.

    Parameters
    ----------
    names : names of symbols, in any order
    """
    there = set(names)
    by_word = {symbol.words: name for name, symbol in reversed(SYMBOLS.items()) if name in there and symbol.words}
    return [name for name in SYMBOLS if name in by_word.values()]
