import { createHash } from 'node:crypto';
import { LINE_HEIGHT, MARGINS_MM, TYPE_SIZES } from './card-size.js';
import { Html } from '../../../platform/presenting/html.js';

/** The class of the body that sets the type size. */
export const sizeClass = (sizePt: number): string => `size-${sizePt * 10}`;

const STYLE = `
@page { margin: ${MARGINS_MM.top}mm ${MARGINS_MM.side}mm; }
* { box-sizing: border-box; }
html { background: #fff; color: #000; }
body { margin: 0; font-family: "Liberation Sans", Arial, Helvetica, "DejaVu Sans Condensed", sans-serif; line-height: ${LINE_HEIGHT}; overflow-wrap: anywhere; }
${TYPE_SIZES.map((size) => `.${sizeClass(size)} { font-size: ${size}pt; }`).join('\n')}
h1 { font-size: 1.75em; line-height: ${LINE_HEIGHT}; margin: 0; }
h2 { font-size: 1em; margin: 0 0 0.25em; padding: 0.12em 0.4em; background: #000; color: #fff; break-after: avoid; print-color-adjust: exact; -webkit-print-color-adjust: exact; }
p { margin: 0; }
ul { list-style: none; margin: 0; padding: 0; }
.head { display: flex; justify-content: space-between; gap: 1em; border-bottom: 0.2em solid #000; padding-bottom: 0.3em; }
.head .right { text-align: right; flex: none; width: 39%; }
.work { font-weight: bold; padding: 0.3em 0; }
main, aside ul { columns: 2; column-gap: 1.5em; }
section { padding-bottom: 0.45em; }
li { padding-bottom: 0.18em; break-inside: avoid; }
main li { display: flow-root; }
main li:last-child { break-before: avoid; }
li.tick { padding-left: 1.6em; position: relative; }
li input { appearance: none; -webkit-appearance: none; position: absolute; left: 0.1em; top: 0.08em; margin: 0; width: 1.05em; height: 1.05em; font-size: 1em; border: 0.11em solid #000; background: #fff; }
li input:checked { background: #000; print-color-adjust: exact; -webkit-print-color-adjust: exact; }
li b { float: right; max-width: 60%; margin-left: 0.8em; text-align: right; }
.blank { display: inline-block; white-space: nowrap; line-height: 1; margin-left: 0.35em; }
.blank small, .sign small { font-size: 0.85em; }
.blank i { display: inline-block; width: 3.6em; margin-left: 0.35em; border-bottom: 0.08em solid #000; }
aside { border: 0.2em solid #000; padding: 0.3em 0.6em; break-inside: avoid; }
aside ul { list-style: disc; padding-left: 1.1em; }
aside li { padding: 0 0 0.1em; margin-right: 0.6em; }
aside h2 { background: none; color: #000; padding: 0; }
.basis { font-size: 0.85em; padding-top: 0.4em; }
.sign { display: flex; gap: 0.9em; padding-top: 0.9em; line-height: 1; break-inside: avoid; }
.sign span { flex: 1; display: flex; align-items: baseline; gap: 0.3em; white-space: nowrap; }
.sign i { flex: 1; border-bottom: 0.08em solid #000; }
@media screen { body { max-width: 210mm; margin: 0 auto; padding: ${MARGINS_MM.top}mm ${MARGINS_MM.side}mm; } }
@media screen and (max-width: 640px) { main, aside ul { columns: 1; } header { display: block; } .head .right { text-align: left; width: auto; } }
`;

/** Keep in one piece: the policy contains a hash of the style, so every blank counts. */
export const STYLE_ELEMENT = new Html(`<style>${STYLE}</style>`);

/** The source with which a policy allows this style and no other. */
export const STYLE_SOURCE = `'sha256-${createHash('sha256').update(STYLE).digest('base64')}'`;

/** Lets the browser show the page in its own style, and nothing else. */
export const PAGE_HEADERS: Readonly<Record<string, string>> = {
  'content-type': 'text/html; charset=utf-8',
  'content-security-policy': [
    "default-src 'none'",
    `style-src ${STYLE_SOURCE}`,
    "base-uri 'none'",
    "form-action 'none'",
    "frame-ancestors 'none'",
  ].join('; '),
  'x-content-type-options': 'nosniff',
  'referrer-policy': 'no-referrer',
  'cache-control': 'no-store',
};
