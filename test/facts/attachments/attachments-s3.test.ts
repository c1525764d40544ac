import { spawn } from 'node:child_process';
import { randomBytes } from 'node:crypto';
import { once } from 'node:events';
import { mkdir, readdir, rm } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { drawn, paper, picture, SECRET } from '../../support/pictures.js';
import { until } from '../../support/receiver.js';
import { freePort } from '../../support/redis-server.mjs';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T15:00:00Z';
const MB = 1024 * 1024;
const BUCKET = 'evidence';

interface Store {
  url: string;
  keys(): Promise<string[]>;
  stop(): Promise<void>;
}

/** A store that speaks S3, from the npm registry, as a process of its own. */
async function startStore(port: number): Promise<Store> {
  const directory = join(tmpdir(), `weephole-s3-${randomBytes(6).toString('hex')}`);
  await mkdir(join(directory, BUCKET), { recursive: true });
  const program = createRequire(import.meta.url).resolve('s3rver/bin/s3rver.js');
  const child = spawn(
    process.execPath,
    [program, '--directory', directory, '--address', '127.0.0.1', '--port', String(port), '--silent'],
    { stdio: 'ignore' },
  );
  const url = `http://127.0.0.1:${port}`;
  await until(() =>
    fetch(url).then(
      () => true,
      () => false,
    ),
  );
  return {
    url,
    async keys() {
      const names = await readdir(join(directory, BUCKET), { recursive: true }).catch(() => []);
      return names.filter((name) => name.endsWith('._S3rver_object')).sort();
    },
    async stop() {
      child.kill();
      await once(child, 'exit');
      await rm(directory, { recursive: true, force: true });
    },
  };
}

describe('attachments in an S3-compatible store', () => {
  let service: Service;
  let fleet: FleetHandle;
  let store: Store;
  let port: number;
  const environment = { ...process.env };

  beforeAll(async () => {
    port = await freePort();
    store = await startStore(port);
    Object.assign(process.env, { AWS_ACCESS_KEY_ID: 'S3RVER', AWS_SECRET_ACCESS_KEY: 'S3RVER' });
    service = await startService({
      at: NOW,
      env: { ATTACHMENTS_S3_BUCKET: BUCKET, ATTACHMENTS_S3_ENDPOINT: store.url },
    });
    fleet = await service.newFleet();
  });
  afterAll(async () => {
    await service.stop();
    await store.stop();
    process.env = environment;
  });

  let turn = 0;
  async function newReport(): Promise<string> {
    const vehicle = await fleet.manager.post('/v1/vehicles', { unitNumber: `S3-${++turn}` });
    const { status, body } = await fleet.mechanic.post('/v1/job-reports', {
      ...{ vehicleId: vehicle.body.id, performedAt: '2026-04-01T10:00:00Z' },
      lines: [{ component: 'coolant', action: 'inspect' }],
    });
    expect(status).toBe(201);
    return body.id;
  }
  const attach = (reportId: string, bytes: Buffer) =>
    fleet.mechanic.send('POST', `/v1/job-reports/${reportId}/attachments`, bytes, {
      'content-type': 'application/octet-stream',
    });
  async function download(href: string, headers: Record<string, string> = {}) {
    const response = await fetch(service.url + href, {
      headers: { authorization: `Bearer ${fleet.dashboard.token}`, ...headers },
    });
    return { status: response.status, bytes: Buffer.from(await response.arrayBuffer()) };
  }
  const rows = async (): Promise<string[]> =>
    (
      await service.database.admin.query(
        `select (select count(*)::int from attachments) as attachments, (select count(*)::int from attachment_uploads) as uploads`,
      )
    ).rows[0];
  const incoming = () => readdir(join(service.config.attachments.directory, 'incoming'));

  it('are stored there, whole and in parts, and not here', async () => {
    const reportId = await newReport();
    const [photo, large] = [await picture('jpeg'), paper(10 * MB)];
    const [first, second] = [await attach(reportId, photo), await attach(reportId, large)];
    expect([first.status, second.status]).toEqual([201, 201]);
    expect((await store.keys()).map((key) => key.split('._S3rver')[0])).toEqual(
      [first, second].map(({ body }) => `${fleet.fleetId}/${body.id}`).sort(),
    );
    const shown = await download(first.body.href);
    expect([shown.status, shown.bytes.includes(SECRET)]).toEqual([200, false]);
    expect((await drawn(shown.bytes)).equals(await drawn(photo))).toBe(true);
    expect((await download(second.body.href)).bytes.equals(large)).toBe(true);
    const part = await download(second.body.href, { range: 'bytes=1000-1999' });
    expect([part.status, part.bytes.equals(large.subarray(1000, 2000))]).toEqual([206, true]);
    expect(await incoming()).toEqual([]);
  });

  it('are removed from it when they are voided', async () => {
    const reportId = await newReport();
    const { body } = await attach(reportId, paper(4000));
    const isThere = async () => (await store.keys()).some((key) => key.includes(body.id));
    expect(await isThere()).toBe(true);
    const voided = await fleet.manager.post(`${body.href}/void`, { reason: 'shows a face' });
    expect([voided.status, await isThere()]).toEqual([200, false]);
    const gone = await download(body.href);
    expect([gone.status, JSON.parse(gone.bytes.toString()).type]).toEqual([
      410,
      '/problems/attachment-voided',
    ]);
  });

  it('are stored once if sent again, and a bad one not at all', async () => {
    const reportId = await newReport();
    const before = await store.keys();
    const answers = await Promise.all([0, 1, 2, 3].map(() => attach(reportId, paper(5000))));
    expect(answers.map(({ status }) => status).sort()).toEqual([200, 200, 200, 201]);
    expect((await attach(reportId, Buffer.from('words'))).status).toBe(415);
    expect((await store.keys()).length).toBe(before.length + 1);
    expect(await incoming()).toEqual([]);
  });

  it('get 503 and leave nothing if the store is down, and work again afterwards', async () => {
    const reportId = await newReport();
    const kept = await attach(reportId, paper(6000));
    await store.stop();
    const before = await rows();
    const refused = await attach(reportId, paper(7000));
    expect([refused.status, refused.body.type, refused.headers.get('retry-after')]).toEqual([
      ...[503, '/problems/file-store-away', '30'],
    ]);
    expect((await download(kept.body.href)).status).toBe(503);
    expect(await incoming()).toEqual([]);
    store = await startStore(port);
    expect((await attach(reportId, paper(7000))).status).toBe(201);
    // The note of the upload that failed is left until it is certain that no file is.
    expect(await rows()).toEqual({
      ...before,
      attachments: 1 + Number((before as any).attachments),
      uploads: 1,
    });
    service.clock.moveTo(new Date(Date.parse(NOW) + 2 * 3_600_000));
    expect((await attach(reportId, paper(8000))).status).toBe(201);
    expect(await rows()).toMatchObject({ uploads: 0 });
    // The new store is empty.
    const gone = await download(kept.body.href);
    expect([gone.status, JSON.parse(gone.bytes.toString()).type]).toEqual([404, '/problems/file-missing']);
  });
});
