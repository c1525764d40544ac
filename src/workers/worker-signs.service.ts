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
/** Long after anybody asks when a worker was last seen. */
const FORGOTTEN_AFTER = '7 days';

/** Gives a sign of life every few seconds, so that others can tell a worker that was killed from one that is busy. */
@Injectable()
export class WorkerSigns implements OnApplicationBootstrap, BeforeApplicationShutdown {
  /** This process. */
  readonly id = uuidv4();

  private readonly logger = new Logger('worker');
  private timer: NodeJS.Timeout | undefined;
  private giving: Promise<void> | null = null;
  private isMissed = false;

  constructor(@InjectDataSource() private readonly dataSource: DataSource) {}

  async onApplicationBootstrap(): Promise<void> {
    await this.give();
    this.timer = setInterval(() => void this.give(), SIGN_EVERY_MS);
  }

  async beforeApplicationShutdown(): Promise<void> {
    clearInterval(this.timer);
    await this.giving;
    await this.dataSource.query('delete from workers where id = $1', [this.id]).catch(() => undefined);
  }

  private give(): Promise<void> {
    this.giving ??= this.sign().finally(() => (this.giving = null));
    return this.giving;
  }

  private async sign(): Promise<void> {
    try {
      await this.dataSource.query(
        `with forgotten as (delete from workers where seen_at < now() - interval '${FORGOTTEN_AFTER}')
         insert into workers (id, seen_at) values ($1, now()) on conflict (id) do update set seen_at = excluded.seen_at`,
        [this.id],
      );
      this.isMissed = false;
    } catch (error) {
      // Where the database is away, much else says so too.
      if (!this.isMissed) this.logger.warn(`could not give a sign of life: ${String(error)}`);
      this.isMissed = true;
    }
  }
}
