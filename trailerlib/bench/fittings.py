"""What a bench is fitted with: controls beside a picture, panes below, and a row of buttons."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import ipywidgets as widgets


def panes(titles: Sequence[str]) -> tuple[list[widgets.HTML], widgets.Tab]:
    """A page to write on for each title, and the tabs they stand in."""
    pages = [widgets.HTML(layout={"width": "100%"}) for _ in titles]
    for page in pages:
        page.add_class("trailer-pane")
    tabs = widgets.Tab(
        [widgets.Box([page], layout={"height": "214px", "overflow": "auto"}) for page in pages],
        titles=titles,
    )
    for box in tabs.children:
        box.add_class("trailer-page-box")
    return pages, tabs


def middle(controls: Sequence[widgets.Widget], side: widgets.Widget) -> widgets.Widget:
    """The controls in their column, and what stands beside them."""
    column = widgets.VBox(
        list(controls),
        layout={"width": "346px", "min_width": "346px", "padding": "6px 0 0 0"},
    )
    both = widgets.HBox([column, side], layout={"height": "312px"})
    both.add_class("trailer-middle")
    return both


def framed(picture: widgets.HTML, height: int) -> widgets.Widget:
    """A picture of so many pixels that takes what the controls leave.

    Parameters
    ----------
    picture : the picture
    height : [px] of the picture
    """
    picture.layout = {"flex": "1 1 auto", "height": f"{height}px", "min_width": "300px", "overflow": "hidden"}
    return picture


def switch(pictures: Mapping[str, str]) -> widgets.ToggleButtons:
    """Buttons to switch between pictures: their names and the words for them."""
    made = widgets.ToggleButtons(
        options=[(words, name) for name, words in pictures.items()], style={"button_width": "auto"}
    )
    made.add_class("trailer-pictures")
    return made


def switched(shown: widgets.ToggleButtons, picture: widgets.HTML, height: int) -> widgets.Widget:
    """A picture with its switch above it.

    Parameters
    ----------
    shown : the switch
    picture : the picture
    height : [px] of both together
    """
    both = widgets.VBox([shown, framed(picture, height - 28)], layout={"flex": "1 1 auto", "min_width": "300px"})
    both.add_class("trailer-switched")
    return both


def row(
    keep: Callable[[], None],
    undo: Callable[[], None],
    reset: Callable[[], None],
    more: Sequence[widgets.Widget],
    said: widgets.HTML,
) -> widgets.Widget:
    """Keep, Undo, Reset, further buttons, and what was said last."""
    kept = widgets.Button(description="Keep in the design", icon="check", layout={"width": "170px"})
    undone, back = widgets.Button(description="Undo"), widgets.Button(description="Reset")
    kept.tooltip = "Write what the controls say into the design file; its comments stay"
    undone.tooltip = "Take back the last move; after Keep, take back the Keep in the file too"
    back.tooltip = "Go back to what the design file says now"
    for button, action, key in ((kept, keep, "keep"), (undone, undo, "undo"), (back, reset, "reset")):
        button.add_class(f"trailer-{key}")
        button.on_click(lambda _, act=action: act())
    said.add_class("trailer-said")
    made = widgets.HBox([kept, undone, back, *more, said], layout={"align_items": "center"})
    made.add_class("trailer-row")
    return made
