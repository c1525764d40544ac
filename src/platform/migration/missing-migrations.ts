import type { DatabaseSchema } from '../database/data-source.js';

/** All migrations, in order. */
export type Migrations = Pick<DatabaseSchema, 'migrations'>;

const UNDEFINED_TABLE = '42P01';

/**
 * Returns the names of the migrations that a database lacks, in order.
 *
 * @param ask sends a statement and returns its rows
 */
export async function missingMigrations(
  known: readonly string[],
  ask: (statement: string) => Promise<{ name: string }[]>,
): Promise<string[]> {
  const applied = await ask('select name from schema_migrations').catch((error: unknown) => {
    if ((error as { code?: string }).code === UNDEFINED_TABLE) return [];
    throw error;
  });
  const names = new Set(applied.map(({ name }) => name));
  return known.filter((name) => !names.has(name));
}
