import type { Evaluation, Verdict } from '../../../src/domain/evaluation/evaluation.js';
import type { OpenFollowUp } from '../../../src/domain/follow-ups/follow-ups.js';
import type { FollowUpReading } from '../../../src/domain/follow-ups/settling.js';
import type { FollowUpJob, WorkLine } from '../../../src/domain/intervals/types.js';
import type { Reading, ReadingKind } from '../../../src/domain/readings/kinds.js';
import { DAY, noon } from '../intervals/due-fixtures.js';

export const HOUR = DAY / 24;
export const T = noon('2026-04-02');

export const job = (id: string, at: number, lines: string[], isBaseline = false): FollowUpJob => ({
  id,
  at,
  isBaseline,
  lines: lines.map((line) => {
    const [component, action, item] = line.split('/');
    return { component, action, item: item ?? null } as WorkLine;
  }),
});

/** A reading of each kind that says as little as it can. */
const PLAIN: { [K in ReadingKind]: Extract<Reading, { kind: K }> } = {
  'hold-test': { kind: 'hold-test', method: 'vacuum', startKpa: 75, endKpa: 75, minutes: 5, unit: 'kPa' },
  'freeze-point': { kind: 'freeze-point', method: 'refractometer', value: -37, unit: 'C' },
  'torque-set': { kind: 'torque-set', fastener: 'pump-to-cover', unit: 'N.m', setToNm: 11, count: 9 },
  fill: { kind: 'fill', drainedL: 9, addedL: 9, unit: 'L' },
  'warm-up-check': {
    ...{ kind: 'warm-up-check', heatAtVents: null, fanCycled: null, thermostatOpened: null },
    ...{ temperatureSteady: null, leakSeen: null, levelAfterCooling: null },
  },
  'belt-check': { kind: 'belt-check' },
  'belt-tension': { kind: 'belt-tension' },
  'tensioner-check': { kind: 'tensioner-check' },
  conductivity: { kind: 'conductivity', conductivityUsPerCm: 50 },
  'level-check': { kind: 'level-check', belowMarkL: 0, engineCold: true, unit: 'L' },
  'top-up': { kind: 'top-up', addedL: 0.5, unit: 'L' },
  'coolant-condition': { kind: 'coolant-condition' },
  'cap-test': { kind: 'cap-test', unit: 'kPa' },
  'combustion-gas-test': { kind: 'combustion-gas-test', positive: false },
  'road-test': { kind: 'road-test' },
};

/**
 * What a test says of a reading besides its kind and verdict: `says` are fields of the reading
 * itself.
 */
export type Said = Partial<Omit<FollowUpReading, 'canonical' | 'evaluation'>> & {
  says?: object;
  computed?: Evaluation['computed'];
};

export const reading = (
  id: string,
  at: number,
  kind: ReadingKind,
  verdict: Verdict | null,
  { says = {}, computed = {}, ...rest }: Said = {},
): FollowUpReading => ({
  ...{ id, jobId: null, at },
  canonical: { ...PLAIN[kind], ...says },
  evaluation: { verdict, computed },
  ...rest,
});

/** `coolant/test at-once` */
export const kinds = (followUps: OpenFollowUp[]): string[] =>
  followUps.map(
    ({ component, action, item, urgency }) => `${component}/${action}${item ? `/${item}` : ''} ${urgency}`,
  );
