import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource, type EntityManager } from 'typeorm';
import { addDays } from '../../domain/calendar/civil-date.js';
import { civilDateAt } from '../../domain/calendar/zone.js';
import { SAMPLES_KEPT_DAYS } from '../../domain/temperatures/samples.js';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { workForFleet } from '../../register/fleets/fleet-work.js';

/** A change of zone can put the fleet's day back; common practice. */
const MARGIN_DAYS = 1;
const AT_A_TIME = 1000;
/** Maximum number of batches in a run. The next night does the rest. */
const MOST_TIMES = 1000;

/** Removes, every night, the samples of days that take in no more. Their figures stay. */
@Injectable()
export class SamplePruningService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly clock: Clock,
  ) {}

  async pruneFleet(fleetId: string): Promise<void> {
    await workForFleet(this.dataSource, fleetId, async () => {
      const today = civilDateAt(this.clock.now().getTime(), fleetScope().timeZone);
      const first = addDays(today, -SAMPLES_KEPT_DAYS - MARGIN_DAYS);
      for (let times = 0; times < MOST_TIMES; times++)
        if ((await removeSamples(this.dataSource.manager, fleetId, first)) < AT_A_TIME) return;
    });
  }
}

/** Removes some samples of days before one. @returns how many days' */
async function removeSamples(manager: EntityManager, fleetId: string, before: string): Promise<number> {
  const [row] = await manager.query<{ count: number }[]>(
    `with old as (
       select vehicle_id, day from coolant_temperature_samples where fleet_id = $1 and day < $2 order by day limit $3),
     removed as (
       delete from coolant_temperature_samples t using old
       where t.fleet_id = $1 and t.vehicle_id = old.vehicle_id and t.day = old.day returning 1)
     select count(*)::int as count from removed`,
    [fleetId, before, AT_A_TIME],
  );
  return row?.count ?? 0;
}
