import { getDataSourceToken } from '@nestjs/typeorm';
import { rm } from 'node:fs/promises';
import { setTimeout as delay } from 'node:timers/promises';
import type pg from 'pg';
import type { DataSource } from 'typeorm';
import { WakeUps } from '../../src/conclusions/outbox/wake-ups.js';
import { Draining } from '../../src/platform/http/draining.js';
import type { Service } from './service.js';
import { SharedDatabase } from './shared-database.js';

/** Grace period for work that a test started, once its file gives the service back. */
const ENDS_WITHIN_MS = 2_000;

/** The key under which Jest's environment and teardown find it; they are loaded separately. */
const SHARED = Symbol.for('weephole.sharedService');

/** A service, and its database as one file sees it. */
export interface Borrowed {
  service: Service;
  admin: pg.Client;
  /** @throws Error when a test has left something running */
  giveBack(): Promise<void>;
}

async function untilNone(what: string, look: () => string[] | Promise<string[]>): Promise<void> {
  for (const until = performance.now() + ENDS_WITHIN_MS; ;) {
    const left = await look();
    if (left.length === 0) return;
    if (performance.now() > until)
      throw new Error(`the test left ${left.length} ${what}: ${left.join(', ')}`);
    await delay(20);
  }
}

/** The service that the test files of a Jest worker use one after another. */
class SharedService {
  private current: Promise<{ service: Service; database: SharedDatabase }> | null = null;
  private isTaken = false;

  /** @returns null while it is in use */
  async borrow(start: () => Promise<Service>): Promise<Borrowed | null> {
    if (this.isTaken) return null;
    this.isTaken = true;
    try {
      return await this.lend(start);
    } catch (error) {
      this.isTaken = false;
      await this.close();
      throw error;
    }
  }

  private async lend(start: () => Promise<Service>): Promise<Borrowed> {
    this.current ??= this.start(start);
    const { service, database } = await this.current;
    const admin = await database.connect();
    const giveBack = async (): Promise<void> => {
      try {
        await this.tidy(service, database, admin);
      } catch (error) {
        // The next file gets a new one.
        await this.close();
        throw error;
      } finally {
        this.isTaken = false;
      }
    };
    return { service, admin, giveBack };
  }

  /** Call after each file. @returns whether the file had failed to give it back */
  async closeIfTaken(): Promise<boolean> {
    if (!this.isTaken) return false;
    this.isTaken = false;
    await this.close();
    return true;
  }

  /** Closes the service. Its database goes with the server of the run. */
  async close(): Promise<void> {
    const closing = await this.current?.catch(() => null);
    this.current = null;
    await closing?.service.app.close();
    await closing?.service.database.admin.end();
  }

  private async start(start: () => Promise<Service>) {
    const service = await start();
    return { service, database: await SharedDatabase.of(service.database) };
  }

  private async tidy(service: Service, database: SharedDatabase, admin: pg.Client): Promise<void> {
    await admin.end();
    await untilNone('requests under way', () => requestsOf(service));
    await service.app.get(WakeUps, { strict: false }).untilSent();
    await untilNone('connections in use', () => connectionsInUse(service));
    await untilNone('connections open', () => database.strangers());
    await database.empty();
    await rm(service.config.attachments.directory, { recursive: true, force: true });
  }
}

function requestsOf({ app }: Service): string[] {
  const { underWay } = app.get<{ underWay: Set<{ request: { url: string } }> }>(Draining);
  return [...underWay].map(({ request }) => request.url);
}

function connectionsInUse({ app }: Service): string[] {
  const { driver } = app.get<DataSource>(getDataSourceToken());
  const { totalCount, idleCount } = (driver as unknown as { master: pg.Pool }).master;
  return Array.from({ length: totalCount - idleCount }, () => 'weephole');
}

export const sharedService = new SharedService();
(globalThis as Record<symbol, unknown>)[SHARED] = sharedService;
