import { getDataSourceToken } from '@nestjs/typeorm';
import { createServer, type Server, Socket } from 'node:net';
import type { AddressInfo } from 'node:net';
import type { DataSource } from 'typeorm';
import { currentFleetId, type FleetScope, inFleet } from '../../../src/platform/scope/fleet-scope.js';
import { openDataSource } from '../../../src/platform/database/data-source.js';
import type { DatabaseRole } from '../../../src/platform/database/roles.js';
import type { Config } from '../../../src/platform/config/config.js';
import { openQueue } from '../../../src/platform/queue/backends.js';
import { schema } from '../../../src/schema.js';
import { until } from '../../support/receiver.js';
import { fillFleet } from '../../support/full-fleet.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

/**
 * Tables without rows of any fleet: the record of migrations, the request counts per minute, and
 * the live workers.
 */
const NO_FLEETS_ROWS = ['request_counts', 'schema_migrations', 'workers'];

/** Keys that name no fleet, and why. */
const KEYS_WITHOUT_FLEET: Record<string, string> = {
  // The holder of a token is looked up before the fleet is known. Its 256 random bits are unique.
  access_tokens_hash_uq: 'UNIQUE (hash)',
  // So is whose session a cookie is, and whom a link signs in. They have as many random bits.
  sessions_hash_uq: 'UNIQUE (hash)',
  sign_in_links_hash_uq: 'UNIQUE (hash)',
};

const scopeOf = (fleetId: string): FleetScope => ({
  ...{ fleetId, timeZone: 'UTC', units: 'si', tokenId: null, role: null },
});

describe('the rows of a fleet', () => {
  let service: Service;
  let fleets: [FleetHandle, FleetHandle];
  let tables: string[];

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z', env: { DATABASE_POOL_SIZE: '2' } });
    fleets = [await service.newFleet(), await service.newFleet()];
    for (const [index, fleet] of fleets.entries())
      await fillFleet(service, fleet, `${index === 0 ? 'A' : 'B'}-`);
    const { rows } = await service.database.admin.query<{ name: string }>(
      `select relname as name from pg_class where relnamespace = 'public'::regnamespace and relkind in ('r', 'p') order by 1`,
    );
    tables = rows.map((row) => row.name).filter((name) => !NO_FLEETS_ROWS.includes(name));
  });
  afterAll(() => service.stop());

  const columnOf = (table: string): string => (table === 'fleets' ? 'id' : 'fleet_id');

  /** Runs a statement as a role on behalf of a fleet, or of none, and rolls it back. */
  async function as(
    role: DatabaseRole,
    fleetId: string | null,
    text: string,
    values: unknown[] = [],
  ): Promise<{ rows: any[]; count: number; code: string | null }> {
    const { admin } = service.database;
    await admin.query('begin');
    try {
      await admin.query(`set local role ${role}`);
      if (fleetId !== null) await admin.query("select set_config('app.fleet_id', $1, true)", [fleetId]);
      const { rows, rowCount } = await admin.query(text, values);
      return { rows, count: rowCount ?? 0, code: null };
    } catch (error) {
      return { rows: [], count: 0, code: (error as { code?: string }).code ?? String(error) };
    } finally {
      await admin.query('rollback');
    }
  }

  const REFUSED = '42501';

  it('are in every table, for both fleets of this test', async () => {
    expect(tables.length).toBeGreaterThan(20);
    for (const table of tables) {
      for (const { fleetId } of fleets) {
        const { rows } = await service.database.admin.query(
          `select count(*)::int as n from ${table} where ${columnOf(table)} = $1`,
          [fleetId],
        );
        expect([table, rows[0].n > 0]).toEqual([table, true]);
      }
    }
  });

  it('are not visible to work for no fleet', async () => {
    for (const table of tables) {
      for (const scope of [null, '']) {
        expect([table, await as('weephole_app', scope, `select * from ${table}`)]).toEqual([
          table,
          { rows: [], count: 0, code: null },
        ]);
      }
    }
  });

  it('are visible to that fleet only, and all of them', async () => {
    const { admin } = service.database;
    for (const table of tables) {
      for (const { fleetId } of fleets) {
        const { rows } = await as('weephole_app', fleetId, `select * from ${table}`);
        const own = await admin.query(
          `select count(*)::int as n from ${table} where ${columnOf(table)} = $1`,
          [fleetId],
        );
        expect([table, rows.length]).toEqual([table, own.rows[0].n]);
        expect(new Set(rows.map((row) => row[columnOf(table)]))).toEqual(new Set([fleetId]));
      }
    }
  });

  it('cannot be added to, changed, moved or deleted on behalf of another fleet', async () => {
    const [own, other] = fleets;
    for (const table of tables) {
      const column = columnOf(table);
      const { rows } = await service.database.admin.query(
        `select to_jsonb(t) as row from ${table} t where ${column} = $1 limit 1`,
        [other.fleetId],
      );
      const inserted = await as(
        'weephole_app',
        own.fleetId,
        `insert into ${table} select * from jsonb_populate_record(null::${table}, $1)`,
        [rows[0].row],
      );
      expect([table, 'insert', inserted.code]).toEqual([table, 'insert', REFUSED]);
      const moved = await as('weephole_app', own.fleetId, `update ${table} set ${column} = $1`, [
        other.fleetId,
      ]);
      expect([table, 'move', moved.code]).toEqual([table, 'move', REFUSED]);
      const taken = await as(
        'weephole_app',
        own.fleetId,
        `update ${table} set ${column} = $1 where ${column} = $2`,
        [own.fleetId, other.fleetId],
      );
      expect([table, 'take', taken.count]).toEqual([table, 'take', 0]);
      const deleted = await as('weephole_app', own.fleetId, `delete from ${table} where ${column} = $1`, [
        other.fleetId,
      ]);
      expect([table, 'delete', deleted.count]).toEqual([table, 'delete', 0]);
    }
  });

  it('that record history cannot be deleted by the service', async () => {
    for (const table of [
      'usage_readings',
      'job_reports',
      'job_lines',
      'readings',
      'loss_alert_actions',
      'fleets',
    ]) {
      const { code } = await as('weephole_app', fleets[0].fleetId, `delete from ${table}`);
      expect([table, code]).toEqual([table, REFUSED]);
    }
  });

  it('of an undone file are deleted with their vehicle by one function, and only those, in the fleet in scope', async () => {
    const [own, other] = fleets;
    const { admin } = service.database;
    const { rows: kept } = await admin.query<{ id: string; vehicle_id: string }>(
      'select id, vehicle_id from usage_readings where job_report_id is null and fleet_id = any($1)',
      [[own.fleetId, other.fleetId]],
    );
    expect(kept.length).toBeGreaterThan(3);
    const vehicles = kept.map((row) => row.vehicle_id);
    const left = async (undone: string, fleetId: string | null): Promise<number> => {
      await admin.query('begin');
      try {
        await admin.query('update usage_readings set is_undone = true where fleet_id = $1', [undone]);
        await admin.query('set local role weephole_app');
        await admin.query("select set_config('app.fleet_id', $1, true)", [fleetId ?? '']);
        await admin.query('select delete_undone($1::uuid[])', [vehicles]);
        await admin.query('reset role');
        const { rows } = await admin.query('select 1 from usage_readings where id = any($1)', [
          kept.map((row) => row.id),
        ]);
        return rows.length;
      } finally {
        await admin.query('rollback');
      }
    };
    expect(await left(other.fleetId, own.fleetId)).toBe(kept.length);
    expect(await left(own.fleetId, null)).toBe(kept.length);
    expect(await left(own.fleetId, own.fleetId)).toBeLessThan(kept.length);
  });

  it('are not shown to other requests, however many share two connections', async () => {
    const paths = [
      '/v1/vehicles',
      '/v1/depots',
      '/v1/due-list?state=late,due,window,not-due',
      '/v1/job-reports',
      '/v1/fleet',
    ];
    // What each fleet sees while nobody else sends requests.
    const alone = await Promise.all(
      fleets.map(async ({ dashboard }) => {
        const answers: string[] = [];
        for (const path of paths) answers.push(JSON.stringify((await dashboard.get(path)).body));
        return answers;
      }),
    );
    expect(alone[0]).not.toEqual(alone[1]);
    const wrong: string[] = [];
    await Promise.all(
      Array.from({ length: 400 }, async (_, index) => {
        const who = index % 2;
        const what = Math.floor(index / 2) % paths.length;
        const { status, body } = await (fleets[who] as FleetHandle).dashboard.get(paths[what] as string);
        if (status !== 200 || JSON.stringify(body) !== alone[who]?.[what])
          wrong.push(`${index} ${paths[what]} ${status}`);
      }),
    );
    expect(wrong).toEqual([]);
  });

  it('stay with their fleet when a write fails half-way and its connection is reused', async () => {
    const [own, other] = fleets;
    const taken = { name: 'Ridge' };
    const answers = await Promise.all(
      Array.from({ length: 40 }, (_, index) =>
        index % 2 ? own.manager.post('/v1/depots', taken) : other.dashboard.get('/v1/vehicles'),
      ),
    );
    for (const [index, { status, body }] of answers.entries()) {
      if (index % 2) expect(status).toBe(409);
      else expect(body.items.map((vehicle: any) => vehicle.unitNumber)).toEqual(['B--S', 'B-1']);
    }
  });

  describe('through the gate', () => {
    let dataSource: DataSource;
    beforeAll(() => {
      dataSource = service.app.get<DataSource>(getDataSourceToken());
    });

    it('are those of the fleet that the work is for', async () => {
      for (const { fleetId } of fleets) {
        await inFleet(scopeOf(fleetId), async () => {
          expect(await dataSource.query('select id from fleets')).toEqual([{ id: fleetId }]);
        });
      }
      expect(await dataSource.query('select id from fleets')).toEqual([]);
    });

    it('cannot be reached by a connection that has left its scope or entered another', async () => {
      const [own, other] = fleets;
      const runner = dataSource.createQueryRunner();
      await inFleet(scopeOf(own.fleetId), () => runner.connect());
      try {
        await expect(runner.query('select 1')).rejects.toThrow(/outside the fleet it was taken for/);
        await inFleet(scopeOf(other.fleetId), async () => {
          await expect(runner.query('select 1')).rejects.toThrow(/outside the fleet it was taken for/);
        });
        await inFleet(scopeOf(own.fleetId), async () => {
          expect(await runner.query('select id from fleets')).toEqual([{ id: own.fleetId }]);
        });
      } finally {
        await runner.release();
      }
    });

    it('cannot be reached from another scope inside a transaction', async () => {
      const [own, other] = fleets;
      const crossing = inFleet(scopeOf(own.fleetId), () =>
        dataSource.transaction((tx) =>
          inFleet(scopeOf(other.fleetId), () => tx.query('select id from fleets')),
        ),
      );
      await expect(crossing).rejects.toThrow(/outside the fleet it was taken for/);
      expect(currentFleetId()).toBeNull();
      // The connection has been returned, and it works.
      await inFleet(scopeOf(other.fleetId), async () => {
        expect(await dataSource.query('select id from fleets')).toEqual([{ id: other.fleetId }]);
      });
    });
  });

  it('can be read by the sweep across fleets only in the columns it needs, and changed nowhere', async () => {
    const { admin } = service.database;
    const seen: Record<string, string> = {};
    for (const table of tables) {
      const column = columnOf(table);
      const { rows: columns } = await admin.query<{ name: string }>(
        `select attname as name from pg_attribute where attrelid = $1::regclass and attnum > 0 and not attisdropped order by 1`,
        [table],
      );
      const readable: string[] = [];
      for (const { name } of columns) {
        const { code, count } = await as('weephole_sweep', null, `select ${name} from ${table}`);
        if (code === null && count > 0) readable.push(name);
      }
      if (readable.length > 0)
        seen[table] = readable.length === columns.length ? 'all columns' : readable.join(' ');
      const { rows } = await admin.query(`select to_jsonb(t) as row from ${table} t limit 1`);
      const attempts: [string, unknown[]][] = [
        [`insert into ${table} select * from jsonb_populate_record(null::${table}, $1)`, [rows[0].row]],
        [`update ${table} set ${column} = ${column}`, []],
        [`delete from ${table}`, []],
        [`truncate ${table}`, []],
      ];
      for (const [text, values] of attempts)
        expect([text, (await as('weephole_sweep', null, text, values)).code]).toEqual([text, REFUSED]);
    }
    expect(seen).toEqual({
      due_lines:
        'due_on fleet_id is_open late_for_good_on late_lapses_on late_on no_baseline window_opens_on',
      fleet_sweeps: 'all columns',
      fleets: 'all columns',
      reminder_targets: 'disabled_at disabled_reason failing_since fleet_id hears person_id removed_at',
      reminders: 'attempted_by attempts created_at digest_id fleet_id id next_attempt_at status',
      sweep_requests: 'fleet_id requested_at',
      telematics_sources: 'fleet_id id kind next_poll_at paused_at polled_until',
      visit_plans: 'fleet_id id round state',
    });
  });

  it('show the sweep no secret and no hash, in any table', async () => {
    const { rows } = await service.database.admin.query<{ name: string }>(
      `select attrelid::regclass || '.' || attname as name from pg_attribute a join pg_class c on c.oid = attrelid
       where relnamespace = 'public'::regnamespace and relkind in ('r', 'p') and attnum > 0 and not attisdropped
         and has_column_privilege('weephole_sweep', attrelid, attnum, 'select')
         and (tells_secret(attname) or atttypid = 'bytea'::regtype)`,
    );
    expect(rows).toEqual([]);
    for (const text of [
      'select secret from reminder_targets',
      'select previous_secret from reminder_targets',
      'select hash from access_tokens',
    ])
      expect([text, (await as('weephole_sweep', null, text)).code]).toEqual([text, REFUSED]);
  });

  describe('by the catalogue', () => {
    async function catalogue<T extends object>(text: string): Promise<T[]> {
      return (await service.database.admin.query<T>(text)).rows;
    }

    it('are under row-level security, even for the owner of the tables', async () => {
      const unguarded = await catalogue<{ name: string }>(
        `select relname as name from pg_class
         where relnamespace = 'public'::regnamespace and relkind in ('r', 'p') and not (relrowsecurity and relforcerowsecurity) order by relname collate "C"`,
      );
      expect(unguarded.map((row) => row.name)).toEqual(NO_FLEETS_ROWS);
      const others = await catalogue(
        `select relname, relkind from pg_class where relnamespace = 'public'::regnamespace and relkind in ('v', 'm', 'f')`,
      );
      expect(others).toEqual([]);
    });

    it('are shown to the service by one policy on each table', async () => {
      const policies = await catalogue<{ tablename: string; qual: string; with_check: string }>(
        `select tablename, qual, with_check from pg_policies where schemaname = 'public' and 'weephole_app' = any(roles) order by 1`,
      );
      expect(policies.map((policy) => policy.tablename)).toEqual(tables);
      for (const { tablename, qual, with_check: check } of policies) {
        const rule = `(${columnOf(tablename)} = (NULLIF(current_setting('app.fleet_id'::text, true), ''::text))::uuid)`;
        expect([tablename, qual, check]).toEqual([tablename, rule, rule]);
      }
    });

    it('have the fleet in every primary, unique and foreign key', async () => {
      const keys = await catalogue<{ table: string; name: string; columns: string[]; definition: string }>(
        `select t.relname as table, c.relname as name, array_agg(a.attname::text order by k.n) as columns,
           coalesce(pg_get_constraintdef(con.oid), pg_get_indexdef(c.oid)) as definition
         from pg_index i join pg_class t on t.oid = i.indrelid join pg_class c on c.oid = i.indexrelid
         left join pg_constraint con on con.conindid = c.oid and con.contype in ('p', 'u')
         cross join lateral unnest(i.indkey) with ordinality as k(attnum, n)
         join pg_attribute a on a.attrelid = t.oid and a.attnum = k.attnum
         where i.indisunique and t.relnamespace = 'public'::regnamespace
         group by t.relname, c.relname, c.oid, con.oid`,
      );
      const without = keys.filter(
        ({ table, columns }) => !NO_FLEETS_ROWS.includes(table) && !columns.includes(columnOf(table)),
      );
      expect(Object.fromEntries(without.map(({ name, definition }) => [name, definition]))).toEqual(
        KEYS_WITHOUT_FLEET,
      );

      const references = await catalogue<{ name: string; definition: string }>(
        `select conname as name, pg_get_constraintdef(oid) as definition from pg_constraint
         where contype = 'f' and connamespace = 'public'::regnamespace`,
      );
      expect(references.length).toBeGreaterThan(20);
      for (const { name, definition } of references) {
        expect([name, definition]).toEqual([
          name,
          expect.stringMatching(
            /^FOREIGN KEY \(fleet_id, \w+\) REFERENCES \w+\(fleet_id, id\)|^FOREIGN KEY \(fleet_id\) REFERENCES fleets\(id\)/,
          ),
        ]);
      }
    });

    it('belong to roles that cannot log in, bypass no policy and are no superusers', async () => {
      const roles = await catalogue(
        `select rolname, rolcanlogin, rolsuper, rolbypassrls, rolcreaterole, rolcreatedb, rolreplication from pg_roles
         where rolname like 'weephole%' and rolname not like '%_login' and (rolcanlogin or rolsuper or rolbypassrls or rolcreaterole or rolcreatedb or rolreplication)`,
      );
      expect(roles).toEqual([]);
      const memberships = await catalogue(
        `select r.rolname as role, m.rolname as member from pg_auth_members a
         join pg_roles r on r.oid = a.roleid join pg_roles m on m.oid = a.member where m.rolname like 'weephole%' and m.rolname not like '%_login'`,
      );
      // Its further rights are restricted by policies of their own.
      expect(memberships).toEqual([{ role: 'weephole_app', member: 'weephole_depots' }]);
    });
  });

  describe('behind a pooler that drops start-up options', () => {
    let proxy: Server;
    const sockets = new Set<Socket>();

    beforeAll(async () => {
      const { hostname, port } = new URL(service.database.url);
      proxy = createServer((client) => {
        const server = new Socket().connect(Number(port), hostname);
        for (const socket of [client, server]) {
          sockets.add(socket);
          socket
            .on('error', () => undefined)
            .on('close', () => [client, server].forEach((each) => each.destroy()));
        }
        client.once('data', (first) => {
          server.write(withoutOptions(first));
          client.pipe(server).pipe(client);
        });
      });
      await new Promise<void>((resolve) => proxy.listen(0, '127.0.0.1', resolve));
    });
    afterAll(async () => {
      for (const socket of sockets) socket.destroy();
      await new Promise((resolve) => proxy.close(resolve));
    });

    function pooledUrl(direct: string): string {
      const url = new URL(direct);
      url.port = String((proxy.address() as AddressInfo).port);
      return url.href;
    }

    it('would not be safe, so the service does not start', async () => {
      const { buildApi } = await import('../../../src/bootstrap.api.js');
      const { readConfig } = await import('../../../src/platform/config/config.js');
      const { databaseUrl, sweepDatabaseUrl } = service.config;
      const { url } = service.database;
      const env = { LOG_LEVEL: 'silent' };
      const startAndEnd = async (config: Config): Promise<void> => {
        const app = await buildApi(config, { withWorker: true });
        try {
          await app.init();
        } finally {
          await app.close();
        }
      };
      // Whichever connection goes through the pooler: all of them, that of the database, or that of
      // the sweep.
      for (const config of [
        readConfig(env, pooledUrl(databaseUrl), pooledUrl(sweepDatabaseUrl)),
        readConfig({ ...env, QUEUE_URL: url }, pooledUrl(databaseUrl), sweepDatabaseUrl),
        readConfig(env, databaseUrl, pooledUrl(sweepDatabaseUrl)),
      ])
        await expect(startAndEnd(config)).rejects.toThrow(/pooler/);
      // Or that of the queue.
      const queue = await openQueue(readConfig({ ...env, QUEUE_URL: pooledUrl(url) }, databaseUrl), 1);
      await expect(queue.assertUsable()).rejects.toThrow(/pooler/);
      await queue.close();
      // A process that cannot start ends. This process lives on, so its queue closes the
      // connections only when they have been idle for a while.
      await until(async () => {
        const left = await service.database.admin.query(
          `select 1 from pg_stat_activity where application_name = 'weephole queue' and datname = current_database()`,
        );
        return left.rows.length === 0;
      }, 240_000);
    }, 240_000);

    it('would not be safe, so no tool connects either, and none leaves a connection', async () => {
      const settings = { role: 'weephole_app', poolSize: 2, applicationName: 'pooled', schema } as const;
      await expect(openDataSource({ ...settings, url: pooledUrl(service.database.url) })).rejects.toThrow(
        /pooler/,
      );
      // A connection takes a moment to disappear after its client has ended.
      await until(async () => {
        const left = await service.database.admin.query(
          `select 1 from pg_stat_activity where application_name = 'pooled'`,
        );
        return left.rows.length === 0;
      });
      const direct = await openDataSource({ ...settings, url: service.database.url });
      await direct.destroy();
    });
  });
});

/**
 * Removes `options` from a start-up packet of the PostgreSQL protocol (version 3), as a pooler does
 * that is set to ignore them.
 */
function withoutOptions(packet: Buffer): Buffer {
  const fields = packet.subarray(8).toString('utf8').split('\0');
  const kept: string[] = [];
  for (let at = 0; fields[at]; at += 2) {
    if (fields[at] !== 'options') kept.push(fields[at] as string, fields[at + 1] ?? '');
  }
  const body = Buffer.from(`${kept.join('\0')}\0\0`);
  const head = Buffer.alloc(8);
  head.writeInt32BE(body.length + 8, 0);
  packet.copy(head, 4, 4, 8);
  return Buffer.concat([head, body]);
}
