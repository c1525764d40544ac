import { DataSource, type DataSourceOptions, type MigrationInterface } from 'typeorm';
import { SnakeNaming } from './snake-naming.js';
import type { DatabaseRole } from './roles.js';
import { scopedPg } from './scoped-pool.js';

export interface DataSourceSettings {
  url: string;
  role: DatabaseRole;
  poolSize: number;
  applicationName: string;
  /**
   * Entity and migration classes. The application passes them in, because this folder knows no
   * feature.
   */
  schema: DatabaseSchema;
}

export interface DatabaseSchema {
  entities: (new () => object)[];
  migrations: (new () => MigrationInterface)[];
}

/**
 * A TypeORM data source whose connections take a role when they are opened and a fleet when they
 * are checked out.
 *
 * The start-up option `app.direct` lets the service detect a connection pooler in between. A
 * transaction-mode pooler drops start-up options, and it would let one fleet's session setting
 * reach another fleet.
 */
export function buildDataSource(settings: DataSourceSettings): DataSource {
  const options: DataSourceOptions = {
    type: 'postgres',
    url: settings.url,
    driver: scopedPg,
    entities: settings.schema.entities,
    migrations: settings.schema.migrations,
    migrationsTransactionMode: 'each',
    migrationsTableName: 'schema_migrations',
    installExtensions: false,
    applicationName: settings.applicationName,
    extra: {
      max: settings.poolSize,
      keepAlive: true,
      connectionTimeoutMillis: 5_000,
      statement_timeout: settings.role === 'weephole_owner' ? 0 : 60_000,
      idle_in_transaction_session_timeout: 60_000,
      options: `-c role=${settings.role} -c app.direct=on -c timezone=UTC`,
    },
    namingStrategy: new SnakeNaming(),
    logging: false,
  };
  return new DataSource(options);
}

/**
 * Opens a data source and connects it.
 *
 * @throws Error when a pooler between the service and PostgreSQL drops the start-up options
 */
export function openDataSource(settings: DataSourceSettings): Promise<DataSource> {
  return connect(buildDataSource(settings));
}

/** Connects a data source. @throws Error as `openDataSource` does */
export async function connect(dataSource: DataSource): Promise<DataSource> {
  await dataSource.initialize();
  try {
    await refusePooler(dataSource);
    return dataSource;
  } catch (error) {
    await dataSource.destroy();
    throw error;
  }
}

/** The database was reached in a way that trying again does not fix. */
export class UnsafeConnection extends Error {}

async function refusePooler(dataSource: DataSource): Promise<void> {
  const [row] = await dataSource.query<{ direct: string | null }[]>(
    "select current_setting('app.direct', true) as direct",
  );
  if (row?.direct !== 'on') {
    throw new UnsafeConnection(
      'DATABASE_URL leads through a connection pooler that drops session settings; one fleet could then see rows of another. Use the address of PostgreSQL itself.',
    );
  }
}
