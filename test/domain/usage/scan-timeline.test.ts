import fc from 'fast-check';
import { mergeCheckpoints, restartFrom } from '../../../src/domain/usage/checkpoints.js';
import { scanTimeline } from '../../../src/domain/usage/scan-timeline.js';
import type {
  Checkpoint,
  JudgedUsageReading,
  UsageReading,
  UsageSource,
} from '../../../src/domain/usage/types.js';
import { DAY, reading, START } from './reading-fixtures.js';
import { textOf } from '../../../src/platform/words/render.js';
import { english } from '../../support/english.js';

const scan = (...readings: UsageReading[]) =>
  new Map(scanTimeline(readings).readings.map((judged) => [judged.id, judged]));
const held = (result: Map<string, JudgedUsageReading>) =>
  [...result.values()].filter(({ status }) => status === 'held').map(({ id, reason }) => `${id} ${reason}`);

// The limits (5 km, 0.5 h, 2,400 km a day, 24 h a day, 1.609344, a day apart) are common practice,
// no source; a mile is 1.609344 km by definition.
describe('what is held', () => {
  it('holds a reading that goes back by more than 5 km, and believes one that goes back by less', () => {
    const result = scan(reading(0, 1000), reading(7, 1350), reading(8, 1344.9), reading(9, 1345.1));
    expect(held(result)).toEqual(['d8 went-back']);
    expect(result.get('d9')!.odometerLifetimeKm).toBe(1345.1);
  });

  it('says by how much, in the units of the reader, and what to do about it', () => {
    const mi = 1.609344;
    const readings = [reading(0, 61_000 * mi), reading(7, 61_250 * mi), reading(8, 56_250 * mi)];
    const { readings: judged } = scanTimeline(readings);
    expect(judged[2]).toEqual({
      id: 'd8',
      status: 'held',
      reason: 'went-back',
      detail: expect.objectContaining({ code: 'usage-went-back' }),
      odometerLifetimeKm: null,
      engineHoursLifetime: null,
    });
    expect(textOf(judged[2]!.detail!, { language: 'en', units: 'us' })).toBe(
      'The odometer shows 56,250 mi, 5,000 mi less than the 61,250 mi of 1 day earlier (dash). If the counter was replaced, a manager can accept this reading with replaced: true.',
    );
    expect(textOf(judged[2]!.detail!, { language: 'es', units: 'si' })).toBe(
      'El odómetro marca 90,525.6 km, 8,046.7 km menos que la lectura de 98,572.3 km de 1 día antes (tablero). Si se cambió el contador, un encargado puede aceptar esta lectura con replaced: true.',
    );
  });

  it('holds a reading ahead by more than 2,400 km a day and 5 km', () => {
    expect(held(scan(reading(0, 1000), reading(1, 3406)))).toEqual(['d1 too-fast']);
    expect(held(scan(reading(0, 1000), reading(1, 3404)))).toEqual([]);
  });

  it('holds engine hours that go back by more than half an hour or pass faster than the clock', () => {
    const hours = (day: number, engineHours: number) => reading(day, null, { engineHours });
    expect(held(scan(hours(0, 100), hours(1, 99.4)))).toEqual(['d1 went-back']);
    expect(held(scan(hours(0, 100), hours(1, 99.6)))).toEqual([]);
    expect(held(scan(hours(0, 100), hours(1, 124.6)))).toEqual(['d1 too-fast']);
    expect(held(scan(hours(0, 100), hours(1, 124.4)))).toEqual([]);
  });

  it('names miles for kilometres and kilometres for miles', () => {
    const weekly = [0, 7, 14].map((day) => reading(day, 60_000 + day * 50));
    const typedInMiles = scan(...weekly, reading(21, 61_050 / 1.609344));
    expect(held(typedInMiles)).toEqual(['d21 unit-slip']);
    expect(english(typedInMiles.get('d21')!.detail!)).toMatch(
      /^37,934\.7 km .* but 37,934\.7 mi would\. Was it read in miles\?$/,
    );
    const typedInKilometres = scan(...weekly, reading(21, 61_050 * 1.609344));
    expect(held(typedInKilometres)).toEqual(['d21 unit-slip']);
    expect(english(typedInKilometres.get('d21')!.detail!)).toMatch(
      /61,050 mi .* but 61,050 km would\. Was it read in kilometres\?$/,
    );
  });

  it('tells large figures to the tenth that was read', () => {
    const hours = (day: number, engineHours: number) => reading(day, null, { engineHours });
    const back = scan(hours(0, 1234.5), hours(1, 1210.2));
    expect(english(back.get('d1')!.detail!)).toMatch(
      /^The hour counter shows 1,210\.2 h, 24\.3 h less than the 1,234\.5 h of/,
    );
  });

  it('names the slip after a month without a reading too, when almost any figure could have been run', () => {
    const history = [reading(0, 30_000), reading(7, 30_350), reading(50, 32_500 * 1.609344)];
    expect(held(scan(...history))).toEqual(['d50 unit-slip']);
  });

  it('believes a hard month that is no slip', () => {
    expect(held(scan(reading(0, 30_000), reading(7, 30_350), reading(37, 30_350 + 30 * 600)))).toEqual([]);
  });

  it('holds a reading from the future until someone decides', () => {
    const future = reading(7, 1350, { heldAtArrival: 'in-the-future' });
    expect(held(scan(reading(0, 1000), future))).toEqual(['d7 in-the-future']);
    const accepted = scan(reading(0, 1000), { ...future, decision: 'accepted' });
    expect(accepted.get('d7')).toMatchObject({ status: 'accepted', odometerLifetimeKm: 1350 });
  });

  it('believes a late reading that fits between its neighbours', () => {
    expect(held(scan(reading(14, 1700), reading(0, 1000), reading(7, 1350)))).toEqual([]);
  });

  it('judges the counters apart: held for its hours, a reading still gives its odometer', () => {
    const result = scan(reading(0, 1000, { engineHours: 50 }), reading(7, 1350, { engineHours: 20 }));
    expect(result.get('d7')).toMatchObject({
      status: 'held',
      reason: 'went-back',
      odometerLifetimeKm: 1350,
      engineHoursLifetime: null,
    });
    expect(english(result.get('d7')!.detail!)).toMatch(
      /^The hour counter shows 20 h, 30 h less than the 50 h of/,
    );
  });
});

describe('duplicates', () => {
  it('counts the same instant and values once', () => {
    const result = scan(
      reading(0, 1000, { id: 'b' }),
      reading(0, 1000, { id: 'a' }),
      reading(0, 1000, { id: 'c', source: 'job' }),
    );
    expect([...result.values()].map(({ id, status }) => `${id} ${status}`)).toEqual([
      'a accepted',
      'b duplicate',
      'c duplicate',
    ]);
  });

  it('does not bring back by repetition what was discarded', () => {
    const result = scan(
      reading(0, 900),
      reading(1, 1000, { id: 'z', decision: 'discarded' }),
      reading(1, 1000, { id: 'a' }),
    );
    expect(result.get('a')!.status).toBe('duplicate');
    expect(result.get('z')!.status).toBe('discarded');
  });
});

describe('an accepted typo', () => {
  const typo = [reading(0, 10_000), reading(7, 10_350), reading(14, 16_000)];

  it('is contradicted by two later readings a day apart that fit without it, and they are believed', () => {
    expect(held(scan(...typo))).toEqual([]);
    expect(held(scan(...typo, reading(15, 10_750)))).toEqual(['d15 went-back']);
    expect(held(scan(...typo, reading(15, 10_750), reading(15.5, 10_760)))).toEqual([
      'd15 went-back',
      'd15.5 went-back',
    ]);
    const settled = scan(...typo, reading(15, 10_750), reading(15.5, 10_760), reading(16, 10_800));
    expect(held(settled)).toEqual(['d14 contradicted']);
    expect(settled.get('d15.5')!.odometerLifetimeKm).toBe(10_760);
  });

  it('stays where a manager accepted it', () => {
    const accepted = { ...typo[2]!, decision: 'accepted' as const };
    expect(held(scan(typo[0]!, typo[1]!, accepted, reading(15, 10_750), reading(16, 10_800)))).toEqual([
      'd15 went-back',
      'd16 went-back',
    ]);
  });

  it('is contradicted by one later reading that a manager accepts', () => {
    const result = scan(...typo, reading(15, 10_750, { decision: 'accepted' }), reading(16, 10_800));
    expect(held(result)).toEqual(['d14 contradicted']);
  });

  it('is not what a manager means who accepts a figure further on', () => {
    const result = scan(
      reading(0, 10_000),
      reading(7, 10_350),
      reading(7.1, 11_500, { decision: 'accepted' }),
    );
    expect(held(result)).toEqual([]);
  });

  it('leaves no trace when it is voided', () => {
    const voided = { ...typo[2]!, decision: 'voided' as const };
    const result = scan(typo[0]!, typo[1]!, voided, reading(15, 10_750));
    expect(held(result)).toEqual([]);
    expect(result.get('d14')!.status).toBe('voided');
  });

  it('does not poison the history even as its very first reading', () => {
    expect(held(scan(reading(0, 100_000), reading(7, 10_350), reading(14, 10_700)))).toEqual([
      'd0 contradicted',
    ]);
  });
});

describe('a replaced counter', () => {
  it('goes on from the lifetime value at which it was fitted', () => {
    const result = scan(
      reading(0, 90_000),
      reading(7, 90_350),
      reading(8, 20, { odometerReplaced: true }),
      reading(15, 370),
    );
    expect(held(result)).toEqual([]);
    expect(result.get('d8')!.odometerLifetimeKm).toBe(90_350);
    expect(result.get('d15')!.odometerLifetimeKm).toBe(90_700);
  });

  it('holds for every source that reads the new counter', () => {
    const result = scan(
      reading(0, 90_000),
      reading(3, 90_150, { source: 'fuel-card' }),
      reading(8, 20, { odometerReplaced: true }),
      reading(9, 70, { source: 'fuel-card' }),
      reading(10, 120),
    );
    expect(held(result)).toEqual([]);
    expect(result.get('d10')!.odometerLifetimeKm).toBe(90_250);
  });
});

describe('a source that runs at its own offset', () => {
  const dash = [0, 7, 14, 21, 28, 35].map((day) => reading(day, 50_000 + 50 * day));
  const device = (offset: number, days: number[], source: UsageSource = 'telematics') =>
    days.map((day) => reading(day, 50_000 + 50 * day + offset, { id: `t${day}`, source }));

  it('is believed from its second reading on, corrected by the offset, when it runs behind', () => {
    const result = scan(...dash, ...device(-3000, [15, 16.5, 22, 29]));
    expect(held(result)).toEqual(['t15 went-back']);
    for (const [id, day] of [
      ['t16.5', 16.5],
      ['t22', 22],
      ['t29', 29],
    ] as const) {
      expect(result.get(id)!.odometerLifetimeKm).toBeCloseTo(50_000 + 50 * day, 6);
    }
  });

  it('is shifted to the older source when it ran ahead and was believed at first', () => {
    const result = scan(...dash, ...device(900, [15, 16.5, 22, 29, 36], 'fuel-card'));
    expect(held(result)).toEqual(['d21 went-back']);
    for (const day of [28, 35]) expect(result.get(`d${day}`)!.odometerLifetimeKm).toBe(50_000 + 50 * day);
    expect(result.get('t36')!.odometerLifetimeKm).toBeCloseTo(51_800, 6);
    expect(result.get('t29')!.odometerLifetimeKm).toBeCloseTo(51_450, 6);
  });

  it('is at its own offset from the first reading on, if it is a device that runs ahead of the pace', () => {
    const result = scan(...dash, ...device(900, [15, 16.5, 22, 29, 36]));
    expect(held(result)).toEqual([]);
    for (const day of [15, 16.5, 22, 29, 36])
      expect(result.get(`t${day}`)!.odometerLifetimeKm).toBeCloseTo(50_000 + 50 * day, 6);
    expect(result.get('d28')!.odometerLifetimeKm).toBe(51_400);
  });

  it('is the counter on the dash, if it is a device that shows about what the pace makes expect', () => {
    const result = scan(...dash, ...device(90, [15, 22]));
    expect(held(result)).toEqual([]);
    expect(result.get('t15')!.odometerLifetimeKm).toBe(50_840);
  });

  it('goes on at a new offset when a device is replaced, and a typed counter does not', () => {
    const fitted = device(0, [0, 1, 2]);
    const replaced = device(-50_000, [3, 3.5, 4.5, 5]);
    const result = scan(...fitted, ...replaced);
    expect(held(result)).toEqual(['t3 went-back', 't3.5 went-back']);
    expect(result.get('t5')!.odometerLifetimeKm).toBeCloseTo(50_250, 6);
    const typed = [...fitted, ...replaced].map((one) => ({ ...one, source: 'dash' as const }));
    expect(held(scan(...typed))).toEqual(['t3', 't3.5', 't4.5', 't5'].map((id) => `${id} went-back`));
  });

  it('is not taken for an offset by two readings within a day', () => {
    const result = scan(...dash, ...device(-3000, [15, 15.4]));
    expect(held(result)).toEqual(['t15 went-back', 't15.4 went-back']);
  });

  it('does not make an offset of two unlike typos', () => {
    const readings = [
      ...dash,
      reading(15, 30_000, { id: 'x', source: 'fuel-card' }),
      reading(30, 45_000, { id: 'y', source: 'fuel-card' }),
    ];
    expect(held(scan(...readings))).toEqual(['x went-back', 'y went-back']);
  });

  it('takes a manager’s word for a device as its offset', () => {
    const [first, ...others] = device(-3000, [15, 22]);
    const result = scan(...dash, { ...first!, decision: 'accepted' }, ...others);
    expect(held(result)).toEqual([]);
    expect(result.get('t22')!.odometerLifetimeKm).toBeCloseTo(51_100, 6);
  });
});

/**
 * Histories with typos, replacements, several sources, readings in bursts, ties, and managers'
 * words.
 */
const historyOf = (length: number) =>
  fc
    .array(
      fc.record({
        gapHours: fc.oneof(fc.constantFrom(0, 1, 2, 12, 24), fc.integer({ min: 0, max: 400 })),
        pace: fc.integer({ min: 0, max: 400 }),
        source: fc.constantFrom('dash', 'dash', 'dash', 'telematics', 'job', 'fuel-card', 'manual'),
        fault: fc.oneof(
          { weight: 6, arbitrary: fc.constant(0) },
          { weight: 3, arbitrary: fc.constantFrom(-5000, -300, -6, 200, 900, 3000, 20_000) },
        ),
        slip: fc.constantFrom(1, 1, 1, 1, 1, 1, 1, 1, 1.609344, 1 / 1.609344),
        carries: fc.constantFrom('both', 'both', 'odometer', 'hours'),
        hoursFault: fc.constantFrom(0, 0, 0, 0, -40, 60, 9),
        replaced: fc.integer({ min: 0, max: 25 }),
        decision: fc.constantFrom(null, null, null, null, null, null, 'accepted', 'discarded', 'voided'),
        heldAtArrival: fc.constantFrom(null, null, null, null, null, 'in-the-future'),
      }),
      { minLength: 1, maxLength: length },
    )
    .map((steps) => {
      let at = START;
      let km = 30_000;
      let shownKm = 30_000;
      let hours = 900;
      return steps.map((step, index) => {
        at += step.gapHours * 3_600_000;
        const run = (step.pace * step.gapHours) / 24;
        km += run;
        shownKm = step.replaced === 0 ? 3 : shownKm + run;
        hours += run / 40;
        const offset = step.source === 'telematics' ? -2500 : 0;
        return {
          id: `r${index}`,
          at,
          odometerKm:
            step.carries === 'hours'
              ? null
              : Math.max(0, Math.round((shownKm + offset + step.fault) * step.slip)),
          engineHours:
            step.carries === 'odometer' ? null : Math.max(0, Math.round((hours + step.hoursFault) * 10) / 10),
          odometerReplaced: step.replaced === 0,
          engineHoursReplaced: step.replaced === 1,
          source: step.source,
          decision: step.decision,
          heldAtArrival: step.heldAtArrival,
        };
      });
    });

const shuffled = <T>(values: readonly T[], keys: readonly number[]): T[] =>
  values
    .map((value, i) => ({ value, key: keys[i % keys.length]! }))
    .sort((a, b) => a.key - b.key)
    .map(({ value }) => value);

describe('the scan as a function of the set of readings', () => {
  it('does not depend on the order in which they arrived', () => {
    fc.assert(
      fc.property(historyOf(40), fc.array(fc.nat(), { minLength: 40, maxLength: 40 }), (readings, keys) => {
        const inOrder = scanTimeline(readings);
        expect(scanTimeline(shuffled(readings, keys))).toEqual(inOrder);
      }),
    );
  });

  it('never contradicts a manager, and gives a lifetime value exactly where it believes', () => {
    fc.assert(
      fc.property(historyOf(40), (readings) => {
        const byId = new Map(readings.map((each) => [each.id, each]));
        for (const judged of scanTimeline(readings).readings) {
          const { decision } = byId.get(judged.id)!;
          if (decision === 'accepted') expect(['accepted', 'duplicate']).toContain(judged.status);
          if (judged.status === 'held') expect(judged.detail).toBeTruthy();
          if (['duplicate', 'discarded', 'voided'].includes(judged.status))
            expect(judged.odometerLifetimeKm).toBeNull();
          if (judged.status === 'accepted' && byId.get(judged.id)!.odometerKm !== null)
            expect(judged.odometerLifetimeKm).not.toBeNull();
        }
      }),
    );
  });

  // The service stores judgements and checkpoints, and takes each batch up from the last checkpoint
  // before it.
  it('gives the same when taken up from checkpoints, batch by batch in any order, with decisions in between', () => {
    fc.assert(
      fc.property(
        historyOf(60),
        fc.array(fc.nat(), { minLength: 60, maxLength: 60 }),
        fc.array(
          fc.record({
            size: fc.integer({ min: 1, max: 6 }),
            decide: fc.nat(),
            word: fc.constantFrom(null, 'accepted', 'discarded', 'voided'),
          }),
          {
            minLength: 60,
            maxLength: 60,
          },
        ),
        fc.boolean(),
        (readings, keys, batches, inOrder) => {
          const waiting = inOrder ? [...readings] : shuffled(readings, keys);
          const facts = new Map<string, UsageReading>();
          const stored = new Map<string, JudgedUsageReading>();
          let checkpoints: Checkpoint[] = [];
          for (const { size, decide, word } of batches) {
            const changed = waiting.splice(0, size).map((each) => ({ ...each }));
            if (decide % 3 === 0 && facts.size > 0) {
              const target = [...facts.values()][decide % facts.size]!;
              changed.push({ ...target, decision: word });
            }
            if (changed.length === 0) continue;
            for (const each of changed) facts.set(each.id, each);
            const start = restartFrom(checkpoints, Math.min(...changed.map((each) => each.at)));
            const later = [...facts.values()].filter((each) => start === null || each.at > start.at);
            const timeline = scanTimeline(later, { start });
            for (const judged of timeline.readings) stored.set(judged.id, judged);
            checkpoints = JSON.parse(
              JSON.stringify(mergeCheckpoints(checkpoints, start, timeline)),
            ) as Checkpoint[];
            expect(checkpoints.length).toBeLessThanOrEqual(8);
          }
          const full = scanTimeline([...facts.values()]);
          expect(stored).toEqual(new Map(full.readings.map((judged) => [judged.id, judged])));
        },
      ),
      { numRuns: 300 },
    );
  });

  it('takes up near the end: a new reading of a long history needs few old ones', () => {
    const history = Array.from({ length: 400 }, (_, i) => reading(i, 10_000 + i * 60, { id: `r${i}` }));
    const timeline = scanTimeline(history);
    const kept = mergeCheckpoints([], null, timeline);
    expect(restartFrom(kept, START + 400 * DAY)!.at).toBe(START + 399 * DAY);
    expect(restartFrom(kept, START + 380.5 * DAY)!.at).toBeGreaterThanOrEqual(START + 300 * DAY);
    expect(restartFrom(kept, START)).toBeNull();
  });
});
