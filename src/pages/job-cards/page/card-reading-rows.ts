import { quantityAsRead } from '../../../domain/quantities/as-read.js';
import type { Row } from './card-row.js';
import type { JobCardView } from '../card/job-card.dto.js';

/**
 * What the vehicle was released with, and until when to keep it parked. @param on the fleet's day
 * of an instant
 */
export function releasedRows({ releasedWithFindings }: JobCardView, on: (instant: string) => string): Row[] {
  return (releasedWithFindings?.findings ?? []).map(({ what, until, takenAt }) => ({
    text: `${what}: keep it parked until ${until}`,
    value: on(takenAt),
  }));
}

type CardReading = JobCardView['lastReadings'][0];

/**
 * Readings with their verdicts: those that did not pass each with the reason, those that passed
 * in one line. A freeze point stands with the coolant, and what has no limit to judge by says
 * nothing here.
 */
export function readingRows({ lastReadings }: JobCardView, on: (instant: string) => string): Row[] {
  const judged = lastReadings.filter(({ kind, verdict }) => kind !== 'freeze-point' && verdict !== null);
  const passed = judged.filter(({ verdict, isOpen }) => verdict === 'pass' && !isOpen);
  const rows = judged
    .filter((reading) => !passed.includes(reading))
    .map((reading) => ({
      text: `${nameOf(reading)}${reading.reasons.length === 0 ? '' : `: ${reading.reasons.map(({ text }) => text).join(' ')}`}`,
      value: `${reading.verdict}${reading.isOpen ? ', open' : ''}, ${on(reading.takenAt)}`,
    }));
  if (passed.length === 0) return rows;
  const names = passed.map((reading) => `${nameOf(reading)} ${on(reading.takenAt)}`);
  return [...rows, { text: `passed: ${names.join(', ')}` }];
}

function nameOf({ kind, which }: CardReading): string {
  if (kind === 'hold-test' && which !== null) return `${which} test`;
  const name = kind.replaceAll('-', ' ');
  return which === null ? name : `${name} (${which})`;
}

/** Usage readings that nobody has accepted. */
export function heldRows({ heldReadings }: JobCardView, on: (instant: string) => string): Row[] {
  return heldReadings.map(({ readAt, odometer, engineHours, detail }) => {
    const counters = [odometer, engineHours].filter((value) => value !== null);
    const shown = counters.map((counter) => quantityAsRead(counter)).join(', ');
    return { text: `${shown}${detail === null ? '' : `: ${detail.text}`}`, value: on(readAt) };
  });
}
