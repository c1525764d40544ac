import { migrations } from '../migrations/all.js';
import { ensureLogins } from './platform/migration/logins.js';
import { migrate } from './platform/migration/migrate.js';
import type { Database } from './startup.js';

/** Migrates an embedded database that this process owns. A real deployment has a separate step. */
export async function prepareEmbedded({ url, server }: Database): Promise<void> {
  if (!server) return;
  await migrate(url, { migrations });
  await ensureLogins(url);
}
