import { v7 as uuidv7 } from 'uuid';
import {
  dailyPattern,
  secondsAfterHour,
  SPREAD_MINUTES,
} from '../../../../src/telling/reminders/sweep/morning-spread.js';

const FLEETS = 10_000;
/** Fleets that were made within one second: their ids begin alike. */
const ids = Array.from({ length: FLEETS }, (_, n) => uuidv7({ msecs: 1_790_000_000_000 + (n % 1000) }));

function countsBy<K>(keyOf: (id: string) => K): Map<K, number> {
  const counts = new Map<K, number>();
  for (const id of ids) counts.set(keyOf(id), (counts.get(keyOf(id)) ?? 0) + 1);
  return counts;
}

describe('the fleets’ seconds after the hour', () => {
  it('are within half an hour', () => {
    expect(SPREAD_MINUTES).toBe(30);
    for (const id of ids) {
      const seconds = secondsAfterHour(id);
      expect(Number.isInteger(seconds) && seconds >= 0 && seconds < 1800).toBe(true);
    }
  });

  it('are spread evenly: no second has more than a few of 10,000 fleets, and no minute many more than another', () => {
    // 5.6 a second and 333 a minute on average. Of as many drawn at random, 25 in a second come
    // about in one of a million draws, and 430 in a minute in fewer (Poisson).
    expect(Math.max(...countsBy(secondsAfterHour).values())).toBeLessThanOrEqual(25);
    const minutes = countsBy((id) => Math.floor(secondsAfterHour(id) / 60));
    expect(minutes.size).toBe(30);
    expect(Math.max(...minutes.values())).toBeLessThan(430);
    expect(Math.min(...minutes.values())).toBeGreaterThan(240);
  });

  it('are the same for a fleet every day, however its id is written', () => {
    const id = '0198c0de-0000-7000-8000-0000000002a5';
    expect([secondsAfterHour(id), secondsAfterHour(id.toUpperCase())]).toEqual([677, 677]);
  });

  it.each([
    ['0198c0de-0000-7000-8000-000000000000', '0 0 6 * * *'],
    ['0198c0de-0000-7000-8000-0000000002a5', '17 11 6 * * *'],
    ['0198c0de-0000-7000-8000-000000000707', '59 29 6 * * *'],
    ['0198c0de-0000-7000-8000-000000000708', '0 0 6 * * *'],
  ])('are a pattern of the queue’s schedule: %s', (id, pattern) => {
    expect(dailyPattern(id, 6)).toBe(pattern);
  });
});
