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

  /**
   * Computed from the vehicle's facts as they are, by the rules and the cohort that its alerts were
   * concluded by.
   */
  async ofVehicle(vehicleId: string, units: UnitSystem): Promise<LossTrendView> {
    const { histories } = await this.conclusions.load(this.dataSource.manager, [
      { vehicleId, usageFrom: null },
    ]);
    const [history] = histories;
    if (!history) throw notFound('vehicle');
    // Whether a job came early says nothing about coolant: none of the series shows it.
    const facts = vehicleFacts(history, () => null);
    return { series: seriesOf(lossTrend(facts, LOSS_DEFAULTS, this.clock.now().toISOString()), units) };
  }
}
