import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { workForFleet } from '../../register/fleets/fleet-work.js';
import { removeOldEvents } from './due-list-events.queries.js';
import { StreamSettings } from './stream-settings.js';

const AT_A_TIME = 1000;
/** Maximum number of batches in a run. The next hour does the rest. */
const MOST_TIMES = 100;
/**
 * Keeps events of long transactions a little longer, so that clients can still come back for them.
 */
const MARGIN_SECONDS = 3600;

/** Removes events that no client can come back for any more. */
@Injectable()
export class EventPruningService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    private readonly settings: StreamSettings,
  ) {}

  async pruneFleet(fleetId: string): Promise<void> {
    const olderThan = this.settings.keptForSeconds + MARGIN_SECONDS;
    await workForFleet(this.dataSource, fleetId, async () => {
      for (let times = 0; times < MOST_TIMES; times++) {
        const removed = await removeOldEvents(this.dataSource.manager, fleetId, olderThan, AT_A_TIME);
        if (removed < AT_A_TIME) return;
      }
    });
  }
}
