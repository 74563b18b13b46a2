"""The name a learner last used in this browser, so that it need not be typed again after the kernel was restarted."""

from __future__ import annotations

import anywidget
import traitlets

SCRIPT = """
export default {
  render({ model }) {
    const key = "trailer-learner";
    const keep = () => {
      try { model.get("name") ? localStorage.setItem(key, model.get("name")) : localStorage.removeItem(key); } catch {}
    };
    let was = null;
    try { was = localStorage.getItem(key); } catch {}  // a browser may refuse to remember
    if (model.get("name")) keep();
    else if (was) { model.set("name", was); model.save_changes(); }
    model.on("change:name", keep);
  },
};
"""


class SameBrowser(anywidget.AnyWidget):
    """Nothing to see; the name stays in the browser's own storage and goes nowhere."""

    _esm = SCRIPT
    name = traitlets.Unicode("").tag(sync=True)
