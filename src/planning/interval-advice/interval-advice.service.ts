import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { civilDateAt } from '../../domain/calendar/zone.js';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import { adviseInterval } from '../../domain/reliability/advise-interval.js';
import type { ReplacementCosts } from '../../domain/reliability/age-replacement.js';
import type { VehicleParts, WantedLives } from '../../domain/reliability/part-history.js';
import { type PartLives, partLivesOf } from '../../domain/reliability/part-lives.js';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { rowOf } from '../../platform/database/records.js';
import { badQuery } from '../../platform/problems/problem.js';
import { SpecSheet } from '../../entities/spec-sheet.entity.js';
import { adviceView } from './advice-view.js';
import { currentIntervals } from './current-intervals.js';
import type { IntervalAdviceQuery, IntervalAdviceView } from './interval-advice.dto.js';
import { message } from './messages.js';
import { plansInUse, vehicleParts } from './interval-advice.queries.js';

/** One request examines no more vehicles than this. */
const MOST_VEHICLES = 20_000;

@Injectable()
export class IntervalAdviceService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly clock: Clock,
  ) {}

  async advise(query: IntervalAdviceQuery, units: UnitSystem): Promise<IntervalAdviceView> {
    const { manager } = this.dataSource;
    const { fleetId, timeZone } = fleetScope();
    const { component, by = 'distance', item = null, duty = null } = query;
    const specSheetId = query.specSheetId?.toLowerCase() ?? null;
    const recordsFrom = query.recordsFrom ?? null;
    const costs = costsOf(query);
    if (specSheetId !== null) await rowOf(manager, SpecSheet, specSheetId, 'spec sheet');
    const today = civilDateAt(this.clock.now().getTime(), timeZone);
    const vehicles = await vehicleParts(
      manager,
      fleetId,
      { component, specSheetId, by, recordsFrom, timeZone },
      MOST_VEHICLES + 1,
    );
    if (vehicles.length > MOST_VEHICLES)
      throw badQuery('specSheetId', message('advice-too-many-vehicles', { most: MOST_VEHICLES }));
    const wanted = { item: item?.trim() ?? null, duty, specSheetId, recordsFrom, today, timeZone };
    const parts = livesOf(vehicles, wanted);
    const plans = await plansInUse(manager, fleetId, specSheetId);
    return adviceView(
      { ...wanted, component, by, costs, vehicles: vehicles.length, units },
      parts,
      adviseInterval(parts.lives, costs),
      currentIntervals(plans, { component, item: wanted.item, duty, by }),
    );
  }
}

function livesOf(vehicles: readonly VehicleParts[], wanted: WantedLives): PartLives {
  const found: PartLives = { lives: [], leftOut: [] };
  for (const vehicle of vehicles) {
    const { lives, leftOut } = partLivesOf(vehicle, wanted);
    found.lives.push(...lives);
    found.leftOut.push(...leftOut);
  }
  return found;
}

/**
 * The costs as numbers. Null when neither is given.
 *
 * @throws Problem 400 when only one of the two is given
 */
function costsOf({ plannedCost, failureCost }: IntervalAdviceQuery): ReplacementCosts | null {
  if (plannedCost === undefined && failureCost === undefined) return null;
  if (plannedCost === undefined) throw badQuery('plannedCost', message('advice-planned-cost-missing'));
  if (failureCost === undefined) throw badQuery('failureCost', message('advice-failure-cost-missing'));
  return { planned: Number(plannedCost), failure: Number(failureCost) };
}
