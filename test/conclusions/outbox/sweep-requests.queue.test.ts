import { DataSource } from 'typeorm';
import { WorkQueue } from '../../../src/platform/queue/work-queue.js';
import { SweepService } from '../../../src/telling/reminders/sweep/sweep.service.js';
import { WakeUps } from '../../../src/conclusions/outbox/wake-ups.js';
import { requestSweeps } from '../../../src/conclusions/outbox/request-sweeps.queries.js';
import { takeRequests } from '../../../src/conclusions/outbox/take-requests.queries.js';
import { inFleet } from '../../../src/platform/scope/fleet-scope.js';
import { FleetSchedule } from '../../../src/telling/reminders/sweep/fleet-schedule.js';
import { seedDueLine } from '../../support/due-lines.js';
import { type Receiver, startReceiver, until } from '../../support/receiver.js';
import { postScenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { askForSweep } from '../../support/sweep-requests.js';

const LATE = { windowOpensOn: '2026-03-03', dueOn: '2026-03-06', lateOn: '2026-03-09' };

describe('sweep requests for vehicles', () => {
  let service: Service;
  let fleet: FleetHandle;
  let receiver: Receiver;

  beforeAll(async () => {
    service = await startService({
      ...{ withWorker: true, at: '2026-04-02T15:00:00Z', env: { QUEUE_CHECK_SECONDS: '300' } },
    });
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    receiver = await startReceiver();
    fleet = await service.newFleet();
    // Nothing but what is asked for is swept.
    await service.database.admin.query('insert into fleet_sweeps (fleet_id, swept_on) values ($1, $2)', [
      fleet.fleetId,
      '2026-04-02',
    ]);
    await fleet.manager.post('/v1/reminder-targets', { kind: 'webhook', address: receiver.url });
  });
  afterEach(() => receiver.close());

  const asFleet = <T>(work: () => Promise<T>): Promise<T> =>
    inFleet({ ...{ fleetId: fleet.fleetId, timeZone: 'UTC', units: 'si' }, tokenId: null, role: null }, work);
  const transaction = <T>(work: (tx: DataSource['manager']) => Promise<T>): Promise<T> =>
    asFleet(() => service.app.get(DataSource).transaction(work));
  const asked = async (): Promise<string[]> => {
    const { rows } = await service.database.admin.query<{ vehicle_id: string }>(
      'select vehicle_id from sweep_requests where fleet_id = $1 order by id',
      [fleet.fleetId],
    );
    return rows.map((row) => row.vehicle_id);
  };
  const sweepRequested = (): Promise<void> => service.app.get(SweepService).sweepRequested(fleet.fleetId);
  const heard = (): string[] => receiver.received.map(({ body }) => body.data.vehicle.unitNumber);

  it('exist once for each vehicle, however often it is requested', async () => {
    const { vehicleId } = await seedDueLine(service, fleet.fleetId, LATE);
    for (let post = 0; post < 3; post++)
      await transaction((tx) => requestSweeps(tx, fleet.fleetId, [vehicleId]));
    expect(await asked()).toEqual([vehicleId]);
  });

  it('are skipped while the requester has not committed, and found once it has', async () => {
    const { vehicleId } = await seedDueLine(service, fleet.fleetId, LATE);
    await askForSweep(service, fleet.fleetId, [vehicleId]);
    await transaction(async (tx) => {
      await requestSweeps(tx, fleet.fleetId, [vehicleId]);
      await transaction(async (other) => {
        expect(await takeRequests(other, fleet.fleetId, 10)).toEqual({ vehicleIds: [], isMore: false });
      });
    });
    expect(await asked()).toEqual([vehicleId]);
    await transaction(async (tx) => {
      expect(await takeRequests(tx, fleet.fleetId, 10)).toEqual({ vehicleIds: [vehicleId], isMore: false });
    });
    expect(await asked()).toEqual([]);
  });

  it('are made again without waiting while a sweep handles them, and then stay', async () => {
    const { vehicleId } = await seedDueLine(service, fleet.fleetId, LATE);
    await askForSweep(service, fleet.fleetId, [vehicleId]);
    await transaction(async (tx) => {
      await takeRequests(tx, fleet.fleetId, 10);
      await transaction((other) => requestSweeps(other, fleet.fleetId, [vehicleId]));
    });
    expect(await asked()).toEqual([vehicleId]);
  });

  it('stay if the news could not be recorded', async () => {
    const { vehicleId } = await seedDueLine(service, fleet.fleetId, LATE);
    await askForSweep(service, fleet.fleetId, [vehicleId]);
    await service.database.admin.query('alter table reminders rename to reminders_away');
    try {
      await expect(sweepRequested()).rejects.toThrow('reminders');
    } finally {
      await service.database.admin.query('alter table reminders_away rename to reminders');
    }
    expect(await asked()).toEqual([vehicleId]);
    await sweepRequested();
    await receiver.untilReceived(1);
    expect(await asked()).toEqual([]);
  });

  it('are found by the regular check if nobody woke the worker, with or without the queue', async () => {
    const line = await seedDueLine(service, fleet.fleetId, LATE);
    await askForSweep(service, fleet.fleetId, [line.vehicleId]);
    const queueing = jest.spyOn(service.app.get(WorkQueue), 'add').mockResolvedValue(false);
    await service.app.get(FleetSchedule).sweepRequested();
    queueing.mockRestore();
    expect(await asked()).toEqual([]);
    // Recorded, and queued by the same look.
    await service.app.get(FleetSchedule).takeUpLostWork();
    await receiver.untilReceived(1);
    expect(heard()).toEqual([line.unitNumber]);
  });

  it('are found in every fleet, even if one fleet blocks itself', async () => {
    const { admin } = service.database;
    const [broken, sound] = [fleet, await service.newFleet()];
    await sound.manager.post('/v1/reminder-targets', { kind: 'webhook', address: receiver.url });
    const lines = [
      await seedDueLine(service, broken.fleetId, LATE),
      await seedDueLine(service, sound.fleetId, LATE),
    ];
    await askForSweep(service, broken.fleetId, [lines[0]?.vehicleId ?? '']);
    await askForSweep(service, sound.fleetId, [lines[1]?.vehicleId ?? '']);
    await admin.query(`update fleets set time_zone = 'Nowhere/Else' where id = $1`, [broken.fleetId]);
    try {
      await service.app.get(FleetSchedule).sweepRequested();
    } finally {
      await admin.query(`update fleets set time_zone = 'America/Denver' where id = $1`, [broken.fleetId]);
    }
    await receiver.untilReceived(1);
    expect(heard()).toEqual([lines[1]?.unitNumber]);
    expect(await asked()).toHaveLength(1);
  });

  it('are handled again if the transaction that held one was rolled back and woke nobody', async () => {
    const line = await seedDueLine(service, fleet.fleetId, LATE);
    await askForSweep(service, fleet.fleetId, [line.vehicleId]);
    const undone = transaction(async (tx) => {
      await requestSweeps(tx, fleet.fleetId, [line.vehicleId]);
      await sweepRequested();
      expect(await asked()).toEqual([line.vehicleId]);
      throw new Error('undone');
    });
    await expect(undone).rejects.toThrow('undone');
    await receiver.untilReceived(1);
    expect(heard()).toEqual([line.unitNumber]);
  });

  it('are all found, even more than one transaction takes', async () => {
    const { admin } = service.database;
    await admin.query(
      `insert into vehicles (fleet_id, id, unit_number, duty, status) select $1, uuidv7(), 'M-' || n, 'normal', 'in-use' from generate_series(1, 1100) n`,
      [fleet.fleetId],
    );
    await admin.query(
      'insert into sweep_requests (fleet_id, vehicle_id) select fleet_id, id from vehicles where fleet_id = $1',
      [fleet.fleetId],
    );
    await sweepRequested();
    expect(await asked()).toEqual([]);
  });

  it('wake the worker once for many posts', async () => {
    const { vehicleId, intervalPlanId } = await postScenario(fleet, { inServiceOn: '2026-01-01' });
    const others = await Promise.all(
      Array.from({ length: 4 }, async (_, n) => {
        const vehicle = { unitNumber: `P-${n}`, intervalPlanId, inServiceOn: '2026-01-01' };
        return (await fleet.manager.post('/v1/vehicles', vehicle)).body.id as string;
      }),
    );
    const queue = service.app.get(WorkQueue).queue('work');
    const queued = (): Promise<number> => queue.getJobCountByTypes('waiting', 'active', 'prioritized');
    await service.app.get(WakeUps).untilSent();
    await until(async () => (await queued()) === 0);
    const sweeps = service.app.get(SweepService);
    const sweep = sweeps.sweepRequested.bind(sweeps);
    let letGo = (): void => undefined;
    const held = new Promise<void>((resolve) => (letGo = resolve));
    const sweeping = jest.spyOn(sweeps, 'sweepRequested').mockImplementation(async (fleetId) => {
      await held;
      return sweep(fleetId);
    });
    const failed = {
      ...{ kind: 'hold-test', takenAt: '2026-04-01T12:00:00Z', method: 'pressure', minutes: 5 },
      ...{ start: { value: 15, unit: 'psi' }, end: { value: 5, unit: 'psi' } },
    };
    const POSTS = 100;
    await Promise.all(
      Array.from({ length: POSTS }, async (_, n) => {
        const id = [vehicleId, ...others][n % 5] as string;
        expect((await fleet.mechanic.post(`/v1/vehicles/${id}/readings`, failed)).status).toBe(201);
      }),
    );
    await service.app.get(WakeUps).untilSent();
    expect(await queued()).toBe(1);
    letGo();
    await receiver.untilReceived(POSTS, 30_000);
    sweeping.mockRestore();
  });
});
