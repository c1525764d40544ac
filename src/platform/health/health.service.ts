import { Inject, Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { Problem } from '../problems/problem.js';
import { missingMigrations } from '../migration/missing-migrations.js';
import type { QueueConnections } from '../queue/connections.js';
import { QUEUE_CONNECTIONS } from '../queue/work-queue.js';
import type { Message } from '../../domain/message.js';
import { message } from './messages.js';

/** The parts that the service needs, all of them up. */
export interface Readiness {
  status: 'ready';
  database: 'up';
  migrations: 'up-to-date';
  queue: 'up';
}

/**
 * A part that has not answered within this time counts as away. The readiness probe itself would
 * soon give up.
 */
const ANSWER_WITHIN_MS = 2_000;

type Check = () => Promise<Message | null>;

@Injectable()
export class HealthService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    @Inject(QUEUE_CONNECTIONS) private readonly queue: QueueConnections,
  ) {}

  /** @throws Problem 503 that names the parts that are away */
  async readiness(): Promise<Readiness> {
    const faults = await Promise.all([
      faultOf('database', () => this.checkDatabase()),
      faultOf('queue', () => this.checkQueue()),
    ]);
    const away = faults.filter((fault) => fault !== null);
    if (away.length > 0) {
      throw new Problem(503, 'not-ready', message('not-ready', { parts: away }), [], { 'retry-after': '5' });
    }
    return { status: 'ready', database: 'up', migrations: 'up-to-date', queue: 'up' };
  }

  private async checkQueue(): Promise<null> {
    await this.queue.ping();
    return null;
  }

  private async checkDatabase(): Promise<Message | null> {
    const known = this.dataSource.migrations.map(({ name, constructor }) => name ?? constructor.name);
    const missing = await missingMigrations(known, (statement) => this.dataSource.query(statement));
    return missing.length === 0
      ? null
      : message('migrations-missing', {
          missing: missing.length,
          known: known.length,
          first: String(missing[0]),
        });
  }
}

async function faultOf(part: 'database' | 'queue', check: Check): Promise<Message | null> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<Message>((resolve) => {
    const told = message('part-late', { part, seconds: ANSWER_WITHIN_MS / 1000 });
    timer = setTimeout(() => resolve(told), ANSWER_WITHIN_MS);
  });
  try {
    return await Promise.race([check(), late]);
  } catch {
    return message('part-unreachable', { part });
  } finally {
    clearTimeout(timer);
  }
}
