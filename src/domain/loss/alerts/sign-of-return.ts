import { measure } from '../../quantities/measures.js';
import { type Sentence, sentence } from '../../quantities/sentence.js';
import type { Moment } from '../balance/moments.js';
import type { WatchContext } from '../balance/watch-context.js';
import type { LossAlertKind } from '../facts/types.js';
import type { Finding } from '../rules/rule.js';
import { ROUNDING } from '../rules/wording.js';

/**
 * A loss that by itself would be too little to raise an alert, and is enough to raise one again
 * that was cleared a short while ago.
 */
export function signOfReturn(
  kind: LossAlertKind,
  moment: Moment,
  clearedMs: number | null,
  context: WatchContext,
): Finding | null {
  const { fact, level } = moment;
  const basis = [
    `a loss within ${context.settings.returnDays} days of clearing: common practice, no published source`,
  ];
  const found = (text: Sentence, computed: Finding['computed']): Finding => ({
    evidence: [{ factId: fact.id, kind: fact.kind, at: fact.at, text, computed }],
    computed,
    basis,
  });
  if (kind === 'weakening-hold' && fact.kind === 'hold-test' && fact.verdict === 'fail') {
    return found(sentence`${fact.method} test failed again`, { method: fact.method });
  }
  if (kind !== 'repeat-top-ups' && kind !== 'rising-loss') return null;
  if (fact.kind === 'top-up' && !fact.planned && fact.addedL - moment.settlingL > ROUNDING) {
    const lostL = fact.addedL - moment.settlingL;
    return found(sentence`${measure('volume', lostL)} added again, not planned`, {
      lost: measure('volume', lostL),
    });
  }
  if (fact.kind !== 'level-check') return null;
  // A level told by its marks says what was lost at least.
  const lostL = (level === null ? moment.lostAtLeastL : level.lostL) ?? 0;
  const isSinceClearing = moment.lostSince !== null && moment.lostSince.ms >= (clearedMs ?? Infinity);
  const noticeableL = context.settings.singleLossSigmas * Math.SQRT2 * context.levelNoiseL;
  if (isSinceClearing && lostL > noticeableL) {
    const lost = measure('volume', lostL);
    return found(sentence`${lost} lost again`, { lost });
  }
  return null;
}
