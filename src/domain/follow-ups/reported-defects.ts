import type { OpenDefect } from '../defects/defect.js';
import type { CivilDate, FollowUpUrgency } from '../intervals/types.js';
import type { Message } from '../message.js';
import { calledForBy } from './follow-up-table.js';
import { message } from './messages.js';
import type { FollowUpCause } from './settling.js';

/** A reported defect as the reason for a line. Only its own closing settles it. */
export function defectCause(defect: OpenDefect): FollowUpCause {
  const finding = defect.isTriaged ? 'defect-triaged' : 'defect-reported';
  const { id: sourceId, at: openedAt } = defect;
  return {
    finding,
    sourceId,
    reading: null,
    fault: null,
    defect,
    openedAt,
    isRepaired: false,
    circuit: null,
  };
}

/** How soon a cause is to be dealt with. A defect for which a day was set is not due at once. */
export function urgencyOf({ finding, defect }: FollowUpCause): FollowUpUrgency {
  return defect?.dueOn == null ? calledForBy(finding).urgency : 'soon';
}

const URGENCY: Record<FollowUpUrgency, number> = { soon: 0, recheck: 1, 'at-once': 2 };

/** How bad a cause is, for the order. One with a day of its own comes last. */
export function pressOf(cause: FollowUpCause): number {
  return cause.defect?.dueOn == null ? URGENCY[urgencyOf(cause)] : -1;
}

/**
 * The day that was set for a line; null where one of its causes is more pressing.
 *
 * @param worstFirst the causes of the line, at least one
 * @example dueOnOf([for 2026-05-01, for 2026-04-20]) // '2026-04-20'
 */
export function dueOnOf(worstFirst: readonly FollowUpCause[]): CivilDate | null {
  return worstFirst
    .map(({ defect }) => defect?.dueOn ?? null)
    .reduce((one, other) => (one === null || other === null ? null : one < other ? one : other));
}

/** What is told about defects beside the findings: the words in which each was reported. */
export function defectsTold(causes: readonly FollowUpCause[]): Message[] {
  return causes.flatMap(({ defect }) =>
    defect === null ? [] : message('follow-up-defect-words', { source: defect.source, what: defect.what }),
  );
}
