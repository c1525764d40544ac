import { alertList } from '../alert-item.js';
import { type Content, el } from '../dom.js';
import { dueRow, ruledRows, stripLegend } from '../due-lines/due-rows.js';
import { lossCharts } from '../charts/loss-charts.js';
import { faultItems } from './fault-items.js';
import { heldUsage, looseReadings } from './reading-items.js';
import { releasedNote } from '../released.js';
import { tell } from '../language.js';
import { hashOf } from '../route.js';
import { axisAround } from '../due-lines/time-axis.js';
import type { DueList } from '../types.js';
import { usageCharts } from '../charts/usage-charts.js';
import type { LoadedVehicle } from './vehicle-request.js';
import { holdTestTable, jobItems, vehicleFacts } from './vehicle-sections.js';

const section = (title: string, ...content: Content[]): HTMLElement =>
  el('section', { 'aria-label': title }, el('h2', {}, title), ...content);

/** What a vehicle's page shows below its heading, in order. */
export function vehicleContent(loaded: LoadedVehicle, timeZone: string): Content[] {
  const { vehicleId, vehicle, usage, dueList, alerts, holdTests, jobs } = loaded;
  const card = hashOf({ view: 'job-card', vehicleId });
  return [
    releasedNote(vehicle, timeZone),
    vehicleFacts(vehicle, loaded.depotName, usage, timeZone),
    el('p', {}, el('a', { href: card, 'data-key': 'job card' }, tell('board-job-card-to-print'))),
    section(
      tell('board-loss-alerts'),
      alerts.length === 0
        ? el('p', {}, tell('board-no-alerts'))
        : alertList(alerts, timeZone, { linksVehicle: false }),
    ),
    section(tell('board-faults'), faultItems(loaded.faults, timeZone)),
    section(tell('board-due-lines'), ...dueLines(dueList)),
    section(
      tell('board-usage'),
      ...usageCharts(vehicle, usage, dueList, timeZone),
      heldUsage(usage.readings.items, timeZone),
    ),
    section(tell('board-loss-and-strength'), ...lossOfCircuits(loaded.trends, timeZone)),
    section(tell('board-hold-tests'), holdTestTable(holdTests.items, timeZone), earlierNote(holdTests)),
    section(tell('board-loose-readings'), looseReadings(loaded.readings, timeZone)),
    section(
      tell('board-jobs'),
      jobs.items.length === 0 ? el('p', {}, tell('board-no-jobs')) : null,
      el('ol', { class: 'happened' }, ...jobItems(jobs.items, timeZone)),
      earlierNote(jobs),
    ),
  ];
}

/** The charts of each circuit, below its name where the vehicle has more than one. */
function lossOfCircuits(trends: LoadedVehicle['trends'], timeZone: string): HTMLElement[] {
  return trends.flatMap(({ trend, coolant }) => [
    ...(trend.circuit === undefined ? [] : [el('h3', {}, tell(`circuit-${trend.circuit}`))]),
    ...lossCharts(trend, coolant, timeZone),
  ]);
}

function dueLines({ asOf, items }: DueList): HTMLElement[] {
  if (items.length === 0) return [el('p', {}, tell('board-no-due-lines'))];
  const axis = axisAround(asOf);
  const rows = items.map((line) => dueRow(line, axis, { ofVehicle: true }));
  return [stripLegend(), ...ruledRows(rows, axis)];
}

const earlierNote = ({ next }: { next: string | null }): HTMLElement | null =>
  next === null ? null : el('p', {}, tell('board-earlier'));
