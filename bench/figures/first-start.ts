import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { atMost, type Figure } from '../figure.js';

/**
 * Starts the demonstration and stops it again. @returns the seconds until it reported that it is
 * ready
 */
async function secondsToStart(dataDir: string): Promise<number> {
  const began = performance.now();
  const demo = spawn('npm', ['run', '--silent', 'demo'], {
    env: { ...process.env, WEEPHOLE_DATA_DIR: dataDir, PORT: '', DATABASE_URL: '', QUEUE_URL: '' },
    stdio: ['ignore', 'pipe', 'pipe'],
    detached: true,
  });
  let said = '';
  demo.stderr.on('data', (chunk: Buffer) => (said += chunk.toString()));
  const ended = once(demo, 'exit');
  await new Promise<void>((resolve, reject) => {
    // Its only output is the welcome screen, which appears when it is ready to use.
    demo.stdout.once('data', () => resolve());
    void ended.then(() => reject(new Error(`the demonstration did not start: ${said.slice(-500)}`)));
  });
  const seconds = (performance.now() - began) / 1000;
  process.kill(-(demo.pid as number), 'SIGINT');
  await ended;
  return seconds;
}

/** Times `npm run demo` on a machine where only `npm ci` was run, and then once more. */
export async function firstStartFigures(): Promise<Figure[]> {
  const dataDir = await mkdtemp(join(tmpdir(), 'weephole-bench-demo-'));
  try {
    const first = await secondsToStart(dataDir);
    const later = await secondsToStart(dataDir);
    return [
      atMost('first-start-seconds', first, 20, 'the demonstration, its database made and its fleet loaded'),
      atMost('later-start-seconds', later, 5, 'the same again'),
    ];
  } finally {
    await rm(dataDir, { recursive: true, force: true });
  }
}
