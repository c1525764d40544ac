import { Inject, Injectable } from '@nestjs/common';
import type { EntityManager } from 'typeorm';
import { requestSweeps } from '../outbox/request-sweeps.queries.js';
import { WakeUps } from '../outbox/wake-ups.js';
import { afterCommit } from '../../platform/database/after-commit.js';
import { fleetScope } from '../../platform/scope/fleet-scope.js';
import { pipelined } from '../../platform/database/pipelined.js';
import { lineColumns } from '../load/due-line-columns.js';
import { saveAlerts } from './alerts.writes.js';
import type { Changes } from './changes.js';
import { saveDefects } from './defects.writes.js';
import { saveLines } from './due-lines.writes.js';
import { saveUsage, summaryColumns } from './usage.writes.js';

/**
 * Stores conclusions and triggers the news about them. Every change of a vehicle passes through
 * here, so a new kind of fact gets its reminders automatically.
 */
@Injectable()
export class ConclusionStore {
  constructor(@Inject(WakeUps) private readonly wakeUps: Pick<WakeUps, 'wake'>) {}

  /**
   * Stores what differs from the stored rows, and an outbox row for each vehicle that may have
   * news.
   */
  async store(tx: EntityManager, changes: Changes): Promise<void> {
    const { fleetId } = fleetScope();
    const { lines, inTheNews } = changes;
    // Computed first, so that the statements are sent in this order.
    const ofSummaries = await summaryColumns(changes.summaries);
    const ofLines = await lineColumns([...lines.added, ...lines.changed]);
    await pipelined([
      () => saveUsage(tx, fleetId, changes, ofSummaries),
      () => saveLines(tx, fleetId, lines, ofLines),
      () => saveDefects(tx, fleetId, changes.defects),
      () => saveAlerts(tx, fleetId, changes.alerts, changes.fallenAlerts),
      ...(inTheNews.length > 0 ? [() => requestSweeps(tx, fleetId, inTheNews)] : []),
    ]);
    if (inTheNews.length > 0) afterCommit(tx, () => this.wakeUps.wake(fleetId));
  }

  /** Writes outbox rows for vehicles whose reminders may now go to other targets. */
  async sweepAgain(tx: EntityManager, vehicleIds: string[]): Promise<void> {
    const { fleetId } = fleetScope();
    await requestSweeps(tx, fleetId, vehicleIds);
    afterCommit(tx, () => this.wakeUps.wake(fleetId));
  }
}
