import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { ConclusionsService } from '../pipeline/conclusions.service.js';
import { vehicleFacts } from '../../domain/conclusions/loss-facts.js';
import { lossTrend } from '../../domain/loss/trend/loss-trend.js';
import { LOSS_DEFAULTS } from '../../domain/loss/facts/settings.js';
import type { UnitSystem } from '../../domain/quantities/measures.js';
import { Clock } from '../../platform/clock/clock.js';
import { notFound } from '../../platform/problems/problem.js';
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
  async ofVehicle(vehicleId: string, units: UnitSystem): Promise<LossTrendView> {
    const { histories } = await this.conclusions.load(this.dataSource.manager, [
      { vehicleId, usageFrom: null },
    ]);
    const [history] = histories;
    if (!history) throw notFound('vehicle');
    // No series shows whether a job came early, so no windows are looked up.
    const facts = vehicleFacts(history, () => null);
    return { series: seriesOf(lossTrend(facts, LOSS_DEFAULTS, this.clock.now().toISOString()), units) };
  }
}
