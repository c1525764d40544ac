import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { workForFleet } from '../../register/fleets/fleet-work.js';
import { Clock } from '../../platform/clock/clock.js';
import { removeOldAnswers } from '../../platform/database/idempotency.js';

const AT_A_TIME = 1000;

/** Removes stored responses whose `Idempotency-Key` has expired. */
@Injectable()
export class IdempotencyPruningService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly clock: Clock,
  ) {}

  async pruneFleet(fleetId: string): Promise<void> {
    const now = this.clock.now();
    await workForFleet(this.dataSource, fleetId, async () => {
      for (let full = true; full;)
        full = (await removeOldAnswers(this.dataSource.manager, fleetId, now, AT_A_TIME)) === AT_A_TIME;
    });
  }
}
