import { el, replaceKeeping } from '../dom.js';
import { tell } from '../language.js';
import type { News } from '../live.js';
import { vehicleContent } from './vehicle-content.js';
import { requestVehicle } from './vehicle-request.js';
import { faultNote, gathered, type Surroundings, type View, viewHeading } from '../view.js';

const AGAIN_MS = 1000;

/** All that there is to see of one vehicle. */
export function vehicleView(vehicleId: string, surroundings: Surroundings): View {
  const { client, fleet, signal } = surroundings;
  const heading = viewHeading(tell('board-vehicle'));
  const body = el('div', { 'aria-busy': 'true' });

  async function load(): Promise<void> {
    try {
      const loaded = await requestVehicle(client, vehicleId, signal);
      const { unitNumber } = loaded.vehicle;
      heading.textContent = unitNumber;
      document.title = `${unitNumber} · Weephole`;
      replaceKeeping(body, vehicleContent(loaded, fleet.timeZone), heading);
    } catch (fault) {
      if (signal.aborted || surroundings.endedBy(fault)) return;
      body.replaceChildren(faultNote(fault, () => void load()));
    }
    body.setAttribute('aria-busy', 'false');
  }

  let isTold = false;
  const loadAgain = gathered(
    () => {
      void load();
      if (isTold) surroundings.say(tell('board-vehicle-changed'));
      isTold = false;
    },
    signal,
    AGAIN_MS,
  );
  void load();
  return {
    title: tell('board-vehicle'),
    element: el('div', {}, heading, body),
    hear(news) {
      if (!isAbout(news, vehicleId)) return;
      isTold ||= news.what !== 'all';
      loadAgain();
    },
    turnTo: () => false,
  };
}

/** Whether news may change what a vehicle's page shows. */
function isAbout(news: News, vehicleId: string): boolean {
  if (news.what === 'due-line') return news.line.vehicle.id === vehicleId;
  if (news.what === 'loss-alert') return news.alert.vehicle?.id === vehicleId;
  return true;
}
