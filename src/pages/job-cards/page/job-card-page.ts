import { quantityAsRead } from '../../../domain/quantities/as-read.js';
import { blocksOf, isHourOnly, workInWords } from './card-blocks.js';
import type { Block, Row } from './card-row.js';
import { sizeCard } from './card-size.js';
import { sizeClass, STYLE_ELEMENT } from './card-style.js';
import { Html, html } from '../../../platform/presenting/html.js';
import type { JobCardView } from '../card/job-card.dto.js';

/**
 * The card as one page of A4 or US Letter, black on white, in the largest type that should fit.
 *
 * @param card its quantities in the reader's units
 * @param timeZone of the fleet
 */
export function jobCardPage(card: JobCardView, timeZone: string): string {
  const { vehicle, cautions } = card;
  const left = whatItIs(card);
  const right = [`Job card, ${card.asOf}`, placeOf(card), usageOf(card)];
  const work = workOf(card);
  const { sizePt, blocks, basis } = sizeCard(blocksOf(card, timeZone), {
    head: [[vehicle.unitNumber, ...left], right],
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
        <main>${blocks.map(section)}</main>
        <aside>
          <h2>Cautions</h2>
          <ul>
            ${cautions.map((caution) => html`<li>${caution}</li>`)}
          </ul>
        </aside>
        ${basis === '' ? null : html`<p class="basis">${basis}</p>`}
        <div class="sign">
          ${['Done by', 'Date', isHourOnly(vehicle) ? 'Hours' : 'Odometer', 'Notes'].map(toSign)}
        </div>
      </body>
    </html> `.text;
}

/** The machine, its spec sheet, and what it is mounted on or carries. */
function whatItIs({ vehicle, specSheet }: JobCardView): string[] {
  const { modelYear, make, model, mountedOn, carries } = vehicle;
  const circuit = specSheet?.circuit == null ? '' : `, ${specSheet.circuit} circuit`;
  return [
    [modelYear, make, model].filter((word) => word !== null).join(' '),
    specSheet === null ? 'no spec sheet' : `${specSheet.name}${circuit}`,
    mountedOn === null ? '' : `mounted on ${mountedOn.unitNumber}`,
    carries.length === 0 ? '' : carriedOf(carries.map(({ unitNumber }) => unitNumber)),
  ].filter((text) => text !== '');
}

function workOf({ lines }: JobCardView): string {
  return lines.length === 0
    ? 'Nothing was asked, and nothing is due or in its window.'
    : lines.map(workInWords).join(' · ');
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

function section({ title, rows }: Block): Html {
  return html`<section>
    <h2>${title}</h2>
    <ul>
      ${rows.map(listItem)}
    </ul>
  </section>`;
}

function listItem({ box, text, value, blanks }: Row): Html {
  const tick = box ? html`<input type="checkbox" aria-label="done" />` : null;
  const atEnd = value === undefined ? null : html` <b>${value}</b>`;
  const toWrite = blanks === undefined ? null : blanks.map(blank);
  return html`<li${new Html(box ? ' class="tick"' : '')}>${tick}${text}${atEnd}${toWrite}</li>`;
}

function blank(name: string): Html {
  return html` <span class="blank"><small>${name}</small><i></i></span>`;
}

function toSign(name: string): Html {
  return html`<span><small>${name}</small><i></i></span>`;
}
