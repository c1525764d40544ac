import { migrations } from '../migrations/all.js';
import { ensureLogins } from './platform/migration/logins.js';
import { migrate } from './platform/migration/migrate.js';
import type { Database } from './startup.js';

/**
 * Brings the database up to date where it is ours to keep so; a real deployment has a step of its
 * own for that.
 */
export async function prepareEmbedded({ url, server }: Database): Promise<void> {
  if (!server) return;
  await migrate(url, { migrations });
  await ensureLogins(url);
}
