import { el } from '../dom.js';
import { tell, textsOf } from '../language.js';
import { countersOf, readingItem, setAside, verdictInWords } from './reading-items.js';
import type { JobReport, Quantity, Reading, Usage, Vehicle } from '../types.js';
import { momentInWords, numberInWords, quantityInWords, workInWords } from '../words.js';

const fact = (name: string, value: string): HTMLElement =>
  el('div', {}, el('dt', {}, name), el('dd', {}, value));

/** What the vehicle is, and where its counters stand. */
export function vehicleFacts(
  vehicle: Vehicle,
  depotName: string | null,
  usage: Usage,
  timeZone: string,
): HTMLElement {
  const { duty, status } = vehicle;
  const { lastReading, dailyDistance, dailyEngineHours } = usage;
  const machine = [vehicle.modelYear, vehicle.make, vehicle.model].filter(Boolean).join(' ');
  const rate = (daily: Usage['dailyDistance']): string | null =>
    daily &&
    tell('board-rate', {
      rate: quantityInWords(daily),
      low: numberInWords(daily.low),
      high: numberInWords(daily.high),
    });
  const rates = [rate(dailyDistance), rate(dailyEngineHours)].filter((text) => text !== null).join('; ');
  const estimates = [usage.estimatedOdometer, usage.estimatedEngineHours]
    .filter(Boolean)
    .map(quantityInWords);
  return el(
    'dl',
    { class: 'facts' },
    machine === '' ? null : fact(tell('board-vehicle'), machine),
    fact(tell('board-depot'), depotName ?? tell('board-none')),
    fact(
      tell('board-duty'),
      `${tell(`board-duty-${duty ?? 'normal'}`)}, ${tell(`board-status-${status ?? 'in-use'}`)}`,
    ),
    fact(tell('board-now-about'), estimates.length === 0 ? tell('not-known') : estimates.join('; ')),
    fact(tell('board-daily-use'), rates === '' ? tell('not-known') : rates),
    fact(
      tell('board-last-read'),
      lastReading === null ? tell('board-never') : readInWords(lastReading.readAt, usage.stale, timeZone),
    ),
  );
}

function readInWords(readAt: string, isStale: boolean, timeZone: string): string {
  const at = momentInWords(readAt, timeZone);
  return isStale ? tell('board-read-long-ago', { at }) : at;
}

/** Every hold test on record, with its verdict and why. */
export function holdTestTable(readings: readonly Reading[], timeZone: string): HTMLElement {
  if (readings.length === 0) return el('p', {}, tell('board-no-hold-tests'));
  const head = [
    ...[tell('board-when'), tell('board-method'), tell('board-start')],
    ...[tell('board-end'), tell('board-minutes'), tell('board-verdict')],
  ];
  return el(
    'div',
    {
      class: 'scroll',
      tabindex: 0,
      role: 'region',
      'aria-label': tell('board-table', { title: tell('board-hold-tests') }),
    },
    el(
      'table',
      {},
      el('thead', {}, el('tr', {}, ...head.map((name) => el('th', { scope: 'col' }, name)))),
      el('tbody', {}, ...readings.map((reading) => holdTestRow(reading, timeZone))),
    ),
  );
}

function holdTestRow(reading: Reading, timeZone: string): HTMLElement {
  // The fields of its kind stand beside those that every reading has.
  const { method, start, end, minutes } = reading as Reading & {
    method?: 'vacuum' | 'pressure';
    start?: Quantity;
    end?: Quantity;
    minutes?: number;
  };
  const reasons = textsOf(reading.evaluation.reasons);
  return el(
    'tr',
    {},
    el('th', { scope: 'row' }, momentInWords(reading.takenAt, timeZone)),
    el('td', {}, method === undefined ? '–' : tell(`board-method-${method}`)),
    el('td', {}, quantityInWords(start)),
    el('td', {}, quantityInWords(end)),
    el('td', {}, minutes === undefined ? '–' : numberInWords(minutes)),
    el(
      'td',
      {},
      el('strong', {}, verdictInWords(reading)),
      reasons.length === 0 ? '' : `: ${reasons.join(' ')}`,
    ),
  );
}

/** What was done, latest first. */
export function jobItems(reports: readonly JobReport[], timeZone: string): HTMLElement[] {
  return reports.map((report) => {
    const notes = notesOn(report);
    return el(
      'li',
      {},
      el('strong', {}, momentInWords(report.performedAt, timeZone)),
      notes.length === 0 ? null : el('p', {}, notes.join(' ')),
      report.warning === null ? null : el('p', {}, el('strong', {}, report.warning.text)),
      el(
        'ul',
        { class: 'dots' },
        ...report.lines.map((line) =>
          el(
            'li',
            {},
            line.failed ? tell('board-work-failed', { work: workInWords(line) }) : workInWords(line),
            line.finding ? `: ${line.finding}` : '',
          ),
        ),
        ...report.readings.map((reading) => readingItem(reading)),
        ...setAside(report),
      ),
    );
  });
}

/** What to know about a job besides its work, a sentence each. */
function notesOn(report: JobReport): string[] {
  const { voided, isBaseline, performedBy } = report;
  const released = report.releasedForService as 'yes' | 'with-limits' | 'no' | null;
  return [
    ...(voided === null ? [] : [tell('board-job-voided')]),
    ...(isBaseline ? [tell('board-job-baseline')] : []),
    ...(performedBy === null ? [] : [tell('board-job-by', { name: performedBy })]),
    ...countersOf(report),
    ...(released === null ? [] : [tell(`board-job-released-${released}`)]),
  ];
}
