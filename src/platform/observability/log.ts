import type { LoggerService } from '@nestjs/common';
import { AsyncLocalStorage } from 'node:async_hooks';
import { type DestinationStream, pino } from 'pino';
import { withoutSecrets } from './secrets.js';

/** Fields that are added to every log line of a request or a job. */
export type LogFields = Readonly<Record<string, string>>;

const fields = new AsyncLocalStorage<LogFields>();

/** Runs work and adds these fields to all its log lines, such as the id of the request or job. */
export function withLogFields<T>(added: LogFields, work: () => T): T {
  return fields.run({ ...fields.getStore(), ...added }, work);
}

/** A Nest logger that writes through pino: JSON, one object a line. */
export function jsonLogger(
  level: string,
  destination: DestinationStream = pino.destination(2),
): LoggerService {
  const log = pino(
    { level, base: null, mixin: () => ({ ...fields.getStore() }), hooks: { streamWrite: withoutSecrets } },
    destination,
  );
  const write =
    (as: 'info' | 'error' | 'warn' | 'debug' | 'trace' | 'fatal') =>
    (message: unknown, ...rest: unknown[]) => {
      const context = { context: rest.at(-1) };
      // An object brings fields of its own, `msg` included.
      if (typeof message === 'object' && message !== null) log[as]({ ...context, ...message });
      else log[as](context, String(message));
    };
  return {
    log: write('info'),
    error: write('error'),
    warn: write('warn'),
    debug: write('debug'),
    verbose: write('trace'),
    fatal: write('fatal'),
  };
}
