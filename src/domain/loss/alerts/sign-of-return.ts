import { measure } from '../../quantities/measures.js';
import type { Message } from '../../message.js';
import type { Moment } from '../balance/moments.js';
import type { WatchContext } from '../balance/watch-context.js';
import type { LossAlertKind } from '../facts/types.js';
import { message } from '../messages.js';
import type { Finding } from '../rules/rule.js';
import { reportedLow } from './reported-low.js';
import { ROUNDING } from '../rules/rounding.js';

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
  const found = (shown: Message, computed: Finding['computed']): Finding => ({
    evidence: [{ factId: fact.id, kind: fact.kind, at: fact.at, message: shown, computed }],
    computed,
    basis: [message('basis-loss-return', { days: context.settings.returnDays })],
  });
  const reported = reportedLow(kind, moment);
  if (reported !== null)
    return {
      evidence: [reported],
      computed: reported.computed,
      basis: [message('basis-loss-return', { days: context.settings.returnDays })],
    };
  if (kind === 'weakening-hold' && fact.kind === 'hold-test' && fact.verdict === 'fail') {
    const { method } = fact;
    return found(message('loss-hold-test-failed-again', { method }), { method });
  }
  if (kind !== 'repeat-top-ups' && kind !== 'rising-loss') return null;
  if (fact.kind === 'top-up' && !fact.planned && fact.addedL - moment.settlingL > ROUNDING) {
    const lost = measure('volume', fact.addedL - moment.settlingL);
    return found(message('loss-top-up-again', { lost }), { lost });
  }
  if (fact.kind !== 'level-check') return null;
  // A level at the marks gives the least loss.
  const lostL = (level === null ? moment.lostAtLeastL : level.lostL) ?? 0;
  const isSinceClearing = moment.lostSince !== null && moment.lostSince.ms >= (clearedMs ?? Infinity);
  const noticeableL = context.settings.singleLossSigmas * Math.SQRT2 * context.levelNoiseL;
  if (isSinceClearing && lostL > noticeableL) {
    const lost = measure('volume', lostL);
    return found(message('loss-again', { lost }), { lost });
  }
  return null;
}
