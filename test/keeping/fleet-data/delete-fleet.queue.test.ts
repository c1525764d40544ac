import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { deleteFleet, type DeletedFleet } from '../../../src/keeping/fleet-data/delete-fleet.js';
import { DiskStore } from '../../../src/platform/storage/disk-store.js';
import { WorkQueue } from '../../../src/platform/queue/work-queue.js';
import { FleetSchedule } from '../../../src/telling/reminders/sweep/fleet-schedule.js';
import { fillFleet } from '../../support/full-fleet.js';
import { paper } from '../../support/pictures.js';
import { until } from '../../support/receiver.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T15:00:00Z';

describe('a fleet that is deleted', () => {
  let service: Service;
  let fleet: FleetHandle;
  let other: FleetHandle;
  let name: string;

  beforeAll(async () => {
    service = await startService({ at: NOW, withWorker: true });
    [fleet, other] = [await service.newFleet(), await service.newFleet()];
    for (const [index, who] of [fleet, other].entries()) {
      await fillFleet(service, who, index === 0 ? 'A-' : 'B-');
      await attach(who);
    }
    name = (await fleet.manager.get('/v1/fleet')).body.name;
  });
  afterAll(() => service.stop());

  async function attach(who: FleetHandle): Promise<void> {
    const report = (await who.dashboard.get('/v1/job-reports')).body.items[0];
    const { status } = await who.mechanic.send(
      ...(['POST', `/v1/job-reports/${report.id}/attachments`, paper(2000)] as const),
      { 'content-type': 'application/pdf' },
    );
    expect(status).toBe(201);
  }
  const remove = (more: Partial<Parameters<typeof deleteFleet>[1]> = {}): Promise<DeletedFleet> =>
    deleteFleet(service.database.url, {
      ...{
        fleetId: fleet.fleetId,
        confirm: name,
        store: new DiskStore(service.config.attachments.directory),
      },
      ...more,
    });
  const filesOf = (who: FleetHandle): Promise<string[]> =>
    readdir(join(service.config.attachments.directory, who.fleetId));

  /** Rows by table, of every table of every schema that has a column for the fleet. */
  async function rowsOf({ fleetId }: FleetHandle): Promise<Record<string, number>> {
    const { admin } = service.database;
    const { rows: tables } = await admin.query<{ name: string }>(
      `select format('%I.%I', table_schema, table_name) as name from information_schema.columns
       where column_name = 'fleet_id' and table_schema !~ '^(pg_|information_schema)'`,
    );
    const counts: Record<string, number> = {};
    for (const { name: table } of tables) {
      const { rows } = await admin.query(`select count(*)::int as n from ${table} where fleet_id = $1`, [
        fleetId,
      ]);
      if (rows[0].n > 0) counts[table] = rows[0].n;
    }
    const { rows } = await admin.query('select count(*)::int as n from fleets where id = $1', [fleetId]);
    return { ...counts, fleets: rows[0].n };
  }

  it('must be named, and its files must be in reach', async () => {
    const before = await rowsOf(fleet);
    await expect(remove({ confirm: name.toLowerCase() })).rejects.toThrow(/--confirm is/);
    await expect(remove({ fleetId: '0190a0a0-0000-7000-8000-000000000000' })).rejects.toThrow(
      /no fleet of that id/,
    );
    expect(await rowsOf(fleet)).toEqual(before);
    await expect(remove({ store: new DiskStore('/nowhere') })).rejects.toThrow(/does not see their files/);
    const { 'public.vehicles': vehicles, 'public.job_reports': reports } = await rowsOf(fleet);
    expect([vehicles, reports]).toEqual([before['public.vehicles'], before['public.job_reports']]);
    expect((await fleet.manager.get('/v1/fleet')).status).toBe(200);
  });

  it('leaves no row and no file, and another fleet as it was', async () => {
    const [own, others] = [await rowsOf(fleet), await rowsOf(other)];
    expect(Object.keys(own).length).toBeGreaterThan(30);
    const othersFiles = await filesOf(other);
    const schedule = service.app.get(FleetSchedule);
    await schedule.scheduleMornings();
    const { removed, files } = await remove();
    expect(await rowsOf(fleet)).toEqual({ fleets: 0 });
    expect(removed).toMatchObject({ vehicles: 2, fleets: 1 });
    expect(files).toBeGreaterThan(0);
    expect(await filesOf(fleet)).toEqual([]);
    expect(await filesOf(other)).toEqual(othersFiles);
    // The worker is at work for the other one all the while.
    const after = await rowsOf(other);
    for (const table of ['vehicles', 'job_reports', 'job_lines', 'readings', 'attachments', 'access_tokens'])
      expect([table, after[`public.${table}`]]).toEqual([table, others[`public.${table}`]]);
    expect((await fleet.manager.get('/v1/fleet')).status).toBe(401);
    expect((await other.manager.get('/v1/fleet')).status).toBe(200);
    const queue = service.app.get(WorkQueue).queue('work');
    await schedule.scheduleMornings();
    const keys = (await queue.getJobSchedulers(0, -1)).map(({ key }) => key);
    expect(keys.some((key) => key.includes(other.fleetId))).toBe(true);
    expect(keys.filter((key) => key.includes(fleet.fleetId))).toEqual([]);
  });

  it('does no harm through jobs queued before', async () => {
    const queue = service.app.get(WorkQueue);
    const { fleetId } = fleet;
    const id = '0190a0a0-0000-7000-8000-000000000001';
    const failed: string[] = [];
    const jobs = {
      work: [
        ...(['sweep-fleet', 'refresh-cohorts', 'prune-events', 'apply-retention'] as const).map((job) => ({
          ...{ name: job, data: { fleetId } },
        })),
        { name: 'sweep-vehicles' as const, data: { fleetId } },
      ],
      deliveries: [{ name: 'deliver-reminder' as const, data: { fleetId, reminderId: id } }],
      planning: [{ name: 'solve-visit-plan' as const, data: { fleetId, planId: id, round: 1 } }],
    };
    for (const [queueName, queued] of Object.entries(jobs)) {
      const target = queue.queue(queueName as 'work');
      for (const job of queued) {
        const added = await target.add(job.name, job.data, {
          removeOnComplete: false,
          removeOnFail: false,
        });
        await until(async () => ['completed', 'failed'].includes(await added.getState()), 20_000);
        if ((await added.getState()) === 'failed')
          failed.push(`${job.name}: ${(await target.getJob(String(added.id)))?.failedReason}`);
      }
    }
    expect(failed).toEqual([]);
    expect(await rowsOf(fleet)).toEqual({ fleets: 0 });
  });
});
