import { el, replaceKeeping } from './dom.js';
import { hashOf } from './route.js';
import type { Vehicle } from './types.js';
import type { Surroundings } from './view.js';
import { tell, textsOf } from './language.js';
import { momentInWords } from './words.js';

type Released = NonNullable<Vehicle['releasedWithFindings']>;

const MOST_SHOWN = 20;

/**
 * Every vehicle that was released with a failed safety reading which nothing settled yet: the first
 * thing to decide on.
 */
export function releasedPart(surroundings: Surroundings): {
  element: HTMLElement;
  load(): Promise<void>;
} {
  const { client, fleet, signal } = surroundings;
  const element = el('div', { id: 'released' });
  let shown = '[]';

  async function load(): Promise<void> {
    try {
      const query = { released: 'with-findings', limit: MOST_SHOWN } as const;
      const { data } = await client.get('/v1/vehicles', { query, signal });
      const known = JSON.stringify(
        data.items.map(({ id, releasedWithFindings }) => [id, releasedWithFindings]),
      );
      // An alert that is built anew is read aloud anew.
      if (known === shown) return;
      shown = known;
      replaceKeeping(element, [
        data.items.length > 0 &&
          el(
            'section',
            { class: 'fault', role: 'alert', 'aria-labelledby': 'released-heading' },
            el('h2', { id: 'released-heading' }, tell('board-released')),
            el(
              'ul',
              { class: 'dots' },
              ...data.items.map((vehicle) => releasedItem(vehicle, fleet.timeZone)),
            ),
            data.next === null ? null : el('p', {}, tell('board-released-more')),
          ),
      ]);
    } catch (fault) {
      // The due list says already where the service does not answer.
      if (!signal.aborted) surroundings.endedBy(fault);
    }
  }

  return { element, load };
}

function releasedItem({ id, unitNumber, releasedWithFindings }: Vehicle, timeZone: string): HTMLElement {
  const link = el(
    'a',
    { class: 'unit', href: hashOf({ view: 'vehicle', vehicleId: id }), 'data-key': `released ${id}` },
    unitNumber,
  );
  const told = releasedWithFindings === null ? '' : whatAndUntil(releasedWithFindings, timeZone);
  return el('li', {}, link, `: ${told}`);
}

/** `failed pressure test, 27 Mar 2026, 09:00. Keep it parked until it passes a pressure test.` */
function whatAndUntil({ findings }: Released, timeZone: string): string {
  return findings
    .map(
      ({ what, until, takenAt }) =>
        `${what.text} (${momentInWords(takenAt, timeZone)}). ${tell('board-keep-parked', { until: until.text })}`,
    )
    .join(' ');
}

/** What stands above all else on the page of such a vehicle. */
export function releasedNote(vehicle: Vehicle, timeZone: string): HTMLElement | null {
  const { releasedWithFindings } = vehicle;
  if (releasedWithFindings === null) return null;
  return el(
    'section',
    { class: 'fault', role: 'alert', 'aria-labelledby': 'released-heading' },
    el('h2', { id: 'released-heading' }, tell('board-released')),
    el(
      'ul',
      { class: 'dots' },
      ...releasedWithFindings.findings.map(({ what, until, takenAt, reasons }) =>
        el(
          'li',
          {},
          el('strong', {}, what.text),
          ` (${momentInWords(takenAt, timeZone)}): `,
          [...textsOf(reasons), tell('board-keep-parked', { until: until.text })].join(' '),
        ),
      ),
    ),
  );
}
