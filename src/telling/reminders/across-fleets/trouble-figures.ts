import { Injectable } from '@nestjs/common';
import { Gauge } from 'prom-client';
import { Metrics } from '../../../platform/observability/metrics.js';
import { CrossFleetDatabase } from './cross-fleet-database.js';
import { troubleCounts, type TroubleCounts } from './trouble.queries.js';

const FIGURES: { name: string; help: string; of: (counts: TroubleCounts) => number }[] = [
  {
    name: 'weephole_fleets_without_live_target',
    help: 'Fleets of which no live reminder target hears of due lines',
    of: ({ deafFleets }) => deafFleets,
  },
  {
    name: 'weephole_reminder_targets_disabled_by_receiver',
    help: 'Reminder targets that are disabled because their receiver answered 410',
    of: ({ disabledTargets }) => disabledTargets,
  },
  {
    name: 'weephole_reminder_targets_failing',
    help: 'Live reminder targets whose last reminders were refused or given up, with none accepted since',
    of: ({ failingTargets }) => failingTargets,
  },
  {
    name: 'weephole_sweep_requests_oldest_seconds',
    help: 'Age of the oldest change that has not been checked for reminders; 0 when there is none',
    of: ({ oldestRequestSeconds }) => Math.max(0, oldestRequestSeconds ?? 0),
  },
];

/** Metrics of what keeps reminders from arriving, over all fleets. */
@Injectable()
export class TroubleFigures {
  private asking: Promise<TroubleCounts | undefined> | null = null;

  constructor(
    metrics: Metrics,
    private readonly database: CrossFleetDatabase,
  ) {
    const counts = (): Promise<TroubleCounts | undefined> => this.counts();
    for (const { name, help, of } of FIGURES) {
      const gauge = new Gauge({
        ...{ name, help },
        registers: [],
        async collect() {
          const counted = await counts();
          if (counted === undefined) this.remove();
          else this.set(of(counted));
        },
      });
      metrics.registry.registerMetric(gauge);
    }
  }

  /**
   * Metrics that are collected together share one query. Leaves out what the database cannot tell
   * now.
   */
  private counts(): Promise<TroubleCounts | undefined> {
    this.asking ??= troubleCounts(this.database)
      .catch(() => undefined)
      .finally(() => (this.asking = null));
    return this.asking;
  }
}
