import { createHash } from 'node:crypto';
import { once } from 'node:events';
import { existsSync } from 'node:fs';
import { mkdir, readdir, stat, utimes, writeFile } from 'node:fs/promises';
import { type ClientRequest, request as rawRequest } from 'node:http';
import { join } from 'node:path';
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import sharp from 'sharp';
import { v7 as uuidv7 } from 'uuid';
import { UploadPlaces } from '../../../src/facts/attachments/upload-places.js';
import { IncomingFiles } from '../../../src/platform/storage/incoming-files.js';
import { drawn, paper, picture, SECRET } from '../../support/pictures.js';
import { type Client, type FleetHandle, type Service, startService } from '../../support/service.js';
import { until } from '../../support/receiver.js';

const NOW = '2026-04-02T15:00:00Z';
const MB = 1024 * 1024;
const sha256 = (bytes: Buffer): string => createHash('sha256').update(bytes).digest('hex');

describe('attachments of a job report', () => {
  let service: Service;
  let fleet: FleetHandle;
  let vehicleId: string;
  let turn = 0;

  beforeAll(async () => {
    service = await startService({ at: NOW });
    fleet = await service.newFleet();
    vehicleId = (await fleet.manager.post('/v1/vehicles', { unitNumber: 'A-1' })).body.id;
  });
  beforeEach(() => service.clock.moveTo(NOW));
  afterAll(() => service.stop());

  async function newReport(): Promise<string> {
    const performedAt = new Date(Date.parse(NOW) - ++turn * 7_200_000).toISOString();
    const { status, body } = await fleet.mechanic.post('/v1/job-reports', {
      ...{ vehicleId, performedAt, lines: [{ component: 'coolant', action: 'inspect' }] },
    });
    expect(status).toBe(201);
    return body.id;
  }
  const pathOf = (reportId: string): string => `/v1/job-reports/${reportId}/attachments`;
  const attach = (
    reportId: string,
    bytes: Buffer,
    type = 'application/octet-stream',
    client = fleet.mechanic,
  ) => client.send('POST', pathOf(reportId), bytes, { 'content-type': type });
  const attachForm = async (reportId: string, form: FormData) => {
    const response = await fetch(service.url + pathOf(reportId), {
      method: 'POST',
      headers: { authorization: `Bearer ${fleet.mechanic.token}` },
      body: form,
    });
    return { status: response.status, body: (await response.json()) as any };
  };
  const fileOf = (bytes: Buffer, type: string): Blob => new Blob([new Uint8Array(bytes)], { type });

  async function download(
    href: string,
    headers: Record<string, string> = {},
    client: Client = fleet.dashboard,
  ) {
    const response = await fetch(service.url + href, {
      headers: { authorization: `Bearer ${client.token}`, ...headers },
    });
    return {
      ...{ status: response.status, headers: response.headers },
      bytes: Buffer.from(await response.arrayBuffer()),
    };
  }

  /** Files that are there, of those that have come and those on their way. */
  async function filesThere(): Promise<{ kept: string[]; incoming: string[] }> {
    const { directory } = service.config.attachments;
    const list = (name: string): Promise<string[]> => readdir(join(directory, name)).catch(() => []);
    return { kept: await list(fleet.fleetId), incoming: await list('incoming') };
  }
  async function rowsIn(table: string): Promise<number> {
    const { rows } = await service.database.admin.query(
      `select count(*)::int as n from ${table} where fleet_id = $1`,
      [fleet.fleetId],
    );
    return rows[0].n;
  }
  const everything = async () => ({
    ...(await filesThere()),
    rows: await rowsIn('attachments'),
    uploads: await rowsIn('attachment_uploads'),
  });

  describe.each(['jpeg', 'png', 'webp'] as const)('a %s', (format) => {
    it('keeps its picture but not its location and texts', async () => {
      const original = await picture(format);
      const before = await sharp(original).metadata();
      // What is to be removed is there, or its absence would prove nothing.
      expect(original.includes(SECRET)).toBe(true);
      expect([before.exif, before.xmp]).toEqual([expect.any(Buffer), expect.any(Buffer)]);
      const reportId = await newReport();
      const { status, body, headers } = await attach(reportId, original, 'application/pdf');
      expect([status, body.mediaType]).toEqual([201, `image/${format}`]);
      expect(headers.get('location')).toBe(body.href);
      const { bytes } = await download(body.href);
      expect([bytes.length, sha256(bytes)]).toEqual([body.sizeBytes, body.sha256]);
      expect(body.receivedSha256).toBe(sha256(original));
      for (const text of [SECRET, 'GPS', 'xmpmeta', 'adobe'])
        expect([text, bytes.includes(text)]).toEqual([text, false]);
      const after = await sharp(bytes).metadata();
      expect([after.orientation, after.xmp, after.width, after.icc?.equals(before.icc as Buffer)]).toEqual([
        ...[6, undefined, before.width, true],
      ]);
      // No more than the block that says which way up: 26 bytes, with a header before, or zeros
      // after.
      expect((after.exif as Buffer).toString('latin1').replaceAll('\0', '').length).toBeLessThan(20);
      expect((await drawn(bytes)).equals(await drawn(original))).toBe(true);
    });

    it('that arrives one byte at a time is stored the same', async () => {
      const original = await picture(format, { width: 24, height: 16 });
      const whole = await attach(await newReport(), original);
      const outgoing = upload(await newReport());
      for (const byte of original) {
        if (!outgoing.write(Buffer.from([byte]))) await once(outgoing, 'drain');
        await new Promise(setImmediate);
      }
      outgoing.end();
      const answer = await answerOf(outgoing);
      expect([answer.status, answer.body.sha256]).toEqual([201, whole.body.sha256]);
    });

    it('that ends too early or is damaged is refused and leaves nothing', async () => {
      const original = await picture(format);
      const reportId = await newReport();
      const before = await everything();
      for (const length of [64, Math.floor(original.length / 2), original.length - 1]) {
        const { status, body } = await attach(reportId, original.subarray(0, length));
        expect([length, status, body.errors?.[0]?.detail]).toEqual([
          ...[length, 422, expect.stringMatching(/damaged, or ends too early/)],
        ]);
      }
      expect(await everything()).toEqual(before);
      const cut = original.subarray(0, original.length - 1);
      const { body } = await fleet.mechanic.send('POST', pathOf(reportId), cut, {
        ...{ 'content-type': 'application/octet-stream', 'accept-language': 'es' },
      });
      expect(body.errors[0].values.why).toEqual({
        ...{ code: 'file-ends-early', values: {}, text: 'termina antes de tiempo' },
      });
      expect(body.errors[0].detail).toMatch(
        /está dañado, o termina antes de tiempo: termina antes de tiempo$/,
      );
    });

    it('loses anything after the picture', async () => {
      const original = await picture(format);
      const { body } = await attach(
        await newReport(),
        Buffer.concat([original, Buffer.from(SECRET.repeat(900))]),
      );
      const { bytes } = await download(body.href);
      expect(bytes.includes(SECRET)).toBe(false);
      expect((await drawn(bytes)).equals(await drawn(original))).toBe(true);
    });

    it('that says it is upright stays upright', async () => {
      const { body } = await attach(await newReport(), await picture(format, { orientation: 1 }));
      expect([1, undefined]).toContain(
        (await sharp((await download(body.href)).bytes).metadata()).orientation,
      );
    });
  });

  it('are shown with the report and listed, in the order in which they came', async () => {
    const reportId = await newReport();
    const first = await attach(reportId, await picture('jpeg'), 'image/jpeg');
    const form = new FormData();
    form.append('file', fileOf(paper(5000), 'image/jpeg'), '../../etc/passwd');
    const second = await attachForm(reportId, form);
    expect([first.status, second.status, second.body.mediaType]).toEqual([201, 201, 'application/pdf']);
    const list = await fleet.dashboard.get(pathOf(reportId));
    expect(list.body.items).toEqual([first.body, second.body]);
    const report = await fleet.dashboard.get(`/v1/job-reports/${reportId}`);
    expect(report.body.attachments).toEqual(list.body.items);
    const page = await fleet.dashboard.get(`/v1/job-reports?vehicleId=${vehicleId}`);
    expect(page.body.items.find((item: any) => item.id === reportId).attachments).toEqual(list.body.items);
  });

  it('are served with an ETag and in parts, and so that no browser runs them', async () => {
    const bytes = paper(300_000);
    const { body } = await attach(await newReport(), bytes);
    const whole = await download(body.href);
    expect([whole.status, whole.bytes.equals(bytes)]).toEqual([200, true]);
    expect(Object.fromEntries(whole.headers)).toMatchObject({
      ...{ 'content-type': 'application/pdf', 'content-length': '300000', 'accept-ranges': 'bytes' },
      ...{ 'x-content-type-options': 'nosniff', 'content-security-policy': "default-src 'none'; sandbox" },
      'content-disposition': `attachment; filename="${body.id}.pdf"`,
      ...{ etag: `"${sha256(bytes)}"`, 'cache-control': 'private, no-cache', vary: 'Authorization' },
    });
    const etag = whole.headers.get('etag') as string;
    const known = await download(body.href, { 'if-none-match': `"x", ${etag}` });
    expect([known.status, known.bytes.length]).toEqual([304, 0]);
    for (const [range, status, from, to] of [
      ['bytes=0-0', 206, 0, 1],
      ['bytes=100-199', 206, 100, 200],
      ['bytes=299990-', 206, 299_990, 300_000],
      ['bytes=-5', 206, 299_995, 300_000],
      ['bytes=-999999', 206, 0, 300_000],
      ['bytes=299999-999999', 206, 299_999, 300_000],
      ['bytes=5-4', 200, 0, 300_000],
      ['bytes=0-1,5-6', 200, 0, 300_000],
      ['lines=1-2', 200, 0, 300_000],
      ['bytes=-', 200, 0, 300_000],
    ] as const) {
      const part = await download(body.href, { range });
      expect([range, part.status, part.bytes.equals(bytes.subarray(from, to))]).toEqual([
        range,
        status,
        true,
      ]);
      expect(part.headers.get('content-range')).toBe(
        status === 206 ? `bytes ${from}-${to - 1}/300000` : null,
      );
    }
    for (const range of ['bytes=300000-', 'bytes=-0']) {
      const outside = await download(body.href, { range });
      expect([range, outside.status, outside.headers.get('content-range')]).toEqual([
        range,
        416,
        'bytes */300000',
      ]);
    }
    expect((await download(body.href, { range: 'bytes=0-1', 'if-range': '"other"' })).status).toBe(200);
    expect((await download(body.href, { range: 'bytes=0-1', 'if-range': etag })).status).toBe(206);
  });

  it('get the first answer if sent again, also at the same time, and are stored once', async () => {
    const reportId = await newReport();
    const bytes = await picture('jpeg');
    const before = await everything();
    const answers = await Promise.all(Array.from({ length: 6 }, () => attach(reportId, bytes)));
    expect(answers.map(({ status }) => status).sort()).toEqual([200, 200, 200, 200, 200, 201]);
    expect(new Set(answers.map(({ body }) => body.id)).size).toBe(1);
    const form = new FormData();
    form.append('file', fileOf(bytes, 'image/jpeg'), 'photo.jpg');
    expect(await attachForm(reportId, form)).toMatchObject({ status: 200, body: answers[0]?.body });
    const after = await everything();
    expect([after.rows - before.rows, after.kept.length - before.kept.length]).toEqual([1, 1]);
    expect([after.incoming, after.uploads]).toEqual([[], 0]);
    // Another report may have the same photo.
    expect((await attach(await newReport(), bytes)).status).toBe(201);
  });

  it('honour an Idempotency-Key, which counts for the file', async () => {
    const reportId = await newReport();
    const headers = { 'content-type': 'application/pdf', 'idempotency-key': uuidv7() };
    const send = (bytes: Buffer) => fleet.mechanic.send('POST', pathOf(reportId), bytes, headers);
    const first = await send(paper(2000));
    expect(await send(paper(2000))).toMatchObject({ status: 201, body: first.body });
    const before = await everything();
    const other = await send(paper(2001));
    expect([other.status, other.body.errors[0].header]).toEqual([422, 'Idempotency-Key']);
    expect(await everything()).toEqual(before);
  });

  it('may have 10 MB and not a byte more', async () => {
    const reportId = await newReport();
    expect((await attach(reportId, paper(10 * MB))).status).toBe(201);
    const before = await everything();
    const alone = await attach(reportId, paper(10 * MB + 1));
    expect([alone.status, alone.body.type]).toEqual([413, '/problems/attachment-too-large']);
    const form = new FormData();
    form.append('file', fileOf(paper(10 * MB + 1), 'application/pdf'), 'x.pdf');
    expect((await attachForm(reportId, form)).status).toBe(413);
    const huge = await attach(reportId, paper(20 * MB)).catch(() => null);
    expect([413, undefined]).toContain(huge?.status);
    // Of a length that is not told in advance.
    const outgoing = upload(reportId);
    const piece = paper(MB);
    outgoing.on('error', () => undefined);
    const answered = answerOf(outgoing);
    // Whoever has answered already need not read on.
    for (let sent = 0; sent < 14; sent++)
      if (!outgoing.write(piece)) await Promise.race([once(outgoing, 'drain'), answered]);
    outgoing.end();
    expect((await answered).status).toBe(413);
    expect(await everything()).toEqual(before);
  });

  it.each([
    ['nothing', Buffer.alloc(0), 422, /is empty/],
    ['text', Buffer.from('only words'), 415, /of no type that is known/],
    ['a page', Buffer.from('<!doctype html><script>alert(1)</script>'), 415, /JPEG, PNG, WebP or PDF/],
    [
      'a drawing',
      Buffer.from('<?xml version="1.0"?><svg xmlns="http://www.w3.org/2000/svg"/>'),
      415,
      /xml|svg/,
    ],
    ['a GIF', Buffer.from('R0lGODlhAQABAAAAACw=', 'base64'), 415, /image\/gif/],
    ['a program', Buffer.concat([Buffer.from('\x7fELF\x02\x01\x01'), Buffer.alloc(100)]), 415, /x-elf/],
    ['a JPEG in name only', Buffer.from('ÿØÿ'), 415, /no type/],
    ['the beginning of a JPEG', Buffer.from([0xff, 0xd8, 0xff, 0xe0]), 422, /damaged/],
  ])('that are %s are refused under any name', async (_what, bytes, status, detail) => {
    const reportId = await newReport();
    const before = await everything();
    const form = new FormData();
    form.append('file', fileOf(bytes, 'image/jpeg'), 'photo.jpg');
    for (const answer of [await attach(reportId, bytes, 'image/jpeg'), await attachForm(reportId, form)]) {
      expect([answer.status, answer.body.errors?.[0]?.pointer]).toEqual([status, '']);
      expect(answer.body.errors[0].detail).toMatch(detail);
    }
    expect(await everything()).toEqual(before);
  });

  it('must be files: anything else is refused, with the accepted types, and files are refused elsewhere', async () => {
    const reportId = await newReport();
    const before = await everything();
    for (const type of ['application/json', 'text/html', 'application/x-www-form-urlencoded', 'x']) {
      const { status, body } = await attach(reportId, Buffer.from('{}'), type);
      expect([type, status, body.errors?.[0]?.header]).toEqual([type, 415, 'Content-Type']);
    }
    expect((await fleet.mechanic.send('POST', pathOf(reportId), undefined)).status).toBe(415);
    for (const type of ['multipart/form-data; boundary=x', 'image/jpeg', 'application/octet-stream'])
      expect([
        type,
        (await fleet.mechanic.send('POST', '/v1/job-reports', 'x', { 'content-type': type })).status,
      ]).toEqual([type, 415]);
    expect(await everything()).toEqual(before);
  });

  it('come one to a form, and an invalid form is refused', async () => {
    const reportId = await newReport();
    const before = await everything();
    const pdf = () => fileOf(paper(1000), 'application/pdf');
    const two = new FormData();
    two.append('file', pdf(), 'a.pdf');
    two.append('file', pdf(), 'b.pdf');
    const withField = new FormData();
    withField.append('note', 'x');
    withField.append('file', pdf(), 'a.pdf');
    const fieldAfter = new FormData();
    fieldAfter.append('file', pdf(), 'a.pdf');
    fieldAfter.append('note', 'x');
    const none = new FormData();
    const prototype = new FormData();
    prototype.append('__proto__', pdf(), 'a.pdf');
    for (const [name, form] of Object.entries({ two, withField, fieldAfter, none, prototype })) {
      const { status, body } = await attachForm(reportId, form);
      expect([name, status, body.type]).toEqual([name, 400, '/problems/malformed-form']);
    }
    const start = '--x\r\nContent-Disposition: form-data; name="file"; filename="a"\r\n\r\n%PDF-1.4';
    for (const [text, type] of [
      ['', 'multipart/form-data; boundary=x'],
      ['nonsense', 'multipart/form-data; boundary=x'],
      ['--x', 'multipart/form-data; boundary=x'],
      [start, 'multipart/form-data; boundary=x'],
      [`${start}\r\n--x`, 'multipart/form-data; boundary=x'],
      [`${start}\r\n--x--`, 'multipart/form-data'],
      // Longer than the reader of forms takes.
      [start.replace('--x', `--${'x'.repeat(300)}`), `multipart/form-data; boundary=${'x'.repeat(300)}`],
      ['--x\r\n\u0000: y\r\n\r\nz\r\n--x--', 'multipart/form-data; boundary=x'],
    ]) {
      const { status, body } = await attach(reportId, Buffer.from(text as string), type);
      expect([text, type, status, body.status]).toEqual([text, type, 400, 400]);
    }
    expect(await everything()).toEqual(before);
    expect((await attach(reportId, paper(1000))).status).toBe(201);
  });

  it('are limited to 40 for a report', async () => {
    const reportId = await newReport();
    const answers = [];
    for (let from = 0; from < 44; from += 4)
      answers.push(...(await Promise.all([0, 1, 2, 3].map((n) => attach(reportId, paper(1000 + from + n))))));
    expect(answers.filter(({ status }) => status === 201).length).toBe(40);
    const refused = answers.filter(({ status }) => status === 409);
    expect([refused.length, refused[0]?.body.type]).toEqual([4, '/problems/too-many-attachments']);
    expect((await attach(reportId, paper(1000))).status).toBe(200);
    const { kept, rows, incoming, uploads } = await everything();
    expect([kept.length, incoming, uploads]).toEqual([rows, [], 0]);
  });

  it('can be seen and changed by those who may see and change the report', async () => {
    const reportId = await newReport();
    const { body } = await attach(reportId, paper(1000), 'application/pdf', fleet.manager);
    const other = await service.newFleet();
    const before = await everything();
    for (const path of [pathOf(reportId), body.href]) {
      expect((await other.manager.get(path)).status).toBe(404);
      expect((await service.client(null).get(path)).status).toBe(401);
      expect((await fleet.dashboard.get(path)).status).toBe(200);
    }
    expect((await attach(reportId, paper(1001), undefined, other.manager)).status).toBe(404);
    expect((await attach(reportId, paper(1001), undefined, fleet.dashboard)).status).toBe(403);
    expect((await attach(uuidv7(), paper(1001))).status).toBe(404);
    const reason = { reason: 'wrong vehicle' };
    expect((await other.manager.post(`${body.href}/void`, reason)).status).toBe(404);
    expect((await fleet.mechanic.post(`${body.href}/void`, reason)).status).toBe(403);
    // Under a report that it does not belong to.
    const elsewhere = `${pathOf(await newReport())}/${body.id}`;
    expect((await fleet.manager.get(elsewhere)).status).toBe(404);
    expect((await fleet.manager.post(`${elsewhere}/void`, reason)).status).toBe(404);
    expect(await everything()).toEqual(before);
  });

  it('can be voided by a manager and stay on record, even if sent again', async () => {
    const reportId = await newReport();
    const { body } = await attach(reportId, paper(1000));
    const first = await fleet.manager.post(`${body.href}/void`, { reason: 'shows a face' });
    expect(first).toMatchObject({
      status: 200,
      body: { voided: { at: new Date(NOW).toISOString(), reason: 'shows a face' } },
    });
    expect((await fleet.manager.post(`${body.href}/void`, { reason: 'shows a face' })).body).toEqual(
      first.body,
    );
    expect((await fleet.manager.post(`${body.href}/void`, { reason: 'another' })).status).toBe(409);
    expect((await attach(reportId, paper(1000))).body).toEqual(first.body);
    expect((await fleet.dashboard.get(pathOf(reportId))).body.items).toEqual([first.body]);
  });

  describe('on a bad connection', () => {
    it('that break off leave no file and no row', async () => {
      const reportId = await newReport();
      const before = await everything();
      const bytes = await picture('jpeg', { width: 800, height: 600 });
      const outgoing = upload(reportId, { 'content-length': String(bytes.length) });
      outgoing.on('error', () => undefined);
      outgoing.write(bytes.subarray(0, bytes.length / 2));
      await until(async () => (await filesThere()).incoming.length === 1);
      outgoing.destroy();
      await until(async () => (await filesThere()).incoming.length === 0);
      expect(await everything()).toEqual(before);
      expect((await attach(reportId, bytes)).status).toBe(201);
    });

    it('are on disk before the rest has arrived, and 10 MB use only a fraction of that memory', async () => {
      const reportId = await newReport();
      setFlagsFromString('--expose-gc');
      const collect = runInNewContext('gc') as () => void;
      const held = (): number => {
        collect();
        return process.memoryUsage().arrayBuffers;
      };
      const piece = paper(64 * 1024);
      const outgoing = upload(reportId);
      const before = held();
      let most = 0;
      for (let sent = 1; sent <= 160; sent++) {
        if (!outgoing.write(piece)) await once(outgoing, 'drain');
        if (sent % 20 !== 0) continue;
        await until(async () => (await sizeOnTheWay()) >= sent * piece.length - 4 * piece.length);
        most = Math.max(most, held() - before);
      }
      outgoing.end();
      expect((await answerOf(outgoing)).body).toMatchObject({ sizeBytes: 10 * MB });
      expect(most).toBeLessThan(4 * MB);
    });

    it('wait for a place when many come at once, and get 429 if none is free in time', async () => {
      const places = service.app.get(UploadPlaces, { strict: false });
      const { mostOfFleet, waitMs } = places;
      Object.assign(places, { mostOfFleet: 1, waitMs: 1500 });
      try {
        const [first, second] = [await newReport(), await newReport()];
        const outgoing = upload(first);
        outgoing.write(paper(2000));
        await until(async () => (await filesThere()).incoming.length === 1);
        const refused = await attach(second, paper(1000));
        expect([refused.status, refused.body.type, refused.headers.get('retry-after')]).toEqual([
          ...[429, '/problems/too-many-uploads', '2'],
        ]);
        // Another fleet's are not held up by it.
        const other = await service.newFleet();
        expect((await attach(second, paper(1000), undefined, other.mechanic)).status).toBe(404);
        places.waitMs = 30_000;
        const waiting = attach(second, paper(1000));
        outgoing.end();
        expect([(await answerOf(outgoing)).status, (await waiting).status]).toEqual([201, 201]);
      } finally {
        Object.assign(places, { mostOfFleet, waitMs });
      }
    });

    async function sizeOnTheWay(): Promise<number> {
      const [name] = (await filesThere()).incoming;
      if (name === undefined) return 0;
      return (await stat(join(service.config.attachments.directory, 'incoming', name))).size;
    }
  });

  it('whose process died between file and row are removed by the next upload; no other file is touched', async () => {
    const { directory } = service.config.attachments;
    const [stranded, underway, foreign] = [uuidv7(), uuidv7(), uuidv7()];
    const note = (id: string, minutes: number) =>
      service.database.admin.query(
        'insert into attachment_uploads (fleet_id, id, started_at) values ($1, $2, $3)',
        [...[fleet.fleetId, id, new Date(Date.parse(NOW) - minutes * 60_000)]],
      );
    const kept = await attach(await newReport(), paper(1234));
    await note(stranded, 61);
    await note(underway, 59);
    // A note that was left though the row is there takes nothing away.
    await note(kept.body.id, 100);
    for (const id of [stranded, underway, foreign]) await writeFile(join(directory, fleet.fleetId, id), 'x');
    await attach(await newReport(), paper(4321));
    const there = (id: string): boolean => existsSync(join(directory, fleet.fleetId, id));
    expect([stranded, underway, foreign, kept.body.id].map(there)).toEqual([false, true, true, true]);
    expect(await rowsIn('attachment_uploads')).toBe(1);
    await service.database.admin.query('delete from attachment_uploads');
    expect((await download(kept.body.href)).status).toBe(200);
  });

  it('whose process died while they arrived are removed after an hour', async () => {
    const incoming = join(service.config.attachments.directory, 'incoming');
    await mkdir(incoming, { recursive: true });
    const [old, young] = [join(incoming, 'old.part'), join(incoming, 'young.part')];
    for (const path of [old, young]) await writeFile(path, 'x');
    const before = Date.now() / 1000;
    await utimes(old, before - 3700, before - 3700);
    await utimes(young, before - 3500, before - 3500);
    await service.app.get(IncomingFiles, { strict: false }).sweep();
    expect([existsSync(old), existsSync(young)]).toEqual([false, true]);
    await service.app.get(IncomingFiles, { strict: false }).discard(young);
  });

  it('whose file is missing get an answer that says what may have happened', async () => {
    const { body } = await attach(await newReport(), paper(1000));
    await service.app
      .get(IncomingFiles, { strict: false })
      .discard(join(service.config.attachments.directory, fleet.fleetId, body.id));
    const { status, bytes } = await download(body.href);
    expect([status, JSON.parse(bytes.toString()).type]).toEqual([404, '/problems/file-missing']);
  });

  function upload(reportId: string, headers: Record<string, string> = {}): ClientRequest {
    return rawRequest(service.url + pathOf(reportId), {
      method: 'POST',
      headers: {
        ...{ authorization: `Bearer ${fleet.mechanic.token}`, 'content-type': 'application/octet-stream' },
        ...headers,
      },
    });
  }
  async function answerOf(outgoing: ClientRequest): Promise<{ status: number; body: any }> {
    const [incoming] = await once(outgoing, 'response');
    let text = '';
    for await (const chunk of incoming) text += chunk;
    return { status: incoming.statusCode, body: JSON.parse(text) };
  }
});
