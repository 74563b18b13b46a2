"""The look of a bench: one style sheet, light and dark.

A bench is told by classes what it holds, never by ``:has()``: with it every change inside would have the page look
through all of the bench anew, which took a long table 6 ms a frame.
"""

STYLE = """<style>
.trailer { --trailer-ink:#22313a; --trailer-grid:#d9dfdc; --trailer-holds:#2f6f4f; --trailer-watch:#8f5e12;
  --trailer-stop:#a63d2f; --trailer-dc:#1f6f8b; --trailer-mains:#6b4c7d; --trailer-ghost:#66726e;
  --trailer-paper:#ffffff; --trailer-wash:#f4f6f5; color:var(--trailer-ink); }
body[data-jp-theme-light="false"] .trailer { --trailer-ink:#e3eae7; --trailer-grid:#3a474e; --trailer-holds:#6fc39c;
  --trailer-watch:#e3ab48; --trailer-stop:#ee8375; --trailer-dc:#62b9d6; --trailer-mains:#ba9bd6; --trailer-ghost:#95a29e;
  --trailer-paper:#171d20; --trailer-wash:#20282c; }
.trailer { border:1px solid var(--trailer-grid); border-radius:6px; background:var(--trailer-paper); padding:8px 10px;
  max-width:1180px; font-family:var(--jp-ui-font-family, sans-serif); }
body[data-voila] p:has(> button[data-commandlinker-command]),
body[data-voila] p:has(> button[data-commandlinker-command]) + p { display:none; }
.trailer .widget-html, .trailer .widget-html-content { line-height:1.35; color:var(--trailer-ink); }
.trailer .widget-label, .trailer .widget-readout { color:var(--trailer-ink); font-size:13px; }
.trailer-pane > .widget-html-content { width:100%; min-width:0; }
.trailer-verdict { height:58px; overflow:hidden; border-left:6px solid var(--tone); padding:3px 12px; box-sizing:border-box;
  background:var(--trailer-wash); display:flex; align-items:center; gap:12px; }
.trailer-verdict b { color:var(--tone); white-space:nowrap; font-size:15px; }
.trailer-verdict span { font-size:16px; line-height:1.3; display:-webkit-box; -webkit-line-clamp:2; -webkit-box-orient:vertical;
  overflow:hidden; }
.trailer-verdict span.trailer-long { font-size:13.5px; line-height:1.25; -webkit-line-clamp:3; }
.trailer-verdict-box { height:58px; contain:strict; margin:0; flex:0 0 auto; }
.trailer-verdict-box .widget-html-content { width:100%; }
.trailer-picture { contain:strict; }
.trailer-pane { contain:layout paint style; }
.trailer-picture svg { width:100%; height:306px; display:block; }
.trailer-stale svg, .trailer-stale table, .trailer-stale .trailer-numbers, .trailer-stale li, .trailer-stale .trailer-step, .trailer-stale small { opacity:0.25; filter:grayscale(1); }
.trailer-numbers { display:flex; flex-wrap:wrap; gap:2px 22px; padding:0 0 6px 0; margin:0; }
.trailer-numbers div { font-size:12px; color:var(--trailer-ink); white-space:nowrap; }
.trailer-numbers b { font-size:14px; font-weight:600; margin-left:6px; }
.trailer table { border-collapse:collapse; font-size:12.5px; margin:0; color:var(--trailer-ink); }
.trailer table th { text-align:left; font-weight:600; border-bottom:1.5px solid var(--trailer-ink); padding:2px 10px 2px 0;
  background:var(--trailer-paper); white-space:normal; vertical-align:bottom; line-height:1.2; position:sticky; top:0; }
.trailer table td { padding:2px 10px 2px 0; border-bottom:1px solid var(--trailer-grid); background:transparent;
  white-space:normal; text-align:left; }
.trailer table td:not(:last-child), .trailer table td.n { white-space:nowrap; }
.trailer table .n { text-align:right; font-variant-numeric:tabular-nums; }
.trailer table tr.trailer-focus td { background:var(--trailer-wash); font-weight:600; }
.trailer ul.trailer-findings { list-style:none; margin:0; padding:0; font-size:13px; }
.trailer ul.trailer-findings li { padding:4px 0 5px 0; border-bottom:1px solid var(--trailer-grid); }
.trailer ul.trailer-findings small, .trailer .trailer-source { color:var(--trailer-ghost); font-size:11.5px; }
.trailer-step { padding:4px 0 8px 0; border-bottom:1px solid var(--trailer-grid); font-size:13px; }
.trailer-step math { font-size:15px; color:var(--trailer-ink); }
.trailer .trailer-said { font-size:13px; min-width:0; }
.trailer-row > .jupyter-button { flex:0 0 auto; }
.trailer a { color:var(--trailer-dc); }
.trailer-question { display:flex; gap:10px; padding:5px 0 6px 0; border-bottom:1px solid var(--trailer-grid); font-size:13.5px;
  line-height:1.35; }
.trailer-question > b { flex:0 0 92px; }
.jp-Cell:has(.js-plotly-plot) { content-visibility:auto; contain-intrinsic-size:auto 403px; }
.trailer-pictures { margin:0; height:28px; }
.trailer-pictures .widget-toggle-button { height:24px; line-height:22px; padding:0 10px; margin:0 4px 0 0; font-size:12.5px; }
.trailer .trailer-switched .trailer-picture svg { height:280px; }
.trailer-below svg { width:100%; max-width:720px; display:block; margin:0 auto; }
.trailer table td:last-child:not(.n) { min-width:96px; }
.trailer .widget-tab > .widget-tab-contents, .trailer .jupyter-widget-tab > .widget-tab-contents { padding:6px 10px; }
.trailer-page-box { scrollbar-width:thin; scrollbar-gutter:stable; }
.trailer .widget-slider .widget-readout { min-width:44px; max-width:52px; margin-right:0; }
.trailer .widget-slider .noUi-handle { touch-action:none; }
.trailer .jupyter-widget-tab { margin:0; }
.trailer :focus-visible { outline:2px solid var(--trailer-dc); outline-offset:1px; }
.jp-OutputArea-output > .trailer, .trailer.widget-vbox { container-type:inline-size; }
.jp-OutputArea:has(.trailer-verdict-box), .jp-OutputArea-child:has(.trailer-verdict-box),
.jp-OutputArea-output:has(.trailer-verdict-box), .trailer.trailer-bench { overflow:visible; }
@container (max-width:660px) {
  .trailer-middle { flex-direction:column-reverse !important; height:auto !important; }
  .trailer-middle > * { width:100% !important; min-width:0 !important; flex:0 0 auto !important; }
  .trailer-row, .trailer-row > .widget-hbox { flex-wrap:wrap !important; height:auto !important; }
  .trailer-verdict, .trailer-verdict-box { height:100px; }
  .trailer-verdict span, .trailer.trailer-sheet .trailer-verdict span { font-size:14px; line-height:1.3; -webkit-line-clamp:5; }
  .trailer-verdict span.trailer-long { font-size:12.5px; line-height:1.25; -webkit-line-clamp:6; }
  .trailer-verdict b { white-space:normal; flex:0 0 auto; max-width:118px; }
  .trailer-sheet .trailer-middle { flex-direction:column !important; }
  .trailer-verdict-box { position:sticky; top:0; z-index:2; }
  .trailer-pictures { height:auto; }
  .trailer-page-box { height:300px !important; }
}
</style>"""

TONES = {"stop": "stop", "fix": "watch", "note": "dc", "not checked": "ghost", "holds": "holds"}


def tone(word: str) -> str:
    """The style colour that goes with a severity's word, never shown without it."""
    return f"var(--trailer-{TONES[word]})"
