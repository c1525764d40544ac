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
  followUpsOf(jobs, readings, { faults });

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

  it('is settled only by what came after it began, and not where it is seen long afterwards', () => {
    const fault = seen('P0217', T, T + 5 * HOUR);
    for (const at of [T - HOUR, T, T + HOUR, T + 3 * HOUR])
      expect(open([fault], INSPECTION(at))).toHaveLength(2);
    for (const at of [T + 3 * HOUR + 1, T + 5 * HOUR, T + 6 * HOUR])
      expect(open([fault], INSPECTION(at))).toEqual([]);
  });

  it('is told anew when it is seen two hours after its inspection', () => {
    const lines = open([seen('P0217', T, T + 5 * HOUR)], INSPECTION(T + 2 * HOUR));
    expect(lines.map(({ openedAt, seenAgainAfter }) => [openedAt, seenAgainAfter])).toEqual([
      [T + 4 * HOUR, 'gas'],
      [T + 4 * HOUR, 'level'],
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
  });

  it('a code of another circuit opens nothing of the engine’s circuit', () => {
    expect(open([seen('P0A06', T), seen('SPN 3668 FMI 1', T)])).toEqual([]);
  });

  it('a hot transmission asks for a look at its cooler, which a road test settles', () => {
    const hot = seen('P0218', T);
    expect(kinds(open([hot]))).toEqual(['oil-cooler/inspect soon']);
    expect(open([hot], [reading('r', T + HOUR, 'road-test', 'pass')])).toEqual([]);
    expect(open([hot], [reading('r', T + HOUR, 'warm-up-check', 'pass')])).toHaveLength(1);
  });

  it('a code without meaning opens nothing', () => {
    expect(open([seen('SPN 100 FMI 1', T), seen('P0420', T)])).toEqual([]);
  });
});

describe('a code that nobody cleared', () => {
  const WORK_AT = T + 2 * DAY;
  const LEVEL_READ = [reading('level', WORK_AT, 'level-check', 'pass')];
  const BELT_READ = [reading('belt', WORK_AT, 'belt-check', 'pass', FULL_BELT)];
  const openAfter = (readings: FollowUpReading[], ...faults: SightingSpan[]) =>
    open(faults, readings).map(({ openedAt }) => openedAt - WORK_AT);

  // Common practice, no source: a dangerous one is believed after two hours, another after a day.
  it.each([
    ['SPN 111 FMI 1', LEVEL_READ, 2 * HOUR],
    ['P2560', LEVEL_READ, 2 * HOUR],
    ['P0562', BELT_READ, DAY],
  ])('%s is left over from before the work until it is believed again', (code, read, believed) => {
    const fault = (to: number) => seen(code, T, WORK_AT + to);
    expect(openAfter(read, fault(5 * 60_000))).toEqual([]);
    expect(openAfter(read, fault(believed - 1))).toEqual([]);
    expect(openAfter(read, fault(believed))).toEqual([believed]);
    expect(openAfter(read, fault(believed + 5 * DAY))).toEqual([believed]);
  });

  it('is left over although the vehicle stood unread for days before the work', () => {
    const before = seen('P2560', T - 5 * DAY);
    const after = (from: number, to = from) => seen('P2560', WORK_AT + from, WORK_AT + to);
    expect(openAfter(LEVEL_READ, before, after(5 * 60_000))).toEqual([]);
    expect(openAfter(LEVEL_READ, before, after(5 * 60_000, 3 * HOUR))).toEqual([2 * HOUR]);
    expect(openAfter(LEVEL_READ, before, after(5 * 60_000), after(3 * DAY))).toEqual([3 * DAY]);
  });

  it('is a new one once it was read as gone, before the work or after it', () => {
    const before = seen('P2560', T - 5 * DAY);
    const at = (from: number) => WORK_AT + from;
    for (const cleared of [-HOUR, 60_000])
      expect(
        openAfter(LEVEL_READ, before, gone('P2560', at(cleared)), seen('P2560', at(5 * 60_000))),
      ).toEqual([5 * 60_000]);
    // Sightings that lie together, and one as gone among them.
    const span = seen('P2560', at(-2 * HOUR), at(5 * 60_000));
    expect(openAfter(LEVEL_READ, span, gone('P2560', at(-60_000)))).toEqual([0]);
  });

  it('is left over again from the next work', () => {
    const fault = seen('P2560', T, WORK_AT + 4 * HOUR);
    const again = reading('again', WORK_AT + 3 * HOUR, 'level-check', 'pass');
    expect(open([fault], [...LEVEL_READ, again])).toEqual([]);
  });

  it('is settled when it is cleared after a repair, though it was still read in between', () => {
    const mended = job('j', WORK_AT, ['reservoir/replace']);
    const components = (...faults: SightingSpan[]) =>
      open(faults, [], [mended]).map(({ component }) => component);
    const fault = (to: number) => seen('SPN 111 FMI 3', T, WORK_AT + to);
    expect(components(fault(HOUR / 2), gone('SPN 111 FMI 3', WORK_AT + HOUR))).not.toContain('reservoir');
    expect(components(fault(HOUR / 2))).toContain('reservoir');
    // It came back after it was cleared, or lasted a day.
    expect(components(fault(2 * HOUR), gone('SPN 111 FMI 3', WORK_AT + HOUR))).toContain('reservoir');
    expect(components(fault(DAY), gone('SPN 111 FMI 3', WORK_AT + DAY + HOUR))).toContain('reservoir');
  });
});

it('faults of one instant are told by their names, whatever their ids', () => {
  const told = (...faults: SightingSpan[]) => open(faults)[0]?.told.map(english).at(-1);
  const [level, hot] = [seen('SPN 111 FMI 1', T), seen('P0217', T)];
  const swapped = [
    { ...level, id: 'a' },
    { ...hot, id: 'b' },
  ];
  expect(told(...swapped)).toBe(told({ ...hot, id: 'a' }, { ...level, id: 'b' }));
});

it('the order in which faults arrive changes nothing', () => {
  const faults = [
    seen('P2560', T - 9 * DAY, T + 2 * HOUR + 60_000),
    seen('P2560', T + 4 * DAY),
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
