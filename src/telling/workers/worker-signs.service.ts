import {
  type BeforeApplicationShutdown,
  Injectable,
  Logger,
  type OnApplicationBootstrap,
} from '@nestjs/common';
import { InjectDataSource } from '@nestjs/typeorm';
import { DataSource } from 'typeorm';
import { v4 as uuidv4 } from 'uuid';

const SIGN_EVERY_MS = 2_000;
/** A worker without a heartbeat for this long counts as gone. */
const GONE_AFTER = "interval '10 seconds'";
/**
 * A worker that has just started, or could not write its heartbeats, waits this long before it
 * declares others gone. They may have had the same problem, and need time to write theirs.
 */
const STEADY_AFTER_MS = 3 * SIGN_EVERY_MS;

/** Writes a heartbeat every few seconds, which tells a killed worker from a busy one. */
@Injectable()
export class WorkerSigns implements OnApplicationBootstrap, BeforeApplicationShutdown {
  /** Identifies this process. */
  readonly id = uuidv4();

  private readonly logger = new Logger('worker');
  private timer: NodeJS.Timeout | undefined;
  private giving: Promise<void> | null = null;
  private isMissed = false;
  /** When the last heartbeat was written, and since when without a gap, by `performance.now()`. */
  private lastAt: number | null = null;
  private steadySince = 0;
  private readonly listeners: (() => void)[] = [];

  constructor(@InjectDataSource() private readonly dataSource: DataSource) {}

  /**
   * Registers a listener that is called when another worker is gone and its attempts can be taken
   * over.
   */
  onWorkerGone(listener: () => void): void {
    this.listeners.push(listener);
  }

  async onApplicationBootstrap(): Promise<void> {
    await this.give();
    this.timer = setInterval(() => void this.give(), SIGN_EVERY_MS);
  }

  async beforeApplicationShutdown(): Promise<void> {
    clearInterval(this.timer);
    await this.giving;
  }

  private give(): Promise<void> {
    this.giving ??= this.sign().finally(() => (this.giving = null));
    return this.giving;
  }

  private async sign(): Promise<void> {
    const now = performance.now();
    if (this.lastAt === null || now - this.lastAt > STEADY_AFTER_MS) this.steadySince = now;
    try {
      const [{ gone }] = await this.dataSource.query<[{ gone: number }]>(
        `with gone as (delete from workers where $2 and seen_at < now() - ${GONE_AFTER} and id <> $1 returning id),
         given as (
           insert into workers (id, seen_at) values ($1, now()) on conflict (id) do update set seen_at = excluded.seen_at)
         select count(*)::int as gone from gone`,
        [this.id, now - this.steadySince >= STEADY_AFTER_MS],
      );
      this.lastAt = now;
      this.isMissed = false;
      if (gone > 0) for (const listener of this.listeners) listener();
    } catch (error) {
      // Warn only once: when the database is away, many other parts report it too.
      if (!this.isMissed) this.logger.warn(`could not write the heartbeat: ${String(error)}`);
      this.isMissed = true;
    }
  }
}
