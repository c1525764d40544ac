import { COMMON_PRACTICE } from '../evaluation/common-practice.js';
import type { Poured } from '../coolant/coolant.js';
import type { Evaluation } from '../evaluation/evaluation.js';
import { starterBasis } from '../evaluation/starter-mark.js';
import type { FreezePointRead } from '../filling/fill-strength.js';
import { ImpossibleValue } from '../impossible-value.js';
import type { HoldTestReading } from '../pressure/hold-test-reading.js';
import type { SameJob } from './contract/kind-of-reading.js';
import { kindOf, type Reading } from './kinds.js';
import { message } from './messages.js';
import type { ReadingContext } from './contract/reading-context.js';

/**
 * Judges one of the readings of a job, which bear on one another: a warm-up check clears a fill's
 * shortfall, a vacuum hold test tells how much air a vacuum fill left, a top-up adds to the fill, a
 * freeze point read after it settles what a top-up with water left open, and what was poured in
 * counts for all that follows. Each is judged by itself, so that an impossible one can be set aside
 * and the rest kept.
 *
 * @param readings of one job in the order in which they were taken, or one reading that was taken
 * by itself
 * @param index of the one to judge
 * @throws ImpossibleValue when this reading is impossible, worded so that it can be put right.
 * @example evaluateReadingOfJob([fill, warmUpCheck], 0, context).verdict // 'pass', where the fill alone would be 'fail'
 */
export function evaluateReadingOfJob(
  readings: readonly Reading[],
  index: number,
  context: ReadingContext,
): Evaluation {
  const reading = readings[index];
  if (reading === undefined)
    throw new ImpossibleValue({
      field: 'index',
      value: index,
      limit: { min: 0, below: readings.length },
      detail: message('reading-does-not-exist', { index, count: readings.length }),
    });
  const before = readings.slice(0, index).flatMap((earlier) => pouredBy(earlier) ?? []);
  const kind = kindOf(reading);
  const evaluation = kind.evaluate(reading, {
    ...context,
    pouredSinceReplacement: [...(context.pouredSinceReplacement ?? []), ...before],
    practice: { ...COMMON_PRACTICE, ...context.practice },
    job: sameJobOf(readings, index),
  });
  const starter = starterBasis(kind.sheetValues, context.starterValues ?? []);
  return starter.length === 0 ? evaluation : { ...evaluation, basis: [...evaluation.basis, ...starter] };
}

/** What was poured in according to a reading; null for kinds without pouring. */
export function pouredBy(reading: Reading): Poured | null {
  return kindOf(reading).poured?.(reading) ?? null;
}

/**
 * The strength that a reading leaves or reads in the system, volume %; null if it gives none.
 */
export function strengthBy(reading: Reading, computed: Evaluation['computed']): number | null {
  return kindOf(reading).strengthPercent?.(reading, computed) ?? null;
}

function sameJobOf(readings: readonly Reading[], index: number): SameJob {
  const fill = readings.find((reading) => reading.kind === 'fill');
  return {
    warmUp: readings.findLast((reading) => reading.kind === 'warm-up-check') ?? null,
    vacuumHold:
      readings.findLast(
        (reading): reading is HoldTestReading => reading.kind === 'hold-test' && reading.method === 'vacuum',
      ) ?? null,
    evacuatedL: fill?.drainedL ?? null,
    toppedUpL: readings.reduce(
      (sum, reading) => sum + (reading.kind === 'top-up' ? Math.max(0, reading.addedL) : 0),
      0,
    ),
    freezePointRead: freezePointRead(readings, index),
  };
}

// The coolant that was poured in after a sample was taken is not in the sample.
function freezePointRead(readings: readonly Reading[], index: number): FreezePointRead {
  const last = readings.findLastIndex(({ kind }) => kind === 'freeze-point');
  if (last === -1) return null;
  return last > index ? 'after' : 'before';
}
