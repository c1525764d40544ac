import type { Message } from '../message.js';
import { calledForBy, type Finding } from './follow-up-table.js';
import { message } from './messages.js';

/**
 * Why a line is open: every finding once, in the order given. If a pressure test is asked for as
 * well, a failed vacuum test only asks to find the leak, because only the pressure test settles the
 * line.
 *
 * @param findings those open on one line, worst first, at least one
 * @example causesTold(['strength-wrong', 'strength-wrong']) // [{ code: 'follow-up-strength-wrong', values: {} }]
 */
export function causesTold(findings: readonly Finding[]): Message[] {
  const open = new Set(findings);
  return [...open]
    .filter((finding) => !isToldByAnother(finding, open))
    .map((finding) =>
      finding === 'vacuum-test-failed' && open.has('pressure-test-unclear')
        ? message('follow-up-vacuum-leak')
        : calledForBy(finding).cause,
    );
}

function isToldByAnother(finding: Finding, open: ReadonlySet<Finding>): boolean {
  const isOpen = (...others: Finding[]): boolean => others.some((other) => open.has(other));
  switch (finding) {
    case 'circuit-opened':
      return open.size > 1;
    case 'vacuum-test-failed':
      return isOpen('pressure-test-failed', 'over-pressured');
    case 'vacuum-test-unclear':
      return isOpen('pressure-test-failed', 'over-pressured', 'pressure-test-unclear', 'vacuum-test-failed');
    case 'pressure-test-unclear':
      return isOpen('pressure-test-failed');
    case 'inspect-level':
    case 'reported-level-falling':
      return isOpen('reported-level-low');
    case 'reported-ran-hot':
      return isOpen('inspect-fan-and-thermostat');
    case 'reported-pressure-falling':
      return isOpen('reported-pressure-low');
    default:
      return false;
  }
}
