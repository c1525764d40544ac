import { v7 as uuidv7 } from 'uuid';
import { NoAnswerError, ProblemError, WeepholeClient } from '../../../clients/typescript/src/client.js';
import { type BreakingProxy, startBreakingProxy } from '../../support/breaking-proxy.js';
import { postScenario, type Scenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const PROBLEM_503 =
  '{"type":"/problems/away","title":"Away","status":503,"detail":"Be back.","instance":"/v1/fleet"}';

/** An answer as it goes over the wire. */
function wire(status: string, headers: string[], body: string): { instead: string } {
  const head = [`HTTP/1.1 ${status}`, ...headers, `content-length: ${body.length}`, 'connection: close'];
  return { instead: `${head.join('\r\n')}\r\n\r\n${body}` };
}

const away = (...headers: string[]) =>
  wire('503 Service Unavailable', ['content-type: application/problem+json', ...headers], PROBLEM_503);

describe('the TypeScript client', () => {
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;
  let proxy: BreakingProxy;

  beforeAll(async () => {
    service = await startService();
    fleet = await service.newFleet();
    scenario = await postScenario(fleet);
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    proxy = await startBreakingProxy(service.url);
  });
  afterEach(() => proxy.close());

  const clientAt = (baseUrl: string, more: object = {}): WeepholeClient =>
    new WeepholeClient({ baseUrl, token: fleet.manager.token, retries: { firstWaitMs: 20 }, ...more });
  const keysSent = (): string[] =>
    proxy.heads.map((head) => /^idempotency-key: (\S+)/im.exec(head)?.[1] ?? '');

  async function vehicles(): Promise<number> {
    const { rows } = await service.database.admin.query<{ n: number }>(
      'select count(*)::int as n from vehicles where fleet_id = $1',
      [fleet.fleetId],
    );
    return rows[0]?.n ?? -1;
  }

  const vehicle = (unitNumber: string) => ({
    unitNumber,
    ...{ depotId: scenario.depotId, specSheetId: scenario.specSheetId },
    intervalPlanId: scenario.intervalPlanId,
    inServiceOn: '2024-01-01',
  });

  it('asks for the texts of answers in the language that it is given', async () => {
    const spanish = await clientAt(proxy.url, { language: 'es' }).get('/v1/fleet');
    expect(proxy.heads[0]).toMatch(/^accept-language: es\r?$/im);
    expect(spanish.headers.get('content-language')).toBe('es');
    const usual = await clientAt(service.url).get('/v1/fleet');
    expect(usual.headers.get('content-language')).toBe('en');
  });

  it('has the types of the API document', async () => {
    const client = clientAt(service.url);
    const path = { id: scenario.vehicleId };
    const { data, status, headers } = await client.get('/v1/vehicles/{id}', { path, query: { units: 'si' } });
    const unitNumber: string = data.unitNumber;
    expect([status, unitNumber]).toEqual([200, 'R-114']);
    const ifMatch = headers.get('etag') ?? '';
    const changed = await client.patch('/v1/vehicles/{id}', { path, body: { make: 'Ridge' }, ifMatch });
    expect(changed.data.make).toBe('Ridge');
    const stale = client.patch('/v1/vehicles/{id}', { path, body: { make: 'Other' }, ifMatch });
    await expect(stale).rejects.toMatchObject({ status: 412 });
    const csv = await client.file('/v1/vehicles.csv');
    expect(await csv.data.text()).toContain('R-114');
    // Never run: what must not compile. `npm run check` says so when one of these lines is no fault
    // any more.
    void (() => {
      // @ts-expect-error there is no such path
      void client.get('/v1/lorries');
      // @ts-expect-error this path is not posted to
      void client.post('/v1/vehicles/{id}', { path });
      // @ts-expect-error the id is missing
      void client.get('/v1/vehicles/{id}');
      // @ts-expect-error there are no such units
      void client.get('/v1/vehicles', { query: { units: 'metric' } });
      // @ts-expect-error the unit number is missing
      void client.post('/v1/vehicles', { body: { inServiceOn: '2024-01-01' } });
      // @ts-expect-error this list does not come in pages
      void client.items('/v1/fleet');
    });
  });

  it('reads a list page by page, each row once', async () => {
    const client = clientAt(service.url);
    for (const unitNumber of ['P-1', 'P-2', 'P-3', 'P-4', 'P-5']) {
      const { data, status } = await client.post('/v1/vehicles', { body: vehicle(unitNumber) });
      expect([status, data.unitNumber]).toEqual([201, unitNumber]);
    }
    const read: string[] = [];
    const paged = clientAt(proxy.url);
    for await (const { unitNumber } of paged.items('/v1/vehicles', { query: { limit: 2, q: 'P-' } })) {
      read.push(unitNumber);
    }
    expect(read).toEqual(['P-1', 'P-2', 'P-3', 'P-4', 'P-5']);
    expect(proxy.heads).toHaveLength(3);
  });

  it('passes on a problem with its fields, and does not retry', async () => {
    const fault: unknown = await clientAt(proxy.url)
      .post('/v1/vehicles', { body: { ...vehicle('X-1'), depotId: uuidv7() } })
      .catch((caught: unknown) => caught);
    expect(fault).toBeInstanceOf(ProblemError);
    const { problem, status } = fault as ProblemError;
    expect([status, problem.errors?.[0]?.pointer]).toEqual([422, '/depotId']);
    expect(proxy.heads).toHaveLength(1);
    const missing = clientAt(proxy.url).get('/v1/vehicles/{id}', { path: { id: uuidv7() } });
    await expect(missing).rejects.toMatchObject({ status: 404 });
  });

  it('does nothing twice if the answer to a post is lost, because it keeps the key', async () => {
    const before = await vehicles();
    proxy.next('cut', 'cut');
    const { status, data } = await clientAt(proxy.url).post('/v1/vehicles', { body: vehicle('C-1') });
    expect([status, data.unitNumber]).toEqual([201, 'C-1']);
    expect([proxy.lost(), proxy.heads.length]).toEqual([2, 3]);
    expect(keysSent()[0]).toMatch(/^[0-9a-f]{32}$/);
    expect(new Set(keysSent()).size).toBe(1);
    expect(await vehicles()).toBe(before + 1);
    await clientAt(proxy.url).post('/v1/vehicles', { body: vehicle('C-2') });
    expect(new Set(keysSent()).size).toBe(2);
  });

  it('waits as long as Retry-After says, and gives up if that is too long', async () => {
    proxy.next(away('retry-after: 1'));
    const from = performance.now();
    const { data } = await clientAt(proxy.url).get('/v1/fleet');
    expect(data.units).toBe('us');
    expect(performance.now() - from).toBeGreaterThanOrEqual(990);
    proxy.next(away('retry-after: 3600'));
    await expect(clientAt(proxy.url).get('/v1/fleet')).rejects.toMatchObject({ status: 503 });
    expect(proxy.heads).toHaveLength(3);
  });

  it('gives up after the last try, with its error', async () => {
    const client = clientAt(proxy.url, { retries: { tries: 3, firstWaitMs: 5 } });
    proxy.next(away(), away(), away());
    await expect(client.get('/v1/fleet')).rejects.toMatchObject({ problem: { detail: 'Be back.' } });
    expect(proxy.heads).toHaveLength(3);
    proxy.next('cut', 'cut', 'cut');
    await expect(client.get('/v1/fleet')).rejects.toBeInstanceOf(NoAnswerError);
    expect(proxy.heads).toHaveLength(6);
  });

  it('does not take a public network’s sign-in page for an answer', async () => {
    const page = wire('200 OK', ['content-type: text/html'], '<h1>Sign in</h1>');
    proxy.next(page, wire('302 Found', ['location: http://127.0.0.1:9/sign-in'], ''));
    expect((await clientAt(proxy.url).get('/v1/fleet')).status).toBe(200);
    expect(proxy.heads).toHaveLength(3);
  });

  it('can be cancelled and times out, also while it waits', async () => {
    proxy.next('hold', 'pass');
    expect((await clientAt(proxy.url, { timeoutMs: 300 }).get('/v1/fleet')).status).toBe(200);
    expect(proxy.heads).toHaveLength(2);
    const stopped = new AbortController();
    proxy.next(away('retry-after: 20'));
    const asked = clientAt(proxy.url).get('/v1/fleet', { signal: stopped.signal });
    setTimeout(() => stopped.abort(new Error('left the page')), 200);
    await expect(asked).rejects.toThrow('left the page');
    expect(proxy.heads).toHaveLength(3);
  });
});
