import { inCircuit } from './words.js';
import { alertList, statusOf } from './alert-item.js';
import { el, replaceKeeping } from './dom.js';
import { tell } from './language.js';
import { hashOf } from './route.js';
import { faultNote, gathered, type Surroundings, type View, viewHeading } from './view.js';

const AGAIN_MS = 1000;

/** Every loss alert that is not cleared, newest first. */
export function alertsView(first: string, surroundings: Surroundings): View {
  const { client, fleet, signal } = surroundings;
  let cursor = first;
  const heading = viewHeading(tell('board-loss-alerts'));
  const list = el('div', { 'aria-busy': 'true' });

  async function load(): Promise<void> {
    try {
      const query = cursor === '' ? {} : { cursor };
      const { data } = await client.get('/v1/loss-alerts', { query, signal });
      const { items, next } = data;
      replaceKeeping(
        list,
        [
          items.length === 0 && el('p', {}, tell('board-no-alerts')),
          items.length > 0 && alertList(items, fleet.timeZone, { linksVehicle: true }),
          pager(cursor, next),
        ],
        heading,
      );
    } catch (fault) {
      if (signal.aborted || surroundings.endedBy(fault)) return;
      list.replaceChildren(faultNote(fault, () => void load()));
    }
    list.setAttribute('aria-busy', 'false');
  }

  const loadAgain = gathered(() => void load(), signal, AGAIN_MS);
  void load();
  return {
    title: tell('board-loss-alerts'),
    element: el('div', {}, heading, list),
    hear(news) {
      if (news.what === 'due-line') return;
      if (news.what === 'loss-alert') {
        const { kind, vehicle } = news.alert;
        const named = vehicle === null ? [] : [vehicle.unitNumber];
        surroundings.say(
          [
            ...named,
            inCircuit(tell(`alert-${kind}`), news.alert.circuit),
            ...statusOf(news.alert, fleet.timeZone),
          ].join('. '),
        );
      }
      loadAgain();
    },
    turnTo(route) {
      if (route.view !== 'alerts') return false;
      cursor = route.cursor;
      heading.focus();
      void load();
      return true;
    },
  };
}

function pager(cursor: string, next: string | null): HTMLElement | false {
  if (next === null && cursor === '') return false;
  const link = (text: string, to: string, key: string): HTMLElement =>
    el('a', { href: hashOf({ view: 'alerts', cursor: to }), 'data-key': key }, text);
  return el(
    'nav',
    { class: 'pager', 'aria-label': tell('board-pages-of-alerts') },
    cursor !== '' && link(tell('board-first-page'), '', 'first'),
    next !== null && link(tell('board-next-page'), next, 'next'),
  );
}
