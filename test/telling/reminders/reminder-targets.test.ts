import { v7 as uuidv7 } from 'uuid';
import { assertEveryJobHandled } from '../../../src/platform/queue/work-runner.js';
import { Webhook } from 'standardwebhooks';
import { startReceiver } from '../../support/receiver.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

const WEBHOOK = { kind: 'webhook', address: 'https://hooks.example.org/fleet' };

describe('reminder targets', () => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService({ env: { WEEPHOLE_ALLOW_LOCAL_WEBHOOKS: 'false' } });
    fleet = await service.newFleet();
  });
  afterAll(() => service.stop());

  it('store a webhook with its default news, and show its secret once', async () => {
    const created = await fleet.manager.post('/v1/reminder-targets', WEBHOOK);
    expect(created.status).toBe(201);
    const { secret, ...rest } = created.body;
    // Standard Webhooks specification: "whsec_" and the base64 of 24 to 64 bytes.
    expect(secret).toMatch(/^whsec_[A-Za-z0-9+/]+=*$/);
    expect(Buffer.from(secret.slice(6), 'base64').length).toBeGreaterThanOrEqual(24);
    expect(rest).toEqual({
      id: expect.any(String),
      ...WEBHOOK,
      hears: ['due-line', 'loss-alert', 'failed-reading', 'delivery-trouble'],
      stages: ['window', 'due', 'late'],
      repeatLateDays: null,
      depotIds: [],
      components: [],
      duties: [],
      intervalPlanIds: [],
      vehicleIds: [],
      personId: null,
      digest: 'each',
      sendBetween: null,
      urgent: 'at-any-hour',
      language: null,
      enabled: true,
      disabledAt: null,
      disabledReason: null,
      failingSince: null,
      failingReason: null,
      previousSecretUntil: null,
      version: 1,
      createdAt: '2026-04-02T15:00:00.000Z',
    });
    const read = await fleet.manager.get(`/v1/reminder-targets/${rest.id}`);
    expect(read.body).toEqual(rest);
    expect(read.headers.get('etag')).toBe('"1"');
    const list = await fleet.manager.get('/v1/reminder-targets');
    expect(list.body.items).toEqual([rest]);
    expect(JSON.stringify(list.body)).not.toContain('whsec_');
  });

  it('show no secret in the repeated answer for an Idempotency-Key', async () => {
    const headers = { 'idempotency-key': 'target-1' };
    const first = await fleet.manager.post('/v1/reminder-targets', WEBHOOK, headers);
    const second = await fleet.manager.post('/v1/reminder-targets', WEBHOOK, headers);
    expect(second.body).toEqual({ ...first.body, secret: null });
    const { rows } = await service.database.admin.query('select body::text from idempotency_records');
    expect(rows[0].body).not.toContain('whsec_');
  });

  it('can be changed by merge patch, switched off and on, and removed', async () => {
    const { body: target } = await fleet.manager.post('/v1/reminder-targets', {
      ...WEBHOOK,
      stages: ['late'],
      sendBetween: { from: '06:00', to: '20:00' },
    });
    const path = `/v1/reminder-targets/${target.id}`;
    const later = await fleet.manager.patch(path, { sendBetween: { to: '18:30' }, stages: null });
    expect(later.body).toMatchObject({
      sendBetween: { from: '06:00', to: '18:30' },
      stages: ['window', 'due', 'late'],
      version: 2,
    });
    expect((await fleet.manager.patch(path, { stages: ['due'] }, { 'if-match': '"1"' })).status).toBe(412);
    const off = await fleet.manager.patch(path, { enabled: false, sendBetween: null });
    expect(off.body).toMatchObject({
      enabled: false,
      sendBetween: null,
      disabledAt: '2026-04-02T15:00:00.000Z',
    });
    expect((await fleet.manager.patch(path, { enabled: true })).body).toMatchObject({
      enabled: true,
      disabledAt: null,
    });
    expect((await fleet.manager.delete(path)).status).toBe(204);
    for (const gone of [
      await fleet.manager.get(path),
      await fleet.manager.patch(path, { enabled: true }),
      await fleet.manager.delete(path),
      await fleet.manager.post(`${path}/test`),
    ])
      expect(gone.status).toBe(404);
    const { rows } = await service.database.admin.query('select secret from reminder_targets where id = $1', [
      target.id,
    ]);
    expect(rows).toEqual([{ secret: null }]);
  });

  it.each([
    [
      'e-mail, for want of SMTP',
      { kind: 'email', address: 'shop@example.org' },
      '/kind',
      /SMTP is not set up/,
    ],
    ['plain http', { ...WEBHOOK, address: 'http://hooks.example.org/' }, '/address', /only https/],
    [
      'a password in the address',
      { ...WEBHOOK, address: 'https://u:p@hooks.example.org/' },
      '/address',
      /password/,
    ],
    ['this machine', { ...WEBHOOK, address: 'https://127.0.0.1/' }, '/address', /loopback/],
    [
      'the metadata address',
      { ...WEBHOOK, address: 'https://169.254.169.254/' },
      '/address',
      /not a public address/,
    ],
    ['no address at all', { kind: 'webhook' }, '/address', /required/],
    ['an unknown stage', { ...WEBHOOK, stages: ['overdue'] }, '/stages', /window, due and late/],
    ['no stage', { ...WEBHOOK, stages: [] }, '/stages', /at least 1/],
    ['unknown news', { ...WEBHOOK, hears: ['weather'] }, '/hears', /due-line/],
    ['an unknown component', { ...WEBHOOK, components: ['wheel'] }, '/components', /water-pump/],
    ['a depot that is not there', { ...WEBHOOK, depotIds: [uuidv7()] }, '/depotIds/0', /no such depot/],
    [
      'a plan that is not there',
      { ...WEBHOOK, intervalPlanIds: [uuidv7()] },
      '/intervalPlanIds/0',
      /no such interval plan/,
    ],
    [
      'a vehicle that is not there',
      { ...WEBHOOK, vehicleIds: [uuidv7()] },
      '/vehicleIds/0',
      /no such vehicle/,
    ],
    ['an unknown duty', { ...WEBHOOK, duties: ['hard'] }, '/duties', /normal and severe/],
    ['repeats more than once a day', { ...WEBHOOK, repeatLateDays: 0 }, '/repeatLateDays', /from 1 to 365/],
    [
      'what is not a time',
      { ...WEBHOOK, sendBetween: { from: '6', to: '20:00' } },
      '/sendBetween/from',
      /06:00/,
    ],
    [
      'no hours',
      { ...WEBHOOK, sendBetween: { from: '06:00', to: '06:00' } },
      '/sendBetween/to',
      /same as from/,
    ],
    ['a secret of the sender’s', { ...WEBHOOK, secret: 'whsec_AAAA' }, '/secret', /not a field/],
  ])('refuse %s', async (_what, body, pointer, detail) => {
    const refused = await fleet.manager.post('/v1/reminder-targets', body);
    expect(refused.status).toBe(422);
    expect(inText(refused.body.errors)).toEqual([{ pointer, detail: expect.stringMatching(detail) }]);
  });

  it("know the fleet's own depots, and not another's", async () => {
    const { body: depot } = await fleet.manager.post('/v1/depots', { name: 'South' });
    const kept = await fleet.manager.post('/v1/reminder-targets', {
      ...WEBHOOK,
      depotIds: [depot.id.toUpperCase()],
    });
    expect([kept.status, kept.body.depotIds]).toEqual([201, [depot.id]]);
    const other = await service.newFleet();
    expect(
      (await other.manager.post('/v1/reminder-targets', { ...WEBHOOK, depotIds: [depot.id] })).status,
    ).toBe(422);
    expect((await other.manager.get(`/v1/reminder-targets/${kept.body.id}`)).status).toBe(404);
    expect((await other.manager.post(`/v1/reminder-targets/${kept.body.id}/test`)).status).toBe(404);
  });

  it('can be seen and changed only by managers, while every reader sees reminders', async () => {
    expect((await fleet.mechanic.get('/v1/reminder-targets')).status).toBe(403);
    expect((await fleet.dashboard.post('/v1/reminder-targets', WEBHOOK)).status).toBe(403);
    expect((await fleet.dashboard.get('/v1/reminders')).body).toEqual({ items: [], next: null });
    expect((await fleet.dashboard.get(`/v1/reminders/${uuidv7()}/attempts`)).status).toBe(404);
    expect((await fleet.dashboard.get('/v1/reminders?status=lost')).status).toBe(400);
    expect((await fleet.dashboard.get('/v1/reminders?targetId=1')).status).toBe(400);
    expect((await fleet.dashboard.get('/v1/reminders?cursor=xyz')).status).toBe(400);
  });

  it('send no test to a name that leads to this machine', async () => {
    const receiver = await startReceiver();
    try {
      const { body: target } = await fleet.manager.post('/v1/reminder-targets', WEBHOOK);
      // As if the name had led elsewhere when it was kept.
      const local = receiver.url.replace('127.0.0.1', 'localhost');
      await service.database.admin.query('update reminder_targets set address = $2 where id = $1', [
        target.id,
        local,
      ]);
      const result = await fleet.manager.post(`/v1/reminder-targets/${target.id}/test`);
      expect([result.status, result.body]).toEqual([
        200,
        {
          delivered: false,
          httpStatus: null,
          smtpStatus: null,
          durationMs: expect.any(Number),
          error: expect.objectContaining({ text: expect.stringContaining('loopback') }),
          answer: null,
        },
      ]);
      expect(receiver.received).toHaveLength(0);
    } finally {
      await receiver.close();
    }
  });
});

describe('a test message', () => {
  it('is signed like a reminder, and reports the result', async () => {
    const service = await startService();
    const receiver = await startReceiver();
    try {
      const { manager } = await service.newFleet();
      const { body: target } = await manager.post('/v1/reminder-targets', {
        kind: 'webhook',
        address: receiver.url,
      });
      const good = await manager.post(`/v1/reminder-targets/${target.id}/test`);
      expect(good.body).toMatchObject({ delivered: true, httpStatus: 204, error: null });
      const [message] = receiver.received;
      expect(new Webhook(target.secret).verify(message?.text ?? '', message?.headers as never)).toMatchObject(
        {
          type: 'reminder-target.test',
          data: { reminderTargetId: target.id },
        },
      );
      receiver.answer = (reply) => reply.writeHead(500).end('no');
      const bad = await manager.post(`/v1/reminder-targets/${target.id}/test`);
      expect(bad.body).toMatchObject({ delivered: false, httpStatus: 500, answer: 'no' });
    } finally {
      await receiver.close();
      await service.stop();
    }
  });

  it('is in the language of the target, else of the fleet, whatever the manager reads', async () => {
    const service = await startService();
    const receiver = await startReceiver();
    try {
      const { manager } = await service.newFleet();
      const { body: target } = await manager.post('/v1/reminder-targets', {
        kind: 'webhook',
        address: receiver.url,
      });
      const path = `/v1/reminder-targets/${target.id}`;
      await manager.post(`${path}/test`, undefined, { 'accept-language': 'es' });
      await manager.patch('/v1/fleet', { language: 'es' });
      await manager.post(`${path}/test`, undefined, { 'accept-language': 'en' });
      await manager.patch(path, { language: 'en' });
      await manager.post(`${path}/test`, undefined, { 'accept-language': 'es' });
      const told = receiver.received.map(({ text }) => JSON.parse(text));
      expect(told.map(({ language }) => language)).toEqual(['en', 'es', 'en']);
      expect(told.map(({ data }) => data.message.text)).toEqual([
        expect.stringContaining('test'),
        expect.stringContaining('prueba'),
        expect.stringContaining('test'),
      ]);
    } finally {
      await receiver.close();
      await service.stop();
    }
  });
});

describe('the check at start', () => {
  const done = async (): Promise<void> => {};
  const handlers = {
    work: {
      'sweep-fleet': done,
      'sweep-vehicles': done,
      'refresh-cohorts': done,
      'prune-events': done,
      'prune-idempotency-records': done,
      'apply-retention': done,
    },
    deliveries: { 'deliver-reminder': done },
    planning: { 'solve-visit-plan': done },
    sources: { 'poll-source': done },
  };

  it('finds a job without a handler and a handler without a job', () => {
    expect(() => assertEveryJobHandled({ ...handlers, deliveries: {} })).toThrow('deliver-reminder');
    expect(() =>
      assertEveryJobHandled({ ...handlers, deliveries: { ...handlers.deliveries, other: done } }),
    ).toThrow('other');
  });
});
