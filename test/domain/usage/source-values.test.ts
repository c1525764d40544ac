import { isWorthTaking } from '../../../src/domain/usage/source-values.js';

const HOUR = 3_600_000;
const LAST = { at: 0, value: 100 };

// Common practice, no source: sources send values every few minutes.
describe('a value that a source sends', () => {
  it('is taken where there was none before', () => {
    expect(isWorthTaking(null, LAST)).toBe(true);
  });

  it.each([
    ['changed, after 5 hours', 5, 130, false],
    ['changed, after 6 hours', 6, 130, true],
    ['the same, after 23 hours', 23, 100, false],
    ['the same, after 24 hours', 24, 100, true],
    ['gone back, after half an hour', 0.5, 99, false],
    ['gone back, after an hour', 1, 99, true],
    ['older than the last', -1, 90, false],
  ])('%s', (_what, hours, value, isTaken) => {
    expect(isWorthTaking(LAST, { at: hours * HOUR, value })).toBe(isTaken);
  });

  it('does not fill the history where a counter jitters', () => {
    let last = LAST;
    let taken = 0;
    for (let minute = 1; minute <= 24 * 60; minute++) {
      const next = { at: minute * 60_000, value: last.value - 1 };
      if (!isWorthTaking(last, next)) continue;
      last = next;
      taken += 1;
    }
    expect(taken).toBe(24);
  });
});
