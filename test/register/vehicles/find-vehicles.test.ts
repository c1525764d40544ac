import { statementListeners } from '../../../src/platform/database/scoped-pool.js';
import { costOf } from '../../support/plans.js';
import { postScenario, type Scenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const PAGE = 50;

describe('finding vehicles', () => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    // What PostgreSQL plans depends on what its tables held before.
    service = await startService({ at: '2026-04-02T15:00:00Z', isAlone: true });
  });
  afterAll(() => service.stop());

  const unitsOf = async (query: string): Promise<string[]> => {
    const { status, body } = await fleet.manager.get(`/v1/vehicles?${query}`);
    expect(status).toBe(200);
    return body.items.map((item: any) => item.unitNumber);
  };

  async function add(vehicle: object): Promise<void> {
    const { status, body } = await fleet.manager.post('/v1/vehicles', vehicle);
    if (status !== 201) throw new Error(JSON.stringify(body));
  }

  describe('by what somebody types', () => {
    beforeAll(async () => {
      fleet = await service.newFleet();
      for (const vehicle of [
        { unitNumber: 'CX-038', make: 'Harrow' },
        { unitNumber: 'CX 1038' },
        { unitNumber: '50%_1', vin: 'WXY11111011111111' },
      ])
        await add(vehicle);
    });

    it.each([
      ['cx 038', ['CX-038']],
      ['cx038', ['CX-038']],
      ['CX.1038', ['CX 1038']],
      ['38', ['CX 1038', 'CX-038']],
      ['harrow', ['CX-038']],
      ['wxy 1111-1011', ['50%_1']],
      ['%_', ['50%_1']],
      ['%', ['50%_1']],
      ['-', ['CX-038']],
      ['cx%38', []],
      ['zz', []],
    ])('%s', async (q, found) => {
      expect((await unitsOf(`q=${encodeURIComponent(q)}`)).sort()).toEqual([...found].sort());
    });
  });

  it('lists the vehicles without a plan or a sheet, in pages and as CSV', async () => {
    fleet = await service.newFleet();
    const { specSheetId, intervalPlanId }: Scenario = await postScenario(fleet);
    for (const vehicle of [
      { unitNumber: 'A-1', specSheetId },
      { unitNumber: 'A-2', intervalPlanId },
      { unitNumber: 'A-3' },
    ])
      await add(vehicle);
    expect(await unitsOf('without=plan')).toEqual(['A-1', 'A-3']);
    expect(await unitsOf('without=sheet')).toEqual(['A-2', 'A-3']);
    const { body: first } = await fleet.manager.get('/v1/vehicles?without=plan&limit=1');
    expect(await unitsOf(`without=plan&limit=1&cursor=${first.next}`)).toEqual(['A-3']);
    const other = await fleet.manager.get(`/v1/vehicles?without=sheet&limit=1&cursor=${first.next}`);
    expect(other.status).toBe(400);
    const { body: csv } = await fleet.manager.get('/v1/vehicles.csv?without=sheet');
    expect(csv.trim().split('\r\n')).toHaveLength(3);
    const refused = await fleet.manager.get('/v1/vehicles?without=depot');
    expect([refused.status, refused.body.errors[0].parameter]).toEqual([400, 'without']);
  });

  describe('in a large fleet', () => {
    beforeAll(async () => {
      const { admin } = service.database;
      for (const [index, size] of [4000, 300, 300].entries()) {
        const large = await service.newFleet();
        if (index === 0) fleet = large;
        const { specSheetId, intervalPlanId } = await postScenario(large);
        await admin.query(
          `insert into depots (fleet_id, id, name)
           select $1, ('d0000000-0000-4000-8000-' || lpad(n::text, 12, '0'))::uuid, 'Depot ' || n from generate_series(0, 9) n`,
          [large.fleetId],
        );
        await admin.query(
          `insert into vehicles (fleet_id, id, unit_number, depot_id, duty, status, interval_plan_id, spec_sheet_id)
           select $1, gen_random_uuid(), 'V-' || lpad(n::text, 5, '0'), ('d0000000-0000-4000-8000-' || lpad((n % 10)::text, 12, '0'))::uuid,
             'normal', case when n % 37 = 0 then 'laid-up' else 'in-use' end,
             case when n % 31 > 0 then $3::uuid end, case when n % 29 > 0 then $4::uuid end
           from generate_series(1, $2::int) n`,
          [large.fleetId, size, intervalPlanId, specSheetId],
        );
      }
      await admin.query('vacuum analyze');
    }, 240_000);

    /** The statement of a page of the list, with the values that it is sent with. */
    async function statementOf(
      query: string,
    ): Promise<{ text: string; values: readonly unknown[]; next: string }> {
      const heard: { text: string; values: readonly unknown[] }[] = [];
      const listen = (text: string, values: readonly unknown[] = []): void =>
        void heard.push({ text, values });
      statementListeners.add(listen);
      try {
        const { status, body } = await fleet.manager.get(`/v1/vehicles?limit=${PAGE}&${query}`);
        expect([status, body.items.length]).toEqual([200, PAGE]);
        const statement = heard.find(({ text }) => text.includes('"vehicles"'));
        if (!statement) throw new Error('no statement reads the vehicles');
        return { ...statement, next: body.next };
      } finally {
        statementListeners.delete(listen);
      }
    }

    it.each([
      ['all of them', ''],
      ['a depot', 'depotId=d0000000-0000-4000-8000-000000000003'],
      ['those laid up', 'status=laid-up'],
      ['those without a plan', 'without=plan'],
      ['those without a sheet', 'without=sheet'],
    ])('reads about as many rows as it shows: %s', async (_name, query) => {
      const first = await statementOf(query);
      for (const statement of [first, await statementOf(`${query}&cursor=${first.next}`)]) {
        const cost = await costOf(service.database.admin, fleet.fleetId, statement, 'force_custom_plan');
        expect(cost.rows).toBe(PAGE + 1);
        expect(cost.seqScans.filter((table) => table !== 'fleets')).toEqual([]);
        expect(cost.rowsRemoved).toBeLessThanOrEqual(PAGE);
        expect(cost.buffers).toBeLessThanOrEqual(5 * PAGE + 40);
      }
    });
  });
});
