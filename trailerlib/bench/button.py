"""A button as wide as its words."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as widgets


def button(words: str, tooltip: str, call: Callable[[], None], key: str = "") -> widgets.Button:
    """A button that calls something.

    Parameters
    ----------
    words : what stands on it
    tooltip : what it does, in more words; may be empty
    call : called when it is pressed
    key : what it is called in the page's style, after ``trailer-``; none when empty
    """
    made = widgets.Button(description=words, tooltip=tooltip, layout={"width": "auto"})
    if key:
        made.add_class(f"trailer-{key}")
    made.on_click(lambda _: call())
    return made
