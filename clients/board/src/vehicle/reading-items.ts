import { el } from '../dom.js';
import { tell, textsOf } from '../language.js';
import type { JobReport, Quantity, Reading, Usage } from '../types.js';
import { inCircuit, momentInWords, quantityInWords } from '../words.js';

type UsageReading = Usage['readings']['items'][number];

/** What was measured, told apart from others of its kind. */
export function readingName(reading: Reading): string {
  // The fields of its kind stand beside those that every reading has.
  const { kind, method, fastener, item, circuit } = reading as Reading & {
    method?: 'vacuum' | 'pressure';
    fastener?: string;
    item?: string | null;
  };
  if (kind === 'hold-test' && method !== undefined)
    return inCircuit(tell('hold-test-by-method', { method }), circuit);
  const named = tell(`reading-${kind}`);
  const which = fastener ?? item ?? null;
  const told = which === null ? named : tell('part-with-item', { component: named, item: which });
  return inCircuit(told, circuit);
}

export function verdictInWords({ voided, evaluation: { verdict } }: Reading): string {
  if (voided) return tell('board-reading-voided');
  return verdict === null ? tell('board-not-judged') : tell(`board-verdict-${verdict}`);
}

/** A reading with its verdict, and why. */
export function readingItem(reading: Reading, before = ''): HTMLElement {
  const reasons = textsOf(reading.evaluation.reasons);
  return el(
    'li',
    { 'data-reading': reading.id },
    `${before}${readingName(reading)}: `,
    el('strong', {}, verdictInWords(reading)),
    reasons.length === 0 ? '' : `. ${reasons.join(' ')}`,
  );
}

/** Readings outside jobs, the latest first. */
export function looseReadings(readings: readonly Reading[], timeZone: string): HTMLElement {
  const loose = readings.filter(({ jobReportId }) => jobReportId === null);
  if (loose.length === 0) return el('p', {}, tell('board-no-loose-readings'));
  return el(
    'ul',
    { class: 'dots' },
    ...loose.map((reading) => readingItem(reading, `${momentInWords(reading.takenAt, timeZone)}, `)),
  );
}

/** What became of a report's counters: as fact only where they are believed. */
export function countersOf({ odometer, engineHours, usageReading }: JobReport): string[] {
  const told = (
    code: 'board-odometer-not-counted' | 'board-engine-hours-not-counted',
    quantity: Quantity,
    counts: boolean,
  ): string[] => {
    if (!quantity) return [];
    const count = quantityInWords(quantity);
    if (usageReading === null || counts) return [tell('board-job-at', { count })];
    const { status, detail } = usageReading;
    return [tell(code, { count, status }), ...(detail === null ? [] : [detail.text])];
  };
  return [
    ...told('board-odometer-not-counted', odometer, usageReading?.odometerCounts ?? false),
    ...told('board-engine-hours-not-counted', engineHours, usageReading?.engineHoursCounts ?? false),
  ];
}

/** Usage readings that are not believed until somebody accepts them. */
export function heldUsage(readings: readonly UsageReading[], timeZone: string): HTMLElement | null {
  const held = readings.filter(({ status }) => status === 'held');
  if (held.length === 0) return null;
  return el(
    'div',
    {},
    el('h3', {}, tell('board-usage-held')),
    el(
      'ul',
      { class: 'dots' },
      ...held.map(({ id, readAt, odometer, engineHours, detail }) =>
        el(
          'li',
          { 'data-held': id },
          `${momentInWords(readAt, timeZone)}: ${[odometer, engineHours].filter(Boolean).map(quantityInWords).join(', ')}. ${detail?.text ?? ''}`,
        ),
      ),
    ),
  );
}

const COUNTERS = ['/odometer', '/engineHours'];

/** The parts of a report that were set aside, but for its counters. */
export function setAside({ outcome }: JobReport): HTMLElement[] {
  return outcome.held
    .filter(({ pointer }) => !COUNTERS.includes(pointer))
    .map(({ pointer, faults }) => {
      const why = faults.map(({ message }) => message.text);
      return el('li', {}, [tell('board-set-aside', { pointer }), ...why].join(' '));
    });
}
