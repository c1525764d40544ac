import { execFile, spawn, type ChildProcess } from 'node:child_process';
import {
  existsSync,
  mkdtempSync,
  readFileSync,
  realpathSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { processesOf } from '../platform/embedded/support.js';
import { until } from '../support/receiver.js';
import { textsIn } from '../support/english.js';
import { type Client, clientOf } from '../support/service.js';

const root = fileURLToPath(new URL('../..', import.meta.url));
const program = (name: string) => join(root, 'dist', name);

/** What `npm run demo` starts, once it is built. */
interface Demo {
  child: ChildProcess;
  screen: () => string;
  progress: () => string;
  /** Resolves to the exit code. */
  ended: Promise<number | null>;
}

interface DemoFile {
  url: string;
  fleetId: string;
  tokens: { manager: string; mechanic: string; driver: string; dashboard: string };
}

/** Loading is the work of some seconds; a machine that does other things as well takes longer. */
const LOADED_WITHIN_MS = 240_000;

const STATES = ['late', 'due', 'window', 'not-due', 'no-baseline'];

describe('the demonstration', () => {
  const dataDir = realpathSync(mkdtempSync(join(tmpdir(), 'weephole-demo-')));
  const env = {
    ...process.env,
    WEEPHOLE_DATA_DIR: dataDir,
    HOST: '',
    PORT: '0',
    DATABASE_URL: '',
    LOG_LEVEL: '',
  };
  const running = new Set<ChildProcess>();
  let demo: Demo;
  let ended: { status: number | null; running: number[] };
  let hadFile: boolean;

  function launch(args: string[] = [], extra: NodeJS.ProcessEnv = {}) {
    // A process group of its own, as a terminal gives it.
    const child = spawn(process.execPath, [program('seeds/demo.js'), ...args], {
      env: { ...env, ...extra },
      detached: true,
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    running.add(child);
    let screen = '';
    let progress = '';
    child.stdout.on('data', (chunk: Buffer) => (screen += chunk.toString()));
    child.stderr.on('data', (chunk: Buffer) => (progress += chunk.toString()));
    const ended = new Promise<number | null>((resolve) =>
      child.once('close', (code) => {
        running.delete(child);
        resolve(code);
      }),
    );
    return { child, ended, screen: () => screen, progress: () => progress };
  }

  async function start(args: string[] = [], extra: NodeJS.ProcessEnv = {}): Promise<Demo> {
    const launched = launch(args, extra);
    await until(
      () => launched.screen().includes('Ready.') || !running.has(launched.child),
      LOADED_WITHIN_MS,
      () => `not ready in time:\n${launched.progress()}`,
    );
    if (!running.has(launched.child)) throw new Error(`it ended:\n${launched.progress()}`);
    return launched;
  }

  /** Ctrl-C, as a terminal sends it: to the whole group. */
  async function interrupt({ child, ended }: Pick<Demo, 'child' | 'ended'>): Promise<number | null> {
    process.kill(-(child.pid as number), 'SIGINT');
    return ended;
  }

  const file = (): DemoFile => JSON.parse(readFileSync(join(dataDir, 'demo.json'), 'utf8'));
  const as = (role: keyof DemoFile['tokens']): Client => clientOf(file().url, file().tokens[role]);

  /** A program beside the running demonstration. */
  const beside = (name: string, args: string[] = []) =>
    promisify(execFile)(process.execPath, [program(name), ...args], { env });

  beforeAll(async () => {
    // Its first load is cut short; all that follows is asked of the one that was begun anew.
    const cut = launch();
    await until(() => cut.progress().includes('usage readings'), LOADED_WITHIN_MS, cut.progress);
    ended = { status: await interrupt(cut), running: processesOf(join(dataDir, 'postgres')) };
    hadFile = existsSync(join(dataDir, 'demo.json'));
    demo = await start();
  }, 2 * LOADED_WITHIN_MS);
  afterAll(async () => {
    for (const child of running) process.kill(-(child.pid as number), 'SIGINT');
    await until(() => running.size === 0, 60_000);
    rmSync(dataDir, { recursive: true, force: true });
  }, 70_000);

  it('leaves nothing running if cut short while it loads, and begins again the next time', () => {
    expect([ended, hadFile]).toEqual([{ status: 0, running: [] }, false]);
    expect(demo.progress()).toContain('not loaded to its end');
  });

  it('shows progress while it loads, then the address, a token for each role and the ten most urgent lines', async () => {
    expect(demo.progress()).toMatch(/job reports: \d+ of \d+/);
    const screen = demo.screen();
    const { url, tokens } = file();
    for (const said of [url, tokens.manager, tokens.mechanic, tokens.driver, tokens.dashboard])
      expect(screen).toContain(said);
    // The loader reports its fault just before or just after the lines are shown.
    const isLoader = (line: string): boolean => line.startsWith('WL-801');
    const listed = (await as('dashboard').get('/v1/due-list?limit=11')).body.items;
    const items = listed.filter(({ vehicle }: any) => !isLoader(vehicle.unitNumber)).slice(0, 9);
    expect(items).toHaveLength(9);
    const lines = screen.split('\n');
    const rows = lines
      .slice(lines.findIndex((line) => line.startsWith('---')) + 1)
      .filter((line) => !isLoader(line));
    for (const [index, { vehicle, component, state, dueOn, trigger }] of items.entries()) {
      for (const said of [vehicle.unitNumber, component, state, dueOn, trigger])
        expect(rows[index]).toContain(said);
    }
  });

  it('writes the address and the tokens to a file that only its owner can read', async () => {
    expect(statSync(join(dataDir, 'demo.json')).mode & 0o777).toBe(0o600);
    expect(Object.keys(file()).sort()).toEqual(['fleetId', 'tokens', 'url']);
    for (const role of ['manager', 'mechanic', 'dashboard'] as const)
      expect((await as(role).get('/v1/fleet')).body.id).toBe(file().fleetId);
    expect((await as('dashboard').post('/v1/depots', { name: 'No' })).status).toBe(403);
  });

  it('has about 60 vehicles of six makes at a depot by the sea, one at 1,600 m and one with hard winters', async () => {
    const vehicles = (await as('manager').get('/v1/vehicles?limit=200')).body.items;
    expect(vehicles).toHaveLength(63);
    expect(new Set(vehicles.map((vehicle: any) => vehicle.make)).size).toBe(6);
    const depots = (await as('manager').get('/v1/depots?units=si')).body.items;
    expect(depots).toHaveLength(3);
    const elevations = depots.map((depot: any) => depot.elevation.value);
    expect(Math.min(...elevations)).toBeLessThan(50);
    expect(Math.max(...elevations)).toBeCloseTo(1600, 0);
    expect(Math.min(...depots.map((depot: any) => depot.designLowTemperature.value))).toBeLessThanOrEqual(
      -30,
    );
  });

  it('has lines in every state, stale ones among them', async () => {
    const { states } = (await as('dashboard').get('/v1/due-list/summary')).body;
    for (const state of STATES) expect([state, states[state] > 0]).toEqual([state, true]);
    const lines = (await as('dashboard').get(`/v1/due-list?state=${STATES.join(',')}&q=PU-104`)).body.items;
    expect(lines.some((line: any) => line.stale)).toBe(true);
  });

  it('raises repeated top-ups, unrecorded water and an early return from what was posted', async () => {
    const { items } = (await as('manager').get('/v1/loss-alerts?limit=100')).body;
    const kinds = items.map((alert: any) => alert.kind);
    expect(kinds).toEqual(expect.arrayContaining(['repeat-top-ups', 'unrecorded-water', 'early-return']));
    for (const alert of items) expect(alert.evidence.length).toBeGreaterThan(0);
    // Every alert belongs to a vehicle that was given a reason for it: nothing is raised by chance.
    const vehicles = new Set(items.map((alert: any) => alert.vehicle.unitNumber));
    expect([...vehicles].sort()).toEqual(['CV-204', 'DT-303', 'HT-701', 'PU-107', 'PU-112']);
  });

  it('holds one reading, bridges one new odometer, and knows two years of use', async () => {
    // The grader's new hour meter is about it below.
    const held = (await as('manager').get('/v1/usage-readings')).body.items.filter(
      ({ source }: any) => source === 'manual',
    );
    expect(held.map((reading: any) => reading.reason)).toEqual(['went-back']);
    const [vehicle] = (await as('manager').get('/v1/vehicles?unitNumber=PU-119')).body.items;
    const usage = (await as('manager').get(`/v1/vehicles/${vehicle.id}/usage?limit=200`)).body;
    const readings = usage.readings.items;
    expect(readings.filter((reading: any) => reading.odometerReplaced)).toHaveLength(1);
    const [latest, oldest] = [readings[0], readings.at(-1)];
    expect(latest.odometer.value).toBeLessThan(oldest.odometer.value);
    expect(Date.parse(latest.readAt) - Date.parse(oldest.readAt)).toBeGreaterThan(700 * 86_400_000);
    expect(usage.dailyDistance.value).toBeGreaterThan(15);
  });

  const vehicleOf = async (unitNumber: string): Promise<any> =>
    (await as('manager').get(`/v1/vehicles?unitNumber=${unitNumber}`)).body.items[0];
  const linesOf = async (unitNumber: string): Promise<any[]> =>
    (
      await as('manager').get(
        `/v1/due-list?vehicleId=${(await vehicleOf(unitNumber)).id}&state=${STATES.join()}`,
      )
    ).body.items;

  it('has an electric bus with lines in each of its circuits, and a conductive coolant in one', async () => {
    const lines = await linesOf('EB-601');
    expect(new Set(lines.map(({ circuit }) => circuit))).toEqual(
      new Set(['power-electronics', 'battery', 'cabin']),
    );
    const opened = lines.filter(({ origin }) => origin === 'follow-up');
    expect(opened).toMatchObject([
      {
        component: 'coolant',
        action: 'replace',
        circuit: 'battery',
        causes: [{ code: 'follow-up-conductive' }],
      },
    ]);
    expect((await as('manager').get('/v1/vehicles?released=with-findings')).body.items).toHaveLength(1);
  });

  it('has a hybrid whose losses belong to the circuit of its engine', async () => {
    const { id } = await vehicleOf('HT-701');
    const circuits = (await linesOf('HT-701')).map(({ circuit }) => circuit);
    expect(new Set(circuits)).toEqual(new Set(['engine', 'power-electronics', undefined]));
    const alerts = (await as('manager').get(`/v1/loss-alerts?vehicleId=${id}`)).body.items;
    expect(alerts.map(({ kind }: any) => kind)).toContain('repeat-top-ups');
    expect(alerts.map(({ circuit }: any) => circuit)).toEqual(alerts.map(() => 'engine'));
  });

  it('has machines that report by themselves: a fault, a new hour meter, and one that it does not know', async () => {
    let source: any;
    await until(
      async () => {
        [source] = (await as('manager').get('/v1/telematics-sources')).body.items;
        return source?.state === 'working';
      },
      60_000,
      () => JSON.stringify(source),
    );
    expect(source).toMatchObject({
      kind: 'iso-15143-3',
      failure: null,
      lastIntake: { machines: 3, unknown: 1, taken: 1, held: 1, faults: 1, refused: 0 },
    });
    const [unknown, ...others] = (
      await as('manager').get(`/v1/telematics-sources/${source.id}/machines?state=unknown`)
    ).body.items;
    expect([unknown.equipmentId, others]).toEqual(['Hired loader', []]);

    const { lastReading } = (await as('manager').get(`/v1/vehicles/${(await vehicleOf('WL-801')).id}/usage`))
      .body;
    expect(Date.now() - Date.parse(lastReading.readAt)).toBeLessThan(3_600_000);
    const { id: graderId } = await vehicleOf('MG-503');
    const held = (await as('manager').get(`/v1/usage-readings?vehicleId=${graderId}`)).body.items;
    expect(held).toMatchObject([{ source: 'telematics', reason: 'went-back', engineHours: { value: 6.5 } }]);
    const opened = (await linesOf('WL-801')).filter(({ origin }) => origin === 'follow-up');
    expect(opened).toMatchObject([
      {
        ...{ component: 'coolant', action: 'inspect' },
        causes: [{ code: 'follow-up-reported-level-low' }, { code: 'follow-up-fault-codes' }],
      },
    ]);
  });

  it('has what drivers reported: a leak with a photo, still open, and a noise that was nothing', async () => {
    const { items } = (await as('driver').get('/v1/defects')).body;
    expect(items).toMatchObject([
      { unitNumber: 'CV-209', state: 'reported', driving: { decision: 'undecided' } },
      { unitNumber: 'PU-105', state: 'dismissed', attachments: [] },
    ]);
    expect(items[1].decisions.at(-1).reason).toContain('within the wear gauge');
    expect(items[0].attachments).toMatchObject([{ mediaType: 'image/png' }]);
    const opened = (await linesOf('CV-209')).filter(({ origin }) => origin === 'follow-up');
    expect(opened).toMatchObject([{ component: 'coolant', action: 'inspect' }]);
  });

  it('shows the failed pressure test of a Friday as list, vehicle, card and mail do, and how to close it', async () => {
    const [vehicle] = (await as('dashboard').get('/v1/vehicles?released=with-findings')).body.items;
    const [finding] = vehicle.releasedWithFindings.findings;
    expect(finding.kind).toBe('hold-test');
    const { timeZone } = (await as('dashboard').get('/v1/fleet')).body;
    expect(
      new Intl.DateTimeFormat('en-US', { timeZone, weekday: 'long' }).format(Date.parse(finding.takenAt)),
    ).toBe('Friday');
    const { body: report } = await as('dashboard').get(`/v1/job-reports/${finding.jobReportId}`);
    const { body: card } = await as('dashboard').get(`/v1/vehicles/${vehicle.id}/job-card`);
    const { items } = (await as('dashboard').get(`/v1/due-list?vehicleId=${vehicle.id}`)).body;
    const line = items.find(({ id }: any) => finding.dueLineIds.includes(id));
    const screen = demo.screen();
    for (const said of [
      `The answer    ${report.warning.text}`,
      `The list      ${line.component} ${line.action}, ${line.state} since ${line.dueOn}: ${textsIn(line.causes).join(' ')}`,
      `The vehicle   ${vehicle.releasedWithFindings.message.text}`,
      `The card      fail: ${textsIn(card.lastReadings[0].reasons).join(' ')}`,
      `The mail      ${vehicle.unitNumber}: Released with a failed pressure test.`,
    ])
      expect(screen).toContain(said);
    const lines = screen.split('\n');
    const closing = lines[lines.findIndex((text) => text.startsWith('# how it is closed')) + 1] as string;
    const answer = JSON.parse((await promisify(execFile)('sh', ['-c', closing])).stdout);
    expect([answer.warning, answer.outcome.verdict]).toEqual([null, 'pass']);
    const { body: after } = await as('dashboard').get(`/v1/vehicles/${vehicle.id}`);
    expect(after.releasedWithFindings).toBeNull();
  });

  it('prints three lines for a shell, and they work', async () => {
    const [, toTry = ''] = demo.screen().split('To try, in another terminal');
    const lines = toTry.split('\n').filter((line) => line.startsWith('curl '));
    expect(lines).toHaveLength(3);
    const answers: any[] = [];
    for (const line of lines) {
      const { stdout } = await promisify(execFile)('sh', ['-c', line]);
      answers.push(JSON.parse(stdout));
    }
    expect(answers[0].items).toHaveLength(5);
    expect(answers[1]).toMatchObject({ outcome: { verdict: 'pass', held: [] } });
    expect(answers[1].outcome.resets.length).toBeGreaterThan(0);
    // 23 inHg at 1,600 m: 23 × 83.52/101.325 (U.S. Standard Atmosphere 1976) = 18.96 inHg.
    expect(answers[2].verdict).toBe('pass');
    expect(answers[2].computed.targetHere.value).toBeCloseTo(18.96, 1);
    // Pasted again, the same job is the same job.
    const again = JSON.parse((await promisify(execFile)('sh', ['-c', lines[1] as string])).stdout);
    expect(again.id).toBe(answers[1].id);
  });

  it('allows another fleet beside it, which sees nothing of the first', async () => {
    const { stdout } = await beside('src/commands/create-fleet.js', [
      '--name',
      'North',
      '--time-zone',
      'America/Denver',
      '--units',
      'us',
    ]);
    expect(stdout.trim().split('\n')).toHaveLength(1);
    const { fleetId, token } = JSON.parse(stdout);
    const other = clientOf(file().url, token);
    expect((await other.get('/v1/fleet')).body).toMatchObject({ id: fleetId, name: 'North' });
    expect((await other.get('/v1/vehicles')).body.items).toEqual([]);
  });

  it(
    'matches its history: a rebuild finds no difference',
    async () => {
      const { stdout } = await beside('src/commands/rebuild.js');
      expect(stdout).toMatch(/^63 vehicles rebuilt, 0 differences$/m);
    },
    LOADED_WITHIN_MS,
  );

  it('refuses to start over while it runs', async () => {
    const second = launch(['--fresh']);
    expect(await second.ended).toBe(1);
    expect(second.progress()).toContain(`${dataDir} is in use by another process (pid ${demo.child.pid},`);
    expect((await as('dashboard').get('/v1/fleet')).status).toBe(200);
  });

  it(
    'stops everything at Ctrl-C, finds its data again at once, and keeps the tokens that still work',
    async () => {
      const before = file();
      expect(await interrupt(demo)).toBe(0);
      expect(processesOf(dataDir)).toEqual([]);
      expect(processesOf(join(dataDir, 'postgres'))).toEqual([]);

      const startedAt = new Date().toISOString();
      demo = await start();
      expect(demo.progress()).not.toContain('Loading');
      expect(file().fleetId).toBe(before.fleetId);
      expect(file().tokens).toEqual(before.tokens);
      expect((await as('mechanic').get('/v1/vehicles?limit=200')).body.items).toHaveLength(63);
      // The machines report to the address of this start, and go on from their last values.
      const source = async () => (await as('manager').get('/v1/telematics-sources')).body.items[0];
      await until(async () => (await source()).lastSuccessAt > startedAt, 60_000, demo.progress);
      expect(await source()).toMatchObject({ lastIntake: { machines: 3, held: 0, faults: 0 } });
      await interrupt(demo);

      rmSync(join(dataDir, 'demo.json'));
      // It comes up without the machines if their server may not be asked.
      demo = await start([], { WEEPHOLE_ALLOW_LOCAL_WEBHOOKS: 'false' });
      expect(demo.progress()).toContain('The machines do not report by themselves');
      expect(file().fleetId).toBe(before.fleetId);
      expect(file().tokens.manager).not.toBe(before.tokens.manager);
      expect((await as('manager').get('/v1/fleet')).body.id).toBe(before.fleetId);
      await interrupt(demo);
    },
    LOADED_WITHIN_MS,
  );

  it('says so if the requested port is in use', async () => {
    const other = createServer();
    await new Promise<void>((resolve) => other.listen(0, '127.0.0.1', resolve));
    const { port } = other.address() as AddressInfo;
    const refused = launch([], { PORT: String(port) });
    expect(await refused.ended).toBe(1);
    expect(refused.progress()).toContain(`PORT is ${port}, which another program listens on`);
    await new Promise((resolve) => other.close(resolve));
  });

  it(
    'starts over on request: the old data are gone, and all is loaded again',
    async () => {
      const before = file().fleetId;
      const fresh = launch(['--fresh']);
      await until(() => fresh.progress().includes('usage readings'), LOADED_WITHIN_MS, fresh.progress);
      expect(existsSync(join(dataDir, 'demo.json'))).toBe(false);
      expect(fresh.progress()).not.toContain('not loaded to its end');
      await until(() => fresh.screen().includes('Ready.'), LOADED_WITHIN_MS, fresh.progress);
      expect(file().fleetId).not.toBe(before);
      demo = fresh;
      expect((await as('manager').get('/v1/vehicles?limit=200')).body.items).toHaveLength(63);
      expect(await interrupt(fresh)).toBe(0);
      expect(processesOf(join(dataDir, 'postgres'))).toEqual([]);
    },
    2 * LOADED_WITHIN_MS,
  );

  it('removes nothing from a directory that is not ours', async () => {
    const foreign = mkdtempSync(join(tmpdir(), 'weephole-foreign-'));
    writeFileSync(join(foreign, 'letter.txt'), 'mine');
    const refused = launch(['--fresh'], { WEEPHOLE_DATA_DIR: foreign });
    expect(await refused.ended).toBe(1);
    expect(refused.progress()).toContain('--fresh removes nothing there');
    expect(readFileSync(join(foreign, 'letter.txt'), 'utf8')).toBe('mine');
    rmSync(foreign, { recursive: true });
  });
});
