import type { Message } from '../../../domain/message.js';
import { blocksOf, isHourOnly, workInWords } from './card-blocks.js';
import { section } from './card-section.js';
import type { Block } from './card-row.js';
import { sizeCard } from './card-size.js';
import { isCommonPractice } from './common-practice-basis.js';
import { sizeClass, STYLE_ELEMENT } from './card-style.js';
import { type Html, html } from '../../../platform/presenting/html.js';
import type { Language } from '../../../platform/words/languages.js';
import type { JobCardView } from '../card/job-card.dto.js';
import { message as shared } from '../../../platform/words/messages.js';
import { message } from './messages.js';
import { type Wording, wordingIn } from './wording.js';

/**
 * The card as one page of A4 or US Letter, black on white, in the largest type that should fit.
 *
 * @param card the card, with quantities in the reader's units and messages in the reader's language
 * @param language the reader's language
 * @param timeZone the fleet's zone
 */
export function jobCardPage(card: JobCardView, language: Language, timeZone: string): string {
  const wording = wordingIn(language, timeZone);
  const { say } = wording;
  const { vehicle } = card;
  const cautions = card.cautions.map(({ text }) => text);
  const left = whatItIs(card, wording);
  const dated = say(message('card-page-date', { date: wording.date(card.asOf) }));
  const right = [dated, placeOf(card, wording), usageOf(card, wording)];
  const work = workOf(card, wording);
  const shown = (block: Block): Html => section(block, say(message('card-page-tick')));
  const { sizePt, blocks, basis } = sizeCard(blocksOf(card, wording), {
    head: [[vehicle.unitNumber, ...left], right],
    work,
    cautions,
    basis: basisOf(card.basis, wording),
    basisInShort: basisOf(card.basis.filter(isCommonPractice), wording),
    moreRows: (count) => say(message('card-page-more-rows', { count })),
  });
  return html`<!doctype html>
    <html lang="${language}">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <title>${say(message('card-page-title', { unit: vehicle.unitNumber }))}</title>
        ${STYLE_ELEMENT}
      </head>
      <body class="${sizeClass(sizePt)}">
        <header>
          <div class="head">
            <div>
              <h1>${vehicle.unitNumber}</h1>
              ${left.map((text) => html`<p>${text}</p>`)}
            </div>
            <div class="right">${right.map((text) => html`<p>${text}</p>`)}</div>
          </div>
          <p class="work">${work}</p>
        </header>
        <main>${blocks.map(shown)}</main>
        <aside>
          <h2>${say(shared('heading-cautions'))}</h2>
          <ul>
            ${cautions.map((caution) => html`<li>${caution}</li>`)}
          </ul>
        </aside>
        ${foot(basis, signed(isHourOnly(vehicle), wording))}
      </body>
    </html> `.text;
}

/** What the values rest on, and what is filled in by hand. */
function foot(basis: string, toFillIn: readonly string[]): Html {
  return html`<footer>
    ${basis === '' ? null : html`<p class="basis">${basis}</p>`}
    <div class="sign">${toFillIn.map(toSign)}</div>
  </footer>`;
}

/** The fields at the foot that are filled in by hand. */
function signed(byHours: boolean, { say }: Wording): string[] {
  const names = ['person', 'date', byHours ? 'hours' : 'odometer', 'notes'] as const;
  return names.map((what) => say(message('card-page-sign', { what })));
}

/** The machine, its spec sheet, and what it is mounted on or carries. */
function whatItIs({ vehicle, specSheet }: JobCardView, { say }: Wording): string[] {
  const { modelYear, make, model, mountedOn, carries } = vehicle;
  return [
    [modelYear, make, model].filter((word) => word !== null).join(' '),
    sheetOf(specSheet, say),
    mountedOn === null ? '' : say(message('card-page-mounted-on', { unit: mountedOn.unitNumber })),
    carries.length === 0 ? '' : say(carriedOf(carries.map(({ unitNumber }) => unitNumber))),
  ].filter((text) => text !== '');
}

function sheetOf(specSheet: JobCardView['specSheet'], say: Wording['say']): string {
  if (specSheet === null) return say(message('card-page-no-sheet'));
  const { name: sheet, circuitNote: circuit } = specSheet;
  return circuit === null ? sheet : say(message('card-page-sheet-circuit', { sheet, circuit }));
}

function workOf({ lines }: JobCardView, wording: Wording): string {
  return lines.length === 0
    ? wording.say(message('card-page-nothing-due'))
    : lines.map((line) => workInWords(line, wording)).join(' · ');
}

const MOST_CARRIED = 4;

function carriedOf(units: readonly string[]): Message {
  const more = units.length - MOST_CARRIED;
  if (more <= 0) return message('card-page-carries', { units });
  return message('card-page-carries-more', { units: units.slice(0, MOST_CARRIED).join(', '), more });
}

type Basis = JobCardView['basis'];

function basisOf(basis: Basis, { say }: Wording): string {
  const entries = basis.map(({ text }) => text).join('; ');
  return entries === '' ? '' : say(message('card-page-basis', { entries }));
}

function placeOf({ vehicle: { depot } }: JobCardView, { say, amount }: Wording): string {
  if (depot === null) return say(message('card-page-no-depot'));
  const { name, elevation } = depot;
  return say(
    elevation === null
      ? message('card-page-depot-no-elevation', { depot: name })
      : message('card-page-depot', { depot: name, elevation: amount(elevation) }),
  );
}

function usageOf({ vehicle }: JobCardView, { say, amount }: Wording): string {
  const known = [vehicle.estimatedOdometer, vehicle.estimatedEngineHours].filter((value) => value !== null);
  if (known.length === 0) return say(message('card-page-no-usage'));
  const counters = known.map((counter) => amount(counter)).join(', ');
  return say(message('card-page-usage', { counters, stale: vehicle.stale ? 'yes' : 'no' }));
}

function toSign(name: string): Html {
  return html`<span><small>${name}</small><i></i></span>`;
}
