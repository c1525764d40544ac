import { watchVehicle } from '../../../../src/domain/loss/alerts/watch-vehicle.js';
import { LOSS_DEFAULTS } from '../../../../src/domain/loss/facts/settings.js';
import type { LossFact } from '../../../../src/domain/loss/facts/types.js';
import { englishIn } from '../../../support/english.js';
import { action, holdTest, job, levelCheck, line, onDay, vehicle } from '../facts.js';

const failed = { failed: true };
const early = { beforeWindow: true };

function keysOf(events: LossFact[]) {
  return watchVehicle(vehicle(events), LOSS_DEFAULTS, onDay(2000)).map((episode) => episode.key);
}

// 12 months, 20,000 km, 500 h: common practice, no source. The start is 1 January 2026, so that day
// 365 is twelve months later.
describe('an early return', () => {
  const pump = (id: string, day: number, more = {}, where = {}) =>
    job(id, day, [line('water-pump', 'replace', more)], where);
  const cases: { name: string; events: LossFact[]; keys: string[] }[] = [
    {
      name: 'is a part that failed twice within a year',
      events: [pump('a', 0), pump('b', 200, failed)],
      keys: ['early-return:a'],
    },
    {
      name: 'is seen on the last day of the twelve months',
      events: [pump('a', 0), pump('b', 365, failed)],
      keys: ['early-return:a'],
    },
    { name: 'is not seen after it', events: [pump('a', 0), pump('b', 366, failed)], keys: [] },
    {
      name: 'is not seen beyond 20,000 km, though within the year',
      events: [pump('a', 0, {}, { km: 0 }), pump('b', 200, failed, { km: 20_001 })],
      keys: [],
    },
    {
      name: 'is not seen beyond 500 engine hours',
      events: [pump('a', 0, {}, { hours: 0 }), pump('b', 200, failed, { hours: 501 })],
      keys: [],
    },
    {
      name: 'is a part replaced before its window',
      events: [pump('a', 0), pump('b', 200, early)],
      keys: ['early-return:a'],
    },
    {
      name: 'is not a part that was merely due',
      events: [pump('a', 0), pump('b', 200, { beforeWindow: false })],
      keys: [],
    },
    { name: 'is not a part of which no due line is known', events: [pump('a', 0), pump('b', 200)], keys: [] },
    {
      name: 'is not a part renewed along with a bigger job',
      events: [pump('a', 0), job('b', 200, [line('timing-belt'), line('water-pump', 'replace', early)])],
      keys: [],
    },
    {
      name: 'is a part that had failed, whatever else was done',
      events: [pump('a', 0), job('b', 200, [line('timing-belt'), line('water-pump', 'replace', failed)])],
      keys: ['early-return:a'],
    },
    {
      name: 'is not a hose that came off for access',
      events: [
        job('a', 0, [line('lower-hose')]),
        job('b', 200, [line('thermostat'), line('lower-hose', 'replace', early)]),
      ],
      keys: [],
    },
    {
      name: 'is never coolant',
      events: [
        job('a', 0, [line('coolant')]),
        job('b', 20, [line('coolant', 'replace', { ...early, ...failed })]),
      ],
      keys: [],
    },
    {
      name: 'tells items apart',
      events: [
        job('a', 0, [line('drive-belt', 'replace', { item: 'accessory' })]),
        job('b', 100, [line('drive-belt', 'replace', { item: 'fan', failed: true })]),
        job('c', 110, [line('drive-belt', 'replace', { item: 'accessory', failed: true })]),
      ],
      keys: ['early-return:a'],
    },
    {
      name: 'is not made by replacing after inspecting',
      events: [job('a', 0, [line('water-pump', 'inspect')]), pump('b', 100, failed)],
      keys: [],
    },
    {
      name: 'is not made by two jobs from before records began',
      events: [pump('a', 0, {}, { isBaseline: true }), pump('b', 100, failed, { isBaseline: true })],
      keys: [],
    },
    {
      name: 'may have its first half before records began',
      events: [pump('a', 0, {}, { isBaseline: true }), pump('b', 100, failed)],
      keys: ['early-return:a'],
    },
  ];
  it.each(cases)('$name', ({ events, keys }) => {
    expect(keysOf(events)).toEqual(keys);
  });

  it('names every part that came back in one job', () => {
    const events = [
      job('a', 0, [line('water-pump'), line('thermostat')]),
      job('b', 100, [line('water-pump', 'replace', failed), line('thermostat', 'replace', failed)], {
        km: null,
      }),
    ];
    const [episode] = watchVehicle(vehicle(events), LOSS_DEFAULTS, onDay(200));
    expect(episode?.computed['parts']).toEqual(['water-pump', 'thermostat']);
    expect(episode?.evidence.map(({ factId, message }) => [factId, englishIn('us', message)])).toEqual([
      ['a', 'Replaced: water pump and thermostat.'],
      ['b', 'Replaced again because it had failed: water pump and thermostat.'],
    ]);
  });

  it('is cleared by a manager and by no test', () => {
    const proven = [
      pump('a', 0, {}, { km: 0 }),
      pump('b', 100, failed, { km: 5000 }),
      holdTest('h', 100, { method: 'pressure', km: 5000 }),
      levelCheck('l', 150, 0, { km: 9000 }),
    ];
    expect(watchVehicle(vehicle(proven), LOSS_DEFAULTS, onDay(200))).toMatchObject([{ status: 'raised' }]);
    const cleared = [...proven, action(160, 'early-return:a', 'clear')];
    expect(watchVehicle(vehicle(cleared), LOSS_DEFAULTS, onDay(200))).toMatchObject([
      { status: 'cleared', clearedBy: 'manager', clearedAt: onDay(160) },
    ]);
  });
});
