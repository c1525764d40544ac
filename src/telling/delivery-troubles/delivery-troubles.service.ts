import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { Clock } from '../../platform/clock/clock.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import type { DeliveryTroubleView } from './delivery-trouble.dto.js';
import { standingTroubles } from './delivery-troubles.queries.js';
import { troubleView } from './trouble-words.js';

@Injectable()
export class DeliveryTroublesService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly clock: Clock,
  ) {}

  /** What keeps the fleet's reminders from arriving; null for anyone but a manager. */
  async ofManager(): Promise<DeliveryTroubleView[] | null> {
    const { fleetId, timeZone, role } = fleetScope();
    if (role !== 'manager') return null;
    const troubles = await standingTroubles(this.dataSource.manager, fleetId, this.clock.now());
    return troubles.map((trouble) => troubleView(trouble, timeZone));
  }
}
