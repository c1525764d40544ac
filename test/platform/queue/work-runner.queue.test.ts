import { WakeUps } from '../../../src/conclusions/outbox/wake-ups.js';
import { WorkRunner } from '../../../src/platform/queue/work-runner.js';
import { untilWorkerIsIdle } from '../../support/idle.js';
import { type Receiver, startReceiver } from '../../support/receiver.js';
import { postScenario } from '../../support/scenario.js';
import { type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T15:00:00Z';

describe('the worker', () => {
  let service: Service;
  let receiver: Receiver;

  beforeAll(async () => {
    receiver = await startReceiver();
    service = await startService({ withWorker: true, at: NOW });
  });
  afterAll(async () => {
    await service?.stop();
    await receiver?.close();
  });

  it('begins no job while it is paused, and then does the waiting ones', async () => {
    const fleet = await service.newFleet();
    await fleet.manager.post('/v1/reminder-targets', { kind: 'webhook', address: receiver.url });
    await untilWorkerIsIdle(service);
    const runner = service.app.get(WorkRunner);
    const paused = (): boolean[] => runner['workers'].map((worker) => worker.isPaused());

    await runner.pausedFor(async () => {
      expect(paused()).toEqual([true, true, true, true]);
      const { vehicleId } = await postScenario(fleet);
      const reading = { vehicleId, readAt: NOW, odometer: { value: 150_000, unit: 'mi' } };
      const posted = await fleet.mechanic.post('/v1/usage-readings', { readings: [reading] });
      expect(posted.body.results[0].status).toBe('accepted');
      await service.app.get(WakeUps).untilSent();
      expect(receiver.received).toEqual([]);
    });

    expect(paused()).toEqual([false, false, false, false]);
    const [told] = await receiver.untilReceived(1);
    expect(told?.text).toContain('R-114');
  });
});
