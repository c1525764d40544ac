import { Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import type pg from 'pg';
import { Counter, Gauge } from 'prom-client';
import { DataSource } from 'typeorm';
import { WritePlaces } from './write-places.js';
import { Metrics } from '../observability/metrics.js';

/**
 * Metrics of this process's database connections. Work that waits for a connection makes requests
 * slow.
 */
@Injectable()
export class DatabaseMetrics {
  constructor(metrics: Metrics, @InjectDataSource() dataSource: DataSource, places: WritePlaces) {
    addWrites(metrics, places);
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

/**
 * Adds metrics of writes. Writes wait before they take a connection, so the connection metrics do
 * not show them.
 */
function addWrites({ registry }: Metrics, places: WritePlaces): void {
  const writes: Gauge<'state'> = new Gauge({
    name: 'weephole_writes',
    help: 'Writes of this process that hold a connection, and those that wait for their turn',
    labelNames: ['state'],
    registers: [registry],
    collect() {
      writes.set({ state: 'holding' }, places.holding);
      writes.set({ state: 'waiting' }, places.waiting);
    },
  });
  const refused: Counter<'reason'> = new Counter({
    name: 'weephole_writes_refused_total',
    help: 'Writes that did not get their turn: full, as many waited as may; late, it waited too long; gone, the caller left',
    labelNames: ['reason'],
    registers: [registry],
    collect() {
      refused.reset();
      for (const [reason, count] of Object.entries(places.refused)) refused.inc({ reason }, count);
    },
  });
}
