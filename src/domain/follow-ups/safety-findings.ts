import type { WorkLine } from '../intervals/types.js';
import type { Message } from '../message.js';
import { eachOnce } from '../same-message.js';
import { message as readingMessage } from '../readings/messages.js';
import { type ReadingKind, type SafetyReadingKind, safetyWordsOf } from '../readings/kinds.js';
import { LEVEL_LOW } from '../readings/kinds/level-check.js';
import type { FindingInWords, WhatWasRead } from '../readings/contract/safety-words.js';
import { followUpsOf } from './follow-ups.js';
import { message } from './messages.js';
import type { FollowUpReading } from './settling.js';

/**
 * The kinds of reading whose failure makes a vehicle unsafe to drive, whatever else was done to it.
 *
 * Coolant under pressure or gone (`hold-test`, `level-check`), combustion gas in it
 * (`combustion-gas-test`), a pump or pulley that may come loose (`torque-set`), a belt that may
 * part and take the pump, and on many vehicles the steering assistance, with it (`belt-check`),
 * and a leak or an overheating engine that somebody saw running (`warm-up-check`, `road-test`).
 * The others call for work soon, but nobody is scalded or stranded on the way to it: strength,
 * condition, a weak cap, a short fill that the level check tells anyway. Common practice, no
 * published source.
 */
export const SAFETY_READINGS: readonly ReadingKind[] = Object.keys({
  'hold-test': true,
  'torque-set': true,
  'combustion-gas-test': true,
  'belt-check': true,
  'level-check': true,
  'warm-up-check': true,
  'road-test': true,
} satisfies Record<SafetyReadingKind, true>) as SafetyReadingKind[];

/**
 * The failed safety readings of a job that it left open, by the rule that settles every follow-up:
 * what was mended in the same job and then shown by a reading to be so is settled.
 *
 * @param lines what was done in the job
 * @param readings of that one job
 * @returns those that failed, in the order given
 * @example safetyFindings([], [{ …, canonical: { kind: 'belt-check', wearGauge: 'worn', … }, evaluation: { verdict: 'fail', … } }]).length // 1
 */
export function safetyFindings<R extends FollowUpReading>(
  lines: readonly WorkLine[],
  readings: readonly R[],
): R[] {
  const failed = readings.filter(
    ({ canonical, evaluation }) => evaluation.verdict === 'fail' && safetyWordsOf(canonical) !== null,
  );
  const [{ jobId, at } = { jobId: null, at: 0 }] = failed;
  if (jobId === null) return failed;
  const left = followUpsOf([{ id: jobId, at, lines, isBaseline: false }], readings);
  const open = new Set(left.flatMap(({ causes }) => causes.map(({ sourceId }) => sourceId)));
  return failed.filter(({ id }) => open.has(id));
}

/**
 * A failed safety reading in words: what failed, and what settles it.
 *
 * @example findingInWords({ kind: 'hold-test', method: 'pressure' }) // 'a failed pressure test', 'it passes a pressure test'
 */
export function findingInWords(reading: WhatWasRead): FindingInWords {
  return (
    safetyWordsOf(reading)?.inWords(reading) ?? {
      what: readingMessage('finding-failed-reading', { kind: reading.kind }),
      until: readingMessage('settled-when-put-right'),
    }
  );
}

/**
 * The warning about a vehicle that was released with failed safety readings.
 *
 * @param findings what failed, at least one
 * @example releaseWarning([{ kind: 'hold-test', method: 'pressure' }]) // 'Released with a failed pressure test. Keep the vehicle parked until it passes a pressure test.'
 */
export function releaseWarning(findings: readonly WhatWasRead[]): Message {
  return message('release-warning', releaseOf(findings.map(findingInWords)));
}

/**
 * What a vehicle shows for as long as that is not settled.
 *
 * @param findings in words, at least one
 * @example openFindingsText([findingInWords({ kind: 'road-test' })]) // 'Released with open safety findings: a failed road test. Keep the vehicle parked until …'
 */
export function openFindingsText(findings: readonly FindingInWords[]): Message {
  return message('release-findings-open', releaseOf(findings));
}

/** What is to be done before the vehicle is driven. @param findings at least one */
export function whatToDo(findings: readonly FindingInWords[]): Message {
  const { until, todo } = releaseOf(findings);
  return message('release-what-to-do', { until, todo });
}

function releaseOf(findings: readonly FindingInWords[]) {
  const until = eachOnce(findings.map((finding) => finding.until));
  const isLevelAlone = until.length === 1 && until[0]?.code === LEVEL_LOW.until.code;
  const todo: 'fill' | 'park' = isLevelAlone ? 'fill' : 'park';
  return { findings: eachOnce(findings.map(({ what }) => what)), until, todo };
}
