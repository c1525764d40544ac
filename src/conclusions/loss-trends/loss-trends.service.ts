import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { ConclusionsService } from '../pipeline/conclusions.service.js';
import type { VehicleHistory } from '../../domain/conclusions/vehicle-history.js';
import {
  type CircuitName,
  namedCircuit,
  recordedCircuit,
  type VehicleCircuits,
} from '../../domain/vehicles/circuits.js';
import { vehicleFacts, watchedCircuits } from '../../domain/conclusions/loss-facts.js';
import { lossTrend } from '../../domain/loss/trend/loss-trend.js';
import { LOSS_DEFAULTS } from '../../domain/loss/facts/settings.js';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import { Clock } from '../../platform/clock/clock.js';
import { badQuery, notFound } from '../../platform/problems/problem.js';
import { message } from './messages.js';
import type { LossTrendView } from './loss-trend.dto.js';
import { seriesOf } from './trend-series.js';

@Injectable()
export class LossTrendsService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly conclusions: ConclusionsService,
    private readonly clock: Clock,
  ) {}

  /** Computed from the vehicle's present facts, with the same rules and cohort as its alerts. */
  async ofVehicle(
    vehicleId: string,
    circuit: CircuitName | undefined,
    units: UnitSystem,
  ): Promise<LossTrendView> {
    const { histories } = await this.conclusions.load(this.dataSource.manager, [
      { vehicleId, usageFrom: null },
    ]);
    const [history] = histories;
    if (!history) throw notFound('vehicle');
    const { circuits } = history;
    if (circuit !== undefined && !watchedOf(history).includes(recordedCircuit(circuit, circuits)))
      throw badQuery('circuit', message('trend-no-such-circuit', { circuit, circuits: listedIn(circuits) }));
    const recorded = recordedCircuit(circuit, circuits);
    // No series shows whether a job came early, so no windows are looked up.
    const facts = vehicleFacts(history, () => null, recorded);
    const named = namedCircuit(recorded, circuits);
    return {
      ...(named !== null && { circuit: named }),
      series: seriesOf(lossTrend(facts, LOSS_DEFAULTS, this.clock.now().toISOString()), units),
    };
  }
}

const listedIn = ({ first, others }: VehicleCircuits): CircuitName[] => [first, ...others];

/** The circuits that a vehicle has, and those that only its records are about; as recorded. */
function watchedOf(history: VehicleHistory): (CircuitName | null)[] {
  return [...watchedCircuits(history), ...history.circuits.others];
}
