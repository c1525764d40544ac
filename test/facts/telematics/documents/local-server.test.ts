import {
  readIso15143FaultsJson,
  readIso15143FaultsXml,
  readIso15143Json,
  readIso15143Xml,
} from '../../../../src/facts/telematics/documents/iso-15143.js';
import type { MachineReport, SourcePage } from '../../../../src/facts/telematics/documents/machine-report.js';
import { nextRfmsPage, readRfmsStatuses } from '../../../../src/facts/telematics/documents/rfms.js';
import { machineOf, machinesOf, vinOf } from '../../../support/telematics/machines.js';
import {
  breaksOff,
  drips,
  floods,
  hangs,
  redirectsTo,
  tooManyRequests,
} from '../../../support/telematics/misbehaviours.js';
import { valuesOf } from '../../../support/telematics/report-words.js';
import {
  startTelematicsServer,
  type TelematicsServer,
  type TelematicsServerOptions,
} from '../../../support/telematics/telematics-server.js';

const XML = { accept: 'application/xml' };
const JSON_ONLY = { accept: 'application/json' };

describe('the local telematics server', () => {
  const servers: TelematicsServer[] = [];
  const start = async (options: TelematicsServerOptions = {}): Promise<TelematicsServer> => {
    const server = await startTelematicsServer(options);
    servers.push(server);
    return server;
  };
  afterEach(async () => {
    for (const server of servers.splice(0)) await server.close();
  });

  const get = (url: string | URL, headers: Record<string, string> = {}): Promise<Response> =>
    fetch(url, { headers, redirect: 'manual', signal: AbortSignal.timeout(20_000) });
  const bytes = async (url: string | URL, headers: Record<string, string> = {}): Promise<Uint8Array> => {
    const reply = await get(url, headers);
    expect(reply.status).toBe(200);
    return new Uint8Array(await reply.arrayBuffer());
  };

  /** Reads page after page. */
  async function readAll(
    first: string,
    headers: Record<string, string>,
    read: (bytes: Uint8Array) => Promise<SourcePage>,
    nextOf = (_asked: URL, page: SourcePage): string | null => page.next,
  ): Promise<{ machines: MachineReport[]; pages: number }> {
    const machines: MachineReport[] = [];
    let pages = 0;
    for (let url: URL | null = new URL(first); url !== null; pages++) {
      const page: SourcePage = await read(await bytes(url, headers));
      machines.push(...page.machines);
      const next = nextOf(url, page);
      url = next === null ? null : new URL(next, url);
    }
    return { machines, pages };
  }

  it.each([
    ['XML', XML, readIso15143Xml],
    ['JSON', JSON_ONLY, readIso15143Json],
  ])('gives 10,000 machines in pages of %s', async (_, headers, read) => {
    const server = await start({ machines: machinesOf(10_000), pageSize: 1000 });
    const { machines, pages } = await readAll(`${server.url}/Fleet/1`, headers, read);
    expect(pages).toBe(10);
    expect(new Set(machines.map(({ identity }) => identity.vin)).size).toBe(10_000);
    expect(machines[9999]?.identity).toMatchObject({ make: 'Marrow & Pike', model: 'Heron 22' });
    expect(valuesOf(machines[9999])).toEqual([
      '2026-04-02T15:20:00Z 124992.5 km',
      '2026-04-02T15:20:00Z 3499.75 h',
    ]);
    expect(machines.flatMap(({ refused }) => refused)).toEqual([]);
  });

  it.each([
    ['by its links', '?latestOnly=true', true],
    ['by the last VIN', '?latestOnly=true', false],
    ['by its links, from a time on', '?starttime=2026-04-02T00:00:00Z', true],
    ['from the last time on', '?starttime=2026-04-02T00:00:00Z', false],
  ])('gives all statuses of rFMS %s', async (_, query, givesLinks) => {
    const machines = machinesOf(250).map((one, index) => ({
      ...one,
      at: new Date(Date.parse('2026-04-02T10:00:00Z') + index * 1000).toISOString(),
    }));
    const server = await start({ machines, pageSize: 100 });
    server.givesRfmsLinks = givesLinks;
    const read = await readAll(
      `${server.url}/rfms/vehiclestatuses${query}`,
      JSON_ONLY,
      readRfmsStatuses,
      (asked, page) => nextRfmsPage(asked, page as Awaited<ReturnType<typeof readRfmsStatuses>>),
    );
    expect(read.pages).toBe(3);
    expect(read.machines.map(({ identity }) => identity.vin)).toEqual(machines.map(({ vin }) => vin));
  });

  it('gives the faults of one machine, page by page, in XML and JSON', async () => {
    const machine = machineOf(7);
    machine.faults = Array.from({ length: 5 }, (_, hour) => ({
      ...{ at: `2026-04-02T0${hour}:00:00Z`, identifier: '110-0', source: 'J1939' },
    }));
    const server = await start({ machines: [machine], pageSize: 2 });
    const first = `${server.url}/Fleet/Equipment/ID/${vinOf(7)}/Faults/2026-04-02T01:00:00Z/2026-04-02T12:00:00Z/1`;
    for (const [headers, read] of [
      [XML, readIso15143FaultsXml],
      [JSON_ONLY, readIso15143FaultsJson],
    ] as const) {
      const page = await read(await bytes(first, headers));
      expect(page.faults).toHaveLength(2);
      const last = await read(await bytes(page.next ?? '', headers));
      expect([last.faults.length, last.next]).toEqual([2, null]);
    }
  });

  it('tells the unit as the machine has it, in miles or not at all', async () => {
    const miles = { ...machineOf(1), odometerKm: 1609.344, odometerUnits: 'mile' as const };
    const without = { ...machineOf(2), odometerUnits: null };
    const server = await start({ machines: [miles, without] });
    for (const [headers, read] of [
      [XML, readIso15143Xml],
      [JSON_ONLY, readIso15143Json],
    ] as const) {
      const { machines } = await read(await bytes(`${server.url}/Fleet/1`, headers));
      expect(machines[0]?.odometerKm[0]?.value).toBeCloseTo(1609.344, 9);
      expect(machines[1]?.odometerKm).toEqual([]);
      expect(machines[1]?.refused.map(({ why }) => why.code)).toEqual(['telematics-unit-missing']);
    }
  });

  it('asks for a name and a password', async () => {
    const server = await start({ login: { kind: 'basic', user: 'fleet', password: 'pass' } });
    const named = { authorization: `Basic ${btoa('fleet:pass')}` };
    expect((await get(`${server.url}/Fleet/1`)).status).toBe(401);
    expect((await get(`${server.url}/Fleet/1`, named)).status).toBe(200);
  });

  it('issues tokens to its client, refuses them once they have expired, and refuses others', async () => {
    const client = { clientId: 'weephole', clientSecret: 'secret', expiresInSeconds: 3600 };
    const server = await start({ login: { kind: 'client-credentials', ...client } });
    const ask = (secret: string): Promise<Response> =>
      fetch(`${server.url}/token`, {
        method: 'POST',
        headers: { authorization: `Basic ${btoa(`weephole:${secret}`)}` },
        body: new URLSearchParams({ grant_type: 'client_credentials' }),
      });
    expect((await ask('wrong')).status).toBe(400);
    const { access_token: token, expires_in: expiresIn } = (await (await ask('secret')).json()) as any;
    expect(expiresIn).toBe(3600);
    const bearer = { authorization: `Bearer ${token}` };
    expect((await get(`${server.url}/Fleet/1`, bearer)).status).toBe(200);
    server.revokeTokens();
    const refused = await get(`${server.url}/Fleet/1`, bearer);
    expect([refused.status, refused.headers.get('www-authenticate')]).toEqual([
      401,
      'Bearer error="invalid_token"',
    ]);
    server.login = { kind: 'client-credentials', ...client, expiresInSeconds: 0 };
    const { access_token: expired } = (await (await ask('secret')).json()) as any;
    expect((await get(`${server.url}/Fleet/1`, { authorization: `Bearer ${expired}` })).status).toBe(401);
    expect(server.tokensIssued).toBe(2);
  });

  it('misbehaves once when it is told to, then works', async () => {
    const server = await start({ machines: machinesOf(1) });
    server.next.push(tooManyRequests('120'), redirectsTo('http://10.0.0.1/'), breaksOff);
    const limited = await get(`${server.url}/Fleet/1`);
    expect([limited.status, limited.headers.get('retry-after')]).toEqual([429, '120']);
    const redirected = await get(`${server.url}/Fleet/1`);
    expect([redirected.status, redirected.headers.get('location')]).toEqual([302, 'http://10.0.0.1/']);
    await expect(get(`${server.url}/Fleet/1`).then((reply) => reply.text())).rejects.toThrow();
    expect((await get(`${server.url}/Fleet/1`)).status).toBe(200);
    expect(server.requests).toHaveLength(4);
  });

  it.each([
    ['hangs', hangs],
    ['drips', drips],
    ['floods', floods],
  ])('%s as long as it is told to', async (_, misbehaviour) => {
    const server = await start();
    server.always = misbehaviour;
    const reading = (async () => {
      const reply = await fetch(`${server.url}/Fleet/1`, { signal: AbortSignal.timeout(300) });
      for await (const chunk of reply.body ?? []) void chunk;
    })();
    await expect(reading).rejects.toThrow('timeout');
  });

  it('names a page as its own next when it is told to', async () => {
    const server = await start({ machines: machinesOf(3), pageSize: 1 });
    server.loopsLinks = true;
    const page = await readIso15143Xml(await bytes(`${server.url}/Fleet/2`, XML));
    expect(page.next).toBe(`${server.url}/Fleet/2`);
    server.givesRelativeLinks = true;
    expect((await readIso15143Xml(await bytes(`${server.url}/Fleet/2`, XML))).next).toBe('/Fleet/2');
  });
});
