import fc from 'fast-check';
import { spansAbove } from '../../../src/domain/temperatures/above-alarm.js';
import { figuresOf } from '../../../src/domain/temperatures/day-figures.js';
import { type DaySamples, sampleFault, withSamples } from '../../../src/domain/temperatures/samples.js';
import { warmUpMinutes } from '../../../src/domain/temperatures/warm-up.js';
import { english } from '../../support/english.js';

const every = (step: number, ...celsius: number[]): DaySamples => ({
  minutes: celsius.map((_, index) => index * step),
  celsius,
});
const LIMITS = { alarmC: 107, thermostatOpensC: 82 };

describe('a coolant temperature', () => {
  // SAE J1939-71, SPN 110: 1 °C a bit from −40 °C, 211 °C and above mean an error or no value.
  it.each([
    [
      -40,
      'C',
      '-40 °C is what an open sensor circuit reads. It says nothing about the coolant and was left out.',
    ],
    [
      215,
      'C',
      '215 °C is hotter than coolant can get (150 °C at most). That is a shorted sensor, or a code for "no value". It was left out. Was it 215 °F?',
    ],
    [
      400,
      'C',
      '400 °C is hotter than coolant can get (150 °C at most). That is a shorted sensor, or a code for "no value". It was left out.',
    ],
    [-39, 'C', null],
    [150, 'C', null],
    // 300 °F
    [148.9, 'F', null],
  ] as const)('of %d °C, typed in °%s, is refused if no coolant has it', (celsius, unit, told) => {
    const fault = sampleFault(celsius, unit);
    expect(fault && english(fault)).toBe(told);
  });
});

describe('the samples of a day', () => {
  it('count a minute once, by its highest value', () => {
    const added = withSamples(every(1, 80, 81), [
      { minute: 1, celsius: 85 },
      { minute: 0, celsius: 70 },
      { minute: 9, celsius: 60 },
    ]);
    expect(added).toEqual({ minutes: [0, 1, 9], celsius: [80, 85, 60] });
  });

  it('do not change where everything is known', () => {
    expect(withSamples(every(1, 80), [{ minute: 0, celsius: 80 }])).toBeNull();
  });

  it('give the same figures in any order and in any parts', () => {
    const samples = fc.array(
      fc.record({ minute: fc.nat(1439), celsius: fc.integer({ min: 20, max: 120 }) }),
      { minLength: 1, maxLength: 60 },
    );
    fc.assert(
      fc.property(samples, fc.infiniteStream(fc.nat(1000)), fc.nat(60), (all, keys, cut) => {
        const shuffled = all
          .map((one) => [one, keys.next().value as number] as const)
          .sort((a, b) => a[1] - b[1])
          .map(([one]) => one);
        const none = { minutes: [], celsius: [] };
        const atOnce = withSamples(none, all)!;
        const first = withSamples(none, shuffled.slice(0, cut)) ?? none;
        const inParts = withSamples(first, shuffled.slice(cut)) ?? first;
        expect(figuresOf(inParts, LIMITS)).toEqual(figuresOf(atOnce, LIMITS));
      }),
    );
  });
});

describe('the time above the alarm', () => {
  it.each<[string, DaySamples, [number, number][]]>([
    ['lasts from the first to the last value in a row', every(10, 90, 108, 109, 95), [[10, 20]]],
    ['counts a value at the alarm', every(10, 107, 107), [[0, 10]]],
    ['is none for a lone value', every(10, 90, 140, 90), []],
    ['is none for a spike that falls into two minutes', every(1, 90, 120, 120, 90), []],
    ['is some for three minutes in a row', every(1, 90, 120, 120, 120), [[1, 3]]],
    ['joins the values of an hourly source', every(60, 108, 108, 90), [[0, 60]]],
    ['does not join values an hour and a half apart', every(90, 108, 108), []],
    [
      'ends with a value below',
      every(5, 108, 108, 100, 108, 108),
      [
        [0, 5],
        [15, 20],
      ],
    ],
  ])('%s', (_, samples, spans) => {
    expect(spansAbove(samples, 107).map(({ from, until }) => [from, until])).toEqual(spans);
  });
});

describe('the warm-up', () => {
  // An engine is warm 11 K below where its thermostat opens: 13 CCR 1968.2 (e)(10), from memory.
  it.each<[string, DaySamples, number | null]>([
    // 40 °C at 4 min; 71 °C at 8 + 4 × 11/20 = 10.2 min.
    ['is timed from 40 °C until warm', every(4, 20, 40, 60, 80), 6.2],
    ['is unknown for a warm engine', every(4, 60, 80), null],
    ['is unknown with values six minutes apart', every(6, 20, 40, 60, 80), null],
    ['starts anew after the engine cooled down', every(5, 45, 38, 50, 75), 5 - (5 * 2) / 12 + (5 * 21) / 25],
    ['is unknown for hourly values', every(60, 10, 85, 90), null],
  ])('%s', (_, samples, minutes) => {
    const found = warmUpMinutes(samples, 82);
    if (minutes === null) expect(found).toBeNull();
    else expect(found).toBeCloseTo(minutes, 9);
  });
});

describe('the figures of a day', () => {
  it('are its highest value, its hot end, the time above the alarm and the gaps', () => {
    const samples = { minutes: [0, 10, 20, 30, 40, 200], celsius: [30, 90, 95, 108, 110, 100] };
    expect(figuresOf(samples, LIMITS)).toEqual({
      samples: 6,
      highestC: 110,
      // Five warm values: p·(N + 1) = 5.7, beyond the last (NIST/SEMATECH e-Handbook 7.2.6.2).
      hotC: 110,
      samplesAboveAlarm: 2,
      minutesAboveAlarm: 10,
      overheated: { from: 30, until: 40 },
      warmUpMinutes: null,
      usualGapMinutes: 10,
      largestGapMinutes: 160,
    });
  });

  it('do not tell a time above the alarm from hourly values, but that it was hot', () => {
    expect(figuresOf(every(60, 90, 108, 109), LIMITS)).toMatchObject({
      ...{ samplesAboveAlarm: 2, minutesAboveAlarm: null },
      overheated: { from: 60, until: 120 },
    });
  });

  it('leave out what the sheet has no limit for', () => {
    expect(figuresOf(every(1, 20, 140, 140, 140), { alarmC: null, thermostatOpensC: null })).toMatchObject({
      ...{ samplesAboveAlarm: null, minutesAboveAlarm: null, overheated: null, warmUpMinutes: null },
    });
  });

  it('have no hot end of a cold day, and no gap of one value', () => {
    expect(figuresOf(every(5, 20, 30, 59, 59, 59, 59), LIMITS).hotC).toBeNull();
    expect(figuresOf(every(5, 90), LIMITS)).toMatchObject({ usualGapMinutes: null, largestGapMinutes: null });
  });
});
