import { migrate } from '../../../src/platform/migration/migrate.js';
import { schema } from '../../../src/schema.js';
import { emptyDatabase, type TestDatabase } from '../../support/database.js';

const FLEETS = ['0198c0de-0000-7000-8000-000000000001', '0198c0de-0000-7000-8000-000000000002'];
const SCRUBBING = 'HideSecretsInAudit1795975000000';

/** What was recorded before secrets were hidden by rule, with what is to be left of it. */
const ENTRIES: { kind: string; before: object; after: object }[] = [
  {
    kind: 'reminder-target',
    before: {
      secret: { hidden: true },
      previous_secret: { from: null, to: 'whsec_old' },
      previous_secret_until: { from: null, to: '2026-04-09T15:00:00+00:00' },
    },
    after: {
      secret: { hidden: true },
      previous_secret: { hidden: true },
      previous_secret_until: { from: null, to: '2026-04-09T15:00:00+00:00' },
    },
  },
  {
    kind: 'reminder-target',
    before: { address: { from: 'a', to: 'b' }, previous_secret: { from: 'whsec_old', to: null } },
    after: { address: { from: 'a', to: 'b' }, previous_secret: { hidden: true } },
  },
  {
    kind: 'fleet',
    before: {
      name: { from: 'North', to: 'South' },
      practice: { from: {}, to: { hooks: [{ previousSecret: 'whsec_old' }] } },
    },
    after: { name: { from: 'North', to: 'South' }, practice: { hidden: true } },
  },
  {
    kind: 'token',
    before: { hash: { from: '\\xwhsec_old', to: null } },
    after: { hash: { hidden: true } },
  },
  {
    kind: 'depot',
    before: { name: { from: null, to: 'Ridge' } },
    after: { name: { from: null, to: 'Ridge' } },
  },
];

describe('audit entries made before secrets were hidden by rule', () => {
  let database: TestDatabase;

  beforeAll(async () => {
    database = await emptyDatabase();
    const names = schema.migrations.map(({ name }) => name);
    if (!names.includes(SCRUBBING)) throw new Error(`there is no migration ${SCRUBBING}`);
    await migrate(database.url, {
      ...schema,
      migrations: schema.migrations.slice(0, names.indexOf(SCRUBBING)),
    });
    const { admin } = database;
    for (const fleetId of FLEETS) {
      await admin.query(
        `insert into fleets (id, name, time_zone, units) values ($1, 'Old', 'America/Denver', 'us')`,
        [fleetId],
      );
      for (const { kind, before } of ENTRIES)
        await admin.query(
          `insert into audit_entries (fleet_id, id, at, actor_kind, actor, kind, subject_id, action, changes)
           values ($1, gen_random_uuid(), '2026-04-02T15:00:00Z', 'service', 'service', $2, $1, 'changed', $3)`,
          [fleetId, kind, before],
        );
    }
    // One that the service recorded itself: the former secret in clear.
    await admin.query(
      `insert into reminder_targets (fleet_id, id, kind, address, hears, stages, digest, secret)
       values ($1, $1, 'webhook', 'https://hooks.example', '{due-line}', '{due}', 'each', 'whsec_old')`,
      [FLEETS[0]],
    );
    await admin.query(`update reminder_targets set secret = 'whsec_new', previous_secret = secret`);
  });
  afterAll(() => database.drop());

  it('lose their secrets in the migration, in every fleet and kind, and nothing else', async () => {
    const { admin } = database;
    const count = async (telling = ''): Promise<number> =>
      (
        await admin.query(`select count(*)::int as n from audit_entries where changes::text like $1`, [
          `%${telling}%`,
        ])
      ).rows[0].n;
    const before = await count();
    expect(await count('whsec_old')).toBe(9);
    await migrate(database.url, schema);
    expect([await count(), await count('whsec_')]).toEqual([before, 0]);
    for (const fleetId of FLEETS) {
      const { rows } = await admin.query<{ kind: string; changes: object }>(
        `select kind, changes from audit_entries where fleet_id = $1 and actor = 'service' and action = 'changed' and at = '2026-04-02T15:00:00Z'`,
        [fleetId],
      );
      const expected = ENTRIES.map(({ kind, after }) => ({ kind, changes: after }));
      expect(rows).toHaveLength(expected.length);
      expect(rows).toEqual(expect.arrayContaining(expected));
    }
    const [rotated] = (
      await admin.query(
        `select changes from audit_entries where kind = 'reminder-target' and action = 'changed' and at > '2026-04-03'`,
      )
    ).rows;
    expect(rotated.changes).toEqual({ secret: { hidden: true }, previous_secret: { hidden: true } });
  });

  it('cannot be changed by anybody afterwards, not even by the owner of the table', async () => {
    const { admin } = database;
    await admin.query('begin');
    await admin.query('set local role weephole_owner');
    const { rowCount } = await admin.query(`update audit_entries set changes = '{}'`);
    await admin.query('rollback');
    expect(rowCount).toBe(0);
  });
});
