import { spawn, spawnSync } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** Whether tests can use Redis here: one is named, or one can be started. */
export function redisAvailable() {
  return Boolean(process.env.REDIS_URL) || spawnSync('redis-server', ['--version']).status === 0;
}

export function freePort() {
  return new Promise((resolve, reject) => {
    const server = createServer();
    server.once('error', reject);
    server.listen(0, '127.0.0.1', () => {
      const { port } = server.address();
      server.close(() => resolve(port));
    });
  });
}

/** Returns the Redis that REDIS_URL names, or starts our own. */
export async function startRedis() {
  if (process.env.REDIS_URL) return { url: process.env.REDIS_URL, stop: async () => {} };
  return startOwnRedis();
}

/**
 * Starts our own Redis, which persists nothing. A test may flush it, stop it, and restart it on its
 * port.
 */
export async function startOwnRedis(port = 0) {
  if (port === 0) port = await freePort();
  const dir = await mkdtemp(join(tmpdir(), 'weephole-redis-'));
  const child = spawn(
    'redis-server',
    [
      '--port',
      String(port),
      '--bind',
      '127.0.0.1',
      '--save',
      '',
      '--appendonly',
      'no',
      '--maxmemory-policy',
      'noeviction',
      '--dir',
      dir,
    ],
    {
      stdio: ['ignore', 'pipe', 'inherit'],
    },
  );
  await new Promise((resolve, reject) => {
    child.once('error', reject);
    child.once('exit', (code) => reject(new Error(`redis-server ended with ${code}`)));
    child.stdout.on('data', (chunk) => String(chunk).includes('Ready to accept connections') && resolve());
  });
  return {
    url: `redis://127.0.0.1:${port}`,
    port,
    async stop() {
      const ended = new Promise((resolve) => child.once('exit', resolve));
      child.kill('SIGTERM');
      await ended;
      await rm(dir, { recursive: true, force: true });
    },
  };
}
