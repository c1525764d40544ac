import { type BeltCheckReading, evaluateBeltCheck } from '../../belt/belt-check.js';
import { ALIGNMENT_LIMIT_DEGREES } from '../../belt/geometry.js';
import type { Evaluation } from '../../evaluation/evaluation.js';
import type { SafetyKind } from '../contract/kind-of-reading.js';
import type { ReadingContext } from '../contract/reading-context.js';
import { nameOf } from '../contract/safety-words.js';
import { message } from '../messages.js';

type Finding = 'belt-worn' | 'belt-contaminated' | 'belt-out-of-place';

export const beltCheck: SafetyKind<BeltCheckReading, Finding> = {
  sheetValues: [],

  evaluate: (reading, { belts = [] }) =>
    evaluateBeltCheck(reading, beltNamed(reading, belts)?.designation ?? null),

  findings: (check, { verdict, computed }) => (verdict === 'fail' ? failuresOf(check, computed) : []),

  unsafe: {
    inWords: ({ item }) => {
      const name = nameOf(item);
      return {
        what:
          name === null
            ? message('finding-failed-belt-check')
            : message('finding-failed-belt-check-of', { name }),
        until: message('settled-by-belt-check'),
      };
    },
  },
};

/** The belt that a reading is about; without a name, the only belt. */
export function beltNamed(
  { item }: { item?: string | null },
  belts: NonNullable<ReadingContext['belts']>,
): NonNullable<ReadingContext['belts']>[number] | null {
  const only = belts.length === 1 ? belts[0] : undefined;
  return (item == null ? only : belts.find(({ name }) => name === item)) ?? null;
}

function failuresOf(check: BeltCheckReading, { alignmentDegrees }: Evaluation['computed']): Finding[] {
  const found: Finding[] = [];
  if (check.wearGauge === 'worn') found.push('belt-worn');
  if (check.contaminated === true) found.push('belt-contaminated');
  const isOutOfPlace =
    check.ribsSeated === false ||
    (check.pulleys ?? []).some(({ ribsSeated }) => !ribsSeated) ||
    check.tensionerInRange === false ||
    (typeof alignmentDegrees === 'number' && alignmentDegrees > ALIGNMENT_LIMIT_DEGREES * (1 + 1e-9));
  if (isOutOfPlace || found.length === 0) found.push('belt-out-of-place');
  return found;
}
