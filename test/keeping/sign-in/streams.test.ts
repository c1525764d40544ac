import { signedIn } from '../../support/browser-client.js';
import { type EventStream, openStream } from '../../support/event-stream.js';
import { until } from '../../support/receiver.js';
import { postScenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

describe('an event stream by cookie', () => {
  let service: Service;
  let fleet: FleetHandle;
  let kim: any;
  let depotId: string;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
  });
  beforeEach(async () => {
    fleet = await service.newFleet();
    ({ depotId } = await postScenario(fleet));
    kim = (await fleet.manager.post('/v1/people', { name: 'Kim Oduya', role: 'mechanic' })).body;
  });
  afterAll(() => service.stop());

  type Page = Awaited<ReturnType<typeof signedIn>>;
  const signIn = (): Promise<Page> => signedIn(service.url, fleet.manager, kim.id);
  const open = async ({ cookie }: Page): Promise<EventStream> => {
    const stream = await openStream(service.url, service.client(null), '', undefined, { cookie });
    expect([stream.status, stream.headers.get('content-type')]).toEqual([
      ...[200, 'text/event-stream; charset=utf-8'],
    ]);
    return stream;
  };
  const change = (body: object) => fleet.manager.patch(`/v1/people/${kim.id}`, body);

  it('ends at once when its session ends, and no other does', async () => {
    const [phone, tablet] = [await signIn(), await signIn()];
    const [first, second] = [await open(phone), await open(tablet)];
    expect((await phone.delete('/v1/sessions/current')).status).toBe(204);
    await until(() => first.isOver);
    expect(second.isOver).toBe(false);
    // However it comes to be ended.
    await service.database.admin.query('update sessions set revoked_at = now() where revoked_at is null');
    await until(() => second.isOver);
  });

  it('ends when the person gets other depots or another role, and can be opened again', async () => {
    const page = await signIn();
    for (const body of [{ depotIds: [depotId] }, { depotIds: null }, { role: 'dashboard' }]) {
      const stream = await open(page);
      expect((await change({ language: 'es' })).status).toBe(200);
      expect((await change(body)).status).toBe(200);
      await until(() => stream.isOver);
    }
    const last = await open(page);
    await change({ state: 'left' });
    await until(() => last.isOver);
    const refused = await openStream(service.url, service.client(null), '', undefined, {
      cookie: page.cookie,
    });
    expect(refused.status).toBe(401);
  });

  it('ends with the token that opened its session', async () => {
    const { body: issued } = await fleet.manager.post('/v1/tokens', { name: 'bay 2', role: 'mechanic' });
    const page = await signIn();
    expect((await page.post('/v1/sessions', { token: issued.token })).status).toBe(201);
    const stream = await open(page);
    await fleet.manager.delete(`/v1/tokens/${issued.id}`);
    await until(() => stream.isOver);
  });
});
