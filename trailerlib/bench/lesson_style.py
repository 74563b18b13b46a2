"""The look of a lesson: the style of the benches, with words in a size for reading."""

from trailerlib.bench.style import STYLE

CLOSED = '<div class="trailer-closed">This opens when a number has been committed above.</div>'
LESSON_STYLE = (
    STYLE
    + """<style>
.trailer.trailer-lesson { padding:10px 14px; }
.trailer-lesson .widget-html, .trailer-lesson .widget-html-content { height:auto; }
.trailer-lesson .trailer-read { font-size:15px; line-height:1.5; max-width:74ch; color:var(--trailer-ink); margin:2px 0 6px 0; }
.trailer-lesson .trailer-read b { font-weight:650; }
.trailer-lesson .trailer-recalled { font-size:13.5px; color:var(--trailer-ink); margin:0 0 4px 0; }
.trailer-lesson .trailer-recalled summary { cursor:pointer; color:var(--trailer-dc); }
.trailer-lesson .trailer-recalled ul { list-style:none; margin:4px 0; padding:0 0 0 14px; line-height:1.5; }
.trailer-lesson .trailer-closed { font-size:14px; color:var(--trailer-ghost); padding:4px 0; }
.trailer-lesson .trailer-hint { font-size:14.5px; line-height:1.45; border-left:6px solid var(--tone); padding:4px 12px;
  background:var(--trailer-wash); max-width:78ch; margin:4px 0; color:var(--trailer-ink); }
.trailer-lesson .trailer-hint b { color:var(--tone); }
.trailer-lesson .trailer-compare { display:flex; flex-wrap:wrap; gap:6px 34px; margin:4px 0 8px 0; }
.trailer-lesson .trailer-compare div { font-size:13px; color:var(--trailer-ink); }
.trailer-lesson .trailer-compare b { display:block; font-size:20px; font-weight:600; }
.trailer-lesson .trailer-rule { font-size:17px; font-weight:600; border-left:6px solid var(--trailer-dc); padding:8px 14px;
  background:var(--trailer-wash); margin:8px 0 2px 0; color:var(--trailer-ink); max-width:74ch; }
.trailer-lesson .trailer-rule small { display:block; font-weight:400; font-size:12.5px; color:var(--trailer-ghost); }
.trailer-lesson .trailer-step { font-size:13.5px; border-bottom:none; padding-bottom:0; line-height:1.5; }
.trailer-lesson .trailer-step math { font-size:17px; math-style:normal; margin:4px 0; }
.trailer-lesson .trailer-step msup mfrac > * { font-size:12.5px; }
.trailer-lesson ul.trailer-letters { list-style:none; margin:2px 0 12px 0; padding:0 0 8px 0; font-size:13.5px; line-height:1.5;
  border-bottom:1px solid var(--trailer-grid); color:var(--trailer-ink); }
.trailer-lesson ul.trailer-letters math { font-size:15px; display:inline-block; min-width:34px; }
.trailer-lesson ul.trailer-letters b { font-weight:600; }
.trailer-lesson input[type="text"], .trailer-lesson input[type="number"] { height:32px; font-size:15px; }
.trailer-lesson button.jupyter-button { height:34px; font-size:14px; }
.trailer-lesson .trailer-lesson-picture { width:100%; max-width:760px; }
.trailer-lesson .trailer-lesson-picture svg { width:100%; display:block; }
.trailer-lesson .widget-hslider, .trailer-lesson .jupyter-widget-hslider { width:100%; max-width:760px; }
.trailer.trailer-lesson .widget-slider .widget-readout, .trailer-lesson .trailer-turn .widget-readout { min-width:118px;
  max-width:170px; }
</style>"""
)
