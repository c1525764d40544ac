import { createHash } from 'node:crypto';
import { encodeQR } from 'qr';
import { Html, html } from '../../platform/presenting/html.js';
import { type Language, LANGUAGES } from '../../platform/words/languages.js';
import { textOf } from '../../platform/words/render.js';
import type { LabelView } from './label.dto.js';
import { message } from './messages.js';

/** Blank modules around the code, which scanners need (ISO/IEC 18004). */
const QUIET_ZONE = 4;

/**
 * Two columns of five labels, on A4 and on US Letter. Each is as large as two business cards, so
 * that it can be cut out with a knife along the lines.
 */
const STYLE = `
@page { margin: 8mm; }
* { box-sizing: border-box; }
html { background: #fff; color: #000; }
body { margin: 0; font-family: "Liberation Sans", Arial, Helvetica, "DejaVu Sans", sans-serif; line-height: 1.2; }
h1 { position: absolute; width: 1px; height: 1px; overflow: hidden; clip-path: inset(50%); margin: 0; }
ul { list-style: none; margin: 0 auto; padding: 0; width: 194mm; display: flex; flex-wrap: wrap; }
li { width: 97mm; height: 51mm; display: flex; border: 0.3mm dashed #888; break-inside: avoid; overflow: hidden; margin: 0 -0.15mm -0.15mm 0; }
li svg { flex: none; width: 50mm; height: 50mm; }
li div { flex: 1; min-width: 0; padding: 3mm 3mm 3mm 0; display: flex; flex-direction: column; gap: 2mm; overflow-wrap: anywhere; }
h2 { font-size: 26pt; line-height: 1; margin: 0; }
h2.long { font-size: 15pt; }
p { margin: 0; font-size: 8.5pt; }
p:first-of-type { font-weight: bold; }
@media screen { body { padding: 8mm; } }
`;

const STYLE_ELEMENT = new Html(`<style>${STYLE}</style>`);

/** Allows the style of the sheet (Content Security Policy). */
export const LABEL_STYLE_SOURCE = `'sha256-${createHash('sha256').update(STYLE).digest('base64')}'`;

/** Lets the browser show the sheet in its own style, and nothing else. */
export const SHEET_HEADERS: Readonly<Record<string, string>> = {
  'content-type': 'text/html; charset=utf-8',
  'content-security-policy': [
    "default-src 'none'",
    `style-src ${LABEL_STYLE_SOURCE}`,
    "base-uri 'none'",
    "form-action 'none'",
    "frame-ancestors 'none'",
  ].join('; '),
  'referrer-policy': 'no-referrer',
  'cache-control': 'no-store',
};

/** The QR code of a label. A third of it may be scratched or dirty. */
export function labelSvg(address: string): string {
  return encodeQR(address, 'svg', { ecc: 'high', border: QUIET_ZONE });
}

/**
 * Labels on ordinary paper: the code, the unit number in large letters, and what it is for, in the
 * fleet's language and in another.
 */
export function labelSheet(labels: readonly LabelView[], language: Language): string {
  const other = LANGUAGES.find((each) => each !== language);
  const languages = other === undefined ? [language] : [language, other];
  const say = (said: Parameters<typeof textOf>[0], as = language): string =>
    textOf(said, { language: as, units: null });
  return html`<!doctype html>
    <html lang="${language}">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <title>${say(message('label-sheet-title'))}</title>
        ${STYLE_ELEMENT}
      </head>
      <body>
        <main>
          <h1>${say(message('label-sheet-title'))}</h1>
          ${labels.length === 0 ? html`<p>${say(message('label-sheet-empty'))}</p>` : null}
          <ul>
            ${labels.map(
              ({ address, unitNumber }) =>
                html`<li>
                  ${new Html(labelSvg(address).replace('<svg ', '<svg aria-hidden="true" '))}
                  <div>
                    <h2${new Html(unitNumber.length > 7 ? ' class="long"' : '')}>${unitNumber}</h2>
                    ${languages.map((each) => html`<p lang="${each}">${say(message('label-purpose'), each)}</p>`)}
                    ${languages.map((each) => html`<p lang="${each}">${say(message('label-call'), each)}</p>`)}
                  </div>
                </li>`,
            )}
          </ul>
        </main>
      </body>
    </html> `.text;
}
