import type { DataSource } from 'typeorm';
import { TellUsageAsMessages1796039609762 } from '../../../migrations/1796039609762-tell-usage-as-messages.js';
import { openDataSource } from '../../../src/platform/database/data-source.js';
import { schema } from '../../../src/schema.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const miles = (value: number) => ({ value, unit: 'mi' });

describe('why a usage reading is held', () => {
  let service: Service;
  let owner: DataSource;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T20:00:00Z', isAlone: true });
    fleet = await service.newFleet({ units: 'us' });
    await fleet.manager.post('/v1/vehicles', { unitNumber: 'R-1' });
    const { url } = service.database;
    owner = await openDataSource({
      ...{ url, role: 'weephole_owner', poolSize: 1, applicationName: 'test usage', schema },
    });
  });
  afterAll(async () => {
    await owner.destroy();
    await service.stop();
  });

  const post = (readings: object[]) =>
    fleet.manager.post('/v1/usage-readings', {
      readings: readings.map((reading) => ({ unitNumber: 'R-1', ...reading })),
    });
  const heldDetail = async (query = '') =>
    (await fleet.manager.get(`/v1/usage-readings?status=held${query}`)).body.items[0].detail;

  it("is told as a code and its values, in the reader's units", async () => {
    const { body } = await post([
      { readAt: '2026-03-01T12:00:00Z', odometer: miles(61_250) },
      { readAt: '2026-03-02T12:00:00Z', odometer: miles(56_250) },
      { readAt: '2026-03-03T12:00:00Z' },
    ]);
    expect(body.results[1]).toMatchObject({
      status: 'held',
      reason: 'went-back',
      detail: {
        code: 'usage-went-back',
        values: { counter: 'odometer', shown: miles(56_250), less: miles(5000), days: 1 },
        text: 'The odometer shows 56,250 mi, 5,000 mi less than the 61,250 mi of 1 day earlier (entered by hand). If the counter was replaced, a manager can accept this reading with replaced: true.',
      },
    });
    expect(body.results[2]).toMatchObject({
      status: 'rejected',
      pointer: '/readings/2/odometer',
      detail: { code: 'usage-item-without-counter', text: 'is missing; give odometer, engineHours or both' },
    });
    expect((await heldDetail('&units=si')).text).toMatch(
      /^The odometer shows 90,525\.6 km, 8,046\.7 km less/,
    );
  });

  it('is the sentence of before, where it was stored as one', async () => {
    const migration = new TellUsageAsMessages1796039609762();
    const run = owner.createQueryRunner();
    await migration.down(run);
    const { admin } = service.database;
    expect((await admin.query('select detail from usage_readings order by read_at')).rows).toEqual([
      { detail: null },
      { detail: 'usage-went-back' },
    ]);
    await admin.query("update usage_readings set detail = 'It went back.' where detail is not null");
    await migration.up(run);
    await run.release();
    expect(await heldDetail()).toEqual({
      code: 'legacy',
      values: { text: 'It went back.' },
      text: 'It went back.',
    });
    const later = await post([{ readAt: '2026-03-04T12:00:00Z', odometer: miles(61_400) }]);
    expect(later.body.results).toMatchObject([{ status: 'accepted' }]);
  });
});
