import { calledForBy, type Finding } from './follow-up-table.js';

/** The words of a line have to stay readable on a phone. */
const MOST_CHARACTERS = 300;

/**
 * Why a line is open: every finding once, in the order given. The vacuum's words go where a
 * pressure test is asked for as well, for only that one settles the line.
 *
 * @param findings those open on one line, worst first, at least one
 * @example causeInWords(['strength-wrong', 'strength-wrong']) // 'the freeze point failed: adjust the strength, then read it again'
 */
export function causeInWords(findings: readonly Finding[]): string {
  const open = new Set(findings);
  const told = [...open].filter((finding) => !isToldByAnother(finding, open));
  const words = told.map((finding) =>
    finding === 'vacuum-test-failed' && open.has('pressure-test-unclear')
      ? 'the vacuum test failed: find and mend the leak'
      : calledForBy(finding).cause,
  );
  return joined(words);
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
    default:
      return false;
  }
}

function joined([first = '', ...others]: readonly string[]): string {
  let text = first;
  for (const [index, words] of others.entries()) {
    const longer = `${text}; also: ${words}`;
    if (longer.length > MOST_CHARACTERS) return `${text}; and ${others.length - index} more`;
    text = longer;
  }
  return text;
}
