import { FleetSchedule } from '../../../src/telling/reminders/sweep/fleet-schedule.js';
import { SweepService } from '../../../src/telling/reminders/sweep/sweep.service.js';
import { seedDueLine } from '../../support/due-lines.js';
import { FINDINGS_AT_ONCE } from '../../support/findings-at-once.js';
import { untilWorkerIsIdle } from '../../support/idle.js';
import { type Receiver, startReceiver, until } from '../../support/receiver.js';
import { postScenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

/** In Denver, on daylight-saving time, six hours behind UTC. */
const at = (day: string, hour: number): string =>
  new Date(Date.parse(`${day}T00:00:00Z`) + (hour + 6) * 3_600_000).toISOString();

const NIGHT = at('2026-04-02', 23);
const MORNING = at('2026-04-03', 6);
const HOURS = { from: '06:00', to: '20:00' };

describe('a line that is due at once', () => {
  let service: Service;
  let receiver: Receiver;
  let fleet: FleetHandle;
  let vehicleId: string;

  beforeAll(async () => {
    service = await startService({ withWorker: true, at: NIGHT });
    await service.app.get(FleetSchedule).beforeApplicationShutdown();
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    service.clock.moveTo(NIGHT);
    receiver = await startReceiver();
    fleet = await service.newFleet();
    vehicleId = (await fleet.manager.post('/v1/vehicles', { unitNumber: 'R-114' })).body.id;
  });
  afterEach(() => receiver.close());

  const takeUp = (): Promise<void> => service.app.get(FleetSchedule).takeUpLostWork();
  const sweep = (): Promise<void> => service.app.get(SweepService).sweepFleet(fleet.fleetId);

  const untilIdle = (): Promise<void> => untilWorkerIsIdle(service);

  async function newTarget(extra: object = {}): Promise<any> {
    const { status, body } = await fleet.manager.post('/v1/reminder-targets', {
      ...{ kind: 'webhook', address: receiver.url, hears: ['due-line'], sendBetween: HOURS },
      ...extra,
    });
    expect([status, inText(body.errors)]).toEqual([201, undefined]);
    await untilIdle();
    return body;
  }

  const reminders = async (query = ''): Promise<any[]> =>
    (await fleet.dashboard.get(`/v1/reminders?limit=200${query}`)).body.items;
  const heard = (): [string, string | undefined][] =>
    receiver.received.map(({ body: { type, data } }) => [type, data.component ?? data.reason]);

  async function untilHeard(count: number): Promise<void> {
    await receiver.untilReceived(count);
    await untilIdle();
    expect(receiver.received).toHaveLength(count);
  }

  /**
   * A vacuum hold test from 22 inHg: losing half of it fails, losing 1 inHg is too close to tell.
   */
  async function postHoldTest(end: number): Promise<string> {
    const { status, body } = await fleet.mechanic.post(`/v1/vehicles/${vehicleId}/readings`, {
      ...{ kind: 'hold-test', takenAt: service.clock.now().toISOString(), method: 'vacuum', minutes: 6 },
      ...{ start: { value: 22, unit: 'inHg' }, end: { value: end, unit: 'inHg' } },
      gaugeResolution: { value: 0.5, unit: 'inHg' },
      coolantTemperature: { value: 22, unit: 'C' },
      wet: true,
    });
    expect([status, inText(body.errors)]).toEqual([201, undefined]);
    await untilIdle();
    return body.evaluation.verdict;
  }

  const oneDue = (extra: object = {}) =>
    seedDueLine(service, fleet.fleetId, {
      ...{ windowOpensOn: '2026-04-01', dueOn: '2026-04-02', lateOn: '2026-04-09' },
      ...extra,
    });

  it('is sent at night, unless its target says within-hours', async () => {
    const open = await newTarget();
    const closed = await newTarget({ urgent: 'within-hours' });
    expect([open.urgent, closed.urgent]).toEqual(['at-any-hour', 'within-hours']);
    await oneDue();
    await sweep();
    expect(await postHoldTest(11)).toBe('fail');
    await untilHeard(1);
    expect(receiver.received[0]?.body).toMatchObject({
      type: 'due-line.due',
      data: { component: 'coolant', action: 'test', origin: 'follow-up' },
    });
    expect(await reminders(`&targetId=${open.id}&status=sent`)).toHaveLength(1);
    const waiting = await reminders('&status=waiting');
    expect(
      waiting.map(({ targetId, component, nextAttemptAt }) => [targetId, component, nextAttemptAt]),
    ).toEqual(
      expect.arrayContaining([
        [open.id, 'water-pump', MORNING],
        [closed.id, 'water-pump', MORNING],
        [closed.id, 'coolant', MORNING],
      ]),
    );
    expect(waiting).toHaveLength(3);
    service.clock.moveTo(MORNING);
    await takeUp();
    await untilHeard(4);
  });

  it.each(FINDINGS_AT_ONCE)('is sent at night for %s, and says why', async (_what, found) => {
    const scenario = await postScenario(fleet, { unitNumber: 'R-200', inServiceOn: '2026-04-01' });
    await newTarget();
    const { status, body } = await fleet.mechanic.post(`/v1/vehicles/${scenario.vehicleId}/readings`, {
      ...{ takenAt: service.clock.now().toISOString(), ...found.reading },
    });
    expect([status, inText(body.errors)]).toEqual([201, undefined]);
    await untilIdle();
    await untilHeard(1);
    expect(receiver.received[0]?.body).toMatchObject({
      type: 'due-line.due',
      data: {
        ...{ component: found.opens[0], action: found.opens[1], item: found.item ?? null },
        ...{ atOnce: true, causes: [{ text: expect.stringMatching(found.cause) }] },
      },
    });
  });

  it('is sent at night with the failed reading that its vehicle was released with', async () => {
    const open = await newTarget({ hears: ['failed-reading'] });
    await newTarget({ hears: ['failed-reading'], urgent: 'within-hours' });
    expect(await postHoldTest(11)).toBe('fail');
    expect(await reminders('&status=waiting')).toHaveLength(2);
    const { status, body } = await fleet.mechanic.post('/v1/job-reports', {
      ...{ vehicleId, performedAt: service.clock.now().toISOString(), releasedForService: 'yes' },
      readings: [{ kind: 'belt-check', ribsSeated: true, wearGauge: 'worn' }],
    });
    expect(status).toBe(201);
    await untilHeard(1);
    const [{ body: message } = { body: { type: '', data: {} } }] = receiver.received;
    expect([message.type, Object.entries(message.data)[0], message.data.id]).toEqual([
      'failed-reading',
      ['warning', body.warning],
      body.readings[0].id,
    ]);
    expect(body.warning.text).toMatch(/^Released with a failed belt check\. Keep the vehicle parked until /);
    const waiting = await reminders('&status=waiting');
    expect(waiting.map(({ nextAttemptAt }) => nextAttemptAt)).toEqual([MORNING, MORNING, MORNING]);
    // Its hours are set anew: what is urgent is still let out.
    await fleet.manager.patch(`/v1/reminder-targets/${open.id}`, {
      sendBetween: { from: '07:00', to: '20:00' },
    });
    await untilIdle();
    service.clock.moveTo(at('2026-04-03', 7));
    await takeUp();
    await untilHeard(4);
    const warnings = receiver.received.map((one) => one.body.data.warning);
    expect(warnings.filter((warning) => warning?.text === body.warning.text)).toHaveLength(2);
    expect(warnings.filter((warning) => warning === null)).toHaveLength(2);
  });

  it('does not include lines due sooner or later, which wait for the hours', async () => {
    const target = await newTarget();
    expect(await postHoldTest(21)).toBe('inconclusive');
    const [line] = (await fleet.dashboard.get('/v1/due-list')).body.items;
    expect(line).toMatchObject({ component: 'coolant', state: 'window', origin: 'follow-up' });
    expect(await reminders('&status=waiting')).toMatchObject([
      { targetId: target.id, stage: 'window', nextAttemptAt: MORNING },
    ]);
    await untilHeard(0);
  });

  it('is urgent again on the day it was postponed to', async () => {
    await newTarget({ digest: 'daily' });
    await postHoldTest(11);
    await untilHeard(1);
    const [line] = (await fleet.dashboard.get('/v1/due-list')).body.items;
    const put = await fleet.manager.post(`/v1/due-list/${line.id}/postpone`, {
      ...{ until: '2026-04-05', reason: 'no gauge before' },
    });
    expect([put.status, put.body.state]).toEqual([200, 'window']);
    await untilIdle();
    service.clock.moveTo(at('2026-04-05', 6));
    await sweep();
    await untilIdle();
    const due = receiver.received.map(({ body }) => body).filter(({ type }) => type === 'due-line.due');
    expect(due.map(({ data }) => data.dueOn)).toEqual(['2026-04-02', '2026-04-05']);
  });

  it('is sent by itself to a target with a daily digest, and is not in the digest', async () => {
    await newTarget({ digest: 'daily' });
    await oneDue();
    await postHoldTest(11);
    await untilHeard(1);
    service.clock.moveTo(MORNING);
    await sweep();
    await untilHeard(2);
    expect(heard()).toEqual([
      ['due-line.due', 'coolant'],
      ['digest', 'daily'],
    ]);
    expect(receiver.received[1]?.body.data).toMatchObject({ total: 1, counts: { due: 1 } });
  });

  it('is sent by itself, within the hours, to a target with a daily digest and within-hours', async () => {
    await newTarget({ digest: 'daily', urgent: 'within-hours' });
    await postHoldTest(11);
    await untilHeard(0);
    service.clock.moveTo(MORNING);
    await sweep();
    await takeUp();
    await untilHeard(1);
    expect(heard()).toEqual([['due-line.due', 'coolant']]);
  });

  it('is not delayed by a new target’s first digest, nor part of it', async () => {
    await oneDue();
    await postHoldTest(11);
    await newTarget();
    await untilHeard(1);
    expect(heard()).toEqual([['due-line.due', 'coolant']]);
    expect(await reminders('&status=waiting')).toMatchObject([{ news: 'digest', nextAttemptAt: MORNING }]);
    // Another, while the digest waits.
    vehicleId = (await fleet.manager.post('/v1/vehicles', { unitNumber: 'R-115' })).body.id;
    await postHoldTest(11);
    await untilHeard(2);
    service.clock.moveTo(MORNING);
    await takeUp();
    await untilHeard(3);
    expect(receiver.received[2]?.body).toMatchObject({
      type: 'digest',
      data: { reason: 'catch-up', total: 1, counts: { due: 1 } },
    });
  });

  /** A report that releases the vehicle with a worn belt. */
  async function postReleased(): Promise<any> {
    const { status, body } = await fleet.mechanic.post('/v1/job-reports', {
      ...{ vehicleId, performedAt: service.clock.now().toISOString(), releasedForService: 'yes' },
      readings: [{ kind: 'belt-check', ribsSeated: true, wearGauge: 'worn' }],
    });
    expect(status).toBe(201);
    await untilIdle();
    return body;
  }

  it('comes with the failed reading of a release, which no first digest delays', async () => {
    await oneDue();
    const target = await newTarget({ hears: ['failed-reading', 'due-line'] });
    expect(await reminders('&status=waiting')).toMatchObject([{ news: 'digest', nextAttemptAt: MORNING }]);
    const released = await postReleased();
    await untilHeard(2);
    expect(
      heard()
        .map(([type]) => type)
        .sort(),
    ).toEqual(['due-line.due', 'failed-reading']);
    const told = receiver.received.find(({ body }) => body.type === 'failed-reading')?.body;
    expect([told?.data.id, told?.data.warning]).toEqual([released.readings[0].id, released.warning]);
    // One that nobody released a vehicle with waits in the digest, for its target alone.
    await postHoldTest(11);
    await untilHeard(3);
    expect(heard()[2]).toEqual(['due-line.due', 'coolant']);
    service.clock.moveTo(MORNING);
    await takeUp();
    await untilHeard(4);
    expect(receiver.received[3]?.body).toMatchObject({
      type: 'digest',
      data: { reason: 'catch-up', total: 2, counts: { due: 1, 'failed-reading': 1 } },
    });
    expect(await reminders(`&targetId=${target.id}&status=waiting`)).toEqual([]);
  });

  it('comes with the failed reading of a release to a target that begins to hear of those', async () => {
    const target = await newTarget();
    await postReleased();
    await untilHeard(1);
    const { status } = await fleet.manager.patch(`/v1/reminder-targets/${target.id}`, {
      hears: ['failed-reading', 'due-line'],
    });
    expect(status).toBe(200);
    await untilHeard(2);
    expect(heard()[1]).toEqual(['failed-reading', undefined]);
    service.clock.moveTo(MORNING);
    await takeUp();
    await untilHeard(2);
  });

  it('is in the first digest if that is sent at once', async () => {
    await oneDue();
    await postHoldTest(11);
    await newTarget({ sendBetween: null });
    await untilHeard(1);
    expect(receiver.received[0]?.body).toMatchObject({
      type: 'digest',
      data: { total: 2, counts: { due: 2 } },
    });
    await sweep();
    await untilHeard(1);
  });

  it('starts no digest of its own', async () => {
    await postHoldTest(11);
    await newTarget();
    await untilHeard(1);
    service.clock.moveTo(MORNING);
    await sweep();
    await takeUp();
    await untilHeard(1);
    expect((await reminders()).filter(({ news }) => news === 'digest')).toEqual([]);
  });

  it('is tried again the same night if its receiver fails', async () => {
    await newTarget();
    receiver.answer = (reply) => reply.writeHead(500).end();
    await postHoldTest(11);
    await untilHeard(1);
    const [waiting] = await reminders('&status=waiting');
    // Ten seconds, and up to a quarter more.
    expect(Date.parse(waiting.nextAttemptAt) - Date.parse(NIGHT)).toBeLessThanOrEqual(12_500);
    receiver.answer = (reply) => reply.writeHead(204).end();
    service.clock.moveTo(new Date(Date.parse(NIGHT) + 20_000));
    await takeUp();
    await untilHeard(2);
    await until(async () => (await reminders('&status=sent')).length === 1);
  });

  it('waits as soon as its target says within-hours, and only until it says otherwise', async () => {
    const target = await newTarget({ urgent: 'within-hours' });
    await postHoldTest(11);
    const path = `/v1/reminder-targets/${target.id}`;
    expect(await reminders('&status=waiting')).toMatchObject([{ nextAttemptAt: MORNING }]);
    expect((await fleet.manager.patch(path, { urgent: 'at-any-hour' })).status).toBe(200);
    expect(await reminders('&status=waiting')).toMatchObject([{ nextAttemptAt: NIGHT }]);
    expect((await fleet.manager.patch(path, { urgent: 'within-hours' })).body.urgent).toBe('within-hours');
    expect(await reminders('&status=waiting')).toMatchObject([{ nextAttemptAt: MORNING }]);
    await fleet.manager.patch(path, { urgent: 'at-any-hour' });
    await takeUp();
    await untilHeard(1);
    const refused = await fleet.manager.patch(path, { urgent: 'always' });
    expect([refused.status, refused.body.errors]).toEqual([
      422,
      [
        {
          ...{ pointer: '/urgent', code: 'field-not-choice' },
          values: { allowed: ['at-any-hour', 'within-hours'], given: '"always"' },
          detail: expect.stringContaining('at-any-hour and within-hours'),
        },
      ],
    ]);
  });

  it('is repeated while it stays late, but only within the hours', async () => {
    await newTarget({ repeatLateDays: 2 });
    await postHoldTest(11);
    await untilHeard(1);
    // Late seven days after the reading.
    service.clock.moveTo(at('2026-04-09', 23));
    await sweep();
    await untilHeard(2);
    expect(heard()[1]).toEqual(['due-line.late', 'coolant']);
    service.clock.moveTo(at('2026-04-11', 23));
    await sweep();
    expect(await reminders('&status=waiting')).toMatchObject([
      { stage: 'late', nextAttemptAt: at('2026-04-12', 6) },
    ]);
    await untilHeard(2);
  });
});
