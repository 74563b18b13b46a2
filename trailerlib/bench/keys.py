"""Keys pressed on a control belong to the control, not to the notebook around it; Ctrl+S still saves."""

from __future__ import annotations

import anywidget

SCRIPT = """
export default {
  initialize() {
    if (window.trailerKeys) return;
    window.trailerKeys = true;
    window.addEventListener("keydown", event => {
      const command = event.ctrlKey || event.metaKey;
      if (event.target.closest?.(".trailer")) event.target.toggleAttribute("data-lm-suppress-shortcuts", !command);
    }, true);
  },
  render() {},
};
"""


class Keys(anywidget.AnyWidget):
    """Without it an arrow or a letter pressed on a pick list moves or edits the notebook's cells."""

    _esm = SCRIPT
