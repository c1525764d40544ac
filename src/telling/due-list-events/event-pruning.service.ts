import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { workForFleet } from '../../register/fleets/fleet-work.js';
import { removeOldEvents } from './due-list-events.queries.js';
import { StreamSettings } from './stream-settings.js';

const AT_A_TIME = 1000;
/** The rest is left to the next hour. */
const MOST_TIMES = 100;
/**
 * What a transaction recorded that stayed open for long is not removed before those who may come
 * back for it have read it.
 */
const MARGIN_SECONDS = 3600;

/** Removes events that nobody can come back for any more. */
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
