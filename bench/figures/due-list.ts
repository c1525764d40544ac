import assert from 'node:assert/strict';
import { randomUUID } from 'node:crypto';
import type { Request } from 'autocannon';
import { atLeast, atMost, type Figure, median, ms, perSecond, quantile } from '../figure.js';
import { inTurn, type Load, type Measured, warmUp } from '../load.js';
import { call } from '../post.js';
import type { Stage } from '../stage.js';
import type { BenchFleet } from '../build-fleets.js';

const CONNECTIONS = 10;
const ROUNDS = 4;
const SECONDS = 1.5;

interface Page {
  items: { id: string; dueOn: string }[];
  next: string | null;
}

/** A position in a fleet's list that is followed by a full page. */
interface Place {
  fleet: BenchFleet;
  dueOn: string;
}

const bearer = (fleet: BenchFleet): Record<string, string> => ({
  authorization: `Bearer ${fleet.tokens.dashboard}`,
});

/** Days in each fleet's list that are followed by more than a page of lines. */
async function placesOf({ main: { admin, fleets } }: Stage): Promise<Place[]> {
  const { rows } = await admin.query<{ fleet_id: string; due_on: string }>(
    `select fleet_id, due_on::text from (
       select fleet_id, due_on, row_number() over (partition by fleet_id order by due_on desc, id desc) as behind
       from due_lines where is_open and not no_baseline and window_opens_on <= current_date and due_on <= current_date + 30) l
     where behind > 60 group by fleet_id, due_on`,
  );
  const byId = new Map(fleets.map((fleet) => [fleet.id, fleet]));
  return rows.flatMap(({ fleet_id: id, due_on: dueOn }) => {
    const fleet = byId.get(id);
    return fleet ? [{ fleet, dueOn }] : [];
  });
}

const draw = <T>(items: readonly T[]): T => items[Math.floor(Math.random() * items.length)] as T;

/**
 * A page that was never requested before, starting somewhere among the lines of a day of some
 * fleet.
 */
async function firstReads(stage: Stage): Promise<{ service: Load; peer: Load }> {
  const places = await placesOf(stage);
  const [fleet] = stage.main.fleets as [BenchFleet];
  const { next } = await call<Page>(stage.main.service.url, fleet.tokens.dashboard, '/v1/due-list');
  const [digest, asOf] = JSON.parse(Buffer.from(next ?? '', 'base64url').toString()) as [string, string];
  const cursorOf = (keys: unknown[]) => Buffer.from(JSON.stringify(keys)).toString('base64url');
  const common = { connections: CONNECTIONS, status: 200 };
  const request = (path: string, keys: (dueOn: string) => unknown[]) => (): Request => {
    const { fleet: whose, dueOn } = draw(places);
    return { path: `${path}?cursor=${cursorOf(keys(dueOn))}`, headers: bearer(whose) };
  };
  return {
    service: {
      ...common,
      url: stage.main.service.url,
      request: request('/v1/due-list', (dueOn) => [digest, asOf, dueOn, randomUUID()]),
    },
    peer: { ...common, url: stage.peer.url, request: request('/due-list', (dueOn) => [dueOn, randomUUID()]) },
  };
}

/** The estimate of what is left changes between two responses, by less than this. */
const GOES_ON = 0.5;

/** Splits a response into its numbers and everything else. */
function taken(items: Page['items']): { shape: unknown; numbers: number[] } {
  const numbers: number[] = [];
  const shape: unknown = JSON.parse(JSON.stringify(items), (_key, value: unknown) =>
    typeof value === 'number' ? numbers.push(value) && 'a number' : value,
  );
  return { shape, numbers };
}

/** The service with its fleets, and the peer with a copy of them. */
interface Answering {
  main: { fleets: BenchFleet[]; service: { url: string } };
  peer: { url: string };
}

/** @throws AssertionError when the peer does not return the same fields with the same content */
export async function assertSameAnswers({ main, peer }: Answering): Promise<void> {
  for (const { tokens } of main.fleets.slice(0, 5)) {
    const ours = await call<Page>(main.service.url, tokens.dashboard, '/v1/due-list');
    const theirs = await call<Page>(peer.url, tokens.dashboard, '/due-list');
    assert.equal(ours.items.length, 50);
    const [our, their] = [taken(ours.items), taken(theirs.items)];
    assert.deepEqual(their.shape, our.shape);
    for (const [index, value] of our.numbers.entries())
      assert.ok(Math.abs(value - (their.numbers[index] ?? Number.NaN)) <= GOES_ON, `${value} in ${index}`);
  }
}

async function tagsOf({ main }: Stage): Promise<Map<string, string>> {
  const tags = new Map<string, string>();
  for (const fleet of main.fleets) {
    const answer = await fetch(`${main.service.url}/v1/due-list`, { headers: bearer(fleet) });
    await answer.arrayBuffer();
    tags.set(fleet.id, answer.headers.get('etag') ?? '');
  }
  return tags;
}

const throughput = (rounds: Measured[] = []): number => median(rounds.map((round) => round.perSecond));
const latencies = (rounds: Measured[] = []): number[] => rounds.flatMap((round) => round.latencies);
/** Compares round by round, because disturbances on the machine pass. */
const ratio = (ours: Measured[] = [], theirs: Measured[] = []): number =>
  median(ours.map((round, index) => round.perSecond / (theirs[index]?.perSecond ?? Number.NaN)));

/**
 * Reads the due list as dashboards do: pages for the first time, and the first page over and over
 * with nothing changed.
 */
export async function dueListFigures(stage: Stage): Promise<Figure[]> {
  await assertSameAnswers(stage);
  const { fleets, service } = stage.main;
  const first = await firstReads(stage);
  const polling = (url: string, path: string, status: number, tags?: Map<string, string>): Load => ({
    url,
    connections: CONNECTIONS,
    status,
    request: fleets.map((fleet) => {
      const tag = tags?.get(fleet.id);
      return { path, headers: { ...bearer(fleet), ...(tag === undefined ? {} : { 'if-none-match': tag }) } };
    }),
  });
  const reads = [first.service, first.peer];
  await warmUp(reads);
  const [ours, theirs] = await inTurn(reads, ROUNDS, SECONDS);

  const polls = [
    polling(service.url, '/v1/due-list', 200),
    polling(service.url, '/v1/due-list', 304, await tagsOf(stage)),
    polling(stage.peer.url, '/due-list', 200),
  ];
  await warmUp(polls);
  const [full, unchanged, peerPolled] = await inTurn(polls, ROUNDS, SECONDS);

  const p99 = (measured: Measured[] | undefined) => quantile(latencies(measured), 0.99);
  const beside = (a: Measured[] | undefined, b: Measured[] | undefined) =>
    `${perSecond(throughput(a))} beside the peer's ${perSecond(throughput(b))}`;
  return [
    atLeast('due-list-first-read', ratio(ours, theirs), 0.9, beside(ours, theirs)),
    atMost(
      'due-list-first-read-p99',
      median(
        (ours ?? []).map(
          (round, index) =>
            quantile(round.latencies, 0.99) / quantile(theirs?.[index]?.latencies ?? [], 0.99),
        ),
      ),
      1.2,
      `${ms(p99(ours))} beside the peer's ${ms(p99(theirs))}`,
    ),
    atLeast('due-list-polled', ratio(full, peerPolled), 3, beside(full, peerPolled)),
    atLeast('due-list-polled-if-none-match', ratio(unchanged, peerPolled), 8, beside(unchanged, peerPolled)),
  ];
}

export { firstReads };
