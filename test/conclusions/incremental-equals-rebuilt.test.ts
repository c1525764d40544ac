import fc from 'fast-check';
import { type Fact, postAll, shownTo, usage } from '../support/histories/facts.js';
import { change, differencesOf, newFleet, postJob } from '../support/histories/fleet.js';
import { historyArb, live, tell, toldArb } from '../support/histories/histories.js';
import { NOW, instantOf } from '../support/histories/ways.js';
import { type Service, startService } from '../support/service.js';

/** Always the same histories here; `npm run test:long -- histories` looks for others. */
const HISTORIES = { seed: 20_260_402, numRuns: 8, endOnFailure: true };

describe('incremental conclusions', () => {
  let service: Service;

  beforeAll(async () => {
    service = await startService({ at: new Date(NOW).toISOString() });
  });
  afterAll(() => service.stop());

  it('equal those from the whole history, in whatever order facts, decisions and changes came', async () => {
    await fc.assert(
      fc.asyncProperty(historyArb, async (history) => {
        expect(await differencesOf(await live(service, history))).toEqual([]);
      }),
      HISTORIES,
    );
  }, 600_000);

  it('are right for old facts when later readings contradict an earlier one', async () => {
    // Found by the property below. The reading typed ten times too high is believed until the last
    // one comes, three months later.
    const way = { kmPerDay: 31, kmPerDayLater: 15, replacedOn: 61 };
    const facts: Fact[] = [
      usage(101, 719, 'good', 'fuel-card'),
      usage(134, 1050, 'replaced', 'fuel-card'),
      usage(77, 192, 'typed ten times'),
      {
        is: 'alone',
        fact: { vehicle: 1, day: 66, minute: 413, odometer: 'none', reading: 'strong', circuits: 'unsaid' },
      },
      usage(148, 1239, 'in miles'),
    ];
    const fleet = await newFleet(service);
    await postAll(fleet, [way, way], facts, 4);
    expect(await differencesOf(fleet)).toEqual([]);
  });

  it('are right after most of a year in order, with a limit crossed months ago and a plan changed since', async () => {
    const way = { kmPerDay: 90, kmPerDayLater: 60, replacedOn: null };
    const fleet = await newFleet(service);
    const readings = Array.from({ length: 80 }, (_, n) => usage(n * 3, 600 + n, 'good'));
    await postAll(fleet, [way, way], readings.slice(0, 30), 4);
    await change(fleet, { vehicle: 1, change: 'severe', daysAgo: 145 });
    await postAll(fleet, [way, way], readings.slice(30, 50), 1);
    await postJob(fleet, [way, way], {
      ...{ vehicle: 1, day: 148, minute: 900, odometer: 'good', lines: ['coolant'], readings: [] },
    });
    await postAll(fleet, [way, way], readings.slice(50), 3);
    // One that comes late, and one of which the counter was misread and nobody can say yet.
    await postAll(fleet, [way, way], [usage(200, 60, 'good'), usage(239, 1400, 'far back')], 1);
    expect(await differencesOf(fleet)).toEqual([]);
    const { admin } = service.database;
    const { rows } = await admin.query(
      'select memory from usage_summaries where fleet_id = $1 and vehicle_id = $2',
      [fleet.handle.fleetId, fleet.vehicleIds[1]],
    );
    // Until the last reading that is settled, 240 days' worth being more than are kept.
    expect(rows[0].memory[0]).toBe(instantOf({ vehicle: 1, day: 237, minute: 679 }));
    expect(rows[0].memory[4][0]).toBe('usual');
  });

  it('are the same in two fleets that got the same facts in another order and other batches', async () => {
    await fc.assert(
      fc.asyncProperty(toldArb, async (told) => {
        const [first, second] = await tell(service, told);
        expect(await shownTo(second)).toEqual(await shownTo(first));
        expect(await differencesOf(first, second)).toEqual([]);
      }),
      HISTORIES,
    );
  }, 600_000);
});
