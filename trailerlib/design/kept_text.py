"""What a file beside the design may hold in words: a date, and a text that is not too long."""

from __future__ import annotations

import datetime

from trailerlib.design.errors import DesignError
from trailerlib.design.fields import plain_text


def is_day(text: str) -> bool:
    """Whether a text is a date as year, month and day."""
    try:
        return datetime.date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def check_text(name: str, text: object, longest: int) -> None:
    """Refuse what is no text, is too long, or could do something where it is shown.

    Parameters
    ----------
    name : what it is called in the sentence
    text : what was found
    longest : [-] characters it may have

    Raises
    ------
    DesignError
        With what is wrong and what would be right.
    """
    if not isinstance(text, str) or len(text) > longest:
        raise DesignError(f"{name}: this is not a text of at most {longest} characters; write fewer words.")
    try:
        plain_text(text)
    except ValueError as error:
        raise DesignError(f"{name}: {error}") from None
