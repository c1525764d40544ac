import { baseTerm } from '../../domain/coolant/coolant.js';
import type { Action, Component } from '../../domain/intervals/types.js';
import { circuitTerm, workTerm } from '../../domain/intervals/terms.js';
import { toolTerm } from '../../domain/pick-list/tools-to-pick.js';
import { type Html, html } from '../../platform/presenting/html.js';
import type { Language } from '../../platform/words/languages.js';
import { message as shared } from '../../platform/words/messages.js';
import { type Block, type Row, whole } from '../job-cards/page/card-row.js';
import { section } from '../job-cards/page/card-section.js';
import { sizeClass, STYLE_ELEMENT } from '../job-cards/page/card-style.js';
import { type Wording, wordingIn } from '../job-cards/page/wording.js';
import { message } from './messages.js';
import type { PickListView } from './pick-list.dto.js';

/** A list may be as long as the day is full, so that it has the type of a letter. */
const TYPE_SIZE_PT = 10;

/**
 * The list as pages of A4 or US Letter, black on white, with boxes to tick.
 *
 * @param list with quantities in the reader's units and messages in the reader's language
 * @param language the reader's language
 * @param timeZone the fleet's zone
 */
export function pickListPage(list: PickListView, language: Language, timeZone: string): string {
  const wording = wordingIn(language, timeZone);
  const { say, weekday } = wording;
  const title = say(message('pick-page-title', { depot: list.depot.name, date: weekday(list.on) }));
  const tick = say(message('pick-page-tick'));
  return html`<!doctype html>
    <html lang="${language}">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <title>${title}</title>
        ${STYLE_ELEMENT}
      </head>
      <body class="${sizeClass(TYPE_SIZE_PT)}">
        <header>
          <div><h1>${title}</h1></div>
        </header>
        <p class="work">${unitsOf(list, wording)}</p>
        <main>${blocksOf(list, wording).map((block): Html => section(block, tick))}</main>
        <aside>
          <h2>${say(shared('heading-cautions'))}</h2>
          <ul>
            ${cautionsOf(list).map((caution) => html`<li>${caution}</li>`)}
          </ul>
        </aside>
        ${list.basis.map(({ text }) => html`<p class="basis">${text}</p>`)}
      </body>
    </html> `.text;
}

function unitsOf({ visits }: PickListView, { say }: Wording): string {
  if (visits.length === 0) return say(message('pick-page-none'));
  const units = visits.map(({ unitNumber }) => unitNumber).join(' · ');
  return `${say(message('pick-page-visits', { count: visits.length }))} ${units}`;
}

/** Those of the whole list, and those of its lines that are not among them. */
function cautionsOf({ cautions, parts, coolant, additives, tools }: PickListView): string[] {
  const ofLines = [...parts, ...coolant, ...additives, ...tools].flatMap((line) => line.cautions);
  return [...new Set([...cautions, ...ofLines].map(({ text }) => text))];
}

function blocksOf(list: PickListView, wording: Wording): Block[] {
  const { say, amount } = wording;
  const blocks = [
    whole(say(message('pick-page-missing')), missingRows(list, wording)),
    whole(say(message('pick-page-parts')), partRows(list, wording)),
    whole(
      say(message('pick-page-coolant', { container: amount(list.container) })),
      list.coolant.map((line) => coolantRow(line, wording)),
    ),
    whole(say(message('pick-page-additives')), additiveRows(list, wording)),
    whole(say(message('pick-page-tools')), toolRows(list, wording)),
    whole(say(message('pick-page-work')), workRows(list, wording)),
  ];
  return blocks.filter(({ rows }) => rows.length > 0);
}

/** The vehicles, each with its share if they differ in it. */
function vehiclesOf<One extends { unitNumber: string }>(
  all: readonly One[],
  share: ((one: One) => string | null) | null,
  { say }: Wording,
): string {
  return all
    .map((one) => {
      const amount = share?.(one) ?? null;
      return amount === null
        ? one.unitNumber
        : say(message('pick-page-each', { unit: one.unitNumber, amount }));
    })
    .join(', ');
}

function partRows({ parts }: PickListView, wording: Wording): Row[] {
  const { say } = wording;
  return parts.map(({ partNumber, descriptions, quantity, for: all }) => {
    const vehicles = vehiclesOf(all, (one) => (all.length === 1 ? null : `${one.quantity}`), wording);
    const what = descriptions.join(' / ');
    const text =
      partNumber === null
        ? message('pick-page-part-no-number', { quantity, what, vehicles })
        : message('pick-page-part', { quantity, number: partNumber, what, vehicles });
    return { box: true, text: say(text) };
  });
}

function coolantRow(line: PickListView['coolant'][0], wording: Wording): Row {
  const { say, amount } = wording;
  const { containers: count } = line;
  const share = (one: (typeof line.for)[0]): string | null => one.volume && amount(one.volume);
  const isKnown = line.for.some(({ volume }) => volume !== null);
  const value = isKnown
    ? message('pick-page-containers', { count, volume: amount(line.volume) })
    : message('pick-page-top-up', { count });
  return { box: true, text: coolantText(line, vehiclesOf(line.for, share, wording), say), value: say(value) };
}

function coolantText(line: PickListView['coolant'][0], vehicles: string, say: Wording['say']): string {
  const { base, circuit, isElectric, insteadOfMixing } = line;
  if (base === null) return say(message('pick-page-water', { vehicles }));
  const what = {
    base: baseTerm(base),
    technology: line.technology ?? say(message('pick-page-no-technology')),
    vehicles,
  };
  return circuit === null
    ? say(message('pick-page-concentrate', what))
    : say(
        message('pick-page-poured-in', {
          ...what,
          circuit: circuitTerm(circuit),
          strength: Math.round(line.strengthPercent ?? 0),
          instead: insteadOfMixing ? 'yes' : 'no',
          electric: isElectric ? 'yes' : 'no',
        }),
      );
}

function additiveRows({ additives }: PickListView, wording: Wording): Row[] {
  const { say, amount } = wording;
  return additives.map(({ product, volume, for: all }) => {
    const vehicles = vehiclesOf(all, ({ inWords }) => inWords, wording);
    const text =
      product === null
        ? message('pick-page-additive-unnamed', { vehicles })
        : message('pick-page-additive', { product, vehicles });
    return { box: true, text: say(text), value: amount(volume) };
  });
}

function toolRows({ tools }: PickListView, wording: Wording): Row[] {
  const { say, amount } = wording;
  return tools.map(({ tool, torque, for: all }) => ({
    box: true,
    text: say(message('pick-page-tool', { tool: toolTerm(tool), vehicles: vehiclesOf(all, null, wording) })),
    ...(torque !== null && {
      value: say(message('pick-page-torque', { least: amount(torque.least), most: amount(torque.most) })),
    }),
  }));
}

function missingRows({ missing }: PickListView, { say }: Wording): Row[] {
  return missing.map(({ unitNumber: unit, message: { text: what } }) => ({
    box: true,
    text: say(message('pick-page-of-vehicle', { unit, what })),
  }));
}

function workRows({ visits }: PickListView, { say }: Wording): Row[] {
  return visits.map(({ unitNumber: unit, lines }) => {
    const work = lines.map(({ component, action, item, circuit }) =>
      say(workTerm({ component: component as Component, action: action as Action, item, circuit })),
    );
    return { text: say(message('pick-page-of-vehicle', { unit, what: work.join(' · ') })) };
  });
}
