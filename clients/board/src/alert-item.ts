import { el } from './dom.js';
import { hashOf } from './route.js';
import type { LossAlert } from './types.js';
import { ALERT_WORDS, momentInWords, plain } from './words.js';

const listed = (title: string, texts: readonly string[], listTag: 'ul' | 'ol' = 'ul'): HTMLElement | null =>
  texts.length === 0
    ? null
    : el(
        'div',
        {},
        el('p', { class: 'unit' }, title),
        el(listTag, { class: 'dots' }, ...texts.map((text) => el('li', {}, text))),
      );

/** One loss alert: what it is, what it rests on, what to check next, and what to beware of. */
export function alertItem(alert: LossAlert, timeZone: string, linksVehicle = true): HTMLElement {
  const { vehicle, members } = alert;
  const evidence = alert.evidence.flatMap(({ at, text }) =>
    typeof text === 'string'
      ? [`${typeof at === 'string' ? `${momentInWords(at, timeZone)}: ` : ''}${text}`]
      : [],
  );
  const shelved = alert.shelvedUntil === null ? '' : ` until ${momentInWords(alert.shelvedUntil, timeZone)}`;
  return el(
    'li',
    { class: 'alert', 'data-alert': alert.id },
    el(
      'h3',
      {},
      vehicle !== null && linksVehicle
        ? el(
            'a',
            {
              class: 'unit',
              href: hashOf({ view: 'vehicle', vehicleId: vehicle.id }),
              'data-key': `alert ${alert.id}`,
            },
            vehicle.unitNumber,
          )
        : null,
      vehicle !== null && linksVehicle ? ': ' : '',
      ALERT_WORDS[alert.kind] ?? plain(alert.kind),
    ),
    el(
      'p',
      {},
      `${alert.status === 'raised' ? 'Raised' : `Raised, and ${alert.status}${shelved}`}, ${momentInWords(alert.raisedAt, timeZone)}`,
      alert.returned ? '; it had been cleared not long before' : '',
      alert.standing ? '' : '; what it rested on was taken back',
      members.length === 0 ? '' : `; ${members.length} vehicles`,
    ),
    listed('Check next', alert.checkNext, 'ol'),
    listed('It rests on', evidence),
    listed('Beware', alert.cautions),
  );
}
