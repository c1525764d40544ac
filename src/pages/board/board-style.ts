/**
 * The look of ink on ruled paper. Facts are in one ink and differ by weight and shape. Estimates
 * are in clay.
 */
export const BOARD_STYLE = `
:root {
  color-scheme: light dark;
  --paper: #f6f2e6; --sheet: #fdfbf4; --ink: #262b4d; --faint: #595d78; --rule: #d5cdb8; --edge: #8b8572; --clay: #8a4a1f; --focus: #8a1a5c;
}
@media (prefers-color-scheme: dark) {
  :root { --paper: #1b1a1e; --sheet: #232228; --ink: #e9e3d2; --faint: #b8b2a4; --rule: #3d3b42; --edge: #8d8992; --clay: #e2a678; --focus: #f2a8d4; }
}
* { box-sizing: border-box; }
html { background: var(--paper); color: var(--ink); }
body { margin: 0 auto; max-width: 76rem; padding: 0 1rem; font: 1rem/1.45 "Gill Sans Nova", Seravek, Ubuntu, Calibri, "DejaVu Sans", sans-serif; overflow-wrap: anywhere; }
h1 { font-size: 1.6rem; line-height: 1.2; margin: 1rem 0 0.5rem; width: fit-content; max-width: 100%; }
h2 { font-size: 1.15rem; margin: 1.6rem 0 0.4rem; border-bottom: 3px double var(--ink); padding-bottom: 0.15rem; }
h3 { font-size: 1rem; margin: 1rem 0 0.2rem; }
p { margin: 0.35rem 0; }
ul, ol { margin: 0; padding: 0; list-style: none; }
a { color: inherit; text-underline-offset: 0.2em; }
:focus-visible { outline: 3px solid var(--focus); outline-offset: 2px; }
h1:focus { outline: none; }
h1:focus-visible { outline: 3px solid var(--focus); }
.unseen { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); white-space: nowrap; }
.skip { position: absolute; left: -99rem; }
.skip:focus { left: 1rem; top: 0.3rem; background: var(--sheet); padding: 0.4rem 0.8rem; z-index: 2; }
.title-block { display: flex; flex-wrap: wrap; justify-content: space-between; align-items: baseline; gap: 0 1.5rem; border-bottom: 1px solid var(--ink); padding: 0.7rem 0 0.4rem; }
.title-block .name { font-weight: bold; }
.title-block .name span { font-weight: normal; }
nav ul { display: flex; flex-wrap: wrap; gap: 0 1.2rem; }
nav a, button.plain { display: inline-block; padding: 0.3rem 0; min-height: 1.75rem; }
nav a[aria-current] { font-weight: bold; text-decoration: none; border-bottom: 3px solid var(--ink); }
button[aria-pressed] { margin-right: 0.8rem; }
button.plain[aria-pressed=true] { font-weight: bold; text-decoration: none; }
button, input, select { font: inherit; color: inherit; }
button { background: var(--sheet); border: 1px solid var(--ink); border-radius: 0; padding: 0.35rem 0.9rem; min-height: 2rem; cursor: pointer; }
button.plain { background: none; border: 0; padding: 0.3rem 0; text-decoration: underline; text-underline-offset: 0.2em; }
input[type=text], input[type=search], input[type=password], select { background: var(--sheet); border: 1px solid var(--edge); border-radius: 0; padding: 0.3rem 0.5rem; min-height: 2.2rem; width: 100%; }
input[type=checkbox] { width: 1.1rem; height: 1.1rem; accent-color: var(--ink); }
label > span { display: block; font-size: 0.9rem; color: var(--faint); }
fieldset { border: 0; margin: 0; padding: 0; min-width: 0; }
legend { font-size: 0.9rem; color: var(--faint); padding: 0; }
.filters { display: grid; grid-template-columns: repeat(auto-fit, minmax(11rem, 1fr)); gap: 0.6rem 1rem; align-items: end; padding: 0.6rem 0; }
.filters fieldset { grid-column: 1 / -1; }
.filters fieldset ul { display: flex; flex-wrap: wrap; gap: 0.2rem 1.1rem; }
.filters fieldset label { display: inline-flex; gap: 0.4rem; align-items: center; min-height: 1.75rem; }
.filters fieldset label span { display: inline; font-size: 1rem; color: inherit; }
.sign-in { max-width: 26rem; }
.sign-in button { margin-top: 0.8rem; }
.fault { border-left: 0.4rem solid var(--ink); background: var(--sheet); padding: 0.4rem 0.8rem; margin: 0.6rem 0; }
.fault h2 { margin: 0; border: 0; padding: 0; }
.ruler, .line { display: grid; grid-template-columns: minmax(11rem, 17rem) minmax(0, 1fr); gap: 0.1rem 1rem; }
.ruler { font-size: 0.85rem; color: var(--faint); position: sticky; top: 0; background: var(--paper); z-index: 1; }
.line { border-bottom: 1px solid var(--rule); padding: 0.45rem 0; align-items: center; }
.line.changed { background: var(--sheet); box-shadow: -0.4rem 0 0 var(--clay); }
.line .when { font-size: 0.9rem; color: var(--faint); }
.unit { font-weight: bold; font-variant-numeric: tabular-nums; }
.state { display: inline-flex; gap: 0.35rem; align-items: center; }
.state-late .state { font-weight: bold; text-decoration: underline double; text-underline-offset: 0.2em; }
.state-due .state { font-weight: bold; }
svg { display: block; fill: none; stroke: currentColor; }
svg.mark { flex: none; width: 1rem; height: 1rem; }
svg.strip { width: 100%; height: 2.4rem; background: var(--sheet); border: 1px solid var(--rule); overflow: hidden; }
svg.weeks { width: 100%; height: 1.5rem; overflow: hidden; }
svg text { fill: currentColor; stroke: none; font-size: 0.8rem; }
svg.chart text { stroke: var(--sheet); stroke-width: 4; paint-order: stroke; }
.solid { fill: currentColor; }
.week { stroke: var(--rule); }
.month { stroke: var(--edge); }
.today { stroke: var(--ink); stroke-dasharray: 3 3; stroke-width: 1.5; }
.band { stroke: var(--clay); fill: url(#hatch); }
.hatch-line { stroke: var(--clay); stroke-width: 1.5; }
.opens, .turns-late { stroke: var(--ink); stroke-width: 1.5; }
.pager { display: flex; flex-wrap: wrap; gap: 1rem; padding: 0.8rem 0; }
details { margin: 0.4rem 0; }
summary { cursor: pointer; padding: 0.25rem 0; }
.legend li { display: flex; gap: 0.6rem; align-items: center; }
.depots { display: flex; flex-wrap: wrap; gap: 0.2rem 1.4rem; }
.facts { display: grid; grid-template-columns: repeat(auto-fit, minmax(12rem, 1fr)); gap: 0.3rem 1.2rem; margin: 0; }
.facts dt { font-size: 0.85rem; color: var(--faint); }
.facts dd { margin: 0; }
.charts { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(100%, 24rem), 1fr)); gap: 1rem 1.6rem; }
figure { margin: 0; min-width: 0; }
figcaption { font-weight: bold; }
svg.chart { width: 100%; height: 13rem; background: var(--sheet); border: 1px solid var(--rule); overflow: hidden; }
.grid { stroke: var(--rule); }
.measured { stroke: var(--ink); stroke-width: 2; }
.expected { stroke: var(--clay); stroke-width: 2; stroke-dasharray: 8 4; }
circle.expected { stroke-dasharray: none; }
.limit { stroke: var(--clay); stroke-width: 2; stroke-dasharray: 2 4; }
.key { display: flex; flex-wrap: wrap; gap: 0 1.2rem; font-size: 0.9rem; }
.key li { display: flex; gap: 0.4rem; align-items: center; }
.key svg { width: 2rem; height: 0.8rem; }
.scroll { overflow-x: auto; }
.scroll th, .scroll td { overflow-wrap: break-word; }
table { border-collapse: collapse; width: 100%; font-size: 0.95rem; }
th, td { text-align: left; vertical-align: top; padding: 0.25rem 0.8rem 0.25rem 0; border-bottom: 1px solid var(--rule); }
.happened > li, .alert { border-bottom: 1px solid var(--rule); padding: 0.45rem 0; }
.dots { list-style: disc; padding-left: 1.4rem; }
ol.dots { list-style: decimal; }
.alert h2::first-letter, .alert h3::first-letter { text-transform: uppercase; }
.alert h2 { border: 0; padding: 0; margin-top: 0.8rem; }
iframe { width: 100%; height: 80vh; border: 1px solid var(--edge); background: #fff; }
footer { border-top: 1px solid var(--ink); margin-top: 2rem; padding: 0.5rem 0 1.5rem; font-size: 0.9rem; color: var(--faint); }
@media print {
  .title-block, footer, .filters, .pager, button, summary, .back { display: none; }
  body { max-width: none; padding: 0; }
  iframe { border: 0; }
}
@media (max-width: 40rem) {
  .ruler, .line { grid-template-columns: minmax(0, 1fr); }
  .ruler .blank { display: none; }
}
@media (prefers-reduced-motion: no-preference) { .line { transition: background-color 0.6s; } }
`;
