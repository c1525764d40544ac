import { readConfig } from '../../../src/platform/config/config.js';
import { waitAfter } from '../../../src/telling/reminders/delivery/backoff.js';
import { withinHours } from '../../../src/telling/reminders/news/send-hours.js';

describe('the waits between attempts', () => {
  const usual = readConfig({}, 'postgres://nowhere').sendRetryMs;

  it('grow, cover more than a day even without jitter, and end', () => {
    const waits = usual.map((_, index) => waitAfter(index + 1, 0, usual) ?? 0);
    expect(waits).toEqual([...waits].sort((a, b) => a - b));
    expect(waits.reduce((sum, wait) => sum + wait, 0)).toBeGreaterThanOrEqual(24 * 3_600_000);
    expect(waitAfter(usual.length + 1, 0, usual)).toBeNull();
  });

  it('are spread by up to a quarter', () => {
    expect(waitAfter(1, 0, usual)).toBe(10_000);
    expect(waitAfter(1, 1, usual)).toBe(12_500);
  });
});

describe('the sending hours', () => {
  const day = { from: '06:00', to: '20:00' };
  // America/Denver is UTC-7 in winter and UTC-6 in summer; clocks go forward at 02:00 on 8 March
  // 2026 (IANA time zone database).
  it.each([
    ['inside', '2026-04-02T15:00:00Z', day, '2026-04-02T15:00:00Z'],
    ['on the first minute', '2026-04-02T12:00:00Z', day, '2026-04-02T12:00:00Z'],
    ['before them', '2026-04-02T11:59:59Z', day, '2026-04-02T12:00:00Z'],
    ['on the end', '2026-04-03T02:00:00Z', day, '2026-04-03T12:00:00Z'],
    ['after them', '2026-04-03T04:00:00Z', day, '2026-04-03T12:00:00Z'],
    ['before the clocks go forward', '2026-03-08T05:00:00Z', day, '2026-03-08T12:00:00Z'],
    [
      'in the hour that is skipped',
      '2026-03-08T08:00:00Z',
      { from: '02:30', to: '04:00' },
      '2026-03-08T09:30:00Z',
    ],
    [
      'spanning midnight, inside',
      '2026-04-02T08:00:00Z',
      { from: '20:00', to: '06:00' },
      '2026-04-02T08:00:00Z',
    ],
    [
      'spanning midnight, outside',
      '2026-04-02T18:00:00Z',
      { from: '20:00', to: '06:00' },
      '2026-04-03T02:00:00Z',
    ],
  ])('%s', (_where, at, hours, expected) => {
    expect(withinHours(new Date(at), hours, 'America/Denver')).toEqual(new Date(expected));
  });

  it('are all hours by default', () => {
    const at = new Date('2026-04-02T03:00:00Z');
    expect(withinHours(at, null, 'America/Denver')).toBe(at);
  });
});
