import type { DataSource } from 'typeorm';
import { v7 as uuidv7 } from 'uuid';
import { TellAttemptsAsMessages1796052565889 } from '../../../migrations/1796052565889-tell-attempts-as-messages.js';
import { openDataSource } from '../../../src/platform/database/data-source.js';
import { schema } from '../../../src/schema.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const STORED = [
  ['under way; or cut off, if another attempt follows', 'attempt-under-way', {}],
  ['redirects are not followed', 'attempt-redirected', {}],
  ['SMTP_URL is not set', 'attempt-without-mail-server', {}],
  ['no complete answer within 10 s', 'attempt-too-slow', { seconds: 10 }],
  ['the mail server took longer than 7.5 s', 'attempt-mail-server-too-slow', { seconds: 7.5 }],
  ["It's of before.", 'legacy', { text: "It's of before." }],
] as const;

describe('how an attempt at sending failed', () => {
  let service: Service;
  let owner: DataSource;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z', isAlone: true });
    fleet = await service.newFleet();
    const { url } = service.database;
    owner = await openDataSource({
      ...{ url, role: 'weephole_owner', poolSize: 1, applicationName: 'test attempts', schema },
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
    const reminderId = uuidv7();
    await admin.query(
      `insert into reminders (fleet_id, id, target_id, news, subject_id, cycle, status, next_attempt_at, created_at)
       values ($1, $2, $3, 'delivery-trouble', $1, 'x', 'undelivered', now(), now())`,
      [fleet.fleetId, reminderId, target.id],
    );
    const migration = new TellAttemptsAsMessages1796052565889();
    const run = owner.createQueryRunner();
    await migration.down(run);
    for (const [index, [text]] of STORED.entries())
      await admin.query(
        'insert into reminder_attempts (fleet_id, reminder_id, number, at, error) values ($1, $2, $3, now(), $4)',
        [fleet.fleetId, reminderId, index + 1, text],
      );
    await migration.up(run);
    const { body } = await fleet.manager.get(`/v1/reminders/${reminderId}/attempts`);
    expect(body.items.map(({ error }: any) => error)).toEqual(
      STORED.map(([text, code, values]) => ({ code, values, text })),
    );
    const spanish = await fleet.manager.get(`/v1/reminders/${reminderId}/attempts`, {
      'accept-language': 'es',
    });
    expect(spanish.body.items[3].error.text).toBe('no hubo respuesta completa en 10 s');
    await migration.down(run);
    const { rows } = await admin.query('select error from reminder_attempts order by number');
    expect(rows.map(({ error }) => error)).toEqual(STORED.map(([text]) => text));
    await migration.up(run);
    await run.release();
  });
});
