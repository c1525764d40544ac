import { v7 as uuidv7 } from 'uuid';
import { STAGES } from './reminder.entity.js';
import type { NewReminder, Untold } from './sweep.queries.js';

/**
 * The reminder of the stage the line stands in, and the record that the stages below it were passed over.
 *
 * @param digestId the digest it goes into; null when it is sent by itself
 */
export function remindersFor(found: Untold, sendAt: Date, digestId: string | null): NewReminder[] {
  const { dueLineId, cycle, targetId, stage, stages, repeat } = found;
  const shared = { targetId, dueLineId, cycle, repeat, nextAttemptAt: sendAt };
  const lower = STAGES.slice(0, STAGES.indexOf(stage)).filter((each) => stages.includes(each));
  const passedOver = (repeat > 0 ? [] : lower).map((each) => ({
    ...{ ...shared, id: uuidv7(), stage: each, digestId: null },
    status: 'superseded' as const,
  }));
  return [...passedOver, { ...shared, id: uuidv7(), stage, digestId, status: 'waiting' }];
}
