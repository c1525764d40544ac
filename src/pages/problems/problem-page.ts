import { createHash } from 'node:crypto';
import { Html, html } from '../../platform/presenting/html.js';
import { type Reader, textOf } from '../../platform/words/render.js';
import { message } from './messages.js';
import type { ProblemExplanation } from './problem-explanation.dto.js';

const STYLE = `
:root { color-scheme: light dark; --paper: #f6f2e6; --ink: #262b4d; --faint: #595d78; }
@media (prefers-color-scheme: dark) { :root { --paper: #1b1a1e; --ink: #e9e3d2; --faint: #b8b2a4; } }
html { background: var(--paper); color: var(--ink); }
body { margin: 0 auto; max-width: 42rem; padding: 1rem; font: 1rem/1.5 "Gill Sans Nova", Seravek, Ubuntu, Calibri, "DejaVu Sans", sans-serif; overflow-wrap: anywhere; }
h1 { font-size: 1.6rem; line-height: 1.2; margin: 0; }
h2 { font-size: 1.15rem; margin: 1.6rem 0 0.4rem; border-bottom: 3px double var(--ink); padding-bottom: 0.15rem; }
p { margin: 0.35rem 0; }
ul { margin: 0; padding: 0; list-style: none; }
.type { color: var(--faint); }
`;

/** Keep in one piece: the policy contains a hash of everything inside the element. */
const STYLE_ELEMENT = new Html(`<style>${STYLE}</style>`);

/** Nothing is loaded, and only the page's own style is allowed. */
export const PAGE_POLICY = [
  "default-src 'none'",
  `style-src 'sha256-${createHash('sha256').update(STYLE).digest('base64')}'`,
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join('; ');

/** Explains a kind of problem on a page for people: what it means and what to do. */
export function problemPage(
  { type, title, statuses, meaning, remedy }: ProblemExplanation,
  reader: Reader,
): string {
  const said = (words: Parameters<typeof textOf>[0]): string => textOf(words, reader);
  return html`<!doctype html>
    <html lang="${reader.language}">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta name="color-scheme" content="light dark" />
        <title>${title} · Weephole</title>
        <link rel="icon" href="data:," />
        ${STYLE_ELEMENT}
      </head>
      <body>
        <main>
          <h1>${title}</h1>
          <p class="type">${type}</p>
          <h2>${said(message('problem-page-meaning'))}</h2>
          <p>${meaning}</p>
          <h2>${said(message('problem-page-remedy'))}</h2>
          <p>${remedy}</p>
          <h2>${said(message('problem-page-status'))}</h2>
          <ul>
            ${statuses.map((status) => html`<li>${status}</li>`)}
          </ul>
        </main>
      </body>
    </html> `.text;
}
