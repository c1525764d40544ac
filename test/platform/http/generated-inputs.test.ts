import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { type Random, randomOf } from '../../support/generated/random.js';
import { type RawAnswer, type RawRequest, sendRaw, told } from '../../support/generated/raw-http.js';
import { RequestMaker } from '../../support/generated/requests.js';
import { paper, picture } from '../../support/pictures.js';
import { goodJob, postScenario } from '../../support/scenario.js';
import { type Answer, type FleetHandle, type Service, startService } from '../../support/service.js';
import { confirmedVisit } from '../../support/visit-plans.js';

/**
 * `npm run test:long -- generated-inputs --runs 20000 --seed 7` makes a long run; `--from` begins
 * at a later input of the seed.
 */
const COUNT = Number(process.env.LONG_RUNS ?? 600);
const SEED = Number(process.env.LONG_SEED ?? 20_261_129);
const FROM = Number(process.env.LONG_FROM ?? 0);
const AT_A_TIME = 8;
/**
 * On a busy machine a connection to the database, or a place among those that write, can take
 * longer than the service waits for one: then it asks to be asked again.
 */
const TRIES = 5;
const ASKED_AGAIN = /"\/problems\/(database-away|too-busy)"/;

const document = JSON.parse(
  readFileSync(fileURLToPath(new URL('../../../openapi.json', import.meta.url)), 'utf8'),
) as ConstructorParameters<typeof RequestMaker>[0];

describe('generated inputs', () => {
  let service: Service;
  let fleet: FleetHandle;
  let requests: RequestMaker;
  /** Ids by kind, as paths name it; what requests make is added. */
  const ids: Record<string, string[]> = {};

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
    fleet = await service.newFleet();
    await makeRecords();
    const pictures = [
      ...(await Promise.all((['jpeg', 'png', 'webp'] as const).map((format) => picture(format)))),
      paper(900),
    ];
    requests = new RequestMaker(document, { token: fleet.manager.token, pictures, idOf });
  }, 240_000);
  afterAll(() => service.stop());

  function idOf(kind: string, random: Random): string {
    const known = ids[kind] ?? [];
    return known.length > 0 && random.chance(0.9) ? random.of(known) : '00000000-0000-4000-8000-000000000000';
  }

  async function made(kind: string, answer: Promise<Answer>): Promise<string> {
    const { status, body } = await answer;
    if (status !== 201) throw new Error(`${kind}: ${status} ${JSON.stringify(body)}`);
    (ids[kind] ??= []).push(body.id);
    return body.id;
  }

  /** Some of each kind, so that a request is about something. */
  async function makeRecords(): Promise<void> {
    const { manager, mechanic } = fleet;
    const own = await postScenario(fleet);
    Object.assign(ids, {
      ...{ depots: [own.depotId], 'spec-sheets': [own.specSheetId] },
      ...{ 'interval-plans': [own.intervalPlanId], vehicles: [own.vehicleId] },
    });
    const report = await made(
      'job-reports',
      mechanic.post('/v1/job-reports', goodJob(own.vehicleId, '2026-03-02T10:00:00Z', 9010)),
    );
    for (const takenAt of ['2026-03-10T12:00:00Z', '2026-03-20T12:00:00Z'])
      await mechanic.post(`/v1/vehicles/${own.vehicleId}/readings`, {
        ...{ kind: 'top-up', takenAt, added: { value: 0.5, unit: 'L' }, toMark: true, planned: false },
      });
    await mechanic.post('/v1/usage-readings', {
      readings: [
        { vehicleId: own.vehicleId, readAt: '2026-03-28T10:00:00Z', odometer: { value: 20, unit: 'mi' } },
      ],
    });
    await made(
      'attachments',
      mechanic.send('POST', `/v1/job-reports/${report}/attachments`, paper(900), {
        'content-type': 'application/pdf',
      }),
    );
    await made(
      'reminder-targets',
      manager.post('/v1/reminder-targets', { kind: 'webhook', address: 'http://127.0.0.1:9/' }),
    );
    await made('tokens', manager.post('/v1/tokens', { name: 'board', role: 'dashboard' }));
    const { planId, visitId } = await confirmedVisit(service, fleet);
    Object.assign(ids, { 'visit-plans': [planId], visits: [visitId] });
    for (const kind of ['due-list', 'loss-alerts', 'usage-readings'])
      ids[kind] = (await manager.get(`/v1/${kind}`)).body.items.map((item: any) => item.id);
  }

  /** What a request made is what later ones are about. */
  function remember({ method, target }: RawRequest, { status, text }: RawAnswer): void {
    const kind = target.split(/[/?]/).at(2) ?? '';
    const id = /"id":"([0-9a-f-]{36})"/.exec(text)?.[1];
    if (method !== 'POST' || status !== 201 || id === undefined) return;
    ids[kind] = [...(ids[kind] ?? []), id].slice(-20);
  }

  async function send(request: RawRequest): Promise<RawAnswer> {
    const port = Number(new URL(service.url).port);
    for (let left = TRIES; ; left--) {
      const answer = await sendRaw(port, request);
      const isAskedAgain = answer.status === 503 && ASKED_AGAIN.test(answer.text);
      if (left === 1 || !isAskedAgain) return answer;
    }
  }

  /** On a busy machine the service may say so of itself, where it is asked for just that. */
  const isNotReady = ({ target }: RawRequest, { status, text }: RawAnswer): boolean =>
    status === 503 && target.startsWith('/health/ready') && text.includes('/problems/not-ready');

  it(
    `are answered, ${COUNT} of them, and none with a 5xx`,
    async () => {
      process.stderr.write(
        `generated inputs: seed ${SEED}, ${COUNT} from ${FROM}, ${requests.count} operations\n`,
      );
      const failures: string[] = [];
      const statuses: Record<number, number> = {};
      let next = FROM;
      async function worker(): Promise<void> {
        while (next < FROM + COUNT && failures.length < 20) {
          const index = next++;
          const request = requests.request(index, randomOf(SEED, index));
          const answer = await send(request);
          statuses[answer.status] = (statuses[answer.status] ?? 0) + 1;
          remember(request, answer);
          if ((answer.status !== 0 && answer.status < 500) || isNotReady(request, answer)) continue;
          const failure = `seed ${SEED}, input ${index}: ${answer.status || 'no answer'}\n${told(request)}\n→ ${answer.text.slice(-600)}`;
          failures.push(failure);
          process.stderr.write(`${failure}\n`);
        }
      }
      await Promise.all(Array.from({ length: AT_A_TIME }, worker));
      process.stderr.write(`generated inputs: answered ${JSON.stringify(statuses)}\n`);
      expect(failures).toEqual([]);
      // Not refused at the door all of them: the rules were reached, and records made.
      expect((statuses[200] ?? 0) + (statuses[201] ?? 0)).toBeGreaterThan(COUNT / 20);
      expect(statuses[422] ?? 0).toBeGreaterThan(COUNT / 20);
      // Whatever they were, the next request is served.
      expect((await fleet.manager.get('/v1/fleet')).status).toBe(200);
    },
    Math.max(300_000, COUNT * 600),
  );
});
