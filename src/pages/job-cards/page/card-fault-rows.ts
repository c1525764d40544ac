import type { JobCardView } from '../card/job-card.dto.js';
import type { Row } from './card-row.js';
import { message } from './messages.js';
import type { Wording } from './wording.js';

/** The faults that the vehicle reported: what is wrong, and when that was last seen, or gone. */
export function faultRows({ faults }: JobCardView, { say, on }: Wording): Row[] {
  return faults.map(({ code, meaning, state, lastSeenAt, goneAt }) => ({
    text: say(message('card-page-fault', { code, meaning: meaning?.text ?? '' })),
    value: say(message('card-page-fault-state', { state, date: on(goneAt ?? lastSeenAt) })),
  }));
}

/** What to do about the codes themselves. A code that is left over opens its line again. */
export function faultsHeading({ faults }: JobCardView, { say }: Wording): string {
  const isActive = faults.some(({ state }) => state === 'active') ? 'yes' : 'no';
  return say(message('card-page-faults', { isActive }));
}

/**
 * Whether a cause only repeats codes that have a row of their own.
 *
 * @param cause of a line
 */
export function onlyNamesFaults(
  { code, values }: JobCardView['lines'][0]['settles'][0]['causes'][0],
  { faults }: JobCardView,
): boolean {
  const shown = new Set(faults.map((fault) => fault.code));
  const { codes } = values as { codes?: readonly string[] };
  return code === 'follow-up-fault-codes' && codes?.every((one) => shown.has(one)) === true;
}
