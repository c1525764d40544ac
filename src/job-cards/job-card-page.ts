import { createHash } from 'node:crypto';
import { quantityAsRead } from '../domain/quantities/as-read.js';
import { type Block, blocksOf, isHourOnly, type Row, workInWords } from './card-blocks.js';
import { fitToPage, MARGINS_MM, MEASURES_EM, TYPE_SIZES } from './card-fit.js';
import { Html, html } from './html.js';
import type { JobCardView } from './job-card.dto.js';

const sizeClass = (sizePt: number): string => `size-${sizePt * 10}`;

const em = MEASURES_EM;

const STYLE = `
@page { margin: ${MARGINS_MM.top}mm ${MARGINS_MM.side}mm; }
* { box-sizing: border-box; }
html { background: #fff; color: #000; }
body { margin: 0; font-family: "Liberation Sans", Arial, Helvetica, "DejaVu Sans Condensed", sans-serif; line-height: ${em.line}; overflow-wrap: anywhere; }
${TYPE_SIZES.map((size) => `.${sizeClass(size)} { font-size: ${size}pt; }`).join('\n')}
h1 { font-size: 1.75em; line-height: ${em.line}; margin: 0; }
h2 { font-size: 1em; margin: 0 0 ${em.headingGap}em; padding: ${em.headingPad}em 0.4em; background: #000; color: #fff; print-color-adjust: exact; -webkit-print-color-adjust: exact; }
p { margin: 0; }
ul { list-style: none; margin: 0; padding: 0; }
header { display: flex; justify-content: space-between; gap: 1em; border-bottom: 0.2em solid #000; padding-bottom: 0.3em; }
header .right { text-align: right; flex: none; width: 39%; }
.work { font-weight: bold; padding: 0.3em 0; }
main { display: flex; gap: ${em.columnGap}em; }
main > div { flex: 1 1 0; min-width: 0; }
section { padding-bottom: ${em.sectionGap}em; }
li { padding-bottom: ${em.rowGap}em; }
li.tick { padding-left: ${em.tick}em; position: relative; }
li input { appearance: none; -webkit-appearance: none; position: absolute; left: 0.1em; top: 0.08em; margin: 0; width: 1.05em; height: 1.05em; font-size: 1em; border: 0.11em solid #000; background: #fff; }
li input:checked { background: #000; print-color-adjust: exact; -webkit-print-color-adjust: exact; }
.line { display: flex; justify-content: space-between; column-gap: ${em.valueGap}em; }
.line span { flex: 1 1 0; min-width: 0; }
.line b { flex: none; max-width: 60%; text-align: right; }
.blank { display: inline-block; white-space: nowrap; line-height: 1; margin-left: ${em.blankGap}em; }
.blank small, .sign small { font-size: ${em.small}em; }
.blank i { display: inline-block; width: ${em.blank}em; margin-left: ${em.blankGap}em; border-bottom: 0.08em solid #000; }
aside { border: 0.2em solid #000; padding: 0.3em 0.6em; }
aside div { display: flex; gap: ${em.columnGap}em; }
aside ul { flex: 1 1 0; min-width: 0; list-style: disc; padding-left: 1.1em; }
aside li { padding: 0 0 0.1em; }
aside h2 { background: none; color: #000; padding: 0; }
.basis { font-size: ${em.small}em; padding-top: 0.4em; }
.sign { display: flex; gap: 0.9em; padding-top: 0.9em; line-height: 1; }
.sign span { flex: 1; display: flex; align-items: baseline; gap: 0.3em; white-space: nowrap; }
.sign i { flex: 1; border-bottom: 0.08em solid #000; }
@media screen { body { max-width: 210mm; margin: 0 auto; padding: ${MARGINS_MM.top}mm ${MARGINS_MM.side}mm; } }
@media screen and (max-width: 640px) { main, aside div { display: block; } header { display: block; } header .right { text-align: left; width: auto; } }
`;

/** Whole, for the policy names the style by its digest, to the last blank. */
const STYLE_ELEMENT = new Html(`<style>${STYLE}</style>`);

/** By which a policy lets the style in, and no other. */
export const STYLE_SOURCE = `'sha256-${createHash('sha256').update(STYLE).digest('base64')}'`;

/** What a browser may do with the page: show it in its own style, and nothing else. */
export const PAGE_HEADERS: Readonly<Record<string, string>> = {
  'content-type': 'text/html; charset=utf-8',
  'content-language': 'en',
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

/**
 * The card as one page of A4 or US Letter, black on white, in the largest type that fits.
 *
 * @param card its quantities in the reader's units
 * @param timeZone of the fleet
 */
export function jobCardPage(card: JobCardView, timeZone: string): string {
  const { vehicle, cautions } = card;
  const machine = [vehicle.modelYear, vehicle.make, vehicle.model].filter((word) => word !== null).join(' ');
  const sheet =
    card.specSheet === null
      ? 'no spec sheet'
      : `${card.specSheet.name}${card.specSheet.circuit === null ? '' : `, ${card.specSheet.circuit} circuit`}`;
  const left = [
    machine,
    sheet,
    vehicle.mountedOn === null ? '' : `mounted on ${vehicle.mountedOn.unitNumber}`,
    vehicle.carries.length === 0 ? '' : carriedOf(vehicle.carries.map(({ unitNumber }) => unitNumber)),
  ].filter((text) => text !== '');
  const right = [`Job card, ${card.asOf}`, placeOf(card), usageOf(card)];
  const work =
    card.lines.length === 0
      ? 'Nothing was asked, and nothing is due or in its window.'
      : card.lines.map(workInWords).join(' · ');
  const { sizePt, columns, basis, ...fitted } = fitToPage(blocksOf(card, timeZone), {
    head: sideBySide([vehicle.unitNumber, ...left], right),
    work,
    cautions,
    basis: basisOf(card.basis),
    basisInShort: basisOf(card.basis.filter((entry) => entry.includes('common practice'))),
  });
  return html`<!doctype html>
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <title>Job card ${vehicle.unitNumber}</title>
        ${STYLE_ELEMENT}
      </head>
      <body class="${sizeClass(sizePt)}">
        <header>
          <div>
            <h1>${vehicle.unitNumber}</h1>
            ${left.map((text) => html`<p>${text}</p>`)}
          </div>
          <div class="right">${right.map((text) => html`<p>${text}</p>`)}</div>
        </header>
        <p class="work">${work}</p>
        <main>${columns.map((blocks) => html`<div>${blocks.map(section)}</div>`)}</main>
        <aside>
          <h2>Cautions</h2>
          <div>${fitted.cautions.map(cautionList)}</div>
        </aside>
        ${basis === '' ? null : html`<p class="basis">${basis}</p>`}
        <div class="sign">
          ${['Done by', 'Date', isHourOnly(vehicle) ? 'Hours' : 'Odometer', 'Notes'].map(toSign)}
        </div>
      </body>
    </html> `.text;
}

const MOST_CARRIED = 4;

function carriedOf(unitNumbers: readonly string[]): string {
  const more = unitNumbers.length - MOST_CARRIED;
  return `carries ${unitNumbers.slice(0, MOST_CARRIED).join(', ')}${more > 0 ? ` and ${more} more` : ''}`;
}

function basisOf(entries: readonly string[]): string {
  return entries.length === 0 ? '' : `By: ${entries.join('; ')}.`;
}

function placeOf({ vehicle: { depot } }: JobCardView): string {
  if (depot === null) return 'no depot';
  return depot.elevation === null
    ? `${depot.name}, elevation not known`
    : `${depot.name}, ${quantityAsRead(depot.elevation)} above sea level`;
}

function usageOf({ vehicle }: JobCardView): string {
  const counters = [vehicle.estimatedOdometer, vehicle.estimatedEngineHours].filter(
    (value) => value !== null,
  );
  if (counters.length === 0) return 'no usage reading';
  const shown = counters.map((counter) => quantityAsRead(counter)).join(', ');
  return vehicle.stale ? `about ${shown}: needs a reading` : `about ${shown}`;
}

function sideBySide(left: readonly string[], right: readonly string[]): [string, string][] {
  return Array.from({ length: Math.max(left.length, right.length) }, (_, index) => [
    left[index] ?? '',
    right[index] ?? '',
  ]);
}

function section({ title, rows }: Block): Html {
  return html`<section>
    <h2>${title}</h2>
    <ul>
      ${rows.map(listItem)}
    </ul>
  </section>`;
}

function cautionList(cautions: readonly string[]): Html {
  return html`<ul>
    ${cautions.map((caution) => html`<li>${caution}</li>`)}
  </ul>`;
}

function listItem({ box, text, value, blanks }: Row): Html {
  const tick = box ? html`<input type="checkbox" aria-label="done" />` : null;
  const line =
    value === undefined ? html`${text}` : html`<div class="line"><span>${text}</span><b>${value}</b></div>`;
  const toWrite = blanks === undefined ? null : blanks.map(blank);
  return html`<li${new Html(box ? ' class="tick"' : '')}>${tick}${line}${toWrite}</li>`;
}

function blank(name: string): Html {
  return html` <span class="blank"><small>${name}</small><i></i></span>`;
}

function toSign(name: string): Html {
  return html`<span><small>${name}</small><i></i></span>`;
}
