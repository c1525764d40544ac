import { Inject, Injectable } from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { Problem } from '../problems/problem.js';
import { missingMigrations } from '../migration/missing-migrations.js';
import type { QueueConnections } from '../queue/connections.js';
import { QUEUE_CONNECTIONS } from '../queue/work-queue.js';

/** What the service needs to do its work, and whether it is there. */
export interface Readiness {
  status: 'ready';
  database: 'up';
  migrations: 'up-to-date';
  queue: 'up';
}

/** A part that has not answered by then is away; a readiness probe gives up soon itself. */
const ANSWER_WITHIN_MS = 2_000;

type Check = () => Promise<string | null>;

@Injectable()
export class HealthService {
  constructor(
    @InjectDataSource() private readonly dataSource: DataSource,
    @Inject(QUEUE_CONNECTIONS) private readonly queue: QueueConnections,
  ) {}

  /** @throws Problem 503 that names what is away */
  async readiness(): Promise<Readiness> {
    const faults = await Promise.all([
      faultOf('the database', () => this.checkDatabase()),
      faultOf('the queue', () => this.checkQueue()),
    ]);
    const away = faults.filter((fault) => fault !== null);
    if (away.length > 0) {
      throw new Problem(503, 'not-ready', `${away.join('; ')}.`.replace(/^t/, 'T'), [], {
        'retry-after': '5',
      });
    }
    return { status: 'ready', database: 'up', migrations: 'up-to-date', queue: 'up' };
  }

  private async checkQueue(): Promise<null> {
    await this.queue.ping();
    return null;
  }

  private async checkDatabase(): Promise<string | null> {
    const known = this.dataSource.migrations.map(({ name, constructor }) => name ?? constructor.name);
    const missing = await missingMigrations(known, (statement) => this.dataSource.query(statement));
    return missing.length === 0
      ? null
      : `the database lacks ${missing.length} of ${known.length} migrations, the first ${missing[0]}: run npm run migrate`;
  }
}

async function faultOf(part: string, check: Check): Promise<string | null> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<string>((resolve) => {
    timer = setTimeout(
      () => resolve(`${part} has not answered in ${ANSWER_WITHIN_MS / 1000} s`),
      ANSWER_WITHIN_MS,
    );
  });
  try {
    return await Promise.race([check(), late]);
  } catch {
    return `${part} cannot be reached`;
  } finally {
    clearTimeout(timer);
  }
}
