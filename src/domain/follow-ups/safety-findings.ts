import type { Verdict } from '../evaluation/evaluation.js';
import type { ReadingKind } from '../readings.js';

/**
 * The kinds of reading whose failure makes a vehicle unsafe to drive, whatever else was done to it.
 *
 * Coolant under pressure or gone (`hold-test`, `level-check`), combustion gas in it
 * (`combustion-gas-test`), a pump or pulley that may come loose (`torque-set`), a belt that may
 * part
 * and take the pump, and on many vehicles the steering assistance, with it (`belt-check`), and a
 * leak
 * or an overheating engine that somebody saw running (`warm-up-check`, `road-test`). The others
 * call
 * for work soon, but nobody is scalded or stranded on the way to it: strength, condition, a weak
 * cap, a
 * short fill that the level check tells anyway. Common practice, no published source.
 */
export const SAFETY_READINGS: readonly ReadingKind[] = [
  'hold-test',
  'torque-set',
  'combustion-gas-test',
  'belt-check',
  'level-check',
  'warm-up-check',
  'road-test',
];

/** What tells one reading of a kind from another: as it was typed, or in canonical units. */
export interface WhatWasRead {
  kind: string;
  method?: unknown;
  fastener?: unknown;
  item?: unknown;
  engineCold?: unknown;
}

/** A reading of a job, as far as its safety goes. */
export interface SafetyReading {
  read: WhatWasRead;
  verdict: Verdict | null;
}

/**
 * The failed safety readings of a job that nothing later in the same job made good.
 *
 * @param readings of one job, in the order in which they were taken
 * @returns those that failed, in their order
 * @example safetyFindings([{ read: { kind: 'belt-check' }, verdict: 'fail' }]).length // 1
 */
export function safetyFindings<R extends SafetyReading>(readings: readonly R[]): R[] {
  return readings.filter(
    ({ read, verdict }, index) =>
      verdict === 'fail' &&
      SAFETY_READINGS.includes(read.kind as ReadingKind) &&
      !readings.slice(index + 1).some((later) => later.verdict === 'pass' && isRetestOf(later.read, read)),
  );
}

/**
 * A vacuum pulls a leaking lip seal shut, so that it proves nothing against a failed pressure test.
 */
function isRetestOf(later: WhatWasRead, failed: WhatWasRead): boolean {
  if (later.kind !== failed.kind) return false;
  if (failed.kind === 'hold-test') return later.method === 'pressure' || failed.method === 'vacuum';
  if (failed.kind === 'torque-set') return later.fastener === failed.fastener;
  // Coolant expands with heat: where it is not said that the engine was cold, the level tells
  // nothing.
  if (failed.kind === 'level-check') return later.engineCold === true;
  if (failed.kind === 'belt-check') return (later.item ?? null) === (failed.item ?? null);
  return true;
}

/** What failed, as a foreman says it, and what has to happen before the vehicle is driven. */
export interface FindingInWords {
  what: string;
  until: string;
}

/** Short of coolant: once filled up it may drive, and the level is read again later. */
const LEVEL_LOW: FindingInWords = {
  what: 'failed level check',
  until:
    'it is filled up; a cold level at or between the marks, at least 4 hours after filling up, settles it (record that the engine was cold)',
};

/**
 * A failed safety reading in words: "a " stands before `what`, "until " before `until`.
 *
 * @example findingInWords({ kind: 'hold-test', method: 'pressure' }) // { what: 'failed pressure test', until: 'it passes a pressure test' }
 */
export function findingInWords(reading: WhatWasRead): FindingInWords {
  const named = (name: unknown): string => (typeof name === 'string' && name !== '' ? ` (${name})` : '');
  switch (reading.kind) {
    case 'hold-test':
      return reading.method === 'pressure'
        ? { what: 'failed pressure test', until: 'it passes a pressure test' }
        : { what: 'failed vacuum test', until: 'it passes a hold test' };
    case 'torque-set':
      return {
        what: `failed torque check${named(reading.fastener)}`,
        until: 'the fasteners are tightened to the sheet and checked again',
      };
    case 'combustion-gas-test':
      return {
        what: 'positive combustion-gas test',
        until: 'the leak into the coolant is found and mended, and the test is clear',
      };
    case 'belt-check':
      return {
        what: `failed belt check${named(reading.item)}`,
        until: 'the belt is renewed, or passes a full check',
      };
    case 'level-check':
      return LEVEL_LOW;
    case 'warm-up-check':
      return { what: 'failed warm-up check', until: 'what it found is mended and a warm-up check passes' };
    case 'road-test':
      return { what: 'failed road test', until: 'what it found is mended and a road test passes' };
    default:
      return { what: `failed ${reading.kind.replaceAll('-', ' ')}`, until: 'it is put right' };
  }
}

/**
 * The warning about a vehicle that was released with failed safety readings, for people.
 *
 * @param findings what failed, at least one
 * @example releaseWarning([{ kind: 'hold-test', method: 'pressure' }]) // 'Released with a failed pressure test. Keep the vehicle parked until it passes a pressure test.'
 */
export function releaseWarning(findings: readonly WhatWasRead[]): string {
  const words = findings.map(findingInWords);
  return `Released with ${whatOf(words)}. ${untilOf(words)}`;
}

/**
 * What a vehicle shows for as long as that is not settled.
 *
 * @param findings in words, at least one
 * @example openFindingsText([findingInWords({ kind: 'road-test' })]) // 'Released with open safety findings: a failed road test. Keep the vehicle parked until …'
 */
export function openFindingsText(findings: readonly FindingInWords[]): string {
  return `Released with open safety findings: ${whatOf(findings)}. ${untilOf(findings)}`;
}

function whatOf(findings: readonly FindingInWords[]): string {
  const parts = [...new Set(findings.map(({ what }) => `a ${what}`))];
  return parts.length < 2 ? parts.join('') : `${parts.slice(0, -1).join(', ')} and ${parts.at(-1)}`;
}

/** What is to be done before the vehicle is driven, as a sentence. @param findings at least one */
export function untilOf(findings: readonly Pick<FindingInWords, 'until'>[]): string {
  const parts = [...new Set(findings.map(({ until }) => until))];
  const isLevelAlone = parts.length === 1 && parts[0] === LEVEL_LOW.until;
  const start = isLevelAlone ? 'Do not drive it' : 'Keep the vehicle parked';
  if (parts.length < 2) return `${start} until ${parts.join('')}.`;
  const listed = parts.map((part) => part.replace(', or ', ' or '));
  return `${start} until ${listed.slice(0, -1).join(', ')}, and ${listed.at(-1)}.`;
}
