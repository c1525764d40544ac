import fc from 'fast-check';
import { faultCodeIn } from '../../../src/domain/faults/fault-code.js';
import type { SightingSpan } from '../../../src/domain/faults/spans.js';
import { followUpsOf } from '../../../src/domain/follow-ups/follow-ups.js';
import type { FollowUpReading } from '../../../src/domain/follow-ups/settling.js';
import type { FollowUpJob } from '../../../src/domain/intervals/types.js';
import { DAY } from '../intervals/due-fixtures.js';
import { english } from '../../support/english.js';
import { HOUR, job, kinds, reading, T } from './follow-up-facts.js';

let count = 0;
const seen = (code: string, from: number, to = from): SightingSpan => ({
  ...{ id: `f${(count += 1)}`, code: faultCodeIn(code), isActive: true, occurrences: null },
  ...{ firstAt: from, lastAt: to },
});
const gone = (code: string, from: number, to = from): SightingSpan => ({
  ...seen(code, from, to),
  isActive: false,
});

const HOT_AND_LOADED = { says: { engineHot: true, underLoad: true } };
const FULL_BELT = { says: { ribsSeated: true, offsetMm: 0.2, spanMm: 200, wearGauge: 'ok' } };
/** What settles each part of the inspection after overheating. */
const INSPECTION = (at: number): FollowUpReading[] => [
  reading('gas', at, 'combustion-gas-test', 'inconclusive', HOT_AND_LOADED),
  reading('level', at, 'level-check', 'pass'),
  reading('cap', at, 'cap-test', 'pass'),
  reading('belt', at, 'belt-check', 'pass', FULL_BELT),
  reading('warm', at, 'warm-up-check', 'pass'),
  reading('strength', at, 'freeze-point', 'pass'),
];
const OVERHEATED = () => seen('SPN 110 FMI 0', T);
const open = (faults: SightingSpan[], readings: FollowUpReading[] = [], jobs: FollowUpJob[] = []) =>
  followUpsOf(jobs, readings, faults);

describe('an overheating that the vehicle reports', () => {
  it('asks for its inspection at once, and names what to inspect', () => {
    const lines = open([OVERHEATED()]);
    expect(kinds(lines)).toEqual(['head-gasket/test at-once', 'coolant/inspect at-once']);
    const LEAD =
      'The engine overheated. Let it cool, then do what is listed here before the vehicle goes out again.';
    expect(lines.map(({ told }) => told.map(english))).toEqual([
      [
        LEAD,
        'Head gasket: test for combustion gas, engine hot and under load.',
        'Fault codes from the vehicle: SPN 110 FMI 0.',
      ],
      [
        LEAD,
        'Level: read it cold and fill up. A cold level at or between the marks settles it.',
        'Cap: test it, or fit a new one.',
        'Belt: do a full belt check, or fit a new one.',
        'Fan and thermostat: pass a warm-up check.',
        'Strength: read the freeze point. Water poured in on the road makes it weak.',
        'Fault codes from the vehicle: SPN 110 FMI 0.',
      ],
    ]);
  });

  it('is settled by all parts of its inspection, and by no fewer', () => {
    const all = INSPECTION(T + HOUR);
    expect(open([OVERHEATED()], all)).toEqual([]);
    for (const { id } of all)
      expect(
        open(
          [OVERHEATED()],
          all.filter((one) => one.id !== id),
        ),
      ).toHaveLength(1);
  });

  it('takes parts off the list one by one', () => {
    const [, , cap] = INSPECTION(T + HOUR);
    const [, inspection] = open([OVERHEATED()], [cap!]);
    expect(inspection?.causes.map(({ finding }) => finding)).toEqual([
      ...['inspect-level', 'inspect-belt', 'inspect-fan-and-thermostat', 'inspect-strength'],
    ]);
  });

  it.each<[string, FollowUpReading, FollowUpJob[]]>([
    ['a gas test on a cold engine', reading('gas', T + HOUR, 'combustion-gas-test', 'inconclusive'), []],
    [
      'a level read hot',
      reading('level', T + HOUR, 'level-check', 'pass', { says: { engineCold: false } }),
      [],
    ],
    [
      'a belt of which only the wear was looked at',
      reading('belt', T + HOUR, 'belt-check', 'pass', { says: { wearGauge: 'ok' } }),
      [],
    ],
    ['a cap that failed', reading('cap', T + HOUR, 'cap-test', 'fail'), []],
    ['a warm-up that showed too little', reading('warm', T + HOUR, 'warm-up-check', 'inconclusive'), []],
  ])('is not settled by %s', (_what, instead, jobs) => {
    const others = INSPECTION(T + HOUR).filter(({ id }) => id !== instead.id);
    expect(open([OVERHEATED()], [...others, instead], jobs)).not.toEqual([]);
  });

  it('is settled as to cap and belt by new ones', () => {
    const left = INSPECTION(T + HOUR).filter(({ id }) => id !== 'cap' && id !== 'belt');
    const fitted = job('j', T + HOUR, ['radiator-cap/replace', 'drive-belt/replace']);
    expect(open([OVERHEATED()], left, [fitted])).toEqual([]);
  });

  it('leaves a positive gas test to the line for the head gasket', () => {
    const positive = reading('gas', T + HOUR, 'combustion-gas-test', 'fail', { says: { positive: true } });
    const others = INSPECTION(T + HOUR).filter(({ id }) => id !== 'gas');
    expect(kinds(open([OVERHEATED()], [...others, positive]))).toEqual(['head-gasket/replace at-once']);
  });

  it('stays when the fault went away by itself', () => {
    expect(open([OVERHEATED(), gone('SPN 110 FMI 0', T + HOUR, T + DAY)])).toHaveLength(2);
  });

  it('is settled only by what came after it was last seen', () => {
    const fault = seen('P0217', T, T + 2 * HOUR);
    for (const at of [T - HOUR, T, T + HOUR, T + 2 * HOUR])
      expect(open([fault], INSPECTION(at))).toHaveLength(2);
    expect(open([fault], INSPECTION(T + 2 * HOUR + 1))).toEqual([]);
  });

  it('is told anew when it is seen again after its inspection', () => {
    const lines = open([seen('P0217', T, T + 5 * HOUR)], INSPECTION(T + 2 * HOUR));
    expect(lines.map(({ openedAt, seenAgainAfter }) => [openedAt, seenAgainAfter])).toEqual([
      [T + 2 * HOUR, 'gas'],
      [T + 2 * HOUR, 'level'],
    ]);
  });

  it('joins one that is open, and opens again after one that was settled', () => {
    const twice = [seen('P0217', T), seen('P0217', T + 10 * DAY)];
    expect(open(twice)).toMatchObject([
      { sourceId: twice[0]!.id, openedAt: T },
      { sourceId: twice[0]!.id, openedAt: T },
    ]);
    expect(open(twice, INSPECTION(T + DAY))).toMatchObject([
      { sourceId: twice[1]!.id, openedAt: T + 10 * DAY },
      { sourceId: twice[1]!.id, openedAt: T + 10 * DAY },
    ]);
  });

  it('makes the line of a hot engine one to be done at once', () => {
    const hot = seen('SPN 110 FMI 15', T);
    expect(kinds(open([hot]))).toEqual(['coolant/inspect soon']);
    expect(kinds(open([hot, seen('SPN 110 FMI 16', T + HOUR)]))).toEqual([
      ...['coolant/inspect at-once', 'head-gasket/test at-once'],
    ]);
  });
});

describe('other faults', () => {
  it.each<[string, string, FollowUpReading | null, string[]]>([
    ['SPN 110 FMI 15', 'coolant/inspect soon', reading('r', T + HOUR, 'road-test', 'pass'), []],
    ['SPN 111 FMI 1', 'coolant/inspect at-once', reading('r', T + HOUR, 'level-check', 'pass'), []],
    ['P2560', 'coolant/inspect at-once', reading('r', T + HOUR, 'level-check', 'pass'), []],
    [
      'SPN 109 FMI 1',
      'coolant/test at-once',
      reading('r', T + HOUR, 'hold-test', 'pass', { says: { method: 'pressure' } }),
      [],
    ],
    [
      'P0128',
      'thermostat/replace soon',
      reading('r', T + 2 * HOUR, 'warm-up-check', 'pass'),
      ['thermostat/replace'],
    ],
    ['P0494', 'fan-drive/test at-once', reading('r', T + HOUR, 'warm-up-check', 'pass'), []],
    ['P00B7', 'water-pump/test at-once', reading('r', T + HOUR, 'warm-up-check', 'pass'), []],
    ['SPN 167 FMI 1', 'drive-belt/inspect soon', reading('r', T + HOUR, 'belt-check', 'pass', FULL_BELT), []],
    ['SPN 112 FMI 0', 'coolant-filter/replace soon', null, ['coolant-filter/replace']],
    ['P0118', 'temperature-sensor/test soon', null, ['temperature-sensor/replace']],
  ])('%s opens %s, and its work settles it', (code, line, proof, work) => {
    const fault = seen(code, T);
    expect(kinds(open([fault]))).toEqual([line]);
    const jobs = work.length === 0 ? [] : [job('j', T + HOUR, work)];
    expect(
      open([fault], proof === null ? [] : [proof], jobs).filter(({ action }) => action !== 'recheck'),
    ).toEqual([]);
    // Neither the proof nor the work before it was last seen.
    const before = proof === null ? [] : [{ ...proof, at: T - HOUR }];
    expect(
      kinds(
        open(
          [fault],
          before,
          jobs.map((one) => ({ ...one, at: T - 2 * HOUR })),
        ),
      ),
    ).toContain(line);
  });

  it('a vacuum test settles no pressure that the vehicle reports', () => {
    expect(open([seen('SPN 109 FMI 1', T)], [reading('r', T + HOUR, 'hold-test', 'pass')])).toHaveLength(1);
  });

  it('an electrical fault is settled when it is gone after a repair, and only then', () => {
    const fault = seen('SPN 111 FMI 3', T);
    const mended = job('j', T + DAY, ['reservoir/replace']);
    const elsewhere = job('j', T + DAY, ['radiator-cap/replace']);
    expect(kinds(open([fault]))).toEqual(['reservoir/test soon']);
    expect(open([fault, gone('SPN 111 FMI 3', T + HOUR)])).toHaveLength(1);
    expect(open([fault], [], [mended]).map(({ component }) => component)).toContain('reservoir');
    const goneAfter = gone('SPN 111 FMI 3', T + DAY + HOUR);
    expect(open([fault, goneAfter], [], [mended]).map(({ component }) => component)).not.toContain(
      'reservoir',
    );
    expect(open([fault, goneAfter], [], [elsewhere]).map(({ component }) => component)).toContain(
      'reservoir',
    );
    const again = seen('SPN 111 FMI 3', T, T + DAY + HOUR / 2);
    expect(open([again, goneAfter], [], [mended]).map(({ component }) => component)).toContain('reservoir');
  });

  it('a code without meaning opens nothing', () => {
    expect(open([seen('SPN 100 FMI 1', T), seen('P0420', T), seen('P0218', T)])).toEqual([]);
  });
});

it('the order in which faults arrive changes nothing', () => {
  const faults = [
    ...[seen('P0217', T, T + HOUR), seen('P0217', T + 5 * DAY), gone('P0217', T + DAY)],
    ...[seen('SPN 111 FMI 1', T + HOUR), seen('P0118', T), gone('P0118', T + 3 * DAY)],
  ];
  const readings = [...INSPECTION(T + 2 * HOUR)];
  const jobs = [job('j', T + 2 * DAY, ['temperature-sensor/clean'])];
  const expected = open(faults, readings, jobs);
  fc.assert(
    fc.property(fc.shuffledSubarray(faults, { minLength: faults.length }), (shuffled) => {
      expect(open(shuffled, readings, jobs)).toEqual(expected);
    }),
  );
});
