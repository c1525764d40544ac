import { readFileSync } from 'node:fs';
import pg from 'pg';
import { v7 as uuidv7 } from 'uuid';
import { type ComposeRun, runCompose } from '../support/compose-run.js';
import { picture } from '../support/pictures.js';
import type { ServiceProcess } from '../support/processes.js';
import { type Receiver, startReceiver, until } from '../support/receiver.js';
import { goodJob, postScenario, type Scenario } from '../support/scenario.js';
import { type Client, clientOf } from '../support/service.js';

/** The queue backend of this Jest project. */
declare const QUEUE: 'postgres' | 'redis';

const PASSWORDS = {
  POSTGRES_PASSWORD: 'ownersecret0123456789',
  APP_LOGIN_PASSWORD: 'appsecret0123456789',
  SWEEP_LOGIN_PASSWORD: 'sweepsecret0123456789',
  QUEUE_PASSWORD: 'queuesecret0123456789',
};
const LISTENS = /listens on (http:\/\/\S+)/;
const NOT_ALLOWED = '42501';

describe('the containers of docker-compose.yml', () => {
  let run: ComposeRun;
  let receiver: Receiver;
  const processes: ServiceProcess[] = [];
  let api: ServiceProcess;
  let worker: ServiceProcess;
  let url: string;
  let before: { fleetId: string; token: string; depotId: string };
  let scenario: Scenario;
  let manager: Client;
  let mechanic: Client;

  const start = (name: 'api' | 'worker' | 'migrate'): ServiceProcess => {
    const process = run.start(name);
    processes.push(process);
    return process;
  };
  const newFleet = async (name: string): Promise<{ fleetId: string; token: string }> =>
    JSON.parse(
      await run.command('src/commands/create-fleet.js', [
        '--name',
        name,
        '--time-zone',
        'UTC',
        '--units',
        'us',
      ]),
    );
  /** @throws Error when the process failed, or did not print this */
  const finished = async (process: ServiceProcess, says: string): Promise<void> => {
    const code = await process.ended;
    if (code !== 0 || !process.log().includes(says)) throw new Error(`ended with ${code}: ${process.log()}`);
  };
  const listening = async (process: ServiceProcess): Promise<string> => {
    await process.untilSays(LISTENS, 180_000);
    return LISTENS.exec(process.log())?.[1] ?? '';
  };
  const connected = async (connectionString: string, options?: string): Promise<pg.Client> => {
    const client = new pg.Client({ connectionString, ...(options ? { options } : {}) });
    await client.connect();
    return client;
  };

  /** Starts an older kind of installation: a single login, the superuser that the image creates. */
  async function useAsBefore(): Promise<void> {
    const env: Record<string, string> = {
      ...{ DATABASE_URL: run.ownerUrl, SWEEP_DATABASE_URL: '' },
      ...{ APP_LOGIN_PASSWORD: '', SWEEP_LOGIN_PASSWORD: '' },
      ...(QUEUE === 'postgres' ? { QUEUE_URL: run.ownerUrl } : {}),
    };
    const migrating = run.start('migrate', env);
    processes.push(migrating);
    await finished(migrating, 'Applied');
    const old = run.start('api', env);
    processes.push(old);
    const oldUrl = await listening(old);
    await old.untilSays('logs in as weephole, and row-level security does not apply to that login');
    const made = await newFleet('Before');
    const depot = await clientOf(oldUrl, made.token).post('/v1/depots', { name: 'Old yard' });
    before = { ...made, depotId: depot.body.id };
    await old.end();
  }

  beforeAll(async () => {
    run = await runCompose(
      { ...PASSWORDS, WEEPHOLE_ALLOW_LOCAL_WEBHOOKS: 'true', LOG_LEVEL: 'debug' },
      QUEUE,
    );
    receiver = await startReceiver();
    await useAsBefore();
    // Twice, because repeating it must change nothing.
    for (let times = 0; times < 2; times++) await finished(start('migrate'), 'are ready');
    api = start('api');
    worker = start('worker');
    url = await listening(api);
    await worker.untilSays('is at work', 180_000);
    const made = await newFleet('After');
    manager = clientOf(url, made.token);
    const issued = await manager.post('/v1/tokens', { name: 'tablet', role: 'mechanic' });
    mechanic = clientOf(url, issued.body.token);
    scenario = await postScenario({ fleetId: made.fleetId, manager, mechanic, dashboard: manager });
  }, 900_000);
  afterAll(async () => {
    await Promise.all(processes.filter((each) => !each.hasEnded()).map((each) => each.end()));
    await receiver?.close();
    await run?.remove();
  }, 240_000);

  it('do the main job: what is due, its reminder through the queue, and a stored report', async () => {
    const target = await manager.post('/v1/reminder-targets', { kind: 'webhook', address: receiver.url });
    expect(target.status).toBe(201);
    const [message] = await receiver.untilReceived(1, 60_000);
    expect(message?.text).toContain('R-114');
    const report = await mechanic.post(
      '/v1/job-reports',
      goodJob(scenario.vehicleId, new Date(Date.now() - 3_600_000).toISOString(), 60_000),
    );
    expect(report.status).toBe(201);
    const kept = await mechanic.send(
      'POST',
      `/v1/job-reports/${report.body.id}/attachments`,
      await picture('png'),
      { 'content-type': 'image/png' },
    );
    expect(kept.status).toBe(201);
    expect((await manager.get('/health/ready')).status).toBe(200);
  }, 240_000);

  it('continue with the data of an installation that logged in as the superuser', async () => {
    const old = clientOf(url, before.token);
    expect((await old.get(`/v1/depots/${before.depotId}`)).body.name).toBe('Old yard');
    expect((await manager.get(`/v1/depots/${before.depotId}`)).status).toBe(404);
  });

  it('use only the two logins, on every connection of API and worker', async () => {
    const owner = await connected(run.ownerUrl);
    const seen = new Set<string>();
    // Unused connections are closed after a while. Reading the metrics makes the worker look across
    // fleets.
    await until(async () => {
      await fetch(`${run.metricsUrl('worker')}/metrics`);
      const { rows } = await owner.query<{ usename: string }>(
        `select usename from pg_stat_activity where backend_type = 'client backend' and pid <> pg_backend_pid()`,
      );
      for (const { usename } of rows) seen.add(usename);
      return seen.size > 1;
    }, 240_000);
    await owner.end();
    expect([...seen].toSorted()).toEqual(['weephole_app_login', 'weephole_sweep_login']);
    for (const each of [api, worker]) expect(each.log()).not.toContain('row-level security does not apply');
  });

  it.each(['DATABASE_URL', 'SWEEP_DATABASE_URL'])(
    'give a statement slipped into a connection of %s no way out of its fleet',
    async (variable) => {
      const login = run.environmentOf('api')[variable] ?? '';
      const role = variable === 'DATABASE_URL' ? 'weephole_app' : 'weephole_sweep';
      const client = await connected(login, `-c role=${role}`);
      const codeOf = (text: string): Promise<string | null> =>
        client.query(text).then(
          () => null,
          ({ code }: { code: string }) => code,
        );
      for (const text of [
        ...['set role weephole_owner', 'set role weephole', 'set role postgres'],
        ...['set session authorization weephole', 'create role another', 'create database another'],
        ...['alter role current_user superuser', 'alter role session_user bypassrls'],
        ...['alter table vehicles disable row level security', 'alter table vehicles owner to current_user'],
        ...['create table public.mine ()', 'create schema mine', 'create table bullmq.mine ()'],
        ...['select * from pg_authid', 'select * from pg_shadow', `select pg_read_file('/etc/passwd')`],
        ...[`copy (select 1) to program 'true'`, `copy (select 1) to '/tmp/x'`],
        ...['create extension pg_stat_statements', "load 'auto_explain'", 'alter system set ssl = off'],
        'set session_replication_role = replica',
      ])
        expect([text, await codeOf(text)]).toEqual([text, NOT_ALLOWED]);
      // Turning row security off does not bypass it: a query that it would filter fails instead.
      await client.query('set row_security = off');
      await client.query("select set_config('app.fleet_id', $1, false)", [uuidv7()]);
      expect(await codeOf('select from vehicles')).toBe(NOT_ALLOWED);
      await client.query('set row_security = on');
      await client.query("select set_config('app.fleet_id', $1, false)", [before.fleetId]);
      expect(
        await codeOf("select 1 from vehicles where fleet_id <> current_setting('app.fleet_id')::uuid"),
      ).toBe(role === 'weephole_app' ? null : NOT_ALLOWED);
      await client.query('set role none');
      for (const table of ['vehicles', 'fleets', 'access_tokens', 'reminder_targets', 'schema_migrations'])
        expect([table, await codeOf(`select from ${table}`)]).toEqual([table, NOT_ALLOWED]);
      await client.end();
    },
  );

  it('show another fleet’s rows to no query of the API’s login', async () => {
    const client = await connected(run.environmentOf('api').DATABASE_URL ?? '', '-c role=weephole_app');
    await client.query("select set_config('app.fleet_id', $1, false)", [before.fleetId]);
    const { rows } = await client.query<{ name: string }>('select name from depots');
    await client.end();
    expect(rows.map(({ name }) => name)).toEqual(['Old yard']);
  });

  it('serve metrics of both apart from the API', async () => {
    expect((await clientOf(url, null).get('/metrics')).status).toBe(404);
    expect((await clientOf(url, manager.token).get('/metrics')).status).toBe(404);
    for (const name of ['api', 'worker'] as const) {
      const answer = await fetch(`${run.metricsUrl(name)}/metrics`);
      expect([answer.status, await answer.text()]).toEqual([200, expect.stringContaining('weephole_')]);
    }
  });

  it('have no password among the arguments of a process, nor in a log', async () => {
    const pids = [api.pid, worker.pid, ...(run.queuePid === null ? [] : [run.queuePid])];
    const told = [
      ...pids.map((pid) => readFileSync(`/proc/${pid}/cmdline`, 'utf8')),
      ...processes.map((each) => each.log()),
    ].join('\n');
    expect(told).toContain('main.api.js');
    for (const password of Object.values(PASSWORDS)) expect(told).not.toContain(password);
  });
});
