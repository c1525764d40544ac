import { secondsAfterHour } from '../../../../src/telling/reminders/sweep/morning-spread.js';
import type { FleetRoutine } from '../../../../src/telling/reminders/across-fleets/cross-fleet-database.js';
import {
  MADE_UP_AT_A_TIME,
  MadeUp,
  madeUpJobId,
} from '../../../../src/telling/reminders/sweep/missed-routines.js';
import { missedBy } from '../../../../src/telling/reminders/sweep/daily-routines.js';

const MINUTE_MS = 60_000;

/** A fleet whose turn comes so many seconds after the hour. */
const idAfter = (seconds: number): string =>
  `0198c0de-0000-7000-8000-${seconds.toString(16).padStart(12, '0')}`;

const fleet = (seconds: number, more: Partial<FleetRoutine> = {}): FleetRoutine => ({
  fleetId: idAfter(seconds),
  timeZone: 'America/Denver',
  sweptOn: null,
  cohortsOn: '9999-01-01',
  ...more,
});

const never = (): never => {
  throw new Error('complained');
};
const missed = (fleets: FleetRoutine[], at: string | number, complain: (id: string) => void = never) =>
  missedBy(fleets, new Date(at), complain);
const named = (fleets: FleetRoutine[], at: string | number): string[] =>
  missed(fleets, at).map((one) => madeUpJobId(one));

describe('a morning', () => {
  // Denver goes forward on 8 March and back on 1 November 2026, at two (IANA time zone database).
  it.each([
    ['in winter', '2026-01-15T13:00:00Z'],
    ['in summer', '2026-07-15T12:00:00Z'],
    ['on the day the clocks go forward', '2026-03-08T12:00:00Z'],
    ['on the day the clocks go back', '2026-11-01T13:00:00Z'],
  ])('is missed a minute after the fleet’s own second, and not before: %s', (_when, six) => {
    const day = six.slice(0, 10);
    for (const seconds of [0, 677, 1799]) {
      const moment = Date.parse(six) + 1000 * seconds;
      const one = fleet(seconds, { sweptOn: '2026-01-01' });
      expect(named([one], moment - 1000)).toEqual([]);
      expect(named([one], moment + MINUTE_MS - 1)).toEqual([]);
      expect(named([one], moment + MINUTE_MS)).toEqual([`morning_${one.fleetId}_${day}`]);
      expect(named([{ ...one, sweptOn: day }], moment + MINUTE_MS)).toEqual([]);
    }
  });

  it('is missed by the calendar of the fleet’s zone, until its day is over', () => {
    // Apia is 13 hours ahead, without daylight saving since 2021 (IANA time zone database).
    const apia = fleet(0, { timeZone: 'Pacific/Apia', sweptOn: '2026-04-02' });
    expect(named([apia], '2026-04-02T16:59:00Z')).toEqual([]);
    expect(named([apia], '2026-04-02T17:01:00Z')).toEqual([`morning_${apia.fleetId}_2026-04-03`]);
    expect(named([apia], '2026-04-03T10:59:00Z')).toEqual([`morning_${apia.fleetId}_2026-04-03`]);
    expect(named([apia], '2026-04-03T11:00:00Z')).toEqual([]);
  });

  it('is neither skipped nor doubled when the fleet moves to another zone', () => {
    // 06:10 in Tokyo on the 3rd; then the fleet is in Denver, where it is the 2nd.
    const moved = fleet(600, { sweptOn: '2026-04-03' });
    expect(named([moved], '2026-04-02T22:00:00Z')).toEqual([]);
    // Swept in Denver on the 2nd; then the fleet is in Tokyo, where the morning of the 3rd is over.
    const east = fleet(600, { timeZone: 'Asia/Tokyo', sweptOn: '2026-04-02' });
    expect(named([east], '2026-04-02T23:00:00Z')).toEqual([`morning_${east.fleetId}_2026-04-03`]);
  });

  it('and a night are missed independently', () => {
    const both = fleet(60, { sweptOn: '2026-04-01', cohortsOn: '2026-04-01' });
    expect(named([both], '2026-04-02T10:03:00Z')).toEqual([`night_${both.fleetId}_2026-04-02`]);
    expect(named([both], '2026-04-02T12:03:00Z')).toEqual([
      `morning_${both.fleetId}_2026-04-02`,
      `night_${both.fleetId}_2026-04-02`,
    ]);
  });

  it('of a fleet with an invalid zone is reported, and holds up no other', () => {
    const told: string[] = [];
    const found = missed([fleet(1, { timeZone: 'Nowhere/None' }), fleet(2)], '2026-04-02T20:00:00Z', (id) =>
      told.push(id),
    );
    expect([told, found.map(({ fleetId }) => fleetId)]).toEqual([[idAfter(1)], [idAfter(2)]]);
  });
});

describe('mornings to make up for', () => {
  const NOON = '2026-04-02T18:00:00Z';
  const many = missed(
    Array.from({ length: 500 }, (_, n) => fleet((n * 37) % 500, { cohortsOn: null })),
    NOON,
  );

  it('come in batches, mornings before nights and the oldest first', () => {
    const chosen = new MadeUp().next(many, 0);
    expect(chosen).toHaveLength(MADE_UP_AT_A_TIME);
    expect(chosen.map(({ routine, fleetId }) => [routine.name, secondsAfterHour(fleetId)])).toEqual(
      Array.from({ length: MADE_UP_AT_A_TIME }, (_, n) => ['morning', n]),
    );
  });

  it('fill only the room that waiting jobs leave', () => {
    const madeUp = new MadeUp();
    expect(madeUp.next(many, 150)).toHaveLength(MADE_UP_AT_A_TIME - 150);
    expect(madeUp.next(many, 200)).toEqual([]);
    expect(madeUp.next(many, 100_000)).toEqual([]);
  });

  it('are all reached, even if the first ones always fail', () => {
    const madeUp = new MadeUp();
    const seen = new Set<string>();
    for (let look = 0; look < 5; look++) for (const one of madeUp.next(many, 0)) seen.add(madeUpJobId(one));
    expect(seen.size).toBe(many.length);
    expect(many).toHaveLength(1000);
    // Then the first are tried again.
    expect(madeUp.next(many, 0)[0]?.fleetId).toBe(idAfter(0));
  });
});
