import type { INestApplicationContext } from '@nestjs/common';
import { NestFactory } from '@nestjs/core';
import { Clock } from './platform/clock/clock.js';
import type { Config } from './platform/config/config.js';
import { jsonLogger } from './platform/observability/log.js';
import { logUntoldMessages } from './platform/observability/untold-messages.js';
import { rootModule } from './root.module.js';
import { WorkerModule } from './worker.module.js';

/** Builds the worker alone. */
export function buildWorker(
  config: Config,
  options: { clock?: Clock } = {},
): Promise<INestApplicationContext> {
  logUntoldMessages();
  return NestFactory.createApplicationContext(
    rootModule(config, options.clock ?? new Clock(), [WorkerModule]),
    { logger: jsonLogger(config.logLevel), abortOnError: false },
  );
}
