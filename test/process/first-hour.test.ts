import { execFile } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { type FleetHandle, type Service, startService } from '../support/service.js';

const manual = readFileSync(new URL('../../docs/first-hour.md', import.meta.url), 'utf8');
const script = [...manual.matchAll(/^```sh\n([^]*?)^```$/gm)].map(([, block]) => block).join('');

describe('the blocks of docs/first-hour.md', () => {
  const dataDir = mkdtempSync(join(tmpdir(), 'weephole-first-hour-'));
  let service: Service;
  let fleet: FleetHandle;

  /** Pastes all blocks into a new shell. */
  const paste = () =>
    promisify(execFile)('bash', ['-c', script], { env: { ...process.env, WEEPHOLE_DATA_DIR: dataDir } });

  beforeAll(async () => {
    service = await startService({ at: new Date().toISOString() });
    fleet = await service.newFleet();
    const { manager, mechanic, dashboard } = fleet;
    const tokens = { manager: manager.token, mechanic: mechanic.token, dashboard: dashboard.token };
    writeFileSync(join(dataDir, 'demo.json'), JSON.stringify({ url: service.url, tokens }));
  });

  afterAll(async () => {
    await service.stop();
    rmSync(dataDir, { recursive: true });
  });

  it('do the main job when pasted, and change nothing when pasted again', async () => {
    const [first, second] = [await paste(), await paste()];

    expect([first.stderr, second.stderr]).toEqual(['', '']);
    for (const { stdout } of [first, second]) {
      expect(stdout).not.toMatch(/undefined|"requestId"/);
      expect(stdout.match(/"reason": "went-back"/g)).toHaveLength(1);
      expect(stdout.match(/"kind": "repeat-top-ups"/g)).toHaveLength(1);
      expect(stdout.match(/"verdict": "pass"/g)).toHaveLength(4);
      expect(stdout).toMatch(/"https:\/\/hooks\.example\/weephole"\n$/);
    }
    expect(second.stdout.split('"repeat-top-ups"')[0]).toBe(first.stdout.split('"repeat-top-ups"')[0]);
    // The first due list was read before the job was posted.
    expect(first.stdout).toContain('"state": "window"');
    expect(second.stdout).toContain('"action": "recheck"');
    for (const [path, count] of Object.entries({ depots: 1, vehicles: 1, 'job-reports': 1 }))
      expect((await fleet.manager.get(`/v1/${path}`)).body.items).toHaveLength(count);
  });
});
