import { el } from '../dom.js';
import type { JobReport, Quantity, Reading, Usage } from '../types.js';
import { momentInWords, plain, quantityInWords } from '../words.js';

type UsageReading = Usage['readings']['items'][number];

/** What was measured, told apart from others of its kind. */
export function readingName(reading: Reading): string {
  // The fields of its kind stand beside those that every reading has.
  const { kind, method, fastener, item } = reading as Reading & {
    method?: string;
    fastener?: string;
    item?: string | null;
  };
  if (kind === 'hold-test' && method !== undefined) return `${method} test`;
  const which = fastener ?? item ?? null;
  return `${plain(kind)}${which === null ? '' : ` (${which})`}`;
}

/** A reading with its verdict, and why. */
export function readingItem(reading: Reading, before = ''): HTMLElement {
  const { verdict, reasons } = reading.evaluation;
  return el(
    'li',
    { 'data-reading': reading.id },
    `${before}${readingName(reading)}: `,
    el('strong', {}, reading.voided ? 'taken back' : (verdict ?? 'no limit to judge by')),
    reasons.length === 0 ? '' : `. ${reasons.join(' ')}`,
  );
}

/** Readings outside jobs, the latest first. */
export function looseReadings(readings: readonly Reading[], timeZone: string): HTMLElement {
  const loose = readings.filter(({ jobReportId }) => jobReportId === null);
  if (loose.length === 0) return el('p', {}, 'None of the latest readings was taken outside a job.');
  return el(
    'ul',
    { class: 'dots' },
    ...loose.map((reading) => readingItem(reading, `${momentInWords(reading.takenAt, timeZone)}, `)),
  );
}

/** What became of a report's counters: as fact only where they are believed. */
export function countersOf({ odometer, engineHours, usageReading }: JobReport): string[] {
  const told = (name: string, quantity: Quantity, counts: boolean): string[] => {
    if (!quantity) return [];
    const value = quantityInWords(quantity);
    if (usageReading === null || counts) return [`at ${value}`];
    const { status, detail } = usageReading;
    const standing = status === 'held' ? 'held for review' : status;
    return [`${name} said ${value}: ${standing}, not counted${detail ? ` (${withoutStop(detail)})` : ''}`];
  };
  return [
    ...told('the odometer', odometer, usageReading?.odometerCounts ?? false),
    ...told('the hour meter', engineHours, usageReading?.engineHoursCounts ?? false),
  ];
}

/** Usage readings that are not believed until somebody accepts them. */
export function heldUsage(readings: readonly UsageReading[], timeZone: string): HTMLElement | null {
  const held = readings.filter(({ status }) => status === 'held');
  if (held.length === 0) return null;
  return el(
    'div',
    {},
    el('h3', {}, 'Held for review, not counted'),
    el(
      'ul',
      { class: 'dots' },
      ...held.map(({ id, readAt, odometer, engineHours, detail }) =>
        el(
          'li',
          { 'data-held': id },
          `${momentInWords(readAt, timeZone)}: ${[odometer, engineHours].filter(Boolean).map(quantityInWords).join(', ')}. ${detail ?? ''}`,
        ),
      ),
    ),
  );
}

const withoutStop = (text: string): string => text.replace(/\.$/, '');

const COUNTERS = ['/odometer', '/engineHours'];

/** The parts of a report that were set aside, but for its counters. */
export function setAside({ outcome }: JobReport): HTMLElement[] {
  return outcome.held
    .filter(({ pointer }) => !COUNTERS.includes(pointer))
    .map(({ pointer, detail }) => el('li', {}, `Set aside, not counted: ${pointer}: ${detail}`));
}
