import { Injectable, Logger } from '@nestjs/common';
import pg from 'pg';
import { Config } from '../../platform/config/config.js';

const NEWS = 'due_list_events';
const REVOKED = 'revoked_tokens';
const FIRST_PAUSE_MS = 500;
const LONGEST_PAUSE_MS = 15_000;

/** Callbacks for incoming notices. */
export interface Hearing {
  /** The fleet has something new. */
  news(fleetId: string): void;
  /** A token of the fleet is no longer valid. */
  revoked(fleetId: string, tokenId: string): void;
  /** A person of the fleet has left, or has another role or other depots. */
  changed(fleetId: string, personId: string): void;
  /** Notices may have been missed: any fleet may have news, and any token may have been revoked. */
  missed(): void;
}

/** Closes a connection that may already be closed. */
function hangUp(client: pg.Client): void {
  client.end().catch(() => undefined);
}

/**
 * Listens to PostgreSQL for fleets with news and for revoked tokens: one connection per process,
 * opened with the first stream. Events themselves are read from the table, so a lost notice costs
 * time but no event.
 */
@Injectable()
export class NoticeListener {
  private readonly logger = new Logger('events');
  private client: pg.Client | null = null;
  private retry: NodeJS.Timeout | undefined;
  private isWanted = false;
  private pauseMs = FIRST_PAUSE_MS;
  private connecting: Promise<void> = Promise.resolve();
  private hearing: Hearing | null = null;

  constructor(private readonly config: Config) {}

  get isListening(): boolean {
    return this.client !== null;
  }

  /** Starts listening; harmless to repeat. */
  listen(hearing: Hearing): void {
    this.hearing = hearing;
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
        `no notices from the database; polling for events instead: ${error?.message ?? 'it hung up'}`,
      );
      clearTimeout(this.retry);
      this.retry = setTimeout(() => {
        this.connecting = this.connect();
      }, this.pauseMs).unref();
      this.pauseMs = Math.min(this.pauseMs * 2, LONGEST_PAUSE_MS);
    };
    client.on('error', lost);
    client.on('end', () => lost());
    client.on('notification', ({ channel, payload = '' }) => {
      const [fleetId = '', id = '', how] = payload.split(' ');
      if (channel === REVOKED && how === 'changed') this.hearing?.changed(fleetId, id);
      else if (channel === REVOKED) this.hearing?.revoked(fleetId, id);
      else this.hearing?.news(fleetId);
    });
    try {
      await client.connect();
      await client.query(`listen ${NEWS}; listen ${REVOKED}`);
    } catch (error) {
      lost(error instanceof Error ? error : undefined);
      return;
    }
    this.client = client;
    this.pauseMs = FIRST_PAUSE_MS;
    this.hearing?.missed();
  }
}
