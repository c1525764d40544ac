import { el } from './dom.js';
import { tell, textsOf } from './language.js';
import { hashOf } from './route.js';
import type { LossAlert } from './types.js';
import { inCircuit, momentInWords } from './words.js';

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
 * Loss alerts one below the other. Cautions that are the same for all of them come first, once.
 */
export function alertList(
  alerts: readonly LossAlert[],
  timeZone: string,
  manner: { linksVehicle: boolean },
): HTMLElement {
  const [first = [], ...others] = alerts.map(({ cautions }) => textsOf(cautions));
  const shared = first.filter((caution) => others.every((cautions) => cautions.includes(caution)));
  return el(
    'div',
    {},
    listed(tell(others.length === 0 ? 'heading-cautions' : 'board-cautions-for-all'), shared),
    el('ul', {}, ...alerts.map((alert) => alertItem(alert, timeZone, manner.linksVehicle, shared))),
  );
}

/** One loss alert: what it is, what to check next, its evidence, and its own cautions. */
function alertItem(
  alert: LossAlert,
  timeZone: string,
  linksVehicle: boolean,
  saidBefore: readonly string[],
): HTMLElement {
  const { vehicle } = alert;
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
      inCircuit(tell(`alert-${alert.kind}`), alert.circuit),
    ),
    ...standing(alert, timeZone).map((text) => el('p', {}, text)),
    listed(tell('board-check-next'), textsOf(alert.checkNext), 'ol'),
    listed(tell('board-evidence'), evidenceOf(alert, timeZone)),
    listed(
      tell('heading-cautions'),
      textsOf(alert.cautions).filter((caution) => !saidBefore.includes(caution)),
    ),
  );
}

/** Since when an alert is raised, and what became of it. */
function standing(alert: LossAlert, timeZone: string): string[] {
  const { raisedAt, returned, standing: hasEvidence, members } = alert;
  return [
    tell('board-alert-since', { at: momentInWords(raisedAt, timeZone) }),
    ...statusOf(alert, timeZone),
    ...(returned ? [tell('board-alert-returned')] : []),
    ...(hasEvidence ? [] : [tell('board-alert-withdrawn')]),
    ...(members.length === 0 ? [] : [tell('board-alert-vehicles', { count: members.length })]),
  ];
}

/** What somebody decided about an alert; nothing while it is only raised. */
export function statusOf({ status, shelvedUntil }: LossAlert, timeZone: string): string[] {
  if (status === 'raised') return [];
  if (status === 'shelved' && shelvedUntil !== null)
    return [tell('board-alert-shelved-until', { until: momentInWords(shelvedUntil, timeZone) })];
  return [tell(`board-alert-${status}`)];
}

function evidenceOf({ evidence }: LossAlert, timeZone: string): string[] {
  return evidence.map(({ at, message }) => `${momentInWords(at, timeZone)}: ${message.text}`);
}
