import { message } from './platform/config/messages.js';
import { OPERATOR } from './platform/words/operator-language.js';
import { textOf } from './platform/words/render.js';
import { type Config, ConfigError, dataDirectory, readConfig } from './platform/config/config.js';
import { serviceUrls } from './platform/migration/logins.js';
import { withoutSecrets } from './platform/observability/secrets.js';
import { type EmbeddedServer, findRunning, startEmbedded } from './platform/embedded/embedded-postgres.js';

export interface Database {
  url: string;
  /** The embedded server, when this process owns it. */
  server: EmbeddedServer | null;
}

export function say(what: string): void {
  process.stderr.write(`${what}\n`);
}

export interface OpenOptions {
  /** Called with the progress of the embedded server. */
  onProgress: (what: string) => void;
  /** The lifetime of the process that owns the server. */
  lifetime: Lifetime;
}

/**
 * Opens the database: at `DATABASE_URL`, or embedded in the data directory, which this process then
 * owns. If the embedded server cannot be kept running, the process ends.
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
 * Like `openDatabase`, for a tool that may run beside the service: joins an embedded server that is
 * already running, and owns one otherwise.
 */
export async function joinDatabase(env: NodeJS.ProcessEnv, options?: OpenOptions): Promise<Database> {
  if (!env.DATABASE_URL) {
    const running = await findRunning(dataDirectory(env));
    if (running) return { url: running.url, server: null };
  }
  return openDatabase(env, options);
}

/**
 * Reads the settings. For an embedded server, uses the logins that were created for the service
 * instead of the superuser's.
 */
export function configFor(env: NodeJS.ProcessEnv, database: Database): Config {
  if (env.DATABASE_URL) return readConfig(env, database.url);
  const { app, sweep } = serviceUrls(database.url);
  return readConfig(env, app, sweep);
}

const SIGNALS = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

/** A process that is asked to end does so after this time, whatever is still running. */
const END_WITHIN_MS = 25_000;

/**
 * Two signals within this time count as one: the terminal and the npm that started the process both
 * pass on a Ctrl-C.
 */
const SAME_KEYSTROKE_MS = 500;

/**
 * Closes everything a process has opened, in reverse order, when the process is asked to end by
 * Ctrl-C or a stop signal.
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

  /** The first signal shuts down in good order. A second one ends the process at once. */
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
   * Waits for something that is being opened, and registers it to be closed at the end. If the
   * process is asked to end meanwhile, it is closed as soon as it is open, and the caller never
   * continues: anything half open when the process exits would live on.
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

  /**
   * Reports in one line why the process cannot go on, closes what is open, and ends the process.
   */
  async fail(error: unknown): Promise<void> {
    // Errors during shutdown are to be expected, and the shutdown is already in progress.
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

/** Runs a process from start to end. If it cannot start, reports why in one line. */
export function run(main: (lifetime: Lifetime) => Promise<void>): void {
  const lifetime = new Lifetime();
  main(lifetime).catch((error: unknown) => lifetime.fail(error));
}
