import fc from 'fast-check';
import { dailyRate } from '../../../src/domain/usage/daily-rate.js';
import { packMemory, unpackMemory } from '../../../src/domain/usage/pack-memory.js';
import { scanTimeline } from '../../../src/domain/usage/scan-timeline.js';
import type { UsagePoint, UsageReading, UsageSource } from '../../../src/domain/usage/types.js';
import { lastOfEachDay } from '../../../src/domain/usage/usage-days.js';
import {
  daysToKeep,
  isReachEnough,
  type KnownDays,
  packDays,
  unpackDays,
} from '../../../src/domain/usage/usage-memory.js';

const DAY = 86_400_000;
const ZONE = 'America/Denver';
const BEGAN = Date.UTC(2023, 0, 1);

/** Values that rise, at instants some hours to some months apart. */
const pointsArb = fc
  .array(
    fc.record({
      hours: fc.oneof(fc.integer({ min: 1, max: 60 }), fc.integer({ min: 1, max: 3000 })),
      km: fc.double({ min: 0, max: 900, noNaN: true }),
    }),
    {
      minLength: 1,
      maxLength: 120,
    },
  )
  .map((steps) => {
    let at = BEGAN;
    let value = 20_000;
    return steps.map(({ hours, km }): UsagePoint => ({
      at: (at += hours * 3_600_000),
      value: (value += km),
    }));
  });
const monthsArb = fc.constantFrom(null, [4, 5, 6, 7, 8, 9]);

describe('the days that are kept of a counter', () => {
  it('give the rate that all days give, as they are and with later ones, batch by batch, or say that they do not reach', () => {
    fc.assert(
      fc.property(pointsArb, monthsArb, fc.integer({ min: 1, max: 20 }), (points, months, batch) => {
        let kept: KnownDays = { reach: 'all', days: [] };
        for (let taken = 0; taken < points.length; taken += batch) {
          const later = points.slice(taken, taken + batch);
          const sofar = points.slice(0, taken + batch);
          const stored = JSON.parse(JSON.stringify(packDays(kept.days))) as number[];
          let known: KnownDays = { reach: kept.reach, days: unpackDays({ days: stored }, later, ZONE) };
          const all = lastOfEachDay(sofar, ZONE);
          // As the service does: all readings are read again.
          if (!isReachEnough(known, months)) known = { reach: 'all', days: all };
          expect(dailyRate(known.days, 50, months)).toEqual(dailyRate(all, 50, months));
          kept = daysToKeep(known);
          expect(kept.days.length).toBeLessThanOrEqual(182);
        }
      }),
      { numRuns: 300 },
    );
  });

  it('are all of them where they are few, a year and the first where those are, and half a year of many', () => {
    const every = (days: number, count: number): KnownDays => ({
      reach: 'all',
      days: lastOfEachDay(
        Array.from({ length: count }, (_, n) => ({ at: BEGAN + n * days * DAY, value: n })),
        ZONE,
      ),
    });
    // Worked out by hand: 365 / 20 is 18 days and the last; 180 / 2 is 90 and the last.
    expect(daysToKeep(every(5, 30))).toMatchObject({ reach: 'all', days: { length: 30 } });
    const monthly = daysToKeep(every(20, 60));
    expect(monthly).toMatchObject({ reach: 'year', days: { length: 20 } });
    expect(monthly.days[0]?.at).toBe(BEGAN);
    expect(daysToKeep(every(2, 300))).toMatchObject({ reach: 'usual', days: { length: 91 } });
  });
});

describe('what is remembered', () => {
  it('comes back from its stored form as it was', () => {
    const readingArb = fc.record({
      hours: fc.integer({ min: 0, max: 200 }),
      km: fc.integer({ min: -3000, max: 900 }),
      engineHours: fc.option(fc.integer({ min: 0, max: 9000 })),
      source: fc.constantFrom<UsageSource>('dash', 'telematics', 'fuel-card'),
      replaced: fc.boolean(),
    });
    fc.assert(
      fc.property(fc.array(readingArb, { minLength: 1, maxLength: 20 }), (steps) => {
        let at = BEGAN;
        const readings = steps.map(({ hours, km, engineHours, source, replaced }, n): UsageReading => ({
          ...{ id: `r${n}`, at: (at += hours * 3_600_000), odometerKm: 50_000 + km, engineHours, source },
          ...{ odometerReplaced: replaced, engineHoursReplaced: false, decision: null, heldAtArrival: null },
        }));
        const counter = { reach: 'usual' as const, days: [BEGAN, 1.5], crossings: [], values: [] };
        for (const checkpoint of scanTimeline(readings).checkpoints) {
          const memory = {
            checkpoint,
            odometer: { ...counter, crossings: [[100, 5, 6]] as [number, number, number][] },
            engineHours: { ...counter, values: [[5, null, 6]] as [number, null, number][] },
          };
          const stored = JSON.stringify(packMemory(memory));
          expect(unpackMemory(JSON.parse(stored))).toEqual(memory);
        }
      }),
    );
  });
});
