import { clockOff, deviceAheadMs } from '../../../src/domain/calendar/device-clock.js';

const HERE = Date.parse('2026-04-02T15:00:00Z');
const MINUTE = 60_000;

describe("a device's clock", () => {
  // Ten minutes: common practice, no source.
  it.each([
    [0, null],
    [10, null],
    [-10, null],
    [10.1, '10 min ahead'],
    [-11, '11 min behind'],
    [180, '3 h ahead'],
    [-185, '3 h 5 min behind'],
    [24 * 60, '1 d ahead'],
    [-(49 * 60 + 7), '2 d 1 h behind'],
  ])('that is %s minutes ahead is told of as %s', (minutes, words) => {
    const ahead = deviceAheadMs(HERE + minutes * MINUTE, HERE);
    expect(ahead).toBe(words === null ? null : minutes * MINUTE);
    if (ahead === null) return;
    const { amount, side } = clockOff(ahead);
    expect(`${amount} ${side}`).toBe(words);
  });
});
