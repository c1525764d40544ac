import { message } from './platform/config/messages.js';
import { OPERATOR } from './platform/words/operator-language.js';
import { textOf } from './platform/words/render.js';
import { type Config, ConfigError, dataDirectory, readConfig } from './platform/config/config.js';
import { serviceUrls } from './platform/migration/logins.js';
import { withoutSecrets } from './platform/observability/secrets.js';
import { type EmbeddedServer, findRunning, startEmbedded } from './platform/embedded/embedded-postgres.js';

export interface Database {
  url: string;
  /** The embedded server, where this process owns it. */
  server: EmbeddedServer | null;
}

export function say(what: string): void {
  process.stderr.write(`${what}\n`);
}

export interface OpenOptions {
  /** Hears what becomes of the embedded server. */
  onProgress: (what: string) => void;
  /** Of the process that owns it. */
  lifetime: Lifetime;
}

/**
 * Where PostgreSQL is: at `DATABASE_URL`, else embedded in the data directory, which this process
 * then owns. One that cannot be kept running ends the process.
 */
export async function openDatabase(env: NodeJS.ProcessEnv, options?: OpenOptions): Promise<Database> {
  if (env.DATABASE_URL) return { url: env.DATABASE_URL, server: null };
  if (env.NODE_ENV === 'production') {
    throw new ConfigError(message('setting-database-url-missing'));
  }
  const server = await startEmbedded({
    dataDir: dataDirectory(env),
    onProgress: options?.onProgress,
    signal: options?.lifetime.signal,
    onLost: (error) => void options?.lifetime.fail(error),
  });
  return { url: server.url, server };
}

/**
 * As `openDatabase`, for a tool that may run beside the service: it joins an embedded server that
 * is running, and owns one otherwise.
 */
export async function joinDatabase(env: NodeJS.ProcessEnv, options?: OpenOptions): Promise<Database> {
  if (!env.DATABASE_URL) {
    const running = await findRunning(dataDirectory(env));
    if (running) return { url: running.url, server: null };
  }
  return openDatabase(env, options);
}

/**
 * The settings; on an embedded server, whose only login is its superuser, with the logins that were
 * made for the service.
 */
export function configFor(env: NodeJS.ProcessEnv, database: Database): Config {
  if (env.DATABASE_URL) return readConfig(env, database.url);
  const { app, sweep } = serviceUrls(database.url);
  return readConfig(env, app, sweep);
}

const SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

/** After this a process that is asked to end does so, whatever still runs. */
const END_WITHIN_MS = 25_000;

/**
 * A terminal and the npm that started the process both pass Ctrl-C on: two signals within this time
 * are one.
 */
const SAME_KEYSTROKE_MS = 500;

/**
 * What a process has opened, closed in reverse order when it is asked to end: Ctrl-C, or a stop by
 * whoever runs it.
 */
export class Lifetime {
  private readonly closers: (() => Promise<unknown>)[] = [];
  private ending: Promise<void> | null = null;
  private askedAt: number | null = null;
  private readonly over = new AbortController();

  /** Aborted when the process begins to end. */
  readonly signal = this.over.signal;

  constructor() {
    for (const signal of SIGNALS) process.on(signal, () => this.asked());
  }

  /** The first signal ends in good order. Whoever sends another has no more patience. */
  private asked(): void {
    const now = performance.now();
    this.askedAt ??= now;
    if (now - this.askedAt > SAME_KEYSTROKE_MS) {
      process.stderr.write(`weephole: ${textOf(message('ending-at-once'), OPERATOR)}\n`);
      process.exit(1);
    }
    void this.end().then(() => process.exit(0));
  }

  closing(close: () => Promise<unknown>): void {
    this.closers.push(close);
  }

  /**
   * Waits for something that is being opened, and closes it at the end. Asked to end meanwhile, it
   * is closed as soon as it is open, and the caller goes no further: what is half open when the
   * process exits would live on.
   */
  async opening<T>(opening: Promise<T>, close: (opened: T) => Promise<unknown>): Promise<T> {
    this.closing(async () => {
      const opened = await opening.then(
        (value) => ({ value }),
        () => null,
      );
      if (opened) await close(opened.value);
    });
    const opened = await opening;
    if (this.ending) await new Promise(() => undefined);
    return opened;
  }

  /** Closes everything, once. */
  end(): Promise<void> {
    this.over.abort();
    this.ending ??= this.closeAll();
    return this.ending;
  }

  /** Says in one line why the process cannot go on, closes what is open, and ends it. */
  async fail(error: unknown): Promise<void> {
    // What fails because everything is being closed is no news; whoever asked for the end sees to
    // it.
    if (this.ending) return;
    const why = error instanceof Error ? error.message : String(error);
    process.stderr.write(`weephole: ${withoutSecrets(why)}\n`);
    await this.end();
    process.exit(1);
  }

  private async closeAll(): Promise<void> {
    const late = setTimeout(() => {
      process.stderr.write(`weephole: ${textOf(message('ending-not-closed'), OPERATOR)}\n`);
      process.exit(1);
    }, END_WITHIN_MS);
    for (const close of this.closers.reverse()) {
      try {
        await close();
      } catch (error) {
        process.stderr.write(`weephole: ${withoutSecrets(String(error))}\n`);
      }
    }
    clearTimeout(late);
  }
}

/** Runs a process from start to end; whatever keeps it from starting is said in one line. */
export function run(main: (lifetime: Lifetime) => Promise<void>): void {
  const lifetime = new Lifetime();
  main(lifetime).catch((error: unknown) => lifetime.fail(error));
}
