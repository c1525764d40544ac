import { WorkQueue } from '../../../src/platform/queue/work-queue.js';
import { postScenario } from '../../support/scenario.js';
import { startService } from '../../support/service.js';
import { until } from '../../support/receiver.js';

describe('the samples of coolant temperatures', () => {
  it('go after thirty days, at night, and their figures stay', async () => {
    const service = await startService({ at: '2026-04-02T20:00:00Z', withWorker: true });
    try {
      const fleet = await service.newFleet({ units: 'si' });
      const { vehicleId } = await postScenario(fleet);
      const post = (...days: string[]) =>
        fleet.mechanic.post('/v1/coolant-temperatures', {
          samples: days.map((day) => ({
            ...{ vehicleId, readAt: `${day}T12:00:00Z`, temperature: { value: 95, unit: 'C' } },
          })),
        });
      await post('2026-03-28', '2026-03-30', '2026-04-02');
      const look = async (text: string): Promise<string[]> =>
        (await service.database.admin.query<{ day: string }>(text, [fleet.fleetId])).rows.map(
          ({ day }) => day,
        );
      const samples = () =>
        look('select day::text from coolant_temperature_samples where fleet_id = $1 order by 1');
      const night = async (): Promise<void> => {
        const queue = service.app.get(WorkQueue).queue('work');
        const added = await queue.add(
          'apply-retention',
          { fleetId: fleet.fleetId },
          { removeOnComplete: false, removeOnFail: false },
        );
        await until(async () => ['completed', 'failed'].includes(await added.getState()), 20_000);
        expect(await added.getState()).toBe('completed');
      };
      await night();
      expect(await samples()).toEqual(['2026-03-28', '2026-03-30', '2026-04-02']);
      // A change of zone could put the day back by one, so that the day before counts, too.
      service.clock.moveTo('2026-04-30T20:00:00Z');
      await night();
      expect(await samples()).toEqual(['2026-03-30', '2026-04-02']);
      expect((await post('2026-03-31')).body.accepted).toBe(1);
      service.clock.moveTo('2026-06-30T20:00:00Z');
      await night();
      expect(await samples()).toEqual([]);
      const path = `/v1/vehicles/${vehicleId}/coolant-temperatures`;
      expect((await fleet.dashboard.get(path)).body.items).toMatchObject([
        { day: '2026-04-02', closed: true, highest: { value: 95, unit: 'C' } },
        { day: '2026-03-31', closed: true },
        { day: '2026-03-30', closed: true },
        { day: '2026-03-28', closed: true },
      ]);
    } finally {
      await service.stop();
    }
  });
});
