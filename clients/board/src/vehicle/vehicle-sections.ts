import { el } from '../dom.js';
import { countersOf, readingItem, setAside } from './reading-items.js';
import type { JobReport, Quantity, Reading, Usage, Vehicle } from '../types.js';
import { momentInWords, numberInWords, plain, quantityInWords, workInWords } from '../words.js';

const fact = (name: string, value: string): HTMLElement =>
  el('div', {}, el('dt', {}, name), el('dd', {}, value));

/** What the vehicle is, and where its counters stand. */
export function vehicleFacts(
  vehicle: Vehicle,
  depotName: string | null,
  usage: Usage,
  timeZone: string,
): HTMLElement {
  const { lastReading, dailyDistance, dailyEngineHours } = usage;
  const machine = [vehicle.modelYear, vehicle.make, vehicle.model].filter(Boolean).join(' ');
  const rate = (daily: Usage['dailyDistance']): string | null =>
    daily &&
    `${numberInWords(daily.value)} ${daily.unit} a day (90 % limits ${numberInWords(daily.low)} to ${numberInWords(daily.high)})`;
  const rates = [rate(dailyDistance), rate(dailyEngineHours)].filter((text) => text !== null).join('; ');
  const estimates = [usage.estimatedOdometer, usage.estimatedEngineHours]
    .filter(Boolean)
    .map(quantityInWords);
  return el(
    'dl',
    { class: 'facts' },
    machine === '' ? null : fact('Vehicle', machine),
    fact('Depot', depotName ?? 'none'),
    fact('Duty', `${vehicle.duty ?? 'normal'}, ${plain(vehicle.status ?? 'in-use')}`),
    fact('By now about', estimates.length === 0 ? 'not known' : estimates.join('; ')),
    fact('Use', rates === '' ? 'not known' : rates),
    fact(
      'Last read',
      lastReading === null
        ? 'never'
        : `${momentInWords(lastReading.readAt, timeZone)}${usage.stale ? ', more than 60 days ago' : ''}`,
    ),
  );
}

/** Every hold test on record, with its verdict and why. */
export function holdTestTable(readings: readonly Reading[], timeZone: string): HTMLElement {
  if (readings.length === 0) return el('p', {}, 'No hold test is on record.');
  const head = ['When', 'Method', 'From', 'To', 'Minutes', 'Verdict'];
  return el(
    'div',
    { class: 'scroll', tabindex: 0, role: 'region', 'aria-label': 'Hold tests, table' },
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
    method?: string;
    start?: Quantity;
    end?: Quantity;
    minutes?: number;
  };
  const { verdict, reasons } = reading.evaluation;
  return el(
    'tr',
    {},
    el('th', { scope: 'row' }, momentInWords(reading.takenAt, timeZone)),
    el('td', {}, method ?? '–'),
    el('td', {}, quantityInWords(start)),
    el('td', {}, quantityInWords(end)),
    el('td', {}, minutes === undefined ? '–' : numberInWords(minutes)),
    el(
      'td',
      {},
      el('strong', {}, reading.voided ? 'taken back' : (verdict ?? 'no limit to judge by')),
      reasons.length === 0 ? '' : `: ${reasons.join(' ')}`,
    ),
  );
}

const RELEASE_WORDS: Record<string, string> = {
  yes: 'released for service',
  'with-limits': 'released with limits',
  no: 'not released',
};

/** What was done, latest first. */
export function jobItems(reports: readonly JobReport[], timeZone: string): HTMLElement[] {
  return reports.map((report) => {
    const notes = [
      report.voided === null ? '' : 'taken back',
      report.isBaseline ? 'done before records began' : '',
      report.performedBy === null ? '' : `by ${report.performedBy}`,
      ...countersOf(report),
      RELEASE_WORDS[report.releasedForService ?? ''] ?? '',
    ].filter((text) => text !== '');
    return el(
      'li',
      {},
      el('strong', {}, momentInWords(report.performedAt, timeZone)),
      notes.length === 0 ? '' : `, ${notes.join(', ')}`,
      report.warning === null ? null : el('p', {}, el('strong', {}, report.warning)),
      el(
        'ul',
        { class: 'dots' },
        ...report.lines.map((line) =>
          el(
            'li',
            {},
            workInWords(line),
            line.failed ? ', had failed' : '',
            line.finding ? `: ${line.finding}` : '',
          ),
        ),
        ...report.readings.map((reading) => readingItem(reading)),
        ...setAside(report),
      ),
    );
  });
}
