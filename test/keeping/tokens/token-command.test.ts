import { execFile } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { v7 as uuidv7 } from 'uuid';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { emptyDatabase } from '../../support/database.js';

const PROGRAM = fileURLToPath(new URL('../../../dist/src/commands/issue-token.js', import.meta.url));

interface Outcome {
  code: number;
  stdout: string;
  stderr: string;
}

describe('npm run token', () => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService();
    fleet = await service.newFleet();
  });
  afterAll(() => service.stop());

  /** The command as an operator starts it, beside the running service. */
  async function command(args: string[], databaseUrl = service.database.url): Promise<Outcome> {
    const env = { ...process.env, NODE_OPTIONS: '', DATABASE_URL: databaseUrl };
    return promisify(execFile)(process.execPath, [PROGRAM, ...args], { env }).then(
      ({ stdout, stderr }) => ({ code: 0, stdout, stderr }),
      ({ code, stdout, stderr }: Outcome) => ({ code, stdout, stderr }),
    );
  }

  it('lets a fleet back in that has lost its last manager token', async () => {
    const { admin } = service.database;
    await admin.query('update access_tokens set revoked_at = now() where fleet_id = $1', [fleet.fleetId]);
    expect((await fleet.manager.get('/v1/tokens')).status).toBe(401);
    const { rows } = await admin.query('select number from fleet_changes where fleet_id = $1', [
      fleet.fleetId,
    ]);
    const { code, stdout } = await command([
      '--fleet',
      fleet.fleetId,
      '--role',
      'manager',
      '--name',
      'Office',
    ]);
    expect([code, stdout.trim().split('\n')]).toEqual([0, [expect.any(String)]]);
    const issued = JSON.parse(stdout);
    expect(issued).toEqual({
      ...{ fleetId: fleet.fleetId, id: expect.any(String), role: 'manager', name: 'Office' },
      token: expect.stringMatching(/^wh_[A-Za-z0-9_-]{43}$/),
    });
    const manager = service.client(issued.token);
    expect((await manager.get('/v1/tokens')).body.items).toMatchObject([
      { id: issued.id, name: 'Office', role: 'manager', expiresAt: null, depotIds: null },
    ]);
    expect((await manager.post('/v1/tokens', { name: 'tablet', role: 'mechanic' })).status).toBe(201);
    // Who did it, without the token; and lists that a client keeps by their ETag are known to have
    // changed.
    const [entry] = (await manager.get(`/v1/audit?id=${issued.id}`)).body.items;
    expect([entry.action, entry.actor, entry.changes.hash]).toEqual([
      'created',
      { kind: 'command', id: 'npm run token', name: null, role: null, person: null },
      { hidden: true },
    ]);
    const now = await admin.query('select number from fleet_changes where fleet_id = $1', [fleet.fleetId]);
    expect(Number(now.rows[0].number)).toBeGreaterThan(Number(rows[0]?.number ?? 0));
  });

  it('issues a token of any role, with a default name', async () => {
    const { stdout } = await command(['--fleet', fleet.fleetId.toUpperCase(), '--role', 'dashboard']);
    const { token, name } = JSON.parse(stdout);
    expect(name).toBe('issued by an operator');
    const dashboard = service.client(token);
    expect((await dashboard.get('/v1/fleet')).body.id).toBe(fleet.fleetId);
    expect((await dashboard.post('/v1/depots', { name: 'No' })).status).toBe(403);
  });

  const UNKNOWN = '0198c0de-0000-7000-8000-0000000000ff';
  it.each<[said: string, args: (fleetId: string) => string[]]>([
    [
      `--fleet is ${UNKNOWN}; there is no such fleet. Fleets here:`,
      () => ['--fleet', UNKNOWN, '--role', 'manager'],
    ],
    ['--fleet is "North". Give the id of a fleet', () => ['--fleet', 'North', '--role', 'manager']],
    ['--fleet is missing', () => ['--role', 'manager']],
    [
      '--role is "admin". Give one of: manager, mechanic, driver, dashboard, calendar',
      (id) => ['--fleet', id, '--role', 'admin'],
    ],
    ['--role is missing', (id) => ['--fleet', id]],
    ['--name has 0 characters. Give 1 to 120', (id) => ['--fleet', id, '--role', 'manager', '--name', ' ']],
  ])('says what is wrong (%s), issues nothing and ends with 1', async (said, args) => {
    const count = async () =>
      (await service.database.admin.query('select count(*) from access_tokens')).rows[0].count;
    const before = await count();
    const { code, stdout, stderr } = await command(args(fleet.fleetId));
    expect([code, stdout, stderr]).toEqual([1, '', expect.stringContaining(said)]);
    if (said.includes(UNKNOWN)) expect(stderr).toContain(`  ${fleet.fleetId}  Fleet `);
    expect(stderr).not.toMatch(/\n\s+at /);
    expect(await count()).toBe(before);
  });

  it('says so if no fleet was ever made', async () => {
    const empty = await emptyDatabase();
    try {
      const { code, stderr } = await command(['--fleet', uuidv7(), '--role', 'manager'], empty.url);
      expect([code, stderr]).toEqual([1, expect.stringContaining('no fleets in this database yet')]);
    } finally {
      await empty.drop();
    }
  });
});
