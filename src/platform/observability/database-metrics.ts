import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import type pg from 'pg';
import { Gauge } from 'prom-client';
import { DataSource } from 'typeorm';
import { Metrics } from './metrics.js';

/** How the process stands with its database connections: what waits for one is what a request waits for. */
@Injectable()
export class DatabaseMetrics {
  constructor(metrics: Metrics, @InjectDataSource() dataSource: DataSource) {
    const gauge: Gauge<'state'> = new Gauge({
      name: 'weephole_database_connections',
      help: 'Database connections of this process that are open or idle, and requests that wait for one',
      labelNames: ['state'],
      registers: [metrics.registry],
      collect() {
        const { master } = dataSource.driver as unknown as { master?: pg.Pool };
        if (!master) return;
        gauge.set({ state: 'open' }, master.totalCount);
        gauge.set({ state: 'idle' }, master.idleCount);
        gauge.set({ state: 'waited-for' }, master.waitingCount);
      },
    });
  }
}
