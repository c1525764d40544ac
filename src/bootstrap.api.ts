import type { INestApplication, Type } from '@nestjs/common';
import { NestFactory } from '@nestjs/core';
import { FastifyAdapter, type NestFastifyApplication } from '@nestjs/platform-fastify';
import { getDataSourceToken } from '@nestjs/typeorm';
import { randomUUID } from 'node:crypto';
import type { DataSource } from 'typeorm';
import { ApiModule } from './api.module.js';
import { serveApps } from './pages/apps/serve-apps.js';
import { serveDocument } from './openapi.js';
import { registerAnswerLanguage } from './platform/http/answer-language.js';
import { registerAccess } from './platform/access/access.js';
import { scopeOf } from './platform/scope/request-scope.js';
import type { OidcVerifier } from './platform/access/oidc.js';
import { TokenHolders } from './platform/access/token-holders.js';
import { Clock } from './platform/clock/clock.js';
import type { AccessSettings, OidcSettings, TrustedProxies } from './platform/config/access-settings.js';
import { Config, readConfig } from './platform/config/config.js';
import { Draining } from './platform/http/draining.js';
import { registerFileBodies } from './platform/input/file-body.js';
import { registerCsvBodies } from './platform/csv/upload.js';
import { refuseCompressedBodies, registerJsonBodies } from './platform/input/json-body.js';
import { refuseAddress } from './platform/http/problem.filter.js';
import { registerRoutes } from './platform/routing/routes.js';
import { answerUnreadable, registerWebSafety } from './platform/http/web-safety.js';
import { warnOfUntrustedProxy } from './platform/limits/forwarded-header.js';
import { LabelLimits } from './platform/limits/label-limits.js';
import { openRateStore } from './platform/limits/rate-store.js';
import { RequestLimits } from './platform/limits/request-limits.js';
import { jsonLogger } from './platform/observability/log.js';
import { Metrics } from './platform/observability/metrics.js';
import { registerRequestRecords } from './platform/observability/request-records.js';
import { logUntoldMessages } from './platform/observability/untold-messages.js';
import { HttpModule } from './http.module.js';
import { rootModule } from './root.module.js';
import { registerResponseCache } from './platform/http/response-cache.js';

const BODY_LIMIT = 256 * 1024;
/** Time limit for the headers. They fit into a few packets, however slow the line. */
const HEADERS_TIMEOUT_MS = 15_000;

/** Enough for some seven hundred pages of the due list. */
const RESPONSE_CACHE_BYTES = 32 * 1024 * 1024;

/**
 * Converts the setting to Fastify's form, where a function tells whether the address at a given hop
 * is one of our proxies.
 */
function trusting(proxies: TrustedProxies): false | string[] | ((address: string, hop: number) => boolean) {
  return proxies === false || Array.isArray(proxies) ? proxies : (_address, hop) => hop < proxies.hops;
}

/** The HTTP server, with its time and size limits. */
function buildAdapter({ trustedProxies, requestTimeoutMs }: AccessSettings): FastifyAdapter {
  return new FastifyAdapter({
    bodyLimit: BODY_LIMIT,
    trustProxy: trusting(trustedProxies),
    genReqId: () => randomUUID(),
    routerOptions: { maxParamLength: 200 },
    requestTimeout: requestTimeoutMs,
    http: {
      headersTimeout: Math.min(HEADERS_TIMEOUT_MS, requestTimeoutMs),
      connectionsCheckingInterval: Math.min(5_000, requestTimeoutMs / 2),
    },
    clientErrorHandler: answerUnreadable,
    connectionTimeout: 120_000,
    keepAliveTimeout: 72_000,
    // By then, all requests in progress have been waited for.
    forceCloseConnections: true,
    frameworkErrors: refuseAddress,
  });
}

/**
 * Returns null when OpenID Connect is not configured; the code that verifies its tokens is then not
 * loaded.
 */
async function openSignIns(settings: OidcSettings | null, clock: Clock): Promise<OidcVerifier | null> {
  if (settings === null) return null;
  const { OidcVerifier } = await import('./platform/access/oidc.js');
  return new OidcVerifier(settings, clock);
}

/** Finds the fleet of each request and enforces the request limits. */
async function admitRequests(app: NestFastifyApplication, config: Config, clock: Clock): Promise<void> {
  const fastify = app.getHttpAdapter().getInstance();
  const dataSource = app.get<DataSource>(getDataSourceToken());
  const holders = new TokenHolders(config.databaseUrl);
  fastify.addHook('onClose', () => holders.close());
  const rates = await openRateStore(config, dataSource);
  fastify.addHook('onClose', () => rates.close());
  app.get(LabelLimits, { strict: false }).countIn(rates, config.labels);
  registerAnswerLanguage(fastify);
  registerAccess(fastify, {
    dataSource,
    holders,
    clock,
    limits: new RequestLimits(rates, {
      ...config.access,
      fleetRequestsPerMinute: config.fleetLimits.requestsPerMinute,
    }),
    signIns: await openSignIns(config.access.oidc, clock),
  });
}

/** Returns the modules of the API, plus those of the worker when one process is to be both. */
async function partsOf({ withWorker }: { withWorker: boolean }): Promise<Type[]> {
  const worker = withWorker ? [(await import('./worker.module.js')).WorkerModule] : [];
  return [HttpModule, ApiModule, ...worker];
}

/** Builds the API, with the worker in the same process if asked. It does not listen yet. */
export async function buildApi(
  config: Config,
  options: { withWorker: boolean; clock?: Clock },
): Promise<NestFastifyApplication> {
  const adapter = buildAdapter(config.access);
  const clock = options.clock ?? new Clock();
  const fastify = adapter.getInstance();
  registerRoutes(fastify);
  const app = await NestFactory.create<NestFastifyApplication>(
    rootModule(config, clock, await partsOf(options)),
    adapter,
    {
      logger: jsonLogger(config.logLevel),
      abortOnError: false,
      bodyParser: false,
    },
  );
  logUntoldMessages();
  refuseCompressedBodies(fastify);
  registerJsonBodies(fastify);
  registerCsvBodies(fastify);
  await registerFileBodies(fastify);
  await registerWebSafety(fastify, config.access.corsOrigins);
  app.get(Draining).watch(fastify);
  warnOfUntrustedProxy(fastify, config.access.trustedProxies);
  await admitRequests(app, config, clock);
  registerResponseCache(fastify, scopeOf, clock, RESPONSE_CACHE_BYTES);
  registerRequestRecords(fastify, app.get(Metrics), config.logLevel);
  serveDocument(app);
  serveApps(fastify);
  return app;
}

/**
 * Builds only the shape of the API, its routes and their documentation. Nothing is behind them, so
 * no database is needed.
 */
export async function previewApi(): Promise<INestApplication> {
  const config = readConfig({}, 'postgres://preview');
  return NestFactory.create(
    rootModule(config, new Clock(), await partsOf({ withWorker: false })),
    new FastifyAdapter(),
    {
      preview: true,
      logger: false,
      abortOnError: false,
    },
  );
}
