"""Keys pressed on a control belong to the control, not to the notebook around it."""

from __future__ import annotations

import anywidget

SCRIPT = """
export default {
  initialize() {
    if (window.trailerKeys) return;
    window.trailerKeys = true;
    document.addEventListener("focusin", event => {
      if (event.target.closest?.(".trailer")) event.target.setAttribute("data-lm-suppress-shortcuts", "true");
    });
  },
  render() {},
};
"""


class Keys(anywidget.AnyWidget):
    """Without it an arrow or a letter pressed on a pick list moves or edits the notebook's cells."""

    _esm = SCRIPT
