import { WorkQueue } from '../../../src/platform/queue/work-queue.js';
import { untilWorkerIsIdle } from '../../support/idle.js';
import { type Receiver, startReceiver } from '../../support/receiver.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

describe('reminders of a postponed line', () => {
  let service: Service;
  let fleet: FleetHandle;
  let receiver: Receiver;

  beforeAll(async () => {
    service = await startService({ withWorker: true, at: '2026-04-02T15:00:00Z' });
    fleet = await service.newFleet({ timeZone: 'America/Denver', units: 'us' });
    receiver = await startReceiver();
  });
  afterAll(async () => {
    await service.stop();
    await receiver.close();
  });

  async function passDays(from: string, days: number): Promise<void> {
    for (let day = 0; day < days; day++) {
      service.clock.moveTo(new Date(Date.parse(`${from}T15:00:00Z`) + day * 86_400_000));
      await service.app
        .get(WorkQueue)
        .add('work', [{ name: 'sweep-fleet', data: { fleetId: fleet.fleetId } }]);
      await untilDone();
    }
  }

  const untilDone = (): Promise<void> => untilWorkerIsIdle(service);

  /** What stood when the target was added comes in a digest. */
  const heard = () =>
    receiver.received.flatMap(({ body }) =>
      body.type === 'digest'
        ? body.data.dueLines.map((line: any) => [`digest of ${line.state}`, line.dueOn])
        : [[body.type, body.data.dueOn]],
    );

  it('come again, once for each stage, when it is due again', async () => {
    const plan = await fleet.manager.post('/v1/interval-plans', {
      name: 'Monthly look',
      intervals: [
        { component: 'coolant', action: 'inspect', everyMonths: 1, window: { days: 3 }, grace: { days: 3 } },
      ],
    });
    await fleet.manager.post('/v1/vehicles', {
      unitNumber: 'M-1',
      intervalPlanId: plan.body.id,
      inServiceOn: '2026-03-05',
    });
    expect(
      (await fleet.manager.post('/v1/reminder-targets', { kind: 'webhook', address: receiver.url })).status,
    ).toBe(201);
    await passDays('2026-04-02', 5);
    // A month from 5 March: the window opens on the 2nd, due on the 5th.
    expect(heard()).toEqual([
      ['digest of window', '2026-04-05'],
      ['due-line.due', '2026-04-05'],
    ]);
    const { body } = await fleet.dashboard.get('/v1/due-list');
    const put = await fleet.manager.post(`/v1/due-list/${body.items[0].id}/postpone`, {
      until: '2026-04-15',
      reason: 'on a long run',
    });
    expect([put.status, put.body.windowOpensOn, put.body.lateOn]).toEqual([200, '2026-04-12', '2026-04-18']);
    await passDays('2026-04-06', 16);
    expect(heard().slice(2)).toEqual([
      ['due-line.window', '2026-04-15'],
      ['due-line.due', '2026-04-15'],
      ['due-line.late', '2026-04-15'],
    ]);
    const ids = receiver.received.map(({ headers }) => headers['webhook-id']);
    expect(new Set(ids).size).toBe(5);
  });
});
