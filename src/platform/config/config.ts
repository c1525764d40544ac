import { message } from './messages.js';
import { join, resolve } from 'node:path';
import { type AccessSettings, readAccessSettings } from './access-settings.js';
import { ConfigError, type Environment, wholeNumber } from './environment.js';
import { type FleetLimits, readFleetLimits } from './fleet-limits.js';
import { type LabelSettings, readLabelSettings } from './label-settings.js';
import { isMailAddress } from './mail-address.js';
import { type MetricsAddress, readMetricsAddress } from './metrics-address.js';
import { readRetentionSettings, type RetentionSettings } from './retention-settings.js';

export { ConfigError } from './environment.js';

/**
 * Every environment variable that the service reads. A test checks `.env.example` against this
 * list.
 */
export const ENVIRONMENT_VARIABLES = [
  'DATABASE_URL',
  'SWEEP_DATABASE_URL',
  'APP_LOGIN_PASSWORD',
  'SWEEP_LOGIN_PASSWORD',
  'DATABASE_POOL_SIZE',
  'QUEUE_URL',
  'QUEUE_CONCURRENCY',
  'DELIVERY_CONCURRENCY',
  'QUEUE_PREFIX',
  'QUEUE_LOCK_SECONDS',
  'QUEUE_CHECK_SECONDS',
  'VISIT_PLAN_SECONDS',
  'VISIT_PLAN_GOAL_PERCENT',
  'POLL_TIMEOUT_SECONDS',
  'POLL_CONCURRENCY',
  'SEND_TIMEOUT_SECONDS',
  'SEND_RETRY_SECONDS',
  'HOST',
  'PORT',
  'METRICS_ADDRESS',
  'TRUST_PROXY',
  'CORS_ORIGINS',
  'REQUESTS_PER_MINUTE',
  'REFUSALS_PER_MINUTE',
  'UNKNOWN_TOKENS_PER_MINUTE',
  'REQUEST_TIMEOUT_SECONDS',
  'PUBLIC_URL',
  'LABEL_REQUESTS_PER_MINUTE',
  'LABEL_REPORTS_PER_MINUTE',
  'PROCESS_STREAMS',
  'FLEET_STREAMS',
  'FLEET_REQUESTS_PER_MINUTE',
  'FLEET_TOKENS',
  'FLEET_ATTACHMENTS_MB',
  'FLEET_WAITING_PLANS',
  'FLEET_TELEMATICS_SOURCES',
  'FLEET_TELEMATICS_MACHINES',
  'OIDC_ISSUER',
  'OIDC_AUDIENCE',
  'OIDC_FLEET_CLAIM',
  'OIDC_ROLE_CLAIM',
  'OIDC_DEPOTS_CLAIM',
  'OIDC_WITHOUT_DEPOTS',
  'OIDC_CLIENT_ID',
  'OIDC_CLIENT_SECRET',
  'LOG_LEVEL',
  'NODE_ENV',
  'WEEPHOLE_DATA_DIR',
  'WEEPHOLE_ALLOW_LOCAL_WEBHOOKS',
  'ATTACHMENTS_DIR',
  'ATTACHMENTS_S3_BUCKET',
  'ATTACHMENTS_S3_REGION',
  'ATTACHMENTS_S3_ENDPOINT',
  'RETENTION_PEOPLE_MONTHS',
  'RETENTION_LEFT_PEOPLE_MONTHS',
  'RETENTION_AUDIT_MONTHS',
  'RETENTION_ATTACHMENTS_MONTHS',
  'SMTP_URL',
  'SMTP_REQUIRE_TLS',
  'MAIL_FROM',
] as const;

export interface QueueBackend {
  kind: 'postgres' | 'redis';
  url: string;
}

export interface AttachmentSettings {
  /** Where attachments are kept. With a bucket, only the uploads that are still arriving. */
  directory: string;
  s3: { bucket: string; region: string; endpoint: string | null } | null;
}

/** The mail server that sends our e-mail, and the sender's address. */
export interface MailSettings {
  url: string;
  /**
   * Refuses a server that does not switch to TLS, so nobody in between can suppress the encryption.
   */
  requiresTls: boolean;
  from: { name: string; address: string };
}

export class Config {
  databaseUrl!: string;
  /**
   * The same database, with a login that may look across fleets; the login of `databaseUrl` may
   * not.
   */
  sweepDatabaseUrl!: string;
  databasePoolSize!: number;
  queue!: QueueBackend;
  queueConcurrency!: number;
  /** How many reminders one worker sends at a time. Most of that time it waits for receivers. */
  deliveryConcurrency!: number;
  /** Prefix of the queue's keys on Redis, which several services may share. */
  queuePrefix!: string;
  /**
   * A worker that has been silent for this long counts as dead, and its jobs are taken up again.
   */
  queueLockMs!: number;
  /** How often a worker looks for overdue work. */
  queueCheckMs!: number;
  /** How long the solver may work on a visit plan. */
  visitPlanSeconds!: number;
  /**
   * The solver stops at a plan that is proved to cost at most this many percent more than the
   * cheapest.
   */
  visitPlanGoalPercent!: number;
  /** How long a telematics source may take to answer one request, its body included. */
  pollTimeoutMs!: number;
  /** How many telematics sources one worker polls at a time. */
  pollConcurrency!: number;
  /** How long a receiver of reminders may take to answer. */
  sendTimeoutMs!: number;
  /**
   * Waits between attempts to send. When all are used up, one last attempt is made before the
   * reminder is given up.
   */
  sendRetryMs!: number[];
  host!: string;
  port!: number;
  /** Where `/metrics` is served, never on the API's own address; null when it is turned off. */
  metricsAddress!: MetricsAddress | null;
  access!: AccessSettings;
  labels!: LabelSettings;
  /** Maximum number of event streams in one process, over all fleets. */
  processStreams!: number;
  fleetLimits!: FleetLimits;
  logLevel!: string;
  isProduction!: boolean;
  dataDir!: string;
  /**
   * Allows webhooks to loopback and private addresses, over plain http too: for trials, the demo
   * and tests.
   */
  allowLocalWebhooks!: boolean;
  attachments!: AttachmentSettings;
  retention!: RetentionSettings;
  /** Null when no e-mail is sent. */
  mail!: MailSettings | null;
}

function secondsList(env: Environment, name: string, fallback: string): number[] {
  const text = env[name] || fallback;
  const values = text.split(',').map(Number);
  const isUsable = (value: number): boolean => Number.isInteger(value) && value >= 1 && value <= 604_800;
  if (values.length > 50 || !values.every(isUsable)) {
    throw new ConfigError(message('setting-seconds', { name, given: text }));
  }
  return values.map((value) => value * 1000);
}

function flag(env: Environment, name: string): boolean {
  const text = env[name];
  if (text === undefined || text === '' || text === 'false' || text === '0') return false;
  if (text === 'true' || text === '1') return true;
  throw new ConfigError(message('setting-true-or-false', { name, given: text }));
}

function attachmentSettings(env: Environment): AttachmentSettings {
  const bucket = env.ATTACHMENTS_S3_BUCKET;
  const endpoint = env.ATTACHMENTS_S3_ENDPOINT || null;
  if (endpoint !== null && !/^https?:\/\/[^/?#]+\/?$/.test(endpoint))
    throw new ConfigError(message('setting-s3-endpoint', { given: endpoint }));
  if (endpoint !== null && !bucket) throw new ConfigError(message('setting-s3-bucket-missing'));
  return {
    directory: resolve(env.ATTACHMENTS_DIR || join(dataDirectory(env), 'attachments')),
    s3: bucket ? { bucket, region: env.ATTACHMENTS_S3_REGION || 'us-east-1', endpoint } : null,
  };
}

function mailSettings(env: Environment): MailSettings | null {
  const url = env.SMTP_URL;
  const from = env.MAIL_FROM;
  if (!url && !from) return null;
  // The URL is not quoted in the message, because it contains a password.
  if (!url || !/^smtps?:\/\//.test(url) || !URL.canParse(url))
    throw new ConfigError(message('setting-smtp-url'));
  const match = /^(?:"?([^"<>\p{Cc}]*?)"?\s*<([^<>]+)>|([^<>\s]+))$/u.exec((from ?? '').trim());
  const mailbox = match?.[2] ?? match?.[3];
  if (!mailbox || !isMailAddress(mailbox))
    throw new ConfigError(message('setting-mail-from', { given: from ?? '' }));
  return {
    ...{ url, requiresTls: flag(env, 'SMTP_REQUIRE_TLS') },
    from: { name: match?.[1] ?? '', address: mailbox },
  };
}

/** The waits add up to 27 h 42 min 40 s, so a receiver may be down for a day. */
const RETRY_SECONDS = '10,30,120,600,1800,3600,7200,14400,28800,43200';

const LOG_LEVELS = ['fatal', 'error', 'warn', 'info', 'debug', 'trace', 'silent'];

/** The data directory, where the embedded PostgreSQL keeps its cluster. */
export function dataDirectory(env: Environment): string {
  return resolve(env.WEEPHOLE_DATA_DIR || '.data');
}

/**
 * Reads the settings from the environment.
 *
 * @param databaseUrl the URL in use: `DATABASE_URL`, or that of the embedded server
 * @param sweepDatabaseUrl the URL that the sweep connects to; by default `databaseUrl`
 * @throws ConfigError when a setting cannot be used
 */
export function readConfig(
  env: Environment,
  databaseUrl: string,
  sweepDatabaseUrl = env.SWEEP_DATABASE_URL || databaseUrl,
): Config {
  const logLevel = env.LOG_LEVEL || 'info';
  if (!LOG_LEVELS.includes(logLevel))
    throw new ConfigError(message('setting-log-level', { given: logLevel, allowed: LOG_LEVELS.join(', ') }));
  const queueUrl = env.QUEUE_URL || databaseUrl;
  if (!/^(rediss?|postgres(ql)?):\/\//.test(queueUrl)) {
    throw new ConfigError(message('setting-queue-url'));
  }
  const access = readAccessSettings(env);
  const api = { host: env.HOST || '127.0.0.1', port: wholeNumber(env, 'PORT', 8470, 0, 65535) };
  return Object.assign(new Config(), {
    ...api,
    databaseUrl,
    sweepDatabaseUrl,
    databasePoolSize: wholeNumber(env, 'DATABASE_POOL_SIZE', 12, 2, 500),
    queue: { kind: queueUrl.startsWith('redis') ? 'redis' : 'postgres', url: queueUrl },
    queueConcurrency: wholeNumber(env, 'QUEUE_CONCURRENCY', 8, 1, 200),
    deliveryConcurrency: wholeNumber(env, 'DELIVERY_CONCURRENCY', 100, 1, 200),
    queuePrefix: env.QUEUE_PREFIX || 'weephole',
    queueLockMs: 1000 * wholeNumber(env, 'QUEUE_LOCK_SECONDS', 15, 2, 600),
    queueCheckMs: 1000 * wholeNumber(env, 'QUEUE_CHECK_SECONDS', 30, 1, 300),
    visitPlanSeconds: wholeNumber(env, 'VISIT_PLAN_SECONDS', 45, 1, 3600),
    visitPlanGoalPercent: wholeNumber(env, 'VISIT_PLAN_GOAL_PERCENT', 1, 0, 20),
    pollTimeoutMs: 1000 * wholeNumber(env, 'POLL_TIMEOUT_SECONDS', 30, 1, 300),
    pollConcurrency: wholeNumber(env, 'POLL_CONCURRENCY', 20, 1, 200),
    sendTimeoutMs: 1000 * wholeNumber(env, 'SEND_TIMEOUT_SECONDS', 10, 1, 60),
    sendRetryMs: secondsList(env, 'SEND_RETRY_SECONDS', RETRY_SECONDS),
    metricsAddress: readMetricsAddress(env, api),
    access,
    labels: readLabelSettings(env),
    processStreams: wholeNumber(env, 'PROCESS_STREAMS', 1000, 1, 100_000),
    fleetLimits: readFleetLimits(env, access.requestsPerMinute),
    logLevel,
    isProduction: env.NODE_ENV === 'production',
    dataDir: dataDirectory(env),
    allowLocalWebhooks: flag(env, 'WEEPHOLE_ALLOW_LOCAL_WEBHOOKS'),
    attachments: attachmentSettings(env),
    retention: readRetentionSettings(env),
    mail: mailSettings(env),
  } satisfies Config);
}
