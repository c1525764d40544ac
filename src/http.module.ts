import { Global, Module } from '@nestjs/common';
import { APP_FILTER, APP_GUARD, APP_INTERCEPTOR, APP_PIPE } from '@nestjs/core';
import { RoleGuard } from './platform/access/access.js';
import { Imports } from './platform/csv/imports.js';
import { Draining } from './platform/http/draining.js';
import { ProblemFilter } from './platform/http/problem.filter.js';
import { KnownParametersGuard } from './platform/input/known-parameters.guard.js';
import { ValidationPipe } from './platform/input/validation.pipe.js';
import { PageLinks } from './platform/pages/page.interceptor.js';
import { Presenter } from './platform/presenting/presenter.interceptor.js';

/** What every request passes through, and the service that all file imports share. */
@Global()
@Module({
  providers: [
    Imports,
    Draining,
    { provide: APP_PIPE, useClass: ValidationPipe },
    { provide: APP_GUARD, useClass: RoleGuard },
    { provide: APP_GUARD, useClass: KnownParametersGuard },
    { provide: APP_FILTER, useClass: ProblemFilter },
    { provide: APP_INTERCEPTOR, useClass: PageLinks },
    { provide: APP_INTERCEPTOR, useClass: Presenter },
  ],
  exports: [Imports],
})
export class HttpModule {}
