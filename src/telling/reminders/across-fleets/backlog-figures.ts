import { Injectable } from '@nestjs/common';
import { Gauge } from 'prom-client';
import { DUE_STATES } from '../../../conclusions/due-list/due-states.js';
import { Clock } from '../../../platform/clock/clock.js';
import { Metrics } from '../../../platform/observability/metrics.js';
import { CrossFleetDatabase } from './cross-fleet-database.js';

/**
 * Minimum time between counts of all due lines. Counting takes long when there are many, and no
 * client waits for it.
 */
const COUNT_EVERY_MS = 60_000;

/** Metrics over all fleets: the age of the oldest unsent reminder, and due lines by state. */
@Injectable()
export class BacklogFigures {
  constructor(metrics: Metrics, database: CrossFleetDatabase, clock: Clock) {
    const oldestUnsent = new Gauge({
      name: 'weephole_reminders_oldest_unsent_seconds',
      help: 'Age of the oldest reminder that could have been sent by now and has not been; 0 when there is none',
      registers: [],
      async collect() {
        const now = clock.now();
        // Leave out what the database cannot tell now, and still report the other figures.
        const oldest = await database.oldestUnsent(now).catch(() => undefined);
        if (oldest === undefined) this.remove();
        else this.set(oldest === null ? 0 : Math.max(0, (now.getTime() - oldest.getTime()) / 1000));
      },
    });
    metrics.registry.registerMetric(oldestUnsent);
    metrics.registry.registerMetric(dueLines(database, clock));
  }
}

function dueLines(database: CrossFleetDatabase, clock: Clock): Gauge<'state'> {
  let countedAt: number | null = null;
  const count = async (gauge: Gauge<'state'>): Promise<void> => {
    try {
      const totals = await database.dueLineTotals(clock.now());
      for (const state of DUE_STATES) gauge.set({ state }, 0);
      for (const { state, lines } of totals) gauge.set({ state }, lines);
    } catch {
      gauge.reset();
    }
  };
  return new Gauge({
    name: 'weephole_due_lines',
    help: 'Open due lines of all fleets, by state; counted once a minute at most, by workers',
    labelNames: ['state'],
    registers: [],
    async collect() {
      const now = performance.now();
      if (countedAt !== null && now - countedAt < COUNT_EVERY_MS) return;
      const isFirst = countedAt === null;
      countedAt = now;
      const counted = count(this);
      if (isFirst) await counted;
    },
  });
}
