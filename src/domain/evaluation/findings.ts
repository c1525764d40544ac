import type { Message } from '../message.js';
import type { Verdict } from './evaluation.js';

/** What an evaluation gathers on its way to a verdict. */
export interface Findings {
  /** Each is enough for `fail`. */
  fails: Message[];
  /** Each is enough for `inconclusive` where nothing fails; says what would settle it. */
  doubts: Message[];
  /** Added whatever the verdict is. */
  remarks: Message[];
}

export function noFindings(): Findings {
  return { fails: [], doubts: [], remarks: [] };
}

/**
 * The verdict of what was found: a bad finding outweighs every doubt (a leak found in too short a
 * test is still a leak), a doubt outweighs a pass.
 *
 * @param whenClean what is said for a pass
 * @example conclude({ fails: [], doubts: [], remarks: [] }, 'held') // { verdict: 'pass', reasons: ['held'] }
 */
export function conclude(findings: Findings, whenClean: Message): { verdict: Verdict; reasons: Message[] } {
  const { fails, doubts, remarks } = findings;
  if (fails.length > 0) return { verdict: 'fail', reasons: [...fails, ...doubts, ...remarks] };
  if (doubts.length > 0) return { verdict: 'inconclusive', reasons: [...doubts, ...remarks] };
  return { verdict: 'pass', reasons: [whenClean, ...remarks] };
}
