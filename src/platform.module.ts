import { type DynamicModule, Global, Module } from '@nestjs/common';
import { TypeOrmModule } from '@nestjs/typeorm';
import { Clock } from './platform/clock/clock.js';
import { Config } from './platform/config/config.js';
import { openDataSource, UnsafeConnection } from './platform/database/data-source.js';
import { warnOfMightyLogin } from './platform/database/mighty-login.js';
import { Transactions } from './platform/database/transactions.js';
import { WritePlaces, writeLimits } from './platform/database/write-places.js';
import { MetricsModule } from './platform/health/metrics.module.js';
import { QueueModule } from './platform/queue/queue.module.js';
import { schema } from './schema.js';

/** What every process needs: settings, clock, database, queue, metrics. */
@Global()
@Module({})
export class PlatformModule {
  static with(config: Config, clock: Clock): DynamicModule {
    return {
      module: PlatformModule,
      imports: [
        TypeOrmModule.forRootAsync({
          useFactory: () => ({
            type: 'postgres' as const,
            toRetry: (error: unknown) => !(error instanceof UnsafeConnection),
          }),
          dataSourceFactory: async () => {
            const dataSource = await openDataSource({
              url: config.databaseUrl,
              role: 'weephole_app',
              poolSize: config.databasePoolSize,
              applicationName: 'weephole',
              schema,
            });
            await warnOfMightyLogin(dataSource);
            return dataSource;
          },
        }),
        QueueModule,
        MetricsModule,
      ],
      providers: [
        { provide: Config, useValue: config },
        { provide: Clock, useValue: clock },
        {
          provide: WritePlaces,
          useFactory: () => new WritePlaces(writeLimits(config.databasePoolSize)),
        },
        Transactions,
      ],
      exports: [Config, Clock, WritePlaces, Transactions],
    };
  }
}
