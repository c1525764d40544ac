import {
  type CoolantConditionReading,
  evaluateCoolantCondition,
} from '../../../src/domain/coolant-condition/coolant-condition.js';
import { followUpsOf } from '../../../src/domain/follow-ups/follow-ups.js';
import type { FollowUpReading } from '../../../src/domain/follow-ups/settling.js';
import { DAY } from '../intervals/due-fixtures.js';
import { english } from '../../support/english.js';
import { job, kinds, reading, T } from './follow-up-facts.js';

type Values = Omit<CoolantConditionReading, 'kind'>;

const LIMITS = {
  pHMin: 7.5,
  pHMax: 11,
  reserveAlkalinityMinMl: 4,
};

/** A coolant condition as it is judged, a NOAT coolant by the limits above. */
function condition(
  id: string,
  at: number,
  values: Values,
  more: Partial<FollowUpReading> = {},
): FollowUpReading {
  const canonical = { kind: 'coolant-condition' as const, ...values };
  const evaluation = evaluateCoolantCondition(canonical, { technology: 'NOAT', limits: LIMITS });
  return { id, jobId: null, at, canonical, evaluation, ...more };
}

const chloride = (value: number, max: number | null = 200): Values => ({
  laboratory: { values: [{ name: 'Chloride', value, unit: 'mg/L', max }] },
});

/** The lines of the coolant's condition that are left, with the recheck after work taken off. */
function left(found: Values, lines: string[], ...then: Values[]): string[] {
  const jobs = lines.length === 0 ? [] : [job('k', T + DAY, lines)];
  const readings = then.map((values, index) => condition(`s${index}`, T + (2 + index) * DAY, values));
  for (const { evaluation } of readings) expect(evaluation.verdict).toBe('pass');
  const open = followUpsOf(jobs, [condition('r', T, found), ...readings]);
  return kinds(open).filter((line) => !line.startsWith('coolant/recheck'));
}

// What closes a finding of a coolant condition: common practice, no published source.
describe('a failed coolant condition', () => {
  it.each<[string, Values, string, Values, Values]>([
    ['acid', { pH: 6.5 }, 'coolant/flush at-once', { pH: 8.6 }, { appearance: 'clear' }],
    ['rust', { appearance: 'rusty' }, 'coolant/flush at-once', { appearance: 'clear' }, { pH: 8.6 }],
    ['particles', { appearance: 'particles' }, 'coolant/flush at-once', { appearance: 'clear' }, { pH: 8.6 }],
    ['low pH', { pH: 7.2 }, 'coolant/adjust soon', { pH: 8.6 }, { nitriteMgPerL: 600 }],
    ['little nitrite', { nitriteMgPerL: 120 }, 'coolant/adjust soon', { nitriteMgPerL: 600 }, { pH: 8.6 }],
    [
      'low pH and little nitrite',
      { pH: 7.2, nitriteMgPerL: 120 },
      'coolant/adjust soon',
      { pH: 8.6, nitriteMgPerL: 600 },
      { pH: 8.6 },
    ],
    [
      'used-up reserve',
      { reserveAlkalinityMl: 2 },
      'coolant/replace soon',
      { reserveAlkalinityMl: 6 },
      { pH: 8.6, appearance: 'clear' },
    ],
    ['chloride', chloride(310), 'coolant/flush soon', chloride(20), { pH: 8.6 }],
    [
      'chloride, measured without a limit',
      chloride(310),
      'coolant/flush soon',
      chloride(20),
      { ...chloride(400, null), pH: 8.6 },
    ],
  ])('for %s closes only by a pass that measured it', (_what, found, line, measured, other) => {
    expect(left(found, [])).toEqual([line]);
    expect(left(found, [], other)).toEqual([line]);
    expect(left(found, [], other, measured)).toEqual([]);
    expect(left(found, ['coolant/flush'])).toEqual([line]);
    expect(left(found, ['coolant/flush'], measured)).toEqual([]);
  });

  it.each(['oil-cooler', 'head-gasket', 'egr-cooler', 'other'].map((part) => `${part}/replace`))(
    'for oil closes by a clear look after %s',
    (repair) => {
      const oily: Values = { appearance: 'oily' };
      const line = 'oil-cooler/replace at-once';
      expect(left(oily, [repair])).toEqual([line]);
      expect(left(oily, [repair], { nitriteMgPerL: 600 })).toEqual([line]);
      expect(left(oily, [repair], { appearance: 'clear' })).toEqual([]);
    },
  );

  it('for acid closes by a pH that no other limit is known for', () => {
    const readings = [
      condition('a', T, { pH: 6.5 }),
      reading('b', T + DAY, 'coolant-condition', null, { says: { pH: 8.3 } }),
    ];
    expect(kinds(followUpsOf([], readings.slice(0, 1)))).toEqual(['coolant/flush at-once']);
    expect(kinds(followUpsOf([], readings))).toEqual([]);
    const look = reading('b', T + DAY, 'coolant-condition', null, { says: { appearance: 'clear' } });
    expect(kinds(followUpsOf([], [readings[0]!, look]))).toEqual(['coolant/flush at-once']);
  });

  it('for oil is not closed by a clear look alone, nor by one into new coolant', () => {
    const [oily, clear]: Values[] = [{ appearance: 'oily' }, { appearance: 'clear' }];
    // Fresh coolant looks clear, whatever lets the oil through.
    for (const lines of [['coolant/flush'], ['coolant/replace']])
      expect(left(oily!, lines, clear!)).toContain('oil-cooler/replace at-once');
    for (const lines of [[], ['thermostat/replace'], ['oil-cooler/inspect'], ['coolant/test']])
      expect(left(oily!, lines, clear!)).toEqual(['oil-cooler/replace at-once']);
  });

  it('closes within its job, where the part was replaced and the coolant looked at again', () => {
    const inJob = (position: number) => ({ jobId: 'k', position });
    const readings = [
      condition('a', T, { appearance: 'oily' }, inJob(0)),
      condition('b', T, { appearance: 'clear' }, inJob(1)),
    ];
    expect(kinds(followUpsOf([job('k', T, ['oil-cooler/replace'])], readings))).toEqual([
      'coolant/recheck recheck',
    ]);
    expect(kinds(followUpsOf([job('k', T, ['coolant/test'])], readings))).toEqual([
      'oil-cooler/replace at-once',
    ]);
  });

  it("opens a line for a laboratory's value beside what else it finds", () => {
    expect(left({ ...chloride(310), pH: 7.2 }, [])).toEqual(['coolant/adjust soon', 'coolant/flush soon']);
    const [line] = followUpsOf([], [condition('r', T, chloride(310))]);
    expect(english(line!.told[0]!)).toMatch(/^A laboratory value is outside its limits\. /);
  });

  it('asks for an adjustment where the laboratory finds only an inhibitor outside its limits', () => {
    const nitrite = (value: number): Values => ({
      laboratory: { values: [{ name: 'Nitrite', value, unit: 'ppm', min: 800 }] },
    });
    expect(left(nitrite(600), [])).toEqual(['coolant/adjust soon']);
    expect(left(nitrite(600), [], { pH: 8.6 })).toEqual(['coolant/adjust soon']);
    expect(left(nitrite(600), [], nitrite(900))).toEqual([]);
  });
});
