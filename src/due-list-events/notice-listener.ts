import { Injectable, Logger } from '@nestjs/common';
import pg from 'pg';
import { Config } from '../platform/config/config.js';

const CHANNEL = 'due_list_events';
const FIRST_PAUSE_MS = 500;
const LONGEST_PAUSE_MS = 15_000;

/** Ends a connection that may have ended already. */
function hangUp(client: pg.Client): void {
  client.end().catch(() => undefined);
}

/**
 * Hears from PostgreSQL which fleet has something new: one connection a process, opened when the first stream is. What is told is read
 * from the table; a notice that is lost costs time and no event.
 */
@Injectable()
export class NoticeListener {
  private readonly logger = new Logger('events');
  private client: pg.Client | null = null;
  private retry: NodeJS.Timeout | undefined;
  private isWanted = false;
  private pauseMs = FIRST_PAUSE_MS;
  private connecting: Promise<void> = Promise.resolve();
  /** Told the fleet; null when notices may have been missed, and any fleet may have something new. */
  private hear: (fleetId: string | null) => void = () => undefined;

  constructor(private readonly config: Config) {}

  get isListening(): boolean {
    return this.client !== null;
  }

  /** Begins to listen; harmless to repeat. */
  listen(hear: (fleetId: string | null) => void): void {
    this.hear = hear;
    if (this.isWanted) return;
    this.isWanted = true;
    this.connecting = this.connect();
  }

  async close(): Promise<void> {
    this.isWanted = false;
    clearTimeout(this.retry);
    await this.connecting;
    const { client } = this;
    this.client = null;
    await client?.end().catch(() => undefined);
  }

  private async connect(): Promise<void> {
    const client = new pg.Client({
      connectionString: this.config.databaseUrl,
      application_name: 'weephole events',
      connectionTimeoutMillis: 5_000,
      keepAlive: true,
      options: '-c role=weephole_app -c app.direct=on',
    });
    const lost = (error?: Error): void => {
      client.removeAllListeners();
      client.on('error', () => undefined);
      if (this.client === client) this.client = null;
      hangUp(client);
      if (!this.isWanted) return;
      this.logger.warn(
        `no notices from the database; looking for events instead: ${error?.message ?? 'it hung up'}`,
      );
      clearTimeout(this.retry);
      this.retry = setTimeout(() => {
        this.connecting = this.connect();
      }, this.pauseMs).unref();
      this.pauseMs = Math.min(this.pauseMs * 2, LONGEST_PAUSE_MS);
    };
    client.on('error', lost);
    client.on('end', () => lost());
    client.on('notification', ({ payload }) => this.hear(payload ?? null));
    try {
      await client.connect();
      await client.query(`listen ${CHANNEL}`);
    } catch (error) {
      lost(error instanceof Error ? error : undefined);
      return;
    }
    this.client = client;
    this.pauseMs = FIRST_PAUSE_MS;
    this.hear(null);
  }
}
