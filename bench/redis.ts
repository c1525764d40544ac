import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { freePort } from '../src/platform/embedded/postmaster.js';

export interface RedisServer {
  url: string;
  stop(): Promise<void>;
}

/** Starts a Redis for this benchmark that persists nothing; null when there is none on the PATH. */
export async function startRedis(): Promise<RedisServer | null> {
  if (spawnSync('redis-server', ['--version']).status !== 0) return null;
  const port = await freePort();
  const dir = await mkdtemp(join(tmpdir(), 'weephole-bench-redis-'));
  const settings = {
    port,
    bind: '127.0.0.1',
    save: '',
    appendonly: 'no',
    'maxmemory-policy': 'noeviction',
    dir,
  };
  const child = spawn(
    'redis-server',
    Object.entries(settings).flatMap(([name, value]) => [`--${name}`, String(value)]),
    { stdio: ['ignore', 'pipe', 'inherit'] },
  );
  process.once('exit', () => child.kill('SIGKILL'));
  await new Promise<void>((resolve, reject) => {
    child.once('exit', (code) => reject(new Error(`redis-server ended with ${code}`)));
    child.stdout.on('data', (chunk: Buffer) => {
      if (chunk.toString().includes('Ready to accept connections')) resolve();
    });
  });
  return {
    url: `redis://127.0.0.1:${port}`,
    async stop() {
      const ended = once(child, 'exit');
      child.kill('SIGTERM');
      await ended;
      await rm(dir, { recursive: true, force: true });
    },
  };
}
