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

/**
 * Loss alerts one below the other, and before them what to beware of with each of them, which would
 * be said as often as there are alerts.
 */
export function alertList(
  alerts: readonly LossAlert[],
  timeZone: string,
  manner: { linksVehicle: boolean },
): HTMLElement {
  const [first, ...others] = alerts;
  const shared = (first?.cautions ?? []).filter((caution) =>
    others.every(({ cautions }) => cautions.includes(caution)),
  );
  return el(
    'div',
    {},
    listed(others.length === 0 ? 'Beware' : 'Beware, whichever is checked', shared),
    el('ul', {}, ...alerts.map((alert) => alertItem(alert, timeZone, manner.linksVehicle, shared))),
  );
}

/** One loss alert: what it is, what to check next, what it rests on, and what more to beware of. */
function alertItem(
  alert: LossAlert,
  timeZone: string,
  linksVehicle: boolean,
  saidBefore: readonly string[],
): HTMLElement {
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
      linksVehicle ? 'h2' : 'h3',
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
    listed(
      'Beware',
      alert.cautions.filter((caution) => !saidBefore.includes(caution)),
    ),
  );
}
