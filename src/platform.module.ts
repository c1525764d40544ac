import { type DynamicModule, Global, Module } from '@nestjs/common';
import { APP_FILTER, APP_GUARD, APP_INTERCEPTOR, APP_PIPE } from '@nestjs/core';
import { TypeOrmModule } from '@nestjs/typeorm';
import { RoleGuard } from './platform/access/access.js';
import { Clock } from './platform/clock/clock.js';
import { Config } from './platform/config/config.js';
import { Imports } from './platform/csv/imports.js';
import { openDataSource, UnsafeConnection } from './platform/database/data-source.js';
import { warnOfMightyLogin } from './platform/database/mighty-login.js';
import { Transactions } from './platform/database/transactions.js';
import { WritePlaces, writeLimits } from './platform/database/write-places.js';
import { Draining } from './platform/http/draining.js';
import { KnownParametersGuard } from './platform/input/known-parameters.guard.js';
import { PageLinks } from './platform/pages/page.interceptor.js';
import { Presenter } from './platform/presenting/presenter.interceptor.js';
import { ProblemFilter } from './platform/http/problem.filter.js';
import { ValidationPipe } from './platform/input/validation.pipe.js';
import { MetricsModule } from './platform/health/metrics.module.js';
import { QueueModule } from './platform/queue/queue.module.js';
import { schema } from './schema.js';

/** What every process has: settings, clock, database, queue, and the manners of HTTP. */
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
        Imports,
        Draining,
        { provide: APP_PIPE, useClass: ValidationPipe },
        { provide: APP_GUARD, useClass: RoleGuard },
        { provide: APP_GUARD, useClass: KnownParametersGuard },
        { provide: APP_FILTER, useClass: ProblemFilter },
        { provide: APP_INTERCEPTOR, useClass: PageLinks },
        { provide: APP_INTERCEPTOR, useClass: Presenter },
      ],
      exports: [Config, Clock, WritePlaces, Transactions, Imports],
    };
  }
}
