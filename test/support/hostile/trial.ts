import { isAbout, type Mutation } from '../mutations.js';
import { postScenario, type Scenario } from '../scenario.js';
import { type Answer, type FleetHandle, type Service, startService } from '../service.js';
import { type Endpoint, endpointsOf } from './endpoints.js';
import { type GoodBodies, goodBodies, NOW } from './good-bodies.js';
import { made, recordsOf } from './records.js';

const AT_A_TIME = 8;
/** Enough vehicles that no two parallel requests are about the same one. */
const VEHICLES = 2 * AT_A_TIME;

export type Trial = Awaited<ReturnType<typeof startTrial>>;

interface Setting {
  service: Service;
  fleet: FleetHandle;
  foreign: FleetHandle;
  scenario: Scenario;
  foreignScenario: Scenario;
  foreignTargetId: string;
  bodies: GoodBodies;
  endpoints: Map<string, Endpoint>;
}

/**
 * Prepares a service with one fleet that is sent nonsense, and another that must not be affected.
 */
async function prepare(): Promise<Setting> {
  const service = await startService({ at: NOW });
  const fleet = await service.newFleet({ units: 'us' });
  const foreign = await service.newFleet({ units: 'si' });
  const scenario = await postScenario(fleet);
  const foreignScenario = await postScenario(foreign);
  const vehicleIds: string[] = [];
  for (let index = 0; index < VEHICLES; index++) {
    const { depotId, specSheetId, intervalPlanId } = scenario;
    const body = { unitNumber: `H-${index}`, depotId, specSheetId, intervalPlanId };
    vehicleIds.push(made(await fleet.manager.post('/v1/vehicles', { ...body, inServiceOn: '2024-01-01' })));
  }
  const target = { kind: 'webhook', address: 'http://127.0.0.1:9/' };
  const foreignTargetId = made(await foreign.manager.post('/v1/reminder-targets', target));
  made(await foreign.manager.post('/v1/vehicles', { unitNumber: 'F-1' }));
  const bodies = goodBodies(scenario, vehicleIds);
  const described = endpointsOf(bodies, await recordsOf(service, fleet, scenario));
  const endpoints = new Map(described.map((endpoint) => [endpoint.operation, endpoint]));
  return { service, fleet, foreign, scenario, foreignScenario, foreignTargetId, bodies, endpoints };
}

export async function startTrial() {
  const setting = await prepare();
  const { service, fleet, foreign, endpoints } = setting;
  const foreignContent = await contentOf(foreign.fleetId);

  const endpointOf = (operation: string): Endpoint => endpoints.get(operation) as Endpoint;

  function send(endpoint: Endpoint, text: string, headers: Record<string, string> = {}): Promise<Answer> {
    const [method] = endpoint.operation.split(' ') as [string];
    return fleet.manager.send(method.toUpperCase(), endpoint.path(), text, headers);
  }

  /** Returns a digest of everything a fleet has. */
  async function contentOf(fleetId: string): Promise<string> {
    const { admin } = service.database;
    const { rows: tables } = await admin.query<{ name: string }>(
      `select table_name as name from information_schema.columns where table_schema = 'public' and column_name = 'fleet_id' order by 1`,
    );
    const digests = [];
    for (const { name } of tables) {
      const { rows } = await admin.query(
        `select count(*) as n, md5(string_agg(t::text, '' order by t::text)) as digest from ${name} t where fleet_id = $1`,
        [fleetId],
      );
      digests.push([name, rows[0]]);
    }
    return JSON.stringify(digests);
  }

  async function rowsIn(table: string | null): Promise<number> {
    if (table === null) return 0;
    const { rows } = await service.database.admin.query<{ n: string }>(
      `select count(*) as n from ${table} where fleet_id = $1`,
      [fleet.fleetId],
    );
    return Number(rows[0]?.n);
  }

  async function tryAll(
    endpoint: Endpoint,
    mutations: Mutation[],
  ): Promise<{ complaints: string[]; stored: number; named: Set<string> }> {
    const complaints: string[] = [];
    /** The places that a refusal has named. */
    const named = new Set<string>();
    let stored = 0;
    for (let from = 0; from < mutations.length; from += AT_A_TIME) {
      await Promise.all(
        mutations.slice(from, from + AT_A_TIME).map(async (mutation) => {
          // Ids and names are new for each request; the places stay the same.
          const answer = await send(endpoint, mutation.textOf(endpoint.body()));
          if (isStored(answer)) stored++;
          const problem = complaint(endpoint, mutation, answer);
          if (problem !== null) complaints.push(problem);
          else if (answer.status === 422) named.add(mutation.pointer);
        }),
      );
    }
    return { complaints, stored, named };
  }

  /**
   * Returns table columns with NaN or infinite numbers, and reports whether the other fleet has
   * changed.
   */
  async function traces(): Promise<string[]> {
    const { admin } = service.database;
    const { rows: columns } = await admin.query<{ table: string; column: string }>(
      `select table_name as table, column_name as column from information_schema.columns
       where table_schema = 'public' and data_type = 'double precision'`,
    );
    expect(columns.length).toBeGreaterThan(30);
    const found: string[] = [];
    for (const { table, column } of columns) {
      const { rows } = await admin.query(
        `select 1 from ${table} where ${column} in ('NaN', 'Infinity', '-Infinity') limit 1`,
      );
      if (rows.length > 0) found.push(`${table}.${column}`);
    }
    if ((await contentOf(foreign.fleetId)) !== foreignContent) found.push('another fleet');
    return found;
  }

  return { ...setting, endpointOf, send, rowsIn, tryAll, traces };
}

/** Returns what is wrong with the response to a body with one change; null when nothing is. */
export function complaint(
  { settles }: Endpoint,
  { pointer, what }: Mutation,
  { status, headers, body }: Answer,
): string | null {
  const told = `${pointer || '(the body)'} with ${what}: ${status} ${JSON.stringify(body).slice(0, 300)}`;
  if (status === 200 && Array.isArray(body.results)) {
    const isDone = settles === true && body.results[0]?.status === 409;
    return isDone ? null : itemComplaint(pointer, body.results[0], told);
  }
  if (status < 300) return null;
  if (status >= 500) return told;
  if (!headers.get('content-type')?.includes('application/problem+json')) return `no problem: ${told}`;
  if (status === 409 && settles) return null;
  if (![400, 404, 409, 413, 422].includes(status)) return `unexpected status: ${told}`;
  if (!body.errors?.some((fault: any) => isAbout(fault.pointer, pointer) || isNamedIn(fault.detail, pointer)))
    return `field not named: ${told}`;
  return body.errors.every((fault: any) => fault.detail.length > 5) ? null : `no detail: ${told}`;
}

/** When one of two fields is required, the fault points to the first and mentions the other. */
const isNamedIn = (detail: string, pointer: string): boolean =>
  new RegExp(`\\b${pointer.split('/').at(-1)}\\b`).test(detail) && /^\/\w+$/.test(pointer);

/** Like `complaint`, for one item of a batch, which has a result of its own. */
export function itemComplaint(pointer: string, item: any, told: string): string | null {
  if (item.problem) {
    return item.problem.errors.some((fault: any) => isAbout(fault.pointer, pointer))
      ? null
      : `not named: ${told}`;
  }
  if (item.status === 'rejected')
    return isAbout(item.pointer, pointer) && item.detail.text.length > 5 ? null : `not named: ${told}`;
  return null;
}

const isStored = ({ status, body }: Answer): boolean => {
  if (status >= 300) return false;
  if (!Array.isArray(body.results)) return status === 201;
  return body.results.some((item: any) => item.status === 201 || ['accepted', 'held'].includes(item.status));
};
