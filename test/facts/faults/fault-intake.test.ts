import type { EntityManager } from 'typeorm';
import { rebuildAll } from '../../../src/conclusions/pipeline/rebuild.js';
import { faultCodeIn } from '../../../src/domain/faults/fault-code.js';
import type { FaultSighting } from '../../../src/domain/faults/fault-sighting.js';
import { FaultsService, type TakenFaults } from '../../../src/facts/faults/faults.service.js';
import { statementListeners } from '../../../src/platform/database/scoped-pool.js';
import { Transactions } from '../../../src/platform/database/transactions.js';
import { inFleet } from '../../../src/platform/scope/fleet-scope.js';
import { schema } from '../../../src/schema.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T20:00:00Z';
const HOUR = 3_600_000;
const START = Date.parse('2026-03-20T00:00:00Z');

const seen = (code: string, hour: number, isActive = true): FaultSighting => ({
  ...{ at: START + hour * HOUR, code: faultCodeIn(code), isActive, occurrences: null },
});

describe('faults from a source', () => {
  let service: Service;
  let fleet: FleetHandle;
  let vehicleIds: string[];

  beforeAll(async () => {
    service = await startService({ at: NOW });
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    service.clock.moveTo(NOW);
    fleet = await service.newFleet();
    vehicleIds = [];
    for (const unitNumber of ['S-1', 'S-2', 'S-3'])
      vehicleIds.push((await fleet.manager.post('/v1/vehicles', { unitNumber })).body.id);
  });

  const inScope = <T>(work: () => Promise<T>): Promise<T> =>
    inFleet(
      { fleetId: fleet.fleetId, timeZone: 'America/Denver', units: 'us', tokenId: null, role: null },
      work,
    );
  const take = (...of: [vehicle: number, ...sightings: FaultSighting[]][]): Promise<TakenFaults> =>
    inScope(() =>
      service.app.get(Transactions).write((tx: EntityManager) =>
        service.app.get(FaultsService).take(
          tx,
          of.map(([vehicle, ...sightings]) => ({ vehicleId: vehicleIds[vehicle] ?? '', sightings })),
        ),
      ),
    );
  const rows = async (): Promise<any[]> =>
    (
      await service.database.admin.query(
        'select id, code, is_active, first_at, last_at, xmin::text from faults where fleet_id = $1 order by first_at, id',
        [fleet.fleetId],
      )
    ).rows;
  const faults = async (): Promise<any[]> => (await fleet.dashboard.get('/v1/faults')).body.items;
  const followUps = async (): Promise<string[]> => {
    const { body } = await fleet.dashboard.get('/v1/due-list?state=late,due,window,not-due');
    return body.items.map(
      ({ vehicle, component, action }: any) => `${vehicle.unitNumber} ${component}/${action}`,
    );
  };
  async function differences(): Promise<string[]> {
    const { url: databaseUrl } = service.database;
    const found = await rebuildAll({ databaseUrl, schema, clock: service.clock, fleetIds: [fleet.fleetId] });
    return found.differences.map(({ what }) => what);
  }

  it('are one row, however often the same fault is reported', async () => {
    for (let hour = 0; hour < 72; hour += 1) await take([0, seen('SPN 111 FMI 1', hour)]);
    expect(await rows()).toHaveLength(1);
    expect(await faults()).toMatchObject([
      {
        ...{ code: 'SPN 111 FMI 1', state: 'active', reportedBy: ['source'] },
        ...{ firstSeenAt: '2026-03-20T00:00:00.000Z', lastSeenAt: '2026-03-22T23:00:00.000Z' },
      },
    ]);
  });

  it('write nothing when everything was known already', async () => {
    const batch: Parameters<typeof take> = [
      [0, seen('P0217', 0), seen('P0217', 5), seen('P0420', 3)],
      [1, seen('SPN 647 FMI 3', 2), seen('SPN 647 FMI 3', 9, false)],
    ];
    expect(await take(...batch)).toMatchObject({ added: 4, lengthened: 0 });
    const before = await rows();
    expect(await take(...batch)).toEqual({ added: 0, lengthened: 0, ahead: 0, unknownVehicles: [] });
    expect(await rows()).toEqual(before);
  });

  it('leave out what lies ahead, and name the vehicles that there are not', async () => {
    const missing = '01a22d28-a28e-7501-a4ca-22b38b6f2e73';
    vehicleIds.push(missing);
    const ahead = { ...seen('P0217', 0), at: Date.parse(NOW) + HOUR };
    expect(await take([0, seen('P0217', 0), ahead], [3, seen('P0217', 0)])).toEqual({
      ...{ added: 1, lengthened: 0, ahead: 1, unknownVehicles: [missing] },
    });
  });

  it('take as many statements for many vehicles as for one', async () => {
    const statementsOf = async (work: () => Promise<unknown>): Promise<number> => {
      let count = 0;
      const listen = (): void => void (count += 1);
      statementListeners.add(listen);
      await work().finally(() => statementListeners.delete(listen));
      return count;
    };
    const one = await statementsOf(() => take([0, seen('P0217', 0)]));
    const many = await statementsOf(() =>
      take(
        [0, seen('P2560', 0), seen('P0118', 1)],
        [1, seen('P0217', 0), seen('P0128', 0), seen('P2560', 0)],
        [2, seen('SPN 109 FMI 1', 0)],
      ),
    );
    expect(many).toBe(one);
  });

  it('lead to the same conclusions in whatever order they come, and those of a rebuild', async () => {
    const sightings = [
      ...[seen('P0217', 0), seen('P0217', 30), seen('P0217', 40), seen('P0217', 45, false)],
      ...[seen('P0217', 100), seen('P0217', 70, false), seen('P0118', 5), seen('P0118', 90, false)],
      seen('SPN 111 FMI 17', 12),
    ];
    const readAt = new Date(START + 50 * HOUR).toISOString();
    const orders = [
      sightings,
      [...sightings].reverse(),
      sightings.toSorted((a, b) => (a.at % 7) - (b.at % 7)),
    ];
    for (const [vehicle, order] of orders.entries()) {
      const half = order.length / 2;
      for (const [index, sighting] of order.entries()) {
        if (index === Math.floor(half))
          await fleet.mechanic.post(`/v1/vehicles/${vehicleIds[vehicle]}/readings`, {
            ...{ kind: 'level-check', takenAt: readAt, level: 'at-max', engineCold: true },
          });
        await take([vehicle, sighting]);
      }
    }
    const told = (unit: string): Promise<unknown> =>
      fleet.dashboard.get('/v1/due-list?state=late,due,window,not-due').then(({ body }) =>
        body.items
          .filter(({ vehicle }: any) => vehicle.unitNumber === unit)
          .map(({ component, action, atOnce, dueOn, causes }: any) => ({
            ...{ component, action, atOnce, dueOn, causes: causes.map(({ code }: any) => code) },
          })),
      );
    const first = await told('S-1');
    expect(first).toHaveLength(3);
    expect(await told('S-2')).toEqual(first);
    expect(await told('S-3')).toEqual(first);
    const episodes = (unit: string) =>
      faults().then((items) =>
        items
          .filter(({ unitNumber }) => unitNumber === unit)
          .map(({ code, state, firstSeenAt, lastSeenAt, goneAt }) => [
            code,
            state,
            firstSeenAt,
            lastSeenAt,
            goneAt,
          ]),
      );
    expect(await episodes('S-2')).toEqual(await episodes('S-1'));
    expect(await episodes('S-3')).toEqual(await episodes('S-1'));
    // 0 and 30 hours lie too far apart to belong together, but nothing said gone in between.
    expect((await episodes('S-1')).map(([code, state]) => `${code} ${state}`)).toEqual([
      ...['P0217 active', 'SPN 111 FMI 17 active', 'P0118 gone', 'P0217 gone'],
    ]);
    expect(await differences()).toEqual([]);
  });

  it('are evidence for a loss alert that is open', async () => {
    const vehicleId = vehicleIds[0];
    const day = (n: number): string => new Date(START + n * 24 * HOUR).toISOString();
    for (const takenAt of [day(0), day(3)])
      await fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
        ...{ kind: 'top-up', takenAt, added: { value: 1, unit: 'L' }, toMark: true, planned: false },
      });
    await take([0, seen('SPN 111 FMI 18', 100)]);
    const [alert] = (await fleet.dashboard.get('/v1/loss-alerts')).body.items;
    const { body } = await fleet.dashboard.get(`/v1/loss-alerts/${alert.id}`);
    expect(body.evidence.map(({ kind }: any) => kind)).toEqual(['top-up', 'top-up', 'reported-low']);
    expect(body.evidence[2].message.text).toBe('The vehicle reported a low coolant level (SPN 111 FMI 18).');
    expect(await followUps()).toEqual(['S-1 coolant/inspect']);
    expect(await differences()).toEqual([]);
  });
});
