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
   * Entity and migration classes; the application hands them in, for this folder knows no feature.
   */
  schema: DatabaseSchema;
}

export interface DatabaseSchema {
  entities: (new () => object)[];
  migrations: (new () => MigrationInterface)[];
}

/**
 * A TypeORM data source whose connections take a role at start-up and a fleet at check-out.
 *
 * The start-up option `app.direct` is how the service notices a pooler in between: a
 * transaction-mode pooler would hand one fleet's session setting to another, and does not pass
 * start-up options on.
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
 * A data source that is connected.
 *
 * @throws Error when something between the service and PostgreSQL swallowed the start-up options
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

/** The database was reached in a way that another attempt does not mend. */
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
