import { getDataSourceToken } from '@nestjs/typeorm';
import type { DataSource, EntityManager } from 'typeorm';
import { inFleet } from '../../../src/platform/scope/fleet-scope.js';
import { pipelined } from '../../../src/platform/database/pipelined.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

describe('pipelined statements', () => {
  let service: Service;
  let fleet: FleetHandle;
  let dataSource: DataSource;

  beforeAll(async () => {
    service = await startService();
    fleet = await service.newFleet();
    dataSource = service.app.get<DataSource>(getDataSourceToken());
  });
  afterAll(() => service.stop());

  const inTransaction = (work: (tx: EntityManager) => Promise<void>): Promise<void> =>
    inFleet({ fleetId: fleet.fleetId, tokenId: null, role: null, timeZone: 'UTC', units: 'si' }, () =>
      dataSource.transaction(work),
    );
  const addDepot = (tx: EntityManager, name: string): Promise<unknown> =>
    tx.query('insert into depots (fleet_id, id, name) values ($1, gen_random_uuid(), $2)', [
      fleet.fleetId,
      name,
    ]);
  const depots = async (): Promise<string[]> =>
    (await fleet.manager.get<{ items: { name: string }[] }>('/v1/depots')).body.items.map(({ name }) => name);

  it('are all executed', async () => {
    await inTransaction((tx) => pipelined([() => addDepot(tx, 'North'), () => addDepot(tx, 'South')]));
    expect(await depots()).toEqual(['North', 'South']);
  });

  it('let others have a turn in between, and may fail meanwhile', async () => {
    const busy = (): void => {
      const until = performance.now() + 20;
      while (performance.now() < until);
    };
    let turns = 0;
    const count = setInterval(() => turns++, 1);
    const run = inTransaction((tx) =>
      pipelined([
        () => (busy(), tx.query('select 1 / 0')),
        () => (busy(), addDepot(tx, 'Nowhere')),
        () => (busy(), addDepot(tx, 'Nowhere else')),
      ]),
    );
    await expect(run).rejects.toMatchObject({ driverError: { code: '22012' } });
    clearInterval(count);
    expect(turns).toBeGreaterThanOrEqual(2);
    expect(await depots()).toEqual(['North', 'South']);
  });

  it('fail with the error of the first that failed, wherever it is, and leave nothing behind', async () => {
    let lastEnded = false;
    const late = async (tx: EntityManager): Promise<void> => {
      await new Promise((resolve) => setTimeout(resolve, 50));
      await addDepot(tx, 'Late').finally(() => (lastEnded = true));
    };
    const run = inTransaction((tx) =>
      // Division by zero: 22012, https://www.postgresql.org/docs/18/errcodes-appendix.html
      pipelined([
        () => late(tx),
        () => addDepot(tx, 'East'),
        () => tx.query('select 1 / 0'),
        () => addDepot(tx, 'West'),
      ]),
    );
    await expect(run).rejects.toMatchObject({ driverError: { code: '22012' } });
    expect(lastEnded).toBe(true);
    expect(await depots()).toEqual(['North', 'South']);
  });
});
