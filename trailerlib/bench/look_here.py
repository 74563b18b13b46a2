"""After a page has been run it stands where its work begins, not at its last cell."""

from __future__ import annotations

import anywidget
import traitlets

SCRIPT = """
export default {
  render({ model, el }) {
    if (!model.get("fresh")) return;
    model.set("fresh", false);  // a page that is opened again stays where its reader left it
    model.save_changes();
    let moved = false;
    const stop = () => { moved = true; };
    const signs = ["wheel", "pointerdown", "keydown"];
    signs.forEach(sign => window.addEventListener(sign, stop, { capture: true, once: true }));
    const look = () => { if (!moved) el.closest(".jp-Cell")?.scrollIntoView({ block: "center" }); };
    [60, 250, 600, 1100].forEach(wait => setTimeout(look, wait));
    setTimeout(() => signs.forEach(sign => window.removeEventListener(sign, stop, { capture: true })), 1200);
  },
};
"""


class LookHere(anywidget.AnyWidget):
    """Run All leaves a notebook at its last cell; the cell with this in it is brought back into sight, once."""

    _esm = SCRIPT
    fresh = traitlets.Bool(True).tag(sync=True)
