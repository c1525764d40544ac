import {
  type DynamicModule,
  type INestApplication,
  type INestApplicationContext,
  type LoggerService,
  Module,
  type Type,
} from '@nestjs/common';
import { NestFactory } from '@nestjs/core';
import { FastifyAdapter, type NestFastifyApplication } from '@nestjs/platform-fastify';
import { getDataSourceToken } from '@nestjs/typeorm';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { randomUUID } from 'node:crypto';

import { pino } from 'pino';
import type { DataSource } from 'typeorm';
import { ApiModule } from './api.module.js';
import { serveDocument } from './openapi.js';
import { registerAccess } from './platform/access/access.js';
import { Clock } from './platform/clock/clock.js';
import { Config, readConfig } from './platform/config/config.js';
import { registerFileBodies } from './platform/http/file-body.js';
import { registerCsvBodies } from './platform/csv/upload.js';
import { registerJsonBodies } from './platform/http/json-body.js';
import { sendProblem } from './platform/http/problem.filter.js';
import { registerRoutes } from './platform/http/routes.js';
import { Metrics, registerRequestDurations } from './platform/observability/metrics.js';
import { PlatformModule } from './platform.module.js';
import { WorkerModule } from './worker.module.js';

const BODY_LIMIT = 256 * 1024;

/** Nest's log lines as pino writes them. */
function nestLogger(level: string): LoggerService {
  const log = pino(
    {
      level,
      base: null,
      redact: ['token', '*.token', 'authorization', '*.authorization', 'secret', '*.secret'],
    },
    pino.destination(2),
  );
  const write =
    (as: 'info' | 'error' | 'warn' | 'debug' | 'trace' | 'fatal') =>
    (message: unknown, ...rest: unknown[]) =>
      log[as]({ context: rest.at(-1) }, typeof message === 'string' ? message : JSON.stringify(message));
  return {
    log: write('info'),
    error: write('error'),
    warn: write('warn'),
    debug: write('debug'),
    verbose: write('trace'),
    fatal: write('fatal'),
  };
}

function root(config: Config, clock: Clock, parts: Type[]): DynamicModule {
  @Module({})
  class RootModule {}
  return { module: RootModule, imports: [PlatformModule.with(config, clock), ...parts] };
}

/** Builds the API, with the worker in the same process if asked; it does not listen yet. */
export async function buildApi(
  config: Config,
  options: { withWorker: boolean; clock?: Clock },
): Promise<NestFastifyApplication> {
  const adapter = new FastifyAdapter({
    bodyLimit: BODY_LIMIT,
    trustProxy: config.trustProxy,
    genReqId: () => randomUUID(),
    routerOptions: { maxParamLength: 200 },
    // A photo of 10 MB over a poor connection.
    requestTimeout: 5 * 60_000,
    connectionTimeout: 120_000,
    keepAliveTimeout: 72_000,
    frameworkErrors: (error: unknown, request: FastifyRequest, reply: FastifyReply) =>
      sendProblem(error, request, reply),
  });
  const clock = options.clock ?? new Clock();
  const fastify = adapter.getInstance();
  registerRoutes(fastify);
  const app = await NestFactory.create<NestFastifyApplication>(
    root(config, clock, options.withWorker ? [ApiModule, WorkerModule] : [ApiModule]),
    adapter,
    {
      logger: nestLogger(config.logLevel),
      abortOnError: false,
      bodyParser: false,
    },
  );
  registerJsonBodies(fastify);
  await registerFileBodies(fastify);
  registerCsvBodies(fastify);
  registerAccess(fastify, app.get<DataSource>(getDataSourceToken()), clock);
  registerRequestDurations(fastify, app.get(Metrics));
  serveDocument(app);
  return app;
}

/** Builds the API's shape alone: routes and their documentation, with nothing behind them, so that it needs no database. */
export function previewApi(): Promise<INestApplication> {
  const config = readConfig({}, 'postgres://preview');
  return NestFactory.create(root(config, new Clock(), [ApiModule]), new FastifyAdapter(), {
    preview: true,
    logger: false,
    abortOnError: false,
  });
}

/** Builds the worker alone. */
export async function buildWorker(
  config: Config,
  options: { clock?: Clock } = {},
): Promise<INestApplicationContext> {
  const app = await NestFactory.createApplicationContext(
    root(config, options.clock ?? new Clock(), [WorkerModule]),
    {
      logger: nestLogger(config.logLevel),
      abortOnError: false,
    },
  );
  return app;
}
