import { startService } from '../support/service.js';
import { machinesOf, vinOf } from '../support/telematics/machines.js';
import { Sources } from '../support/telematics/sources.js';
import { startTelematicsServer } from '../support/telematics/telematics-server.js';

const NOW = '2026-04-02T16:00:00Z';
const MACHINES = Number(process.env.LONG_RUNS ?? 10_000);

/** What polls cost: `npm run test:long -- polling --runs 10000`. See docs/scale.md. */
describe('polling many machines', () => {
  it('is measured', async () => {
    const env = { POLL_TIMEOUT_SECONDS: '300' };
    const service = await startService({ at: NOW, withWorker: true, env });
    const server = await startTelematicsServer({ machines: machinesOf(MACHINES) });
    const fleet = await service.newFleet();
    const sources = new Sources(service, fleet);
    const rows = Array.from({ length: MACHINES }, (_, index) => `U-${index},${vinOf(index)}`);
    const file = ['Unit,Serial number', ...rows].join('\n');
    const imported = await fleet.manager.send('POST', '/v1/vehicles/import', file, {
      'content-type': 'text/csv',
    });
    expect(imported.status).toBe(200);
    const id = await sources.add({ name: 'Many', kind: 'push' });
    await fleet.manager.delete(`/v1/telematics-sources/${id}`);

    const figures: string[] = [];
    const measured = async (what: string, poll: () => Promise<unknown>, expected: object): Promise<void> => {
      const [begun, cpu] = [performance.now(), process.cpuUsage()];
      await poll();
      const { user, system } = process.cpuUsage(cpu);
      const each = (ms: number): string => `${Math.round((1000 * ms) / MACHINES)} µs`;
      figures.push(
        `${what}: ${each((user + system) / 1000)} of CPU, ${each(performance.now() - begun)} elapsed a machine`,
      );
      expect((await sources.get(polled)).lastIntake).toMatchObject(expected);
    };
    let polled = '';
    const address = `${server.url}/Fleet/1`;
    await measured(
      'first poll',
      async () => (polled = await sources.add({ kind: 'iso-15143-3', address, everyMinutes: 60 })),
      { machines: MACHINES, taken: MACHINES },
    );
    for (const [hour, expected] of [
      [1, { passedOver: MACHINES, taken: 0 }],
      [7, { passedOver: 0, taken: MACHINES }],
    ] as const) {
      const at = new Date(Date.parse(NOW) + hour * 3_600_000).toISOString();
      service.clock.moveTo(at);
      for (const machine of server.machines) {
        machine.at = at;
        machine.odometerKm = (machine.odometerKm ?? 0) + 30;
      }
      await measured(
        hour === 1 ? 'an hour later' : 'readings taken again',
        () => sources.poll(polled),
        expected,
      );
    }
    process.stdout.write(`${MACHINES} machines in pages of ${server.pageSize}\n${figures.join('\n')}\n`);
    await server.close();
    await service.stop();
  });
});
