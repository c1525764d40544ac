import {
  type DynamicModule,
  type INestApplicationContext,
  Logger,
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
import { registerAccess } from './platform/access/access.js';
import { Clock } from './platform/clock/clock.js';
import { Config } from './platform/config/config.js';
import { registerJsonBodies } from './platform/http/json-body.js';
import { sendProblem } from './platform/http/problem.filter.js';
import { registerRoutes } from './platform/http/routes.js';
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
    requestTimeout: 60_000,
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
  registerAccess(fastify, app.get<DataSource>(getDataSourceToken()), clock);
  app.enableShutdownHooks();
  return app;
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
  app.enableShutdownHooks();
  return app;
}

/** Says why a process could not start, in one line, and ends it. */
export function exitWith(error: unknown): never {
  Logger.flush();
  process.stderr.write(`weephole: ${error instanceof Error ? error.message : String(error)}\n`);
  process.exit(1);
}
