"""Formulas for the page: LaTeX to MathML by a library, MathML to the page's own maths by walking the tree.

Only the formulas of the library and plain numbers come here, never a text a person typed.
"""

from __future__ import annotations

import re
from functools import lru_cache
from xml.etree import ElementTree

ROUNDED_DOWN = ("⌊", "⌋")
WORDS = {"max", "min", "ln", "log", "cos", "sin", "exp"}
SIGNS = {"−": "-", "-": "-", "+": "+", "=": "=", "×": "times", "·": "dot.op", "/": "\\/", "≤": "<=", "≥": ">="}


class MathError(ValueError):
    """A formula that has something in it which the page cannot set."""


@lru_cache(maxsize=512)
def typeset(latex: str) -> str:
    """LaTeX as the maths markup of the page.

    Parameters
    ----------
    latex : a formula or symbol of the library, such as ``\\frac{P}{\\cos \\phi}``

    Returns
    -------
    str
        Markup such as ``frac(P, cos φ)``.

    Raises
    ------
    MathError
        When the formula holds something that has no counterpart.
    """
    from latex2mathml.converter import convert

    return _set(ElementTree.fromstring(convert(latex))).strip()


def unit(text: str) -> str:
    """A unit as maths markup: upright, after a thin space; nothing for pure numbers.

    Parameters
    ----------
    text : the unit as the formula gives it, ``-`` for pure numbers

    Returns
    -------
    str
        Markup to set after a number.
    """
    return "" if text in ("", "-") else f' thin upright("{_quoted(text)}")'


def _tag(node: ElementTree.Element) -> str:
    return node.tag.rpartition("}")[2]


def _set(node: ElementTree.Element) -> str:
    tag, parts = _tag(node), list(node)
    if tag in ("math", "mrow", "mstyle"):
        return _row(parts)
    if tag == "mi":
        return _symbol(node.text or "")
    if tag == "mn":
        return f'"{_quoted(node.text or "")}"'
    if tag == "mo":
        return _sign((node.text or "").strip())
    if tag == "mspace":
        return "thin"
    if tag == "mtext":
        return f'upright("{_quoted(node.text or "")}")'
    if tag == "msqrt":
        return f"sqrt({_guarded(_row(parts))})"
    if tag == "msup":
        return _pair(tag, [_guarded(_set(parts[0])), _raised(parts[1])])
    return _pair(tag, [_guarded(_set(part)) for part in parts])


def _raised(node: ElementTree.Element) -> str:
    """An exponent; a fraction up there is written with a slash, or nobody could read it."""
    while _tag(node) in ("mrow", "mstyle") and len(node) == 1:
        node = node[0]
    if _tag(node) != "mfrac":
        return _guarded(_set(node))
    return " \\/ ".join(_bracketed(part) for part in node)


def _bracketed(node: ElementTree.Element) -> str:
    """One side of a slash, between brackets where it is a sum."""
    signs = {(part.text or "").strip() for part in node if _tag(part) == "mo"}
    markup = _guarded(_set(node))
    return f"\\( {markup} \\)" if signs & {"+", "-", "−"} else markup


def _pair(tag: str, parts: list[str]) -> str:
    if tag == "mfrac":
        return f"frac({parts[0]}, {parts[1]})"
    if tag in ("msub", "msup"):
        return f"attach({parts[0]}, {'b' if tag == 'msub' else 't'}: {parts[1]})"
    if tag == "msubsup":
        return f"attach({parts[0]}, b: {parts[1]}, t: {parts[2]})"
    raise MathError(f"the page cannot set <{tag}>; teach mathtext this element.")


def _row(parts: list[ElementTree.Element]) -> str:
    """A row; neighbouring single letters are one word (k with the index “lay”), brackets grow with what they hold."""
    words: list[str] = []
    letters = ""
    for part in [*parts, None]:
        text = part.text or "" if part is not None and _tag(part) == "mi" else ""
        if re.fullmatch("[A-Za-z]", text):
            letters += text
            continue
        if letters:
            words.append(letters if len(letters) == 1 else f'upright("{letters}")')
            letters = ""
        if part is not None:
            words.append(_set(part))
    row = " ".join(words)
    return f"lr({row})" if len(words) > 2 and words[0] == "\\(" and words[-1] == "\\)" else row


def _symbol(text: str) -> str:
    if text in WORDS:
        return text
    if text in ROUNDED_DOWN or (len(text) == 1 and text.isalpha()):
        return text
    if text.isalpha():
        return f'upright("{text}")'
    raise MathError(f"the page cannot set the symbol {text!r}; teach mathtext this sign.")


def _sign(text: str) -> str:
    if text in WORDS:
        return text
    if text in ("(", ")", "[", "]", ","):
        return "\\" + text
    if text in SIGNS:
        return SIGNS[text]
    raise MathError(f"the page cannot set the sign {text!r}; teach mathtext this sign.")


def _guarded(markup: str) -> str:
    """An argument of a function; never empty."""
    return markup or '""'


def _quoted(text: str) -> str:
    return text.replace("\\", "\\\\").replace('"', '\\"')
