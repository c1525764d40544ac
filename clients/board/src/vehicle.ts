import { alertList } from './alert-item.js';
import { type Content, el, replaceKeeping } from './dom.js';
import { dueRow, ruledRows, stripLegend } from './due-rows.js';
import { lossCharts } from './loss-charts.js';
import { heldUsage, looseReadings } from './reading-items.js';
import { releasedNote } from './released.js';
import { hashOf } from './route.js';
import { axisAround } from './time-axis.js';
import type { DueState } from './types.js';
import { usageCharts } from './usage-charts.js';
import { holdTestTable, jobItems, vehicleFacts } from './vehicle-sections.js';
import { faultNote, gathered, type Surroundings, type View, viewHeading } from './view.js';
import { DUE_STATES } from './words.js';

const AGAIN_MS = 1000;

/** All that there is to see of one vehicle. */
export function vehicleView(vehicleId: string, surroundings: Surroundings): View {
  const { client, fleet, signal } = surroundings;
  const { timeZone } = fleet;
  const heading = viewHeading('Vehicle');
  const body = el('div', { 'aria-busy': 'true' });
  const section = (title: string, ...content: Content[]): HTMLElement =>
    el('section', { 'aria-label': title }, el('h2', {}, title), ...content);

  async function load(): Promise<void> {
    const path = { id: vehicleId };
    const states = DUE_STATES.join() as DueState;
    const reading = client.get('/v1/vehicles/{id}', { path, signal });
    const sheetReading = reading.then(({ data: { specSheetId } }) =>
      specSheetId ? client.get('/v1/spec-sheets/{id}', { path: { id: specSheetId }, signal }) : null,
    );
    try {
      const [vehicle, sheet, usage, lines, alerts, trend, holdTests, latest, jobs, depots] =
        await Promise.all([
          reading,
          sheetReading,
          client.get('/v1/vehicles/{id}/usage', { path, signal }),
          client.get('/v1/due-list', { query: { vehicleId, state: states, limit: 200 }, signal }),
          client.get('/v1/loss-alerts', { query: { vehicleId }, signal }),
          client.get('/v1/vehicles/{id}/loss-trend', { path, signal }),
          client.get('/v1/vehicles/{id}/readings', { path, query: { kind: 'hold-test' }, signal }),
          client.get('/v1/vehicles/{id}/readings', { path, query: { limit: 20 }, signal }),
          client.get('/v1/job-reports', { query: { vehicleId, limit: 20 }, signal }),
          client.get('/v1/due-list/summary', { query: { vehicleId }, signal }),
        ]);
      const axis = axisAround(lines.data.asOf);
      const { unitNumber, depotId } = vehicle.data;
      const depotName = depots.data.depots.find((depot) => depot.depotId === depotId)?.name ?? null;
      heading.textContent = unitNumber;
      document.title = `${unitNumber} · Weephole`;
      const rows = lines.data.items.map((line) => dueRow(line, axis, { ofVehicle: true }));
      const card = hashOf({ view: 'job-card', vehicleId });
      replaceKeeping(
        body,
        [
          releasedNote(vehicle.data, timeZone),
          vehicleFacts(vehicle.data, depotName, usage.data, timeZone),
          el('p', {}, el('a', { href: card, 'data-key': 'job card' }, 'Job card to print')),
          section(
            'Loss alerts',
            alerts.data.items.length === 0
              ? el('p', {}, 'No loss alert stands.')
              : alertList(alerts.data.items, timeZone, { linksVehicle: false }),
          ),
          section(
            'Due lines',
            ...(rows.length === 0
              ? [el('p', {}, 'It has no due lines: it may have no interval plan.')]
              : [stripLegend(), ...ruledRows(rows, axis)]),
          ),
          section(
            'Usage',
            ...usageCharts(vehicle.data, usage.data, lines.data, timeZone),
            heldUsage(usage.data.readings.items, timeZone),
          ),
          section(
            'Coolant loss and strength',
            ...lossCharts(trend.data, sheet?.data.coolant ?? null, timeZone),
          ),
          section(
            'Hold tests',
            holdTestTable(holdTests.data.items, timeZone),
            holdTests.data.next === null ? null : el('p', {}, 'Earlier ones are not shown here.'),
          ),
          section('Readings outside jobs', looseReadings(latest.data.items, timeZone)),
          section(
            'Jobs',
            jobs.data.items.length === 0 ? el('p', {}, 'No job is on record.') : null,
            el('ol', { class: 'happened' }, ...jobItems(jobs.data.items, timeZone)),
            jobs.data.next === null ? null : el('p', {}, 'Earlier ones are not shown here.'),
          ),
        ],
        heading,
      );
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
      if (isTold) surroundings.say('This vehicle changed');
      isTold = false;
    },
    signal,
    AGAIN_MS,
  );
  void load();
  return {
    title: 'Vehicle',
    element: el('div', {}, heading, body),
    hear(news) {
      const about =
        news.what === 'due-line'
          ? news.line.vehicle.id
          : news.what === 'loss-alert'
            ? news.alert.vehicle?.id
            : vehicleId;
      if (about !== vehicleId) return;
      isTold ||= news.what !== 'all';
      loadAgain();
    },
    turnTo: () => false,
  };
}
