import { Injectable } from '@nestjs/common';
import { Gauge } from 'prom-client';
import { Clock } from '../platform/clock/clock.js';
import { Metrics } from '../platform/observability/metrics.js';
import { SweepDatabase } from './sweep-database.js';

/** What is measured across all fleets: how long the reminder has waited that has waited longest. */
@Injectable()
export class SweepFigures {
  constructor(metrics: Metrics, database: SweepDatabase, clock: Clock) {
    const oldestUnsent = new Gauge({
      name: 'weephole_reminders_oldest_unsent_seconds',
      help: 'Age of the oldest reminder that could have been sent by now and has not been; 0 when there is none',
      registers: [],
      async collect() {
        const now = clock.now();
        // What the database cannot say now is left out, and the other figures are told.
        const oldest = await database.oldestUnsent(now).catch(() => undefined);
        if (oldest === undefined) this.remove();
        else this.set(oldest === null ? 0 : Math.max(0, (now.getTime() - oldest.getTime()) / 1000));
      },
    });
    metrics.registry.registerMetric(oldestUnsent);
  }
}
