import { BEHIND_AFTER } from '../../../src/telling/delivery-troubles/delivery-trouble.js';
import { howItWent } from '../../../src/telling/delivery-troubles/failing-reason.js';
import { troubleMessage } from '../../../src/telling/delivery-troubles/trouble-words.js';
import { textOf } from '../../../src/platform/words/render.js';
import { english } from '../../support/english.js';
import { seedDueLine } from '../../support/due-lines.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const AT = '2026-04-02T15:00:00Z';
const PATH = '/v1/due-list/summary';

describe('why reminders may not arrive', () => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService({ at: AT });
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    fleet = await service.newFleet();
    await workerSeen('0 seconds');
  });

  /** The only worker on record was seen so long ago; null: none is. */
  async function workerSeen(ago: string | null): Promise<void> {
    await service.database.admin.query('delete from workers');
    if (ago !== null)
      await service.database.admin.query(
        'insert into workers (id, seen_at) values (gen_random_uuid(), now() - $1::interval)',
        [ago],
      );
  }

  const troubles = async (): Promise<any[]> => (await fleet.manager.get(PATH)).body.deliveryTroubles;
  const addTarget = async (extra: object = {}): Promise<any> =>
    (
      await fleet.manager.post('/v1/reminder-targets', {
        ...{ kind: 'webhook', address: 'https://hooks.example/secret-path' },
        ...extra,
      })
    ).body;

  it('is shown only to managers', async () => {
    expect(await troubles()).toEqual([
      {
        ...{ kind: 'nobody-hears', since: null, reminderTarget: null },
        message: {
          ...{ code: 'trouble-no-target', values: {} },
          text: 'Nobody is told when work comes due: there is no reminder target yet. Add a webhook or an e-mail address, or enable a target again.',
        },
      },
    ]);
    for (const client of [fleet.mechanic, fleet.dashboard]) {
      const { status, body } = await client.get(PATH);
      expect([status, 'deliveryTroubles' in body]).toEqual([200, false]);
    }
  });

  it('can be that no target hears of due lines, because the last one was disabled or removed', async () => {
    const target = await addTarget();
    expect(await troubles()).toEqual([]);
    await fleet.manager.patch(`/v1/reminder-targets/${target.id}`, { enabled: false });
    // A manager decided that: the target is not in trouble.
    expect(await troubles()).toMatchObject([{ kind: 'nobody-hears', since: '2026-04-02T15:00:00.000Z' }]);
    await addTarget({ hears: ['loss-alert'] });
    expect((await troubles())[0].message.text).toBe(
      'Nobody is told when work comes due: no enabled reminder target has been told about due lines since April 2, 2026 at 9:00 AM. Add `due-line` to the `hears` list of one of them.',
    );
    await fleet.manager.delete(`/v1/reminder-targets/${target.id}`);
    expect(await troubles()).toMatchObject([{ kind: 'nobody-hears', since: '2026-04-02T15:00:00.000Z' }]);
  });

  it('can begin and end with time alone, and changes the answer’s tag', async () => {
    await addTarget();
    const well = await fleet.manager.get(PATH);
    const tag = well.headers.get('etag') ?? '';
    const asked = (etag: string) => fleet.manager.get(PATH, { 'if-none-match': etag });
    expect([well.body.deliveryTroubles, (await asked(tag)).status]).toEqual([[], 304]);
    await workerSeen('119 seconds');
    expect((await asked(tag)).status).toBe(304);
    await workerSeen('121 seconds');
    const away = await asked(tag);
    expect([away.status, away.body.deliveryTroubles]).toMatchObject([
      200,
      [
        {
          kind: 'no-worker',
          since: expect.any(String),
          message: { text: expect.stringContaining("The service's worker has not been seen since") },
        },
      ],
    ]);
    const second = away.headers.get('etag') ?? '';
    expect([second === tag, (await asked(second)).status]).toEqual([false, 304]);
    await workerSeen(null);
    expect((await asked(second)).body.deliveryTroubles[0].message.text).toBe(
      'No worker of the service is running, so no reminder goes out. Ask whoever runs the service to start one.',
    );
    await workerSeen('0 seconds');
    expect((await asked(tag)).status).toBe(304);
    // Who is no manager has the same answer all the while.
    const others = await fleet.dashboard.get(PATH);
    await workerSeen(null);
    const headers = { 'if-none-match': others.headers.get('etag') ?? '' };
    expect((await fleet.dashboard.get(PATH, headers)).status).toBe(304);
  });

  it('does not come from another fleet', async () => {
    const other = await service.newFleet();
    const { vehicleId } = await seedDueLine(service, other.fleetId, {
      ...{ windowOpensOn: '2026-04-01', dueOn: '2026-04-02', lateOn: '2026-04-09' },
    });
    await service.database.admin.query(
      `insert into sweep_requests (fleet_id, vehicle_id, requested_at) values ($1, $2, now() - interval '1 hour')`,
      [other.fleetId, vehicleId],
    );
    await addTarget();
    expect(await troubles()).toEqual([]);
    expect((await other.manager.get(PATH)).body.deliveryTroubles.map(({ kind }: any) => kind)).toEqual([
      'nobody-hears',
      'sweep-behind',
    ]);
    expect(BEHIND_AFTER).toBe('5 minutes');
  });

  it('tells why nothing was answered, without what was met at the address', () => {
    const none = { smtpStatus: null, httpStatus: null };
    const detail = 'connect ECONNREFUSED 10.0.0.5:443';
    const refused = {
      code: 'attempt-not-made',
      values: { why: { code: 'connection-refused', values: {} }, detail },
    };
    expect(howItWent({ ...none, error: refused })).toEqual(refused.values.why);
    const slow = { code: 'attempt-too-slow', values: { seconds: 10 } };
    expect(howItWent({ ...none, error: slow })).toEqual(slow);
    const why = { code: 'ip-loopback', values: {} };
    const local = { code: 'attempt-address-refused', values: { host: '127.0.0.1', why } };
    expect(howItWent({ ...none, error: local }).code).toBe('target-address-refused');
  });

  it('names a webhook by its origin, never by its path', () => {
    const said = troubleMessage(
      {
        ...{
          kind: 'target-failing',
          since: new Date(AT),
          reason: howItWent({ smtpStatus: null, httpStatus: null, error: null }),
        },
        target: { id: fleet.fleetId, kind: 'webhook', address: 'https://hooks.example/secret-path' },
      },
      'America/Denver',
    );
    expect(english(said)).toBe(
      'Reminders have not reached https://hooks.example since April 2, 2026 at 9:00 AM: no answer came. Check the receiver, then send the target a test message.',
    );
    expect(textOf(said, { language: 'es', units: null })).toMatch(
      /^Los recordatorios no llegan a https:\/\/hooks\.example desde el 2 de abril de 2026 a las 9:00 a\.m\.: no hubo respuesta\. Revise el receptor/,
    );
  });

  it('is reported to operators by a process without a worker too, as far as it concerns workers', async () => {
    const seconds = async (): Promise<string | undefined> => {
      const { body } = await service.operator().get<string>('/metrics');
      return /^weephole_worker_last_seen_seconds (\S+)$/m.exec(body)?.[1];
    };
    await workerSeen('10 minutes');
    expect(Number(await seconds())).toBeGreaterThanOrEqual(600);
    await workerSeen(null);
    expect(await seconds()).toBe('+Inf');
  });
});
