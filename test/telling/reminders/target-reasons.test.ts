import type { DataSource } from 'typeorm';
import { TellTargetReasonsAsMessages1796044256381 } from '../../../migrations/1796044256381-tell-target-reasons-as-messages.js';
import { openDataSource } from '../../../src/platform/database/data-source.js';
import { schema } from '../../../src/schema.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const GONE = 'The receiver answered 410 Gone: it wants no more of this.';
const DISABLED = [
  [GONE, { code: 'target-gone', values: {}, text: GONE }],
  [
    'Switched off by a manager.',
    { code: 'target-switched-off', values: {}, text: 'Switched off by a manager.' },
  ],
  ["It's of before.", { code: 'legacy', values: { text: "It's of before." }, text: "It's of before." }],
] as const;
const FAILING = [
  ['no answer came', { code: 'target-no-answer', values: {} }],
  ['the mail server answered 550', { code: 'target-mail-server-answered', values: { status: '550' } }],
  ['the receiver answered 503', { code: 'target-receiver-answered', values: { status: '503' } }],
] as const;

describe('why a reminder target is disabled or failing', () => {
  let service: Service;
  let owner: DataSource;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z', isAlone: true });
    fleet = await service.newFleet();
    const { url } = service.database;
    owner = await openDataSource({
      ...{ url, role: 'weephole_owner', poolSize: 1, applicationName: 'test targets', schema },
    });
  });
  afterAll(async () => {
    await owner.destroy();
    await service.stop();
  });

  it('is told as a message where it was stored as a text, and is the same text again', async () => {
    const { body: target } = await fleet.manager.post('/v1/reminder-targets', {
      ...{ kind: 'webhook', address: 'https://hooks.example/fleet' },
    });
    const { admin } = service.database;
    const migration = new TellTargetReasonsAsMessages1796044256381();
    const run = owner.createQueryRunner();
    for (const [index, [disabled, shownDisabled]] of DISABLED.entries()) {
      const [failing, shownFailing] = FAILING[index] ?? FAILING[0];
      await migration.down(run);
      await admin.query(
        'update reminder_targets set disabled_at = now(), disabled_reason = $2, failing_since = now(), failing_reason = $3 where id = $1',
        [target.id, disabled, failing],
      );
      await migration.up(run);
      const { body } = await fleet.manager.get(`/v1/reminder-targets/${target.id}`);
      expect(body.disabledReason).toEqual(shownDisabled);
      expect(body.failingReason).toEqual({ ...shownFailing, text: failing });
      await migration.down(run);
      const { rows } = await admin.query('select disabled_reason, failing_reason from reminder_targets');
      expect(rows).toEqual([{ disabled_reason: disabled, failing_reason: failing }]);
      await migration.up(run);
    }
    await run.release();
    const spanish = await fleet.manager.get(`/v1/reminder-targets/${target.id}`, { 'accept-language': 'es' });
    expect(spanish.body.failingReason.text).toBe('el receptor respondió 503');
  });
});
