import { inCircuit } from '../../../domain/intervals/terms.js';
import { holdTestTerm, readingTerm } from '../../../platform/words/terms.js';
import type { JobCardView } from '../card/job-card.dto.js';
import type { Row } from './card-row.js';
import { message } from './messages.js';
import type { Wording } from './wording.js';

/** The findings with which the vehicle was released, and until when to keep it parked. */
export function releasedRows({ releasedWithFindings }: JobCardView, { say, on }: Wording): Row[] {
  return (releasedWithFindings?.findings ?? []).map(({ what, until, takenAt }) => ({
    text: say(message('card-page-keep-parked', { what: what.text, until: until.text })),
    value: on(takenAt),
  }));
}

type CardReading = JobCardView['lastReadings'][0];
type Verdict = NonNullable<CardReading['verdict']>;
type Judged = CardReading & { verdict: Verdict };

/**
 * Readings with their verdicts. Those that did not pass have a row each, with the reason. Those
 * that passed share one row. Freeze points are left out, because they are shown with the coolant,
 * and so are readings without a limit.
 */
export function readingRows({ lastReadings }: JobCardView, wording: Wording): Row[] {
  const { say, on } = wording;
  const judged = lastReadings.filter(
    (reading): reading is Judged => reading.kind !== 'freeze-point' && reading.verdict !== null,
  );
  const passed = judged.filter(({ verdict, isOpen }) => verdict === 'pass' && !isOpen);
  const rows = judged
    .filter((reading) => !passed.includes(reading))
    .map((reading) => {
      const { verdict, isOpen, takenAt, reasons } = reading;
      const name = nameOf(reading, wording);
      const open = isOpen ? 'yes' : 'no';
      return {
        text: reasons.length === 0 ? name : `${name}: ${reasons.map(({ text }) => text).join(' ')}`,
        value: say(message('card-page-verdict', { verdict, open, date: on(takenAt) })),
      };
    });
  if (passed.length === 0) return rows;
  const readings = passed.map((reading) => `${nameOf(reading, wording)} ${on(reading.takenAt)}`).join('; ');
  return [...rows, { text: say(message('card-page-passed', { readings })) }];
}

function nameOf({ kind, which, circuit }: CardReading, { say }: Wording): string {
  const isHoldTest = kind === 'hold-test' && (which === 'vacuum' || which === 'pressure');
  return say(inCircuit(isHoldTest ? holdTestTerm(which) : readingTerm(kind, which), circuit));
}

/** Usage readings that nobody has accepted. */
export function heldRows({ heldReadings }: JobCardView, { amount, on }: Wording): Row[] {
  return heldReadings.map(({ readAt, odometer, engineHours, detail }) => {
    const counters = [odometer, engineHours].filter((value) => value !== null);
    const shown = counters.map((counter) => amount(counter)).join(', ');
    return { text: detail === null ? shown : `${shown}: ${detail.text}`, value: on(readAt) };
  });
}
