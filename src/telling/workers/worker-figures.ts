import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { Gauge } from 'prom-client';
import { DataSource } from 'typeorm';
import { Metrics } from '../../platform/observability/metrics.js';

/**
 * Reports when a worker was last seen. Every process does this, so that it is reported even when no
 * worker runs.
 */
@Injectable()
export class WorkerFigures {
  constructor(metrics: Metrics, @InjectDataSource() dataSource: DataSource) {
    const gauge = new Gauge({
      name: 'weephole_worker_last_seen_seconds',
      help: 'Seconds since the last heartbeat of any worker; +Inf where none is on record',
      registers: [],
      async collect() {
        const seen = await secondsSinceSeen(dataSource).catch(() => undefined);
        if (seen === undefined) this.remove();
        else this.set(seen);
      },
    });
    metrics.registry.registerMetric(gauge);
  }
}

async function secondsSinceSeen(dataSource: DataSource): Promise<number> {
  const [row] = await dataSource.query<{ seconds: number | null }[]>(
    'select extract(epoch from now() - max(seen_at))::float8 as seconds from workers',
  );
  return row?.seconds == null ? Infinity : Math.max(0, row.seconds);
}
