import { mkdtemp, readdir, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { v7 as uuidv7 } from 'uuid';
import { type JobReport, Outbox } from '../../../clients/typescript/examples/outbox.js';
import { NoAnswerError, WeepholeClient } from '../../../clients/typescript/src/client.js';
import { type BreakingProxy, startBreakingProxy } from '../../support/breaking-proxy.js';
import { type ServiceProcess, startProcess } from '../../support/processes.js';
import { until } from '../../support/receiver.js';
import { postScenario, type Scenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const PROGRAM = 'clients/typescript/examples/outbox.js';

describe("a mechanic's outbox", () => {
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;
  let proxy: BreakingProxy;
  let folder: string;
  let outbox: Outbox;

  beforeAll(async () => {
    service = await startService();
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    fleet = await service.newFleet();
    scenario = await postScenario(fleet);
    proxy = await startBreakingProxy(service.url);
    folder = await mkdtemp(join(tmpdir(), 'weephole-outbox-'));
    outbox = new Outbox(folder);
  });
  afterEach(async () => {
    await proxy.close();
    await rm(folder, { recursive: true, force: true });
  });

  const client = (): WeepholeClient =>
    new WeepholeClient({
      ...{ baseUrl: proxy.url, token: fleet.mechanic.token },
      retries: { tries: 2, firstWaitMs: 5 },
    });
  const start = (): ServiceProcess =>
    startProcess(PROGRAM, { WEEPHOLE_URL: proxy.url, WEEPHOLE_TOKEN: fleet.mechanic.token, OUTBOX: folder }, [
      'send',
    ]);
  const filesIn = async (name: string): Promise<string[]> => {
    const all = await readdir(join(folder, name)).catch(() => []);
    return all.filter((file) => file.endsWith('.json'));
  };

  const job = (minute: number, more: Partial<JobReport> = {}): JobReport => ({
    ...{ vehicleId: scenario.vehicleId, lines: [{ component: 'coolant', action: 'replace' }] },
    performedAt: new Date(Date.UTC(2026, 2, 1, 8, minute)).toISOString(),
    ...more,
  });
  const putMany = async (count: number, vehicleIds = [scenario.vehicleId]): Promise<string[]> => {
    const ids: string[] = [];
    for (let minute = 0; minute < count; minute++) {
      const vehicleId = vehicleIds[minute % vehicleIds.length] ?? '';
      ids.push(await outbox.put(job(minute, { vehicleId })));
    }
    return ids.toSorted();
  };

  async function reportsThere(): Promise<string[]> {
    const { rows } = await service.database.admin.query<{ id: string }>(
      'select id from job_reports where fleet_id = $1 order by id',
      [fleet.fleetId],
    );
    return rows.map(({ id }) => id).toSorted();
  }

  it('sends more than fits into one batch, and removes what was accepted', async () => {
    const { vehicleId: _one, ...rest } = scenario;
    const vehicleIds: string[] = [];
    for (let turn = 0; turn < 12; turn++) {
      const body = { ...rest, unitNumber: `B-${turn}`, inServiceOn: '2024-01-01' };
      vehicleIds.push((await fleet.manager.post('/v1/vehicles', body)).body.id);
    }
    const ids = await putMany(203, vehicleIds);
    const { taken, refused, staying } = await outbox.send(client());
    expect([taken.toSorted(), refused, staying]).toEqual([ids, [], []]);
    expect(proxy.heads).toHaveLength(2);
    expect(await reportsThere()).toEqual(ids);
    expect(await filesIn('waiting')).toEqual([]);
  });

  it('keeps everything while the service does not answer', async () => {
    const ids = await putMany(3);
    const nowhere = new WeepholeClient({
      ...{ baseUrl: 'http://127.0.0.1:9', token: 'none' },
      retries: { tries: 2, firstWaitMs: 5 },
    });
    await expect(outbox.send(nowhere)).rejects.toBeInstanceOf(NoAnswerError);
    expect(await filesIn('waiting')).toHaveLength(3);
    const stranger = new WeepholeClient({ baseUrl: proxy.url, token: 'none' });
    await expect(outbox.send(stranger)).rejects.toMatchObject({ status: 401 });
    expect(await filesIn('waiting')).toHaveLength(3);
    expect((await outbox.send(client())).taken.toSorted()).toEqual(ids);
  });

  it('moves refused reports aside with the problem, and leaves unreadable files where they are', async () => {
    const good = await outbox.put(job(0));
    const changed = await outbox.put(job(1));
    await outbox.send(client());
    const stranger = await outbox.put(job(2, { vehicleId: uuidv7() }));
    await outbox.put(job(3, { id: changed }));
    const fine = await outbox.put(job(4));
    await expect(outbox.put(job(5, { id: fine }))).rejects.toThrow('waiting already');
    await writeFile(join(folder, 'waiting', 'zz.json'), '{"half');
    const sent = await outbox.send(client());
    expect(sent).toEqual({ taken: [fine], refused: [stranger, changed], staying: ['zz.json'] });
    const kept = await Promise.all(
      (await filesIn('refused')).map(async (name) =>
        JSON.parse(await readFile(join(folder, 'refused', name), 'utf8')),
      ),
    );
    expect(kept.map(({ problem, report }) => [report.id, problem.status, problem.errors[0].pointer])).toEqual(
      [
        [stranger, 422, '/reports/0/vehicleId'],
        [changed, 409, '/reports/1/id'],
      ],
    );
    expect(await filesIn('waiting')).toEqual(['zz.json']);
    expect(await reportsThere()).toEqual([good, changed, fine].toSorted());
  });

  it('keeps reports without an answer, even if others of the batch were answered', async () => {
    await putMany(3);
    const body = JSON.stringify({
      results: [
        { index: 0, status: 201 },
        { index: 1, status: 500 },
      ],
    });
    const head = `HTTP/1.1 200 OK\r\ncontent-type: application/json\r\ncontent-length: ${body.length}`;
    proxy.next({ instead: `${head}\r\nconnection: close\r\n\r\n${body}` });
    const [, second, third] = (await filesIn('waiting')).toSorted();
    const sent = await outbox.send(client());
    expect([sent.taken.length, sent.refused, sent.staying]).toEqual([1, [], [second, third]]);
    expect((await filesIn('waiting')).toSorted()).toEqual([second, third]);
  });

  it('halves a batch that is refused as a whole, for instance by a proxy’s size limit', async () => {
    const ids = await putMany(3);
    const refusal = 'HTTP/1.1 413 Too Large\r\ncontent-length: 0\r\nconnection: close\r\n\r\n';
    proxy.next({ instead: refusal });
    const sent = await outbox.send(client());
    expect([sent.taken.toSorted(), sent.refused, sent.staying]).toEqual([ids, [], []]);
    expect(proxy.heads).toHaveLength(3);
    const alone = await outbox.put(job(9));
    proxy.next({ instead: refusal });
    expect(await outbox.send(client())).toEqual({ taken: [], refused: [alone], staying: [] });
    const [name = ''] = await filesIn('refused');
    expect(JSON.parse(await readFile(join(folder, 'refused', name), 'utf8')).problem.status).toBe(413);
  });

  it('never sends more at once than the service accepts, and refuses a report that can never fit', async () => {
    // 40 reports of 120 kB are more than the 4 MB that the service takes at once; their notes are
    // too long besides.
    for (let minute = 0; minute < 40; minute++) await outbox.put(job(minute, { notes: 'x'.repeat(120_000) }));
    const { refused, staying } = await outbox.send(client());
    expect([refused.length, staying]).toEqual([40, []]);
    expect(proxy.heads).toHaveLength(2);
    await expect(outbox.put(job(50, { notes: 'x'.repeat(3_000_000) }))).rejects.toThrow('3000');
    expect(await filesIn('waiting')).toEqual([]);
  });

  it('neither loses nor doubles a report if killed between its acceptance and its removal', async () => {
    const ids = await putMany(12);
    proxy.next('hold');
    const sending = start();
    await until(
      () => proxy.lost() > 0,
      10_000,
      () => `no answer came; the program said: ${sending.log()}`,
    );
    expect(await reportsThere()).toEqual(ids);
    await sending.killHard();
    expect(await filesIn('waiting')).toHaveLength(12);
    const again = start();
    expect([await again.ended, again.log()]).toEqual([0, '']);
    expect(await filesIn('waiting')).toEqual([]);
    expect(await reportsThere()).toEqual(ids);
  });

  it('neither loses nor doubles a report if killed at any moment while storing it', async () => {
    const good = await putMany(10);
    const bad: string[] = [];
    for (let minute = 0; minute < 90; minute++) {
      bad.push(await outbox.put(job(minute, { vehicleId: uuidv7() })));
    }
    const counts: number[] = [];
    for (let kills = 0; kills < 5; kills++) {
      const before = (await filesIn('waiting')).length;
      const sending = start();
      while ((await filesIn('waiting')).length === before && !sending.hasEnded()) {
        await new Promise(setImmediate);
      }
      await sending.killHard();
      counts.push((await filesIn('waiting')).length);
    }
    // At least one kill came in the midst of it.
    expect(counts.some((count) => count > 0 && count < 100)).toBe(true);
    const last = start();
    expect([await last.ended, last.log()]).toEqual([0, '']);
    expect(await filesIn('waiting')).toEqual([]);
    expect(await reportsThere()).toEqual(good);
    const refused = (await filesIn('refused')).map((name) => name.replace(/^.*_|\.json$/g, ''));
    expect(refused.toSorted()).toEqual(bad.toSorted());
  });
});
