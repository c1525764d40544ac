import { BlobReader, TextWriter, Uint8ArrayWriter, ZipReader } from '@zip.js/zip.js';
import { execFile } from 'node:child_process';
import { createHash, randomBytes } from 'node:crypto';
import { openAsBlob } from 'node:fs';
import { mkdtemp, readdir, rm, stat, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { exportFleet, type Manifest } from '../../../src/keeping/fleet-data/export-fleet.js';
import { DiskStore } from '../../../src/platform/storage/disk-store.js';
import { fillFleet } from '../../support/full-fleet.js';
import { paper, picture } from '../../support/pictures.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T15:00:00Z';
const run = promisify(execFile);

describe('the archive of a fleet', () => {
  let service: Service;
  let fleet: FleetHandle;
  let other: FleetHandle;
  let directory: string;
  let photo: { id: string; sha256: string };
  let missing: string;

  beforeAll(async () => {
    service = await startService({ at: NOW });
    [fleet, other] = [await service.newFleet(), await service.newFleet()];
    await fillFleet(service, fleet, 'A-');
    await fillFleet(service, other, 'B-');
    directory = await mkdtemp(join(tmpdir(), 'weephole-archive-'));
    photo = await attached(fleet, await picture('jpeg'));
    const voided = await attached(fleet, paper(2000));
    await fleet.manager.post(`${voided.href}/void`, { reason: 'shows a face' });
    await attached(other, paper(3000));
    await fleet.manager.post('/v1/tokens', { name: 'a', role: 'dashboard' }, { 'idempotency-key': 'tokens' });
    // Put into the tables without a file, as after a backup of the database alone was restored.
    const { rows } = await service.database.admin.query(
      `select id from attachments where fleet_id = $1 and media_type = 'image/png'`,
      [fleet.fleetId],
    );
    missing = rows[0].id;
  });
  afterAll(async () => {
    await service.stop();
    await rm(directory, { recursive: true, force: true });
  });

  async function attached(
    who: FleetHandle,
    bytes: Buffer,
  ): Promise<{ id: string; sha256: string; href: string }> {
    const report = (await who.dashboard.get('/v1/job-reports')).body.items[0];
    const { status, body } = await who.mechanic.send(
      ...(['POST', `/v1/job-reports/${report.id}/attachments`, bytes] as const),
      { 'content-type': 'application/octet-stream' },
    );
    expect(status).toBe(201);
    return body;
  }
  /** Runs the compiled command as an operator would. */
  const command = (...values: string[]): Promise<{ stdout: string; stderr: string }> =>
    run(process.execPath, ['--max-old-space-size=110', 'dist/src/commands/export-fleet.js', ...values], {
      env: {
        ...process.env,
        DATABASE_URL: service.database.url,
        ATTACHMENTS_DIR: service.config.attachments.directory,
      },
      maxBuffer: 1e7,
    });
  async function read(path: string): Promise<Map<string, Buffer>> {
    const zip = new ZipReader(new BlobReader(await openAsBlob(path)), {
      useWebWorkers: false,
      checkSignature: true,
    });
    const files = new Map<string, Buffer>();
    for (const entry of await zip.getEntries())
      if (!entry.directory)
        files.set(entry.filename, Buffer.from(await entry.getData(new Uint8ArrayWriter())));
    await zip.close();
    return files;
  }
  const linesOf = (file: Buffer | undefined): any[] =>
    String(file)
      .split('\n')
      .filter((line) => line !== '')
      .map((line) => JSON.parse(line));

  it('holds every row of every table, its files, and a manifest that says so, and nothing of another fleet', async () => {
    const out = join(directory, 'fleet.zip');
    const { stdout } = await command('--fleet', fleet.fleetId, '--out', out);
    const files = await read(out);
    const manifest = JSON.parse(String(files.get('manifest.json'))) as Manifest;
    const { rows: tables } = await service.database.admin.query<{ name: string }>(
      `select table_name as name from information_schema.columns where table_schema = 'public' and column_name = 'fleet_id'
       union select 'fleets' order by 1`,
    );
    expect(manifest.tables.map(({ table }) => table)).toEqual(tables.map(({ name }) => name));
    for (const { table, file, rows, leftOut } of manifest.tables) {
      const column = table === 'fleets' ? 'id' : 'fleet_id';
      const { rows: stored } = await service.database.admin.query(
        `select to_jsonb(t) - $2::text[] as row from ${table} t where ${column} = $1`,
        [fleet.fleetId, leftOut],
      );
      const lines = linesOf(files.get(file));
      expect([table, lines.length, rows]).toEqual([table, stored.length, stored.length]);
      if (table !== 'audit_entries')
        expect(new Set(lines.map((line) => JSON.stringify(line)))).toEqual(
          new Set(stored.map(({ row }) => JSON.stringify(row))),
        );
    }
    expect(manifest.tables.every(({ rows }) => rows > 0)).toBe(true);
    expect([...files.values()].join('\n')).not.toContain(other.fleetId);
    const bytes = files.get(`attachments/${photo.id}.jpg`);
    expect(
      createHash('sha256')
        .update(bytes as Buffer)
        .digest('hex'),
    ).toBe(photo.sha256);
    expect(manifest).toMatchObject({
      fleet: { id: fleet.fleetId },
      attachments: { files: 1, bytes: bytes?.length, missing: [missing] },
    });
    expect(JSON.parse(stdout).rows.vehicles).toBe(linesOf(files.get('tables/vehicles.jsonl')).length);
    expect((await stat(out)).mode & 0o077).toBe(0);
  });

  it('holds no secret, no digest of one, and no stored answers to requests', async () => {
    const out = join(directory, 'secrets.zip');
    const secret = 'whsec_' + randomBytes(24).toString('base64');
    await service.database.admin.query('update reminder_targets set secret = $1, previous_secret = $1', [
      secret,
    ]);
    await command('--fleet', fleet.fleetId, '--out', out);
    const files = await read(out);
    const all = [...files.values()].join('\n');
    expect(all).not.toContain(secret);
    for (const table of ['access_tokens', 'reminder_targets', 'idempotency_records'])
      expect(Object.keys(linesOf(files.get(`tables/${table}.jsonl`))[0]).join()).not.toMatch(
        /hash|secret(?!_until)|body/,
      );
    const { rows } = await service.database.admin.query(
      `select encode(hash, 'hex') as hash from access_tokens where fleet_id = $1`,
      [fleet.fleetId],
    );
    for (const { hash } of rows) expect(all).not.toContain(hash);
  });

  it("explains its files in the fleet's language", async () => {
    const formats = async (language: string): Promise<Record<string, string>> => {
      await service.database.admin.query('update fleets set language = $2 where id = $1', [
        fleet.fleetId,
        language,
      ]);
      const out = join(directory, `${language}.zip`);
      await command('--fleet', fleet.fleetId, '--out', out);
      return JSON.parse(String((await read(out)).get('manifest.json'))).formats;
    };
    expect((await formats('es'))['tables/*.jsonl']).toMatch(
      /^Una fila por línea, cada una un objeto JSON por columna, en UTF-8\..* después de \\x\.$/,
    );
    expect(await formats('en')).toEqual({
      'tables/*.jsonl': expect.stringMatching(/^One row a line, each a JSON object by column, in UTF-8\./),
      'attachments/*': expect.stringMatching(/^Photos and papers of job reports\./),
    });
  });

  it('shows the fleet as of one moment, whatever is posted meanwhile', async () => {
    let isPosted = false;
    const chunks: Uint8Array[] = [];
    const archive = new WritableStream<Uint8Array>({
      async write(chunk) {
        chunks.push(chunk);
        if (isPosted) return;
        isPosted = true;
        const { status } = await fleet.manager.post('/v1/vehicles', { unitNumber: 'LATE-1' });
        expect(status).toBe(201);
      },
    });
    const store = new DiskStore(service.config.attachments.directory);
    const manifest = await exportFleet(service.database.url, {
      ...{ fleetId: fleet.fleetId, store, archive, now: new Date(NOW) },
    });
    expect(isPosted).toBe(true);
    const zip = new ZipReader(new BlobReader(new Blob(chunks)), { useWebWorkers: false });
    const entry = (await zip.getEntries()).find(({ filename }) => filename === 'tables/vehicles.jsonl');
    const text = entry && !entry.directory ? await entry.getData(new TextWriter()) : '';
    expect(text).toContain('A-1');
    expect(text).not.toContain('LATE-1');
    expect(manifest.exportedAt).toBe(new Date(NOW).toISOString());
  });

  it('needs no more memory for a larger fleet: 180 MB of rows go through a heap of 110 MB', async () => {
    const { fleetId } = await service.newFleet();
    await service.database.admin.query(
      `insert into audit_entries (fleet_id, id, at, actor_kind, actor, kind, subject_id, action, changes)
       select $1, gen_random_uuid(), now(), 'service', 'service', 'depot', $1, 'changed', jsonb_build_object('note', repeat(md5(n::text), 94))
       from generate_series(1, 60000) n`,
      [fleetId],
    );
    const out = join(directory, 'large.zip');
    const { stdout } = await command('--fleet', fleetId, '--out', out);
    expect(JSON.parse(stdout).rows.audit_entries).toBeGreaterThan(60_000);
    await service.database.admin.query('delete from audit_entries where fleet_id = $1', [fleetId]);
  });

  it('goes to standard output on request, and reports on standard error', async () => {
    const { stdout, stderr } = await run(
      process.execPath,
      ['dist/src/commands/export-fleet.js', '--fleet', other.fleetId, '--out', '-'],
      {
        env: {
          ...process.env,
          DATABASE_URL: service.database.url,
          ATTACHMENTS_DIR: service.config.attachments.directory,
        },
        encoding: 'buffer',
        maxBuffer: 1e8,
      },
    );
    const path = join(directory, 'from-stdout.zip');
    await writeFile(path, stdout);
    expect((await read(path)).has('manifest.json')).toBe(true);
    expect(JSON.parse(String(stderr)).fleet.id).toBe(other.fleetId);
  });

  it('is not written over another file, for no fleet, or without the files on record', async () => {
    const out = join(directory, 'taken.zip');
    await writeFile(out, 'mine');
    await expect(command('--fleet', fleet.fleetId, '--out', out)).rejects.toThrow(/exists already/);
    const fresh = join(directory, 'fresh.zip');
    await expect(command('--fleet', 'nobody', '--out', fresh)).rejects.toThrow(
      /there is no fleet of that id/,
    );
    await expect(command('--out', fresh)).rejects.toThrow(/usage: npm run export/);
    const elsewhere = run(
      process.execPath,
      ['dist/src/commands/export-fleet.js', '--fleet', fleet.fleetId, '--out', fresh],
      {
        env: { ...process.env, DATABASE_URL: service.database.url, ATTACHMENTS_DIR: directory },
      },
    );
    await expect(elsewhere).rejects.toThrow(/does not see their files/);
    expect((await readdir(directory)).filter((name) => name.startsWith('fresh'))).toEqual([]);
  });
});
