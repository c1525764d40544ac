import { readLoginPasswords } from '../platform/config/login-settings.js';
import { ensureLogins } from '../platform/migration/logins.js';
import { migrate } from '../platform/migration/migrate.js';
import { migrateQueue } from '../platform/queue/queue-schema.js';
import { migrations } from '../../migrations/all.js';
import type { Message } from '../domain/message.js';
import { OPERATOR } from '../platform/words/operator-language.js';
import { textOf } from '../platform/words/render.js';
import { configFor, joinDatabase, run } from '../startup.js';
import { message } from './messages.js';

/** Brings the database up to date, creates the service's logins, and exits. */
run(async (lifetime) => {
  // Read first, so that a bad setting stops the command before anything is changed.
  const passwords = readLoginPasswords(process.env);
  const database = await joinDatabase(process.env);
  lifetime.closing(async () => database.server?.stop());
  const applied = await migrate(database.url, { migrations });
  // An embedded server creates its own logins.
  const logins = process.env.DATABASE_URL ? passwords : null;
  if (logins) await ensureLogins(database.url, logins);
  const { queue, databaseUrl } = configFor(process.env, database);
  if (queue.kind === 'postgres' && !areOneDatabase(queue.url, databaseUrl)) await migrateQueue(queue.url);
  say(applied.length === 0 ? message('command-up-to-date') : message('command-migrated', { applied }));
  if (logins) say(message('command-logins-ready'));
  await lifetime.end();
});

/**
 * Whether two URLs name the same database, whatever their logins. The queue's tables there have
 * already been created.
 */
function areOneDatabase(one: string, other: string): boolean {
  const [a, b] = [new URL(one), new URL(other)];
  return a.hostname === b.hostname && (a.port || '5432') === (b.port || '5432') && a.pathname === b.pathname;
}

function say(words: Message): void {
  process.stderr.write(`${textOf(words, OPERATOR)}\n`);
}
