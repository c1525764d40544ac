import { FleetSchedule } from '../../../src/telling/reminders/sweep/fleet-schedule.js';
import { WorkQueue } from '../../../src/platform/queue/work-queue.js';
import { untilWorkerIsIdle } from '../../support/idle.js';
import { type Receiver, startReceiver } from '../../support/receiver.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { confirmedVisit } from '../../support/visit-plans.js';

const PLAN = {
  name: 'Monthly look',
  intervals: [
    { component: 'coolant', action: 'inspect', everyMonths: 1, window: { days: 3 }, grace: { days: 3 } },
  ],
};

describe('reminders of assigned work', () => {
  let service: Service;
  let fleet: FleetHandle;
  let receivers: Record<'manager' | 'kim' | 'lee', Receiver>;

  beforeAll(async () => {
    service = await startService({ withWorker: true, at: '2026-04-02T15:00:00Z' });
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    service.clock.moveTo('2026-04-02T15:00:00Z');
    fleet = await service.newFleet({ timeZone: 'America/Denver' });
    receivers = {
      ...{ manager: await startReceiver(), kim: await startReceiver(), lee: await startReceiver() },
    };
  });
  afterEach(async () => {
    for (const receiver of Object.values(receivers)) await receiver.close();
  });

  async function made(posted: Promise<{ status: number; body: any }>): Promise<string> {
    const { status, body } = await posted;
    expect([status, body.errors]).toEqual([201, undefined]);
    return body.id;
  }

  /** One vehicle, whose look is due on 5 April, in a confirmed visit. */
  async function visit(): Promise<string> {
    const { manager } = fleet;
    const depotId = await made(manager.post('/v1/depots', { name: 'Ridge', labourHoursPerDay: 8 }));
    const intervalPlanId = await made(manager.post('/v1/interval-plans', PLAN));
    const vehicle = { unitNumber: 'M-1', depotId, intervalPlanId, inServiceOn: '2026-03-05' };
    await made(manager.post('/v1/vehicles', vehicle));
    return (await confirmedVisit(service, fleet)).visitId;
  }
  const person = (name: string): Promise<string> =>
    made(fleet.manager.post('/v1/people', { name, role: 'mechanic' }));
  const target = (of: keyof typeof receivers, extra: object = {}): Promise<string> =>
    made(
      fleet.manager.post('/v1/reminder-targets', {
        ...{ kind: 'webhook', address: receivers[of].url, ...extra },
      }),
    );
  const assign = async (visitId: string, personId: string | null): Promise<void> => {
    const { status } = await fleet.manager.post(`/v1/visits/${visitId}/assign`, { personId });
    expect(status).toBe(200);
    await untilWorkerIsIdle(service);
  };
  async function passDay(day: string): Promise<void> {
    service.clock.moveTo(`${day}T15:00:00Z`);
    const { fleetId } = fleet;
    await service.app.get(WorkQueue).add('work', [{ name: 'sweep-fleet', data: { fleetId } }]);
    await untilWorkerIsIdle(service);
  }
  const heard = (): string[] =>
    Object.entries(receivers).flatMap(([of, { received }]) =>
      received.splice(0).map(({ body }) => `${of} ${body.type}`),
    );

  it('go to the targets of whoever it is assigned to, and to the manager’s as before', async () => {
    const visitId = await visit();
    const [kim, lee] = [await person('Kim Oduya'), await person('Lee Park')];
    await target('manager', { hears: ['due-line'] });
    await target('kim', { personId: kim });
    await target('lee', { personId: lee });
    await untilWorkerIsIdle(service);
    // What stood came to the manager in a digest; to the others there is nothing to say.
    expect(heard()).toEqual(['manager digest']);
    await assign(visitId, kim);
    expect(receivers.kim.received[0]?.body.data.visit).toMatchObject({ id: visitId, assignedTo: kim });
    expect(heard()).toEqual(['kim due-line.window']);
    await passDay('2026-04-05');
    expect(heard()).toEqual(['manager due-line.due', 'kim due-line.due']);
    await assign(visitId, lee);
    expect(heard()).toEqual(['lee due-line.due']);
    await assign(visitId, null);
    await passDay('2026-04-09');
    expect(heard()).toEqual(['manager due-line.late']);
  });

  it('are withdrawn when it is given to somebody else before they are sent', async () => {
    const visitId = await visit();
    const [kim, lee] = [await person('Kim Oduya'), await person('Lee Park')];
    // Nothing is sent to Kim before the evening.
    const late = await target('kim', { personId: kim, sendBetween: { from: '22:00', to: '23:00' } });
    await target('lee', { personId: lee });
    await assign(visitId, kim);
    expect(heard()).toEqual([]);
    await assign(visitId, lee);
    expect(heard()).toEqual(['lee due-line.window']);
    const of = async (status: string): Promise<number> =>
      (await fleet.manager.get(`/v1/reminders?targetId=${late}&status=${status}`)).body.items.length;
    expect(await of('waiting')).toBe(1);
    service.clock.moveTo('2026-04-03T04:30:00Z');
    await service.app.get(FleetSchedule).takeUpLostWork();
    await untilWorkerIsIdle(service);
    expect(receivers.kim.received).toEqual([]);
    expect(await of('withdrawn')).toBe(1);
  });
});
