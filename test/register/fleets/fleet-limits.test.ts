import { StreamSettings } from '../../../src/telling/due-list-events/stream-settings.js';
import { type EventStream, openStream } from '../../support/event-stream.js';
import { paper } from '../../support/pictures.js';
import { until } from '../../support/receiver.js';
import { type Client, type FleetHandle, type Service, startService } from '../../support/service.js';

const KB = 1024;

describe('a fleet at its limit', () => {
  let service: Service;
  let greedy: FleetHandle;
  let modest: FleetHandle;
  let streams: EventStream[];

  beforeAll(async () => {
    service = await startService({
      at: '2026-04-02T15:00:00Z',
      env: { PROCESS_STREAMS: '9', FLEET_STREAMS: '6', FLEET_TOKENS: '8', FLEET_ATTACHMENTS_MB: '1' },
    });
  });
  beforeEach(async () => {
    [greedy, modest] = [await service.newFleet(), await service.newFleet()];
    streams = [];
  });
  afterEach(() => Promise.all(streams.map((stream) => stream.close())));
  afterAll(() => service.stop());

  async function open({ manager }: FleetHandle, client: Client = manager): Promise<EventStream> {
    const stream = await openStream(service.url, client);
    streams.push(stream);
    return stream;
  }
  async function newToken({ manager }: FleetHandle, more: object = {}): Promise<any> {
    return manager.post('/v1/tokens', { name: 'one more', role: 'dashboard', ...more });
  }
  /** Opens streams with one token after the other until one is refused. */
  async function openAll(fleet: FleetHandle): Promise<EventStream> {
    const clients = [fleet.manager, fleet.mechanic, fleet.dashboard];
    for (let n = 0; ; n++) {
      const stream = await open(fleet, clients[n % clients.length]);
      if (stream.status !== 200) return stream;
    }
  }
  const openOf = (status: number): number => streams.filter((stream) => stream.status === status).length;

  describe('of event streams', () => {
    it('is refused the next one with any token, and another fleet is not', async () => {
      const refused = await openAll(greedy);
      expect([refused.status, refused.headers.get('retry-after')]).toEqual([429, '15']);
      expect(refused.body.type).toBe('/problems/too-many-streams');
      expect(refused.body.detail).toContain('This fleet has 6 streams open here, and may have 6.');
      expect(openOf(200)).toBe(6);
      expect((await open(modest)).status).toBe(200);
      await streams[0]?.close();
      await until(async () => (await open(greedy)).status === 200);
    });

    it('gives way to fleets with fewer when the process is full, until all have as many', async () => {
      service.app.get(StreamSettings).mostStreams = 6;
      await openAll(greedy);
      const third = await service.newFleet();
      const taken: number[] = [];
      // Two fleets in turn, until each is told that there is no more room.
      for (let n = 0; n < 6; n++) taken.push((await open(n % 2 ? third : modest)).status);
      expect(taken).toEqual([200, 200, 200, 200, 503, 503]);
      // Its newest streams were ended, and its oldest stay.
      const ofGreedy = streams.slice(0, 6);
      await until(() => ofGreedy.filter(({ isOver }) => isOver).length === 4);
      expect(ofGreedy.map(({ isOver }) => isOver)).toEqual([false, false, true, true, true, true]);
      expect((await open(greedy)).status).toBe(503);
      service.app.get(StreamSettings).mostStreams = 9;
    });
  });

  describe('of tokens', () => {
    it('is told how many it has, and gets another for one that it revokes or that expires', async () => {
      for (let made = 3; made < 7; made++) expect((await newToken(greedy)).status).toBe(201);
      expect((await newToken(greedy, { expiresAt: '2026-04-02T16:00:00Z' })).status).toBe(201);
      const refused = await newToken(greedy);
      expect([refused.status, refused.body]).toEqual([
        409,
        expect.objectContaining({
          ...{ type: '/problems/too-many-tokens', limit: 8, present: 8 },
          detail: expect.stringContaining('This fleet has 8 tokens, and may have 8. Revoke those'),
        }),
      ]);
      expect((await newToken(modest)).status).toBe(201);
      const { items } = (await greedy.manager.get('/v1/tokens')).body;
      const { id } = items.find(({ name }: any) => name === 'one more');
      expect((await greedy.manager.delete(`/v1/tokens/${id}`)).status).toBe(204);
      expect((await newToken(greedy)).status).toBe(201);
      expect((await newToken(greedy)).status).toBe(409);
      service.clock.moveTo('2026-04-02T16:00:00Z');
      expect((await newToken(greedy)).status).toBe(201);
    });

    it('gets no more by asking for many at once', async () => {
      const answers = await Promise.all(Array.from({ length: 12 }, () => newToken(greedy)));
      const statuses = answers.map(({ status }) => status).toSorted((a, b) => a - b);
      expect(statuses).toEqual([...Array(5).fill(201), ...Array(7).fill(409)]);
    });
  });

  describe('of room for attachments', () => {
    let reports = 0;

    async function newReport({ manager, mechanic }: FleetHandle, depotId?: string): Promise<string> {
      const unitNumber = `A-${++reports}`;
      const vehicle = await manager.post('/v1/vehicles', { unitNumber, depotId });
      const { status, body } = await mechanic.post('/v1/job-reports', {
        ...{ vehicleId: vehicle.body.id, performedAt: '2026-04-02T12:00:00Z' },
        lines: [{ component: 'coolant', action: 'inspect' }],
      });
      expect(status).toBe(201);
      return body.id;
    }
    const attach = (client: Client, reportId: string, kilobytes: number) =>
      client.send('POST', `/v1/job-reports/${reportId}/attachments`, paper(kilobytes * KB), {
        'content-type': 'application/pdf',
      });

    it('is told how much it has, keeps it, and has room again for what it voids', async () => {
      const reportId = await newReport(greedy);
      const first = await attach(greedy.mechanic, reportId, 600);
      expect(first.status).toBe(201);
      const refused = await attach(greedy.mechanic, await newReport(greedy), 500);
      expect([refused.status, refused.body]).toEqual([
        409,
        expect.objectContaining({
          ...{ type: '/problems/attachments-full', limit: 1024 * KB, present: 600 * KB },
          detail: expect.stringContaining("this fleet's attachments take 0.6 MB of the 1 MB"),
        }),
      ]);
      // The same file again is no further file.
      expect((await attach(greedy.mechanic, reportId, 600)).status).toBe(200);
      expect((await attach(greedy.mechanic, reportId, 424)).status).toBe(201);
      expect((await attach(modest.mechanic, await newReport(modest), 900)).status).toBe(201);
      await greedy.manager.post(`${first.body.href}/void`, { reason: 'the wrong vehicle' });
      expect((await attach(greedy.mechanic, reportId, 590)).status).toBe(201);
      const { rows } = await service.database.admin.query(
        'select count(*)::int as left from attachment_uploads',
      );
      expect(rows).toEqual([{ left: 0 }]);
    });

    it('gets no more by simultaneous uploads, nor by tokens that see one depot each', async () => {
      const depots = await Promise.all(
        ['Ridge', 'Valley'].map(
          async (name) => (await greedy.manager.post('/v1/depots', { name })).body.id as string,
        ),
      );
      const uploads = await Promise.all(
        depots.map(async (depotId) => {
          const token = await newToken(greedy, { role: 'mechanic', depotIds: [depotId] });
          return { client: service.client(token.body.token), reportId: await newReport(greedy, depotId) };
        }),
      );
      const answers = await Promise.all(
        [...uploads, ...uploads].map(({ client, reportId }, n) => attach(client, reportId, 400 + n)),
      );
      expect(answers.map(({ status }) => status).toSorted((a, b) => a - b)).toEqual([201, 201, 409, 409]);
    });
  });
});
