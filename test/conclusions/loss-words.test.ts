import type { DataSource } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { TellLossAndPlansAsMessages1796040073027 } from '../../migrations/1796040073027-tell-loss-and-plans-as-messages.js';
import { openDataSource } from '../../src/platform/database/data-source.js';
import { schema } from '../../src/schema.js';
import { postScenario } from '../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../support/service.js';

const legacy = (text: string) => ({ code: 'legacy', values: { text } });
const volume = (value: number) => ({ measure: 'volume', value });
const entry = (factId: string, words: object) => ({ factId, kind: 'top-up', computed: {}, ...words });

/** What alerts had stored: a sentence with its measures, texts, and a caution that has its code. */
const SENTENCES = [
  { said: ['', ' added, not planned; ', ' of that is settling'], measures: [volume(0.36), volume(1.5)] },
  {
    said: ['', ' run; a test at '],
    measures: [
      { measure: 'distance', value: 12000 },
      { measure: 'torque', value: 11 },
    ],
  },
  { said: ['cooling job: radiator replace'], measures: [] },
];
const CHECKS = ['radiator cap and its seat', 'belt tension'];
const CAUTION = { code: 'caution-hot-system', values: {} };
const AS_LEGACY = [
  '0.36 L added, not planned; 1.5 L of that is settling',
  '12000 km run; a test at 11 N·m',
  'cooling job: radiator replace',
];

describe('loss alerts and plans that were stored with their words', () => {
  let service: Service;
  let owner: DataSource;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T20:00:00Z', isAlone: true });
    const { url } = service.database;
    owner = await openDataSource({
      ...{ url, role: 'weephole_owner', poolSize: 1, applicationName: 'test words', schema },
    });
  });
  afterAll(async () => {
    await owner.destroy();
    await service.stop();
  });

  const rowsOf = async (query: string): Promise<any[]> => (await service.database.admin.query(query)).rows;
  const alerts = () => rowsOf('select evidence, check_next, cautions from loss_alerts order by id');
  const plans = () => rowsOf('select problem, depots from visit_plans order by id');
  const reasons = () => rowsOf('select reason from planned_lines');

  async function store(fleet: FleetHandle): Promise<void> {
    const { fleetId } = fleet;
    await postScenario(fleet);
    const { admin } = service.database;
    const evidence = SENTENCES.map((text, n) => entry(String(n), { text }));
    await admin.query(
      `insert into loss_alerts (fleet_id, id, key, kind, status, raised_at, evidence, computed, check_next, cautions)
       values ($1, $2::uuid, $2::uuid::text, 'part-cohort', 'raised', '2026-03-01', $3, '{}', $4, $5)`,
      [
        ...[fleetId, uuidv7(), JSON.stringify(evidence), JSON.stringify(CHECKS)],
        JSON.stringify(['A passed test proves nothing.', CAUTION]),
      ],
    );
    const planId = uuidv7();
    const depots = [
      { name: 'Ridge', note: 'its time was over' },
      { name: 'Mesa', note: null },
    ];
    await admin.query(
      `insert into visit_plans (fleet_id, id, from_on, to_on, labour_rate, downtime_cost_per_day, lateness_cost_per_day, state, requested_at, depots, problem)
       values ($1, $2, '2026-04-06', '2026-04-10', 1, 1, 1, 'failed', '2026-04-02', $3, 'Too many lines.'),
         ($1, $4, '2026-04-06', '2026-04-10', 1, 1, 1, 'waiting', '2026-04-02', '[]', null)`,
      [fleetId, planId, JSON.stringify(depots), uuidv7()],
    );
    await admin.query(
      `insert into planned_lines (fleet_id, visit_plan_id, due_line_id, vehicle_id, reason, window_opens_on, due_on, late_on, labour)
       select fleet_id, $2, id, vehicle_id, 'It is no longer due.', '2026-04-06', '2026-04-06', '2026-04-06', '{}'
       from due_lines where fleet_id = $1 limit 1`,
      [fleetId, planId],
    );
  }

  it('are readable as messages after the migration, in every fleet, and as text after its undoing', async () => {
    const migration = new TellLossAndPlansAsMessages1796040073027();
    const run = owner.createQueryRunner();
    await migration.down(run);
    const fleets = [await service.newFleet(), await service.newFleet()];
    for (const fleet of fleets) await store(fleet);
    const before = [await alerts(), await plans(), await reasons()];
    expect(before[2]).toEqual(fleets.map(() => ({ reason: 'It is no longer due.' })));

    await migration.up(run);
    expect(await alerts()).toEqual(
      fleets.map(() => ({
        evidence: AS_LEGACY.map((text, n) => entry(String(n), { message: legacy(text) })),
        check_next: CHECKS.map(legacy),
        cautions: [legacy('A passed test proves nothing.'), CAUTION],
      })),
    );
    expect(await plans()).toEqual(
      fleets.flatMap(() => [
        {
          problem: legacy('Too many lines.'),
          depots: [
            { name: 'Ridge', note: legacy('its time was over') },
            { name: 'Mesa', note: null },
          ],
        },
        { problem: null, depots: [] },
      ]),
    );
    expect(await reasons()).toEqual(fleets.map(() => ({ reason: legacy('It is no longer due.') })));
    const [first] = fleets;
    const { body } = await first!.dashboard.get('/v1/loss-alerts');
    expect(body.items[0].evidence.map(({ message }: any) => message.text)).toEqual(AS_LEGACY);

    await migration.down(run);
    const [stored, plansStored, reasonsStored] = before;
    expect([await plans(), await reasons()]).toEqual([plansStored, reasonsStored]);
    expect(await alerts()).toEqual(
      stored!.map((alert) => ({
        ...alert,
        evidence: AS_LEGACY.map((text, n) => entry(String(n), { text: { said: [text], measures: [] } })),
      })),
    );
    await migration.up(run);
    await run.release();
  });
});
