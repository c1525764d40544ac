import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';

/** A benchmark process that answers questions over the channel to its parent. */
export interface Child {
  /** @throws Error with the error from the child */
  ask<T>(question: string, data?: unknown): Promise<T>;
  stop(): Promise<void>;
}

interface Answer {
  id: number;
  value?: unknown;
  error?: string;
}

const running = new Set<ChildProcess>();
process.on('exit', () => {
  for (const child of running) child.kill('SIGKILL');
});

/** Where processes write their CPU profiles; null for nowhere. */
let profileDir: string | null = null;

/**
 * From now on, each process writes a CPU profile when it ends, for a browser's inspector or
 * `speedscope`.
 */
export function profileInto(directory: string): void {
  profileDir = directory;
}

/** Starts one of `bench/processes/`. */
export function startChild(name: string, env: Record<string, string>): Child {
  const child = fork(new URL(`./processes/${name}.js`, import.meta.url), {
    env: { ...process.env, ...env },
    stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
    execArgv: [
      ...process.execArgv,
      ...(profileDir === null
        ? []
        : [
            '--cpu-prof',
            `--cpu-prof-dir=${profileDir}`,
            `--cpu-prof-name=${name}-${running.size}.cpuprofile`,
          ]),
    ],
  });
  running.add(child);
  const waiting = new Map<number, { resolve: (value: never) => void; reject: (error: Error) => void }>();
  let asked = 0;
  child.on('message', ({ id, value, error }: Answer) => {
    const asker = waiting.get(id);
    waiting.delete(id);
    if (error === undefined) asker?.resolve(value as never);
    else asker?.reject(new Error(`${name}: ${error}`));
  });
  child.once('exit', (code, signal) => {
    running.delete(child);
    for (const { reject } of waiting.values()) reject(new Error(`${name} ended with ${signal ?? code}`));
    waiting.clear();
  });
  return {
    ask: (question, data) =>
      new Promise((resolve, reject) => {
        const id = ++asked;
        waiting.set(id, { resolve, reject });
        child.send({ id, question, data });
      }),
    async stop() {
      if (!running.has(child)) return;
      const ended = once(child, 'exit');
      child.disconnect();
      await ended;
    },
  };
}

/** In the child: answers the parent's questions until the parent disconnects. */
export function answering(
  answers: Record<string, (data: never) => unknown>,
  close: () => Promise<unknown> = async () => undefined,
): void {
  process.on('message', ({ id, question, data }: { id: number; question: string; data: never }) => {
    void (async () => {
      try {
        const answer = answers[question];
        if (!answer) throw new Error(`nobody answers ${question}`);
        process.send?.({ id, value: await answer(data) });
      } catch (error) {
        process.send?.({
          id,
          error: error instanceof Error ? (error.stack ?? error.message) : String(error),
        });
      }
    })();
  });
  process.once('disconnect', () => {
    void close().finally(() => process.exit(0));
  });
}
