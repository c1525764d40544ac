import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { Clock } from '../../platform/clock/clock.js';
import { workForFleet } from '../../register/fleets/fleet-work.js';
import { removeExpired } from './spreadsheets.queries.js';

/** Removes, every night, the spreadsheets that were kept long enough. */
@Injectable()
export class SpreadsheetPruningService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly clock: Clock,
  ) {}

  async pruneFleet(fleetId: string): Promise<void> {
    await workForFleet(this.dataSource, fleetId, () =>
      removeExpired(this.dataSource.manager, fleetId, this.clock.now()),
    );
  }
}
