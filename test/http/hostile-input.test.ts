import { request as rawRequest } from 'node:http';
import { v7 as uuidv7 } from 'uuid';
import { CALCULATOR_EXAMPLES } from '../../src/calculators/calculator-examples.js';
import { foreignIds, isAbout, type Mutation, mutationsOf } from '../support/mutations.js';
import { paper } from '../support/pictures.js';
import { goodJob, INTERVAL_PLAN, postScenario, type Scenario, SPEC_SHEET } from '../support/scenario.js';
import { type Answer, type FleetHandle, type Service, startService } from '../support/service.js';
import { confirmedVisit, plannedVisits } from '../support/visit-plans.js';

const NOW = '2026-04-02T15:00:00Z';
const AT_A_TIME = 8;

/** A POST or PATCH with a body that it takes. */
interface Endpoint {
  operation: string;
  /** Called for each request, so that one request does not spoil the next. */
  path(): string;
  body(): object;
  status: number;
  /** Where what it makes is stored; null where it makes nothing. */
  table: string | null;
  /** Once done, the same again is refused with a 409 that is about the record, not about a field. */
  settles?: boolean;
}

describe('what a client sends', () => {
  let service: Service;
  let fleet: FleetHandle;
  let foreign: FleetHandle;
  let scenario: Scenario;
  let foreignScenario: Scenario;
  let foreignTargetId: string;
  let foreignContent: string;
  let vehicleIds: string[];
  let endpoints: Map<string, Endpoint>;

  let turn = 0;
  const fresh = (name: string): string => `${name} ${++turn}`;
  const nextVehicle = (): string => vehicleIds[++turn % vehicleIds.length] as string;

  beforeAll(async () => {
    service = await startService({ at: NOW });
    fleet = await service.newFleet({ units: 'us' });
    foreign = await service.newFleet({ units: 'si' });
    scenario = await postScenario(fleet);
    foreignScenario = await postScenario(foreign);
    vehicleIds = await Promise.all(
      Array.from({ length: 40 }, async (_, index) => {
        const { depotId, specSheetId, intervalPlanId } = scenario;
        const unitNumber = `H-${index}`;
        const body = { unitNumber, depotId, specSheetId, intervalPlanId, inServiceOn: '2024-01-01' };
        return made(await fleet.manager.post('/v1/vehicles', body));
      }),
    );
    foreignTargetId = made(
      await foreign.manager.post('/v1/reminder-targets', { kind: 'webhook', address: 'http://127.0.0.1:9/' }),
    );
    made(await foreign.manager.post('/v1/vehicles', { unitNumber: 'F-1' }));
    foreignContent = await contentOf(foreign.fleetId);
    endpoints = new Map((await describeEndpoints()).map((endpoint) => [endpoint.operation, endpoint]));
  });
  afterAll(() => service.stop());

  function made({ status, body }: Answer): string {
    expect([status, body.errors]).toEqual([201, undefined]);
    return body.id;
  }

  /** Late lines of vehicles that nothing else is posted about: a job would make them count anew. */
  async function linesThatNoJobTouches(): Promise<string[]> {
    const ids = await Promise.all(
      Array.from({ length: 12 }, async (_, index) =>
        made(
          await fleet.manager.post('/v1/vehicles', {
            ...{ unitNumber: `Left alone ${index}`, intervalPlanId: scenario.intervalPlanId },
            inServiceOn: '2021-03-15',
          }),
        ),
      ),
    );
    const lists = await Promise.all(
      ids.map((id) => fleet.mechanic.get(`/v1/due-list?state=late&vehicleId=${id}`)),
    );
    return lists.flatMap(({ body }) => body.items.map((line: any) => line.id));
  }

  async function describeEndpoints(): Promise<Endpoint[]> {
    const { manager, mechanic } = fleet;
    const depotId = made(await manager.post('/v1/depots', { name: 'Changed often' }));
    const sheetId = made(await manager.post('/v1/spec-sheets', { ...SPEC_SHEET, name: 'Changed often' }));
    const planId = made(
      await manager.post('/v1/interval-plans', { ...INTERVAL_PLAN, name: 'Changed often' }),
    );
    const vehicleId = made(await manager.post('/v1/vehicles', { unitNumber: 'Changed often' }));
    const target = { kind: 'webhook', address: 'http://127.0.0.1:9/hook' };
    const targetId = made(await manager.post('/v1/reminder-targets', target));
    const reportId = made(
      await mechanic.post('/v1/job-reports', {
        vehicleId: scenario.vehicleId,
        performedAt: '2026-01-05T10:00:00Z',
        lines: [{ component: 'coolant', action: 'replace' }],
      }),
    );
    const attachmentId = made(
      await mechanic.send('POST', `/v1/job-reports/${reportId}/attachments`, paper(2000), {
        'content-type': 'application/pdf',
      }),
    );
    const usage = await mechanic.post('/v1/usage-readings', {
      readings: [
        {
          vehicleId: scenario.vehicleId,
          readAt: '2026-01-06T10:00:00Z',
          odometer: { value: 9000, unit: 'mi' },
        },
        {
          vehicleId: scenario.vehicleId,
          readAt: '2026-01-07T10:00:00Z',
          odometer: { value: 10, unit: 'mi' },
        },
      ],
    });
    const [accepted, held] = usage.body.results.map((result: any) => result.id);
    for (const takenAt of ['2026-03-01T12:00:00Z', '2026-03-13T12:00:00Z']) {
      made(
        await mechanic.post(`/v1/vehicles/${scenario.vehicleId}/readings`, {
          ...{ kind: 'top-up', takenAt, added: { value: 0.4, unit: 'L' }, toMark: true, planned: false },
        }),
      );
    }
    const alertId = (await mechanic.get('/v1/loss-alerts')).body.items[0].id;
    const reminderId = await waitingReminder(targetId);
    const lines = await linesThatNoJobTouches();
    const driven = await lineOfDrivenVehicle();
    const { visitId } = await confirmedVisit(service, fleet);
    const imported = await manager.send('POST', '/v1/vehicles/import', 'unitNumber\nImported', {
      'content-type': 'text/csv',
    });
    const another = await manager.post('/v1/vehicles', {
      ...{ unitNumber: 'To be planned', depotId: scenario.depotId, intervalPlanId: scenario.intervalPlanId },
      inServiceOn: '2021-03-15',
    });
    expect(another.status).toBe(201);
    const [proposed, again, toConfirm] = [
      await plannedVisits(service, fleet),
      await plannedVisits(service, fleet),
      await plannedVisits(service, fleet),
    ];
    const visitPlan = () => ({
      ...{ from: '2026-04-06', to: '2026-05-01', depotIds: [scenario.depotId] },
      ...{ labourRate: 80, downtimeCostPerDay: 200, latenessCostPerDay: 50 },
    });
    const depot = () => ({
      name: fresh('Depot'),
      elevation: { value: 1500, unit: 'm' },
      designLowTemperature: { value: -30, unit: 'C' },
      labourHoursPerDay: 12,
      workingDays: ['monday', 'tuesday'],
      closedOn: ['2026-12-25'],
    });
    const sheet = () => ({
      ...SPEC_SHEET,
      name: fresh('Sheet'),
      coolant: { ...SPEC_SHEET.coolant, strengthMax: 60, maxTestPressure: { value: 16, unit: 'psi' } },
      fasteners: [
        {
          name: 'a',
          count: 9,
          component: 'water-pump',
          torque: { value: 11, unit: 'N.m' },
          tolerancePercent: 10,
          angle: '90 degrees',
        },
      ],
      parts: [{ component: 'water-pump', description: 'pump', quantity: 1, partNumber: 'WP-1' }],
      labour: {
        preparations: [{ preparation: 'belt-off', hours: 0.8 }],
        lines: [{ component: 'water-pump', action: 'replace', hours: 3, preparations: ['drain-and-fill'] }],
      },
    });
    const plan = () => ({
      name: fresh('Plan'),
      intervals: [
        {
          component: 'coolant',
          action: 'replace',
          item: 'main',
          everyDistance: { value: 100_000, unit: 'mi' },
          everyMonths: 96,
          everyEngineHours: { value: 4000, unit: 'h' },
          first: { everyMonths: 120 },
          severe: { everyMonths: 60, everyDistance: { value: 60_000, unit: 'mi' } },
          window: { distance: { value: 2000, unit: 'mi' }, days: 30, engineHours: { value: 50, unit: 'h' } },
          grace: { days: 14 },
          anchor: 'completion',
        },
      ],
    });
    const vehicle = () => ({
      unitNumber: fresh('V'),
      depotId: scenario.depotId,
      specSheetId: scenario.specSheetId,
      intervalPlanId: scenario.intervalPlanId,
      duty: 'severe',
      status: 'in-use',
      make: 'Invented',
      model: 'Mule',
      modelYear: 2021,
      mountedOn: scenario.vehicleId,
      inUseMonths: [4, 5, 6],
      inServiceOn: '2021-03-15',
      inServiceOdometer: { value: 12, unit: 'mi' },
      inServiceEngineHours: { value: 1, unit: 'h' },
      expectedDailyDistance: { value: 40, unit: 'mi' },
      expectedDailyEngineHours: { value: 2, unit: 'h' },
      designLowTemperature: { value: -20, unit: 'F' },
    });
    const usual = goodJob('', NOW, 1).readings as { kind: string }[];
    const job = () => ({
      ...goodJob(nextVehicle(), '2026-04-01T08:20:00-06:00', 20_000),
      // The other kinds are tried one by one, as readings outside a job.
      readings: [usual[0], usual[7]],
      id: uuidv7(),
      sentAt: '2026-04-01T09:00:00-06:00',
      engineHours: { value: 700, unit: 'h' },
      elevation: { value: 1500, unit: 'm' },
      workedAtDepotId: scenario.depotId,
      notes: 'none',
    });
    const shortJob = () => {
      const { vehicleId: on, performedAt, odometer, lines, readings } = job() as any;
      return {
        id: uuidv7(),
        vehicleId: on,
        performedAt,
        odometer,
        lines: [lines[1]],
        readings: [readings[1]],
      };
    };
    const targetBody = () => ({
      ...target,
      hears: ['due-line'],
      stages: ['due', 'late'],
      depotIds: [scenario.depotId],
      components: ['coolant'],
      duties: ['severe'],
      intervalPlanIds: [scenario.intervalPlanId],
      vehicleIds: [scenario.vehicleId],
      repeatLateDays: 7,
      digest: 'daily',
      sendBetween: { from: '06:00', to: '20:00' },
      enabled: false,
    });
    const kinds: Record<string, object> = {
      ...Object.fromEntries(usual.map((reading) => [reading.kind, reading])),
      'coolant-condition': {
        ...{
          kind: 'coolant-condition',
          pH: 9,
          nitriteMgPerL: 800,
          scaUnitsPerGallon: 2,
          reserveAlkalinityMl: 5,
        },
        appearance: 'clear',
      },
      'cap-test': {
        ...{ kind: 'cap-test', opensAt: { value: 16, unit: 'psi' }, holdsAt: { value: 15, unit: 'psi' } },
        vacuumValveOk: true,
      },
      'combustion-gas-test': {
        kind: 'combustion-gas-test',
        positive: false,
        engineHot: true,
        underLoad: true,
      },
      'road-test': {
        ...{ kind: 'road-test', distance: { value: 8, unit: 'mi' }, warningLamp: false, leakSeen: false },
        highestCoolantTemperature: { value: 92, unit: 'C' },
      },
      'belt-check': {
        ...usual[5],
        pulleys: [{ name: 'crank', ribsSeated: true }],
        driverDiameter: { value: 150, unit: 'mm' },
        drivenDiameter: { value: 100, unit: 'mm' },
        driverRpm: 1000,
        drivenRpm: 1455,
        tensionerInRange: true,
        contaminated: false,
      },
      'hold-test': {
        ...usual[0],
        startTemperature: { value: 20, unit: 'C' },
        endTemperature: { value: 20, unit: 'C' },
        engineCold: true,
        barometer: { value: 84.5, unit: 'kPa' },
      },
    };
    const create = (name: string, body: () => object, table: string): Endpoint => ({
      ...{ operation: `post /v1/${name}`, path: () => `/v1/${name}`, body, status: 201, table },
    });
    const change = (name: string, id: string, body: () => object): Endpoint => ({
      ...{
        operation: `patch /v1/${name}/{id}`,
        path: () => `/v1/${name}/${id}`,
        body,
        status: 200,
        table: null,
      },
    });
    const act = (name: string, id: string, action: string, body: () => object): Endpoint => ({
      operation: `post /v1/${name}/{id}/${action}`,
      path: () => `/v1/${name}/${id}/${action}`,
      ...{ body, status: 200, table: null, settles: true },
    });
    return [
      create('depots', depot, 'depots'),
      change('depots', depotId, depot),
      create('spec-sheets', sheet, 'spec_sheets'),
      change('spec-sheets', sheetId, sheet),
      create('interval-plans', plan, 'interval_plans'),
      change('interval-plans', planId, plan),
      create('vehicles', vehicle, 'vehicles'),
      change('vehicles', vehicleId, () => ({ ...vehicle(), effectiveOn: '2026-04-02' })),
      create(
        'tokens',
        () => ({ name: 'Board', role: 'dashboard', expiresAt: '2027-01-01T00:00:00Z' }),
        'access_tokens',
      ),
      create('visit-plans', visitPlan, 'visit_plans'),
      {
        operation: 'patch /v1/visit-plans/{id}/visits/{visitId}',
        path: () => `/v1/visit-plans/${proposed.id}/visits/${proposed.visits[0].id}`,
        body: () => ({ pinned: true, day: proposed.visits[0].day, dropped: false }),
        ...{ status: 200, table: null },
      },
      { ...act('visit-plans', again.id, 'solve', () => ({})), status: 202 },
      act('visit-plans', toConfirm.id, 'confirm', () => ({})),
      act('visits', visitId, 'cancel', () => ({ reason: 'no part' })),
      act('imports', imported.body.importId, 'undo', () => ({})),
      create('reminder-targets', targetBody, 'reminder_targets'),
      change('reminder-targets', targetId, targetBody),
      create('job-reports', job, 'job_reports'),
      {
        operation: 'patch /v1/fleet',
        path: () => '/v1/fleet',
        body: () => ({ name: fresh('Fleet'), timeZone: 'America/Denver', units: 'us' }),
        ...{ status: 200, table: null },
      },
      {
        operation: 'post /v1/job-reports/batch',
        path: () => '/v1/job-reports/batch',
        body: () => ({ reports: [shortJob()] }),
        ...{ status: 200, table: 'job_reports' },
      },
      {
        operation: 'post /v1/usage-readings',
        path: () => '/v1/usage-readings',
        body: () => ({
          readings: [
            {
              vehicleId: nextVehicle(),
              unitNumber: 'R-114',
              readAt: '2026-04-01T10:00:00-06:00',
              odometer: { value: 20_000 + ++turn, unit: 'mi' },
              engineHours: { value: 700, unit: 'h' },
              odometerReplaced: false,
              engineHoursReplaced: false,
              source: 'dash',
            },
          ],
        }),
        ...{ status: 200, table: 'usage_readings' },
      },
      act('job-reports', reportId, 'void', () => ({ reason: 'wrong vehicle' })),
      {
        ...act('job-reports', reportId, '', () => ({ reason: 'shows a face' })),
        operation: 'post /v1/job-reports/{id}/attachments/{attachmentId}/void',
        path: () => `/v1/job-reports/${reportId}/attachments/${attachmentId}/void`,
      },
      act('usage-readings', held, 'accept', () => ({})),
      act('usage-readings', accepted, 'discard', () => ({})),
      act('usage-readings', accepted, 'void', () => ({})),
      act('loss-alerts', alertId, 'shelve', () => ({ until: '2026-05-01T00:00:00Z', note: 'parts ordered' })),
      act('loss-alerts', alertId, 'acknowledge', () => ({ note: 'looked at' })),
      act('loss-alerts', alertId, 'clear', () => ({ note: 'cap replaced' })),
      {
        ...act('due-list', '', 'postpone', () => ({ until: '2026-06-01', reason: 'parts ordered' })),
        operation: 'post /v1/due-list/{id}/postpone (to a day)',
        path: () => `/v1/due-list/${lines[++turn % lines.length]}/postpone`,
      },
      {
        ...act('due-list', driven, 'postpone', () => ({
          ...{ untilUsage: { odometer: { value: 20_000, unit: 'mi' } }, reason: 'parts ordered' },
        })),
        operation: 'post /v1/due-list/{id}/postpone (to a usage)',
      },
      act('reminders', reminderId, 'resend', () => ({})),
      act('reminder-targets', targetId, 'test', () => ({})),
      act('reminder-targets', targetId, 'rotate-secret', () => ({ overlapHours: 48 })),
      ...Object.entries(CALCULATOR_EXAMPLES).map(([name, { request }]): Endpoint => ({
        operation: `post /v1/calculators/${name}`,
        path: () => `/v1/calculators/${name}`,
        body: () => request,
        ...{ status: 200, table: null },
      })),
      ...Object.values(kinds).map((reading: any): Endpoint => ({
        operation: `post /v1/vehicles/{id}/readings (${reading.kind})`,
        path: () => `/v1/vehicles/${nextVehicle()}/readings`,
        body: () => ({
          ...{ takenAt: '2026-04-01T12:00:00Z', odometer: { value: 20_000, unit: 'mi' } },
          ...{ engineHours: { value: 700, unit: 'h' }, elevation: { value: 1500, unit: 'm' } },
          ...reading,
        }),
        ...{ status: 201, table: 'readings' },
      })),
    ];
  }

  /** A late line that is counted in miles too, of a vehicle that is known to run 40 a day. */
  async function lineOfDrivenVehicle(): Promise<string> {
    const vehicleId = made(
      await fleet.manager.post('/v1/vehicles', {
        ...{ unitNumber: 'Driven', intervalPlanId: scenario.intervalPlanId, inServiceOn: '2024-01-01' },
        inServiceOdometer: { value: 0, unit: 'mi' },
        expectedDailyDistance: { value: 40, unit: 'mi' },
      }),
    );
    await fleet.mechanic.post('/v1/usage-readings', {
      readings: [{ vehicleId, readAt: '2026-04-01T10:00:00Z', odometer: { value: 14_900, unit: 'mi' } }],
    });
    return (await fleet.mechanic.get(`/v1/due-list?state=late&vehicleId=${vehicleId}`)).body.items[0].id;
  }

  /** A reminder as a sweep would have written it. */
  async function waitingReminder(targetId: string): Promise<string> {
    const id = uuidv7();
    await service.database.admin.query(
      `insert into reminders (fleet_id, id, target_id, due_line_id, cycle, stage, status, next_attempt_at, created_at)
       select fleet_id, $2, $3, id, cycle, 'due', 'undelivered', now(), now() from due_lines where fleet_id = $1 limit 1`,
      [fleet.fleetId, id, targetId],
    );
    return id;
  }

  const OPERATIONS = [
    ...[
      'depots',
      'spec-sheets',
      'interval-plans',
      'vehicles',
      'tokens',
      'reminder-targets',
      'job-reports',
      'visit-plans',
    ].map((name) => `post /v1/${name}`),
    ...['depots', 'spec-sheets', 'interval-plans', 'vehicles', 'reminder-targets'].map(
      (name) => `patch /v1/${name}/{id}`,
    ),
    'patch /v1/fleet',
    'post /v1/job-reports/batch',
    'post /v1/job-reports/{id}/void',
    'post /v1/job-reports/{id}/attachments/{attachmentId}/void',
    'post /v1/usage-readings',
    ...['accept', 'discard', 'void'].map((action) => `post /v1/usage-readings/{id}/${action}`),
    ...['acknowledge', 'shelve', 'clear'].map((action) => `post /v1/loss-alerts/{id}/${action}`),
    ...['a day', 'a usage'].map((what) => `post /v1/due-list/{id}/postpone (to ${what})`),
    'patch /v1/visit-plans/{id}/visits/{visitId}',
    ...['solve', 'confirm'].map((action) => `post /v1/visit-plans/{id}/${action}`),
    'post /v1/visits/{id}/cancel',
    'post /v1/imports/{id}/undo',
    'post /v1/reminders/{id}/resend',
    'post /v1/reminder-targets/{id}/test',
    'post /v1/reminder-targets/{id}/rotate-secret',
    ...Object.keys(CALCULATOR_EXAMPLES).map((name) => `post /v1/calculators/${name}`),
    ...(goodJob('', NOW, 1).readings as { kind: string }[]).map(({ kind }) => kind),
    ...['coolant-condition', 'cap-test', 'combustion-gas-test', 'road-test'],
  ].map((name) => (name.includes(' ') ? name : `post /v1/vehicles/{id}/readings (${name})`));

  /** The operations but for those that differ only in what they compute or measure. */
  const PATHS = OPERATIONS.filter(
    (name) => !/(calculators|readings \()/.test(name) || /(belt|\(fill\))$/.test(name),
  );

  const endpointOf = (operation: string): Endpoint => endpoints.get(operation) as Endpoint;

  function send(endpoint: Endpoint, text: string, headers: Record<string, string> = {}): Promise<Answer> {
    const [method] = endpoint.operation.split(' ') as [string];
    return fleet.manager.send(method.toUpperCase(), endpoint.path(), text, headers);
  }

  /** Everything a fleet has, as one digest. */
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

  /** What is wrong with an answer to a body that differs in one place; null when nothing is. */
  function complaint(
    { settles }: Endpoint,
    { pointer, what }: Mutation,
    { status, headers, body }: Answer,
  ): string | null {
    const told = `${pointer || '(the body)'} with ${what}: ${status} ${JSON.stringify(body).slice(0, 300)}`;
    if (status === 200 && Array.isArray(body.results)) return itemComplaint(pointer, body.results[0], told);
    if (status < 300) return null;
    if (status >= 500) return told;
    if (!headers.get('content-type')?.includes('application/problem+json')) return `no problem: ${told}`;
    if (status === 409 && settles) return null;
    if (![400, 404, 409, 413, 422].includes(status)) return `unexpected status: ${told}`;
    if (
      !body.errors?.some((fault: any) => isAbout(fault.pointer, pointer) || isNamedIn(fault.detail, pointer))
    )
      return `field not named: ${told}`;
    return body.errors.every((fault: any) => fault.detail.length > 5) ? null : `no detail: ${told}`;
  }

  /** Where one of two fields is wanted, the fault stands at the first and speaks of the other. */
  const isNamedIn = (detail: string, pointer: string): boolean =>
    new RegExp(`\\b${pointer.split('/').at(-1)}\\b`).test(detail) && /^\/\w+$/.test(pointer);

  /** As `complaint`, of one item of a batch, which is answered by itself. */
  function itemComplaint(pointer: string, item: any, told: string): string | null {
    if (item.problem) {
      return item.problem.errors.some((fault: any) => isAbout(fault.pointer, pointer))
        ? null
        : `not named: ${told}`;
    }
    if (item.status === 'rejected')
      return isAbout(/^\S*(?=: )/.exec(item.detail)?.[0], pointer) ? null : `not named: ${told}`;
    return null;
  }

  const isStored = ({ status, body }: Answer): boolean => {
    if (status >= 300) return false;
    if (!Array.isArray(body.results)) return status === 201;
    return body.results.some(
      (item: any) => item.status === 201 || ['accepted', 'held'].includes(item.status),
    );
  };

  async function tryAll(
    endpoint: Endpoint,
    mutations: Mutation[],
  ): Promise<{ complaints: string[]; stored: number }> {
    const complaints: string[] = [];
    let stored = 0;
    for (let from = 0; from < mutations.length; from += AT_A_TIME) {
      await Promise.all(
        mutations.slice(from, from + AT_A_TIME).map(async (mutation) => {
          // Ids and names are made anew for each request; its places are the same each time.
          const answer = await send(endpoint, mutation.textOf(endpoint.body()));
          if (isStored(answer)) stored++;
          const problem = complaint(endpoint, mutation, answer);
          if (problem !== null) complaints.push(problem);
        }),
      );
    }
    return { complaints, stored };
  }

  it('is tried at every POST and PATCH that the API document lists', async () => {
    const { body } = await service.client(null).get('/openapi.json');
    const listed = Object.entries<Record<string, any>>(body.paths).flatMap(([path, item]) =>
      Object.entries(item)
        .filter(([method]) => ['post', 'put', 'patch'].includes(method))
        // What files meet is in csv-files.test.ts and attachments.test.ts.
        .filter(([, { requestBody }]) =>
          ['text/csv', 'multipart/form-data'].every((type) => requestBody?.content?.[type] === undefined),
        )
        .map(([method]) => `${method} ${path}`),
    );
    expect([...new Set(OPERATIONS.map((operation) => operation.replace(/ \(.*/, '')))].sort()).toEqual(
      listed.sort(),
    );
  });

  it.each(OPERATIONS)('%s takes a good body', async (operation) => {
    const endpoint = endpointOf(operation);
    const { status, body } = await send(endpoint, JSON.stringify(endpoint.body()));
    if (endpoint.settles) expect([endpoint.status, 409]).toContain(status);
    else expect([status, body.errors]).toEqual([endpoint.status, undefined]);
    expect(itemComplaint('/', body.results?.[0] ?? {}, JSON.stringify(body))).toBeNull();
  });

  it.each(OPERATIONS)('%s names the field that is wrong, and stores nothing of it', async (operation) => {
    const endpoint = endpointOf(operation);
    const before = await rowsIn(endpoint.table);
    const { complaints, stored } = await tryAll(endpoint, mutationsOf(endpoint.body()));
    expect(complaints).toEqual([]);
    if (endpoint.table !== null) expect((await rowsIn(endpoint.table)) - before).toBe(stored);
  });

  it.each(['depots', 'spec-sheets', 'interval-plans', 'vehicles', 'job-reports', 'reminder-targets'])(
    'post /v1/%s takes no id of another fleet, whose records it treats as none',
    async (name) => {
      const endpoint = endpointOf(`post /v1/${name}`);
      const ids = {
        vehicleId: foreignScenario.vehicleId,
        mountedOn: foreignScenario.vehicleId,
        depotId: foreignScenario.depotId,
        depotIds: foreignScenario.depotId,
        workedAtDepotId: foreignScenario.depotId,
        specSheetId: foreignScenario.specSheetId,
        intervalPlanId: foreignScenario.intervalPlanId,
      };
      const before = await rowsIn(endpoint.table);
      for (const mutation of foreignIds(endpoint.body(), ids)) {
        const answer = await send(endpoint, mutation.textOf(endpoint.body()));
        expect([mutation.pointer, answer.status]).toEqual([mutation.pointer, 422]);
        expect(complaint(endpoint, mutation, answer)).toBeNull();
        expect(JSON.stringify(answer.body)).toMatch(/no such/);
      }
      expect(await rowsIn(endpoint.table)).toBe(before);
    },
  );

  it('rejects the usage of a vehicle of another fleet, by its id and by its unit number', async () => {
    const reading = { readAt: '2026-04-01T10:00:00Z', odometer: { value: 5, unit: 'mi' } };
    const { status, body } = await fleet.mechanic.post('/v1/usage-readings', {
      readings: [
        { ...reading, vehicleId: foreignScenario.vehicleId },
        { ...reading, unitNumber: 'F-1' },
      ],
    });
    expect([status, body.rejected]).toEqual([200, 2]);
    expect(body.results.map((item: any) => item.reason)).toEqual(['unknown-vehicle', 'unknown-vehicle']);
  });

  describe('a body as a whole', () => {
    const WHOLE: [string, string][] = [
      ['nothing', ''],
      ['blanks', '  \n '],
      ['null', 'null'],
      ['a list', '[]'],
      ['a list of a good body', '[{"name":"Depot"}]'],
      ['a number', '5'],
      ['an infinite number', '1e999'],
      ['text', '"name"'],
      ['true', 'true'],
      ['NaN', '{"name": NaN}'],
      ['truncated JSON', '{"name": "Dep'],
      ['a trailing comma', '{"name": "x",}'],
      ['two bodies', '{"name":"x"}{"name":"y"}'],
      ['a NUL byte', '{"name":"a\u0000b"}'],
      ['an escaped NUL', '{"name":"a\\u0000b"}'],
      ['half a surrogate pair', '{"name":"\\ud800"}'],
      ['a byte order mark', '\ufeff{"name":"x"'],
      ['__proto__', '{"__proto__":{"name":"x"}}'],
      ['__proto__ further in', '{"name":"x","elevation":{"__proto__":{"value":1}}}'],
      ['constructor', '{"constructor":{"prototype":{"isAdmin":true}}}'],
      ['10,000 lists in one another', `{"name":${'['.repeat(10_000)}${']'.repeat(10_000)}}`],
      ['10,000 objects in one another', `${'{"a":'.repeat(10_000)}1${'}'.repeat(10_000)}`],
      [
        '10,000 fields',
        JSON.stringify(Object.fromEntries(Array.from({ length: 10_000 }, (_, n) => [`f${n}`, n]))),
      ],
      ['an empty field name', '{"":1}'],
      ['a field name with a slash and a tilde', '{"a/b~c":1}'],
    ];

    it.each(PATHS)('of a kind that %s does not take is refused, with what is wrong', async (operation) => {
      const endpoint = endpointOf(operation);
      const before = await rowsIn(endpoint.table);
      const isWithoutBody = Object.keys(endpoint.body()).length === 0;
      const complaints: string[] = [];
      for (const [what, text] of WHOLE) {
        const { status, body, headers } = await send(endpoint, text);
        const told = `${what}: ${status} ${JSON.stringify(body).slice(0, 200)}`;
        const isRefused =
          [400, 404, 409, 422].includes(status) &&
          headers.get('content-type')?.includes('application/problem+json');
        // Some actions take no body, so an odd one is no reason not to act.
        const mayPass = isWithoutBody || endpoint.settles;
        if (status >= 500 || (!isRefused && !(mayPass && status === endpoint.status))) complaints.push(told);
        if (status === 400 && !/JSON/.test(body.detail)) complaints.push(`not said: ${told}`);
        if (status === 422 && !body.errors?.every((fault: any) => typeof fault.pointer === 'string'))
          complaints.push(`not named: ${told}`);
      }
      expect(complaints).toEqual([]);
      expect(await rowsIn(endpoint.table)).toBe(before);
    });

    it.each(PATHS)('%s takes no other form than JSON', async (operation) => {
      const endpoint = endpointOf(operation);
      const before = await rowsIn(endpoint.table);
      for (const type of [
        'text/plain',
        'text/csv',
        'application/xml',
        'application/x-www-form-urlencoded',
        'nonsense',
      ]) {
        const { status, body } = await send(endpoint, JSON.stringify(endpoint.body()), {
          'content-type': type,
        });
        expect([type, status, body.type]).toEqual([type, 415, '/problems/media-type']);
      }
      expect(await rowsIn(endpoint.table)).toBe(before);
    });

    it.each(PATHS)('of ten megabytes is refused by %s before it is read', async (operation) => {
      const endpoint = endpointOf(operation);
      const { status, body } = await send(endpoint, `{"name":"${'x'.repeat(10_000_000)}"}`);
      expect([status, body.type]).toEqual([413, '/problems/body-too-large']);
    });
  });

  describe('a path, a query or a header', () => {
    /** Every operation with its parameters, as the API document lists them. */
    interface Listed {
      method: string;
      path: string;
      parameters: string[];
    }
    let operations: Listed[];
    let ids: Record<string, string>;

    beforeAll(async () => {
      const { body } = await service.client(null).get('/openapi.json');
      operations = Object.entries<Record<string, any>>(body.paths)
        .filter(([path]) => path.startsWith('/v1/'))
        .flatMap(([path, item]) =>
          Object.entries(item)
            .filter(([method]) => ['get', 'post', 'patch', 'delete'].includes(method))
            .map(([method, { parameters = [] }]) => ({
              method: method.toUpperCase(),
              path,
              parameters: parameters
                .map(
                  (parameter: any) =>
                    body.components.parameters?.[parameter.$ref?.split('/').at(-1)] ?? parameter,
                )
                .filter((parameter: any) => parameter.in === 'query')
                .map((parameter: any) => parameter.name),
            })),
        );
      const firstOf = async (name: string) =>
        (await fleet.manager.get(`/v1/${name}?limit=1`)).body.items[0]?.id;
      ids = { vehicles: nextVehicle(), reminders: await firstOf('reminders') };
    });

    /** A stream has no end: of its answer the head is enough. */
    async function ask(asked: string): Promise<{ status: number; body: any }> {
      const isAdvice = asked.startsWith('/v1/interval-advice') && !/[?&]component\b/.test(asked);
      // Without the one parameter that is required, that would be the fault told.
      const url = isAdvice ? `${asked}&component=water-pump` : asked;
      if (!url.startsWith('/v1/due-list/events')) return fleet.manager.get(url);
      const response = await fetch(service.url + url, {
        headers: { authorization: `Bearer ${fleet.manager.token}` },
      });
      if (response.status !== 200) return { status: response.status, body: await response.json() };
      await response.body?.cancel();
      return { status: 200, body: {} };
    }

    const queried = () => operations.filter(({ method }) => method === 'GET');
    const withId = (path: string): string =>
      path
        .replace('{id}', ids[path.split('/')[2] as string] ?? '00000000-0000-4000-8000-000000000000')
        .replace(/\{\w+\}/g, '00000000-0000-4000-8000-000000000000');

    it('finds lists with queries to try', () => {
      expect(queried().flatMap(({ parameters }) => parameters).length).toBeGreaterThan(40);
    });

    const QUERY_VALUES: [string, string][] = [
      ['nothing', ''],
      ['a NUL', '%00'],
      ['a NUL among letters', 'a%00b'],
      ['half a surrogate pair in UTF-8', '%ED%A0%80'],
      ['what is not UTF-8', '%FF%FE'],
      ['a broken escape', '%zz'],
      ['another word', 'no-such-word'],
      ['a minus', '-1'],
      ['zero', '0'],
      ['a thousand million', '1e9'],
      ['a long number', '9'.repeat(400)],
      ['5,000 characters', 'x'.repeat(5000)],
      ['quotes', '%27%22;drop table vehicles;--'],
      ['wild cards', '%25_%5C'],
      ['a list', '[]'],
      ['the year 9999', '9999-12-31'],
      ['31 February', '2026-02-31'],
      ['the id of a record of another fleet', '{foreign}'],
    ];

    it('with an odd value of a query parameter is answered, or refused by name', async () => {
      const complaints: string[] = [];
      for (const { path, parameters } of queried()) {
        for (const name of parameters) {
          for (const [what, value] of QUERY_VALUES) {
            const url = `${withId(path)}?${name}=${value.replace('{foreign}', foreignScenario.vehicleId)}`;
            const { status, body } = await ask(url);
            const told = `${path} ${name} with ${what}: ${status} ${JSON.stringify(body).slice(0, 300)}`;
            const isElsewhere = status === 404 && (path.includes('{id}') || what.includes('another fleet'));
            if (status !== 200 && status !== 400 && !isElsewhere) complaints.push(told);
            if (status === 400 && !body.errors?.some((fault: any) => fault.parameter === name))
              complaints.push(`not named: ${told}`);
            if (what.includes('another fleet') && status === 200 && body.items?.length > 0)
              complaints.push(`shown: ${told}`);
          }
        }
      }
      expect(complaints).toEqual([]);
    });

    it('with a parameter twice, as a list or as an object is refused by name', async () => {
      const complaints: string[] = [];
      for (const { path, parameters } of queried()) {
        for (const name of [...parameters, 'units']) {
          for (const query of [`${name}=due&${name}=late`, `${name}[]=due`, `${name}[a]=due`]) {
            const { status, body } = await ask(`${withId(path)}?${query}`);
            const told = `${path}?${query}: ${status} ${JSON.stringify(body).slice(0, 300)}`;
            if (status !== 400) complaints.push(told);
            else if (!body.errors?.some((fault: any) => fault.parameter?.startsWith(name)))
              complaints.push(`not named: ${told}`);
          }
        }
      }
      expect(complaints).toEqual([]);
    });

    it('with a parameter that nobody knows is refused by name', async () => {
      const complaints: string[] = [];
      for (const { method, path } of operations.filter((operation) => operation.method === 'GET')) {
        for (const name of ['colour', '__proto__', 'constructor', 'toString', 'a%00b']) {
          const { status, body } = await fleet.manager.send(method, `${withId(path)}?${name}=1`, undefined);
          const told = `${method} ${path}?${name}=1: ${status} ${JSON.stringify(body).slice(0, 200)}`;
          if (status !== 400 && !(status === 404 && path.includes('{id}'))) complaints.push(told);
        }
      }
      expect(complaints).toEqual([]);
    });

    it('with a cursor that was made up, changed or taken from elsewhere is refused', async () => {
      const first = await fleet.manager.get('/v1/vehicles?limit=1');
      const others = await foreign.manager.get(
        '/v1/due-list?limit=1&state=late,due,window,not-due,no-baseline',
      );
      const parts = JSON.parse(Buffer.from(first.body.next, 'base64url').toString());
      const forged = (keys: unknown) => Buffer.from(JSON.stringify(keys)).toString('base64url');
      const cursors = [
        'x',
        '%00',
        '....',
        first.body.next.slice(0, -4),
        forged(null),
        forged({}),
        forged([]),
        forged([parts[0]]),
        forged([parts[0], 5, parts[2]]),
        forged([parts[0], null, parts[2]]),
        forged([parts[0], 'a\u0000b', parts[2]]),
        forged([parts[0], parts[1], 'not-an-id']),
        forged([parts[0], parts[1], parts[2], 'more']),
        forged(['another digest', parts[1], parts[2]]),
        others.body.next,
        'A'.repeat(5000),
      ];
      const complaints: string[] = [];
      for (const { path, parameters } of queried()) {
        if (!parameters.includes('cursor')) continue;
        for (const cursor of [...cursors, ...(path === '/v1/vehicles' ? [] : [first.body.next])]) {
          const { status, body } = await fleet.manager.get(`${withId(path)}?cursor=${cursor}`);
          if (status !== 400 || body.errors?.[0]?.parameter !== 'cursor')
            complaints.push(
              `${path} ${String(cursor).slice(0, 60)}: ${status} ${JSON.stringify(body).slice(0, 300)}`,
            );
        }
      }
      expect(complaints).toEqual([]);
    });

    it('with a page size that is none is refused, and with the greatest is answered', async () => {
      for (const { path, parameters } of queried()) {
        if (!parameters.includes('limit')) continue;
        for (const limit of [
          '0',
          '-1',
          '201',
          '1e9',
          '1.5',
          'abc',
          '',
          '%20',
          '0x10',
          '999999999999999999999',
        ]) {
          const { status, body } = await fleet.manager.get(`${withId(path)}?limit=${limit}`);
          expect([path, limit, status, body.errors?.[0]?.parameter]).toEqual([path, limit, 400, 'limit']);
        }
        expect((await fleet.manager.get(`${withId(path)}?limit=200`)).status).toBe(200);
      }
    });

    it('with an id that is none, or that of another fleet, finds nothing', async () => {
      const foreignIdOf: Record<string, string> = {
        ...{ vehicles: foreignScenario.vehicleId, depots: foreignScenario.depotId },
        ...{ 'spec-sheets': foreignScenario.specSheetId, 'interval-plans': foreignScenario.intervalPlanId },
        'reminder-targets': foreignTargetId,
      };
      const complaints: string[] = [];
      for (const { method, path } of operations.filter(({ path: each }) => each.includes('{id}'))) {
        const odd = [
          'x',
          '0',
          '%00',
          '..%2f..',
          'null',
          '%25',
          '%F0%9F%9A%9B',
          'x'.repeat(150),
          uuidv7().slice(1),
        ];
        for (const id of [...odd, uuidv7(), foreignIdOf[path.split('/')[2] as string] ?? uuidv7()]) {
          const [name] = [...endpoints.keys()].filter(
            (each) => each.replace(/ \(.*/, '') === `${method.toLowerCase()} ${path}`,
          );
          const body = name === undefined ? undefined : JSON.stringify(endpointOf(name).body());
          const url = path.replace('{id}', id).replace(/\{\w+\}/g, uuidv7());
          // What takes files is not asked for by JSON.
          const headers: Record<string, string> =
            name === undefined && method === 'POST' ? { 'content-type': 'application/pdf' } : {};
          const answer = await fleet.manager.send(method, url, body, headers);
          if (answer.status !== 404 || answer.body.status !== 404)
            complaints.push(
              `${method} ${path} ${id}: ${answer.status} ${JSON.stringify(answer.body).slice(0, 200)}`,
            );
        }
      }
      expect(complaints).toEqual([]);
    });

    it.each([
      ['/v1/%00', 404],
      ['/v1/depots/%zz', 400],
      ['/v1/depots/%FF', 400],
      ['/v1/depots//', 404],
      ['/v1/../etc/passwd', 404],
      [`/v1/depots/${'x'.repeat(300)}`, 414],
      [`/v1/${'a/'.repeat(2000)}`, 404],
      ['/v1', 404],
      ['/v2/depots', 404],
    ])('of the shape %s is answered with a problem', async (path, expected) => {
      const { status, headers, body } = await send1(path);
      expect([status, headers['content-type'], JSON.parse(body).status]).toEqual([
        expected,
        'application/problem+json; charset=utf-8',
        expected,
      ]);
    });

    /** A request as it is written: fetch would tidy its path. */
    function send1(
      path: string,
      options: { method?: string; headers?: Record<string, string | string[]> } = {},
    ) {
      const { hostname, port } = new URL(service.url);
      return new Promise<{ status: number; headers: any; body: string }>((resolve, reject) => {
        const outgoing = rawRequest(
          {
            ...{ hostname, port, path, method: options.method ?? 'GET', agent: false },
            headers: { authorization: `Bearer ${fleet.manager.token}`, ...options.headers },
          },
          (incoming) => {
            let body = '';
            incoming.setEncoding('utf8').on('data', (chunk: string) => (body += chunk));
            incoming.on('end', () =>
              resolve({ status: incoming.statusCode ?? 0, headers: incoming.headers, body }),
            );
          },
        );
        outgoing.on('error', reject).end();
      });
    }

    it('with a method that a path does not take is told which it does', async () => {
      for (const path of new Set(operations.map((operation) => operation.path))) {
        // A path such as /v1/job-reports/batch is one of /v1/job-reports/{id} as well.
        const taken = operations
          .filter((each) => new RegExp(`^${each.path.replaceAll(/\{\w+\}/g, '[^/]+')}$`).test(path))
          .map(({ method }) => method);
        for (const method of ['PUT', 'DELETE', 'PATCH', 'POST', 'GET'].filter(
          (each) => !taken.includes(each),
        )) {
          const { status, headers, body } = await fleet.manager.send(method, withId(path), undefined);
          expect([method, path, status, body.status]).toEqual([method, path, 405, 405]);
          expect(headers.get('allow')?.split(', ').sort()).toEqual(expect.arrayContaining([...taken].sort()));
        }
      }
    });

    it('with an If-Match that names no version changes nothing, and says which header it was', async () => {
      for (const name of ['depots', 'spec-sheets', 'interval-plans', 'vehicles', 'reminder-targets']) {
        const endpoint = endpointOf(`patch /v1/${name}/{id}`);
        const before = (await fleet.manager.get(endpoint.path())).body.version;
        for (const tag of [
          '',
          '0',
          'W/"1"',
          '"',
          '"1',
          `"${before + 1}"`,
          '"x"',
          ',',
          '"999999999999999999999"',
          'é',
        ]) {
          const { status, body } = await send(endpoint, JSON.stringify(endpoint.body()), { 'if-match': tag });
          expect([name, tag, status, body.errors?.[0]?.header]).toEqual([name, tag, 412, 'If-Match']);
        }
        expect((await fleet.manager.get(endpoint.path())).body.version).toBe(before);
      }
    });

    it('with an Idempotency-Key that is none is refused, and says which header it was', async () => {
      for (const operation of PATHS.filter((each) => each.startsWith('post'))) {
        const endpoint = endpointOf(operation);
        const before = await rowsIn(endpoint.table);
        for (const key of ['', 'é', 'x'.repeat(256), 'a\tb']) {
          const { status, body } = await send(endpoint, JSON.stringify(endpoint.body()), {
            'idempotency-key': key,
          });
          expect([operation, key, status, body.errors?.[0]?.header]).toEqual([
            operation,
            key,
            400,
            'Idempotency-Key',
          ]);
        }
        expect(await rowsIn(endpoint.table)).toBe(before);
      }
    });

    it.each([
      '',
      'Bearer',
      'Bearer x',
      'Basic dTpw',
      `Bearer wh_${'x'.repeat(43)}`,
      `Bearer wh_${'x'.repeat(5000)}`,
      'é',
    ])('with the Authorization "%s" is not let in', async (authorization) => {
      const { status, headers, body } = await send1('/v1/depots', { headers: { authorization } });
      expect([status, headers['www-authenticate'], JSON.parse(body).status]).toEqual([401, 'Bearer', 401]);
    });
  });

  describe('a list in a body', () => {
    const refusedAt = async (path: string, body: unknown): Promise<string[]> => {
      const answer = await fleet.manager.post(path, body);
      expect(answer.status).toBe(422);
      return answer.body.errors.map((fault: any) => fault.pointer);
    };
    const report = (readings: unknown) => ({
      ...{ vehicleId: scenario.vehicleId, performedAt: '2026-04-01T10:00:00Z', readings },
    });
    const level = { kind: 'level-check', belowMark: { value: 0, unit: 'L' }, engineCold: true };

    it.each([
      ['null', [null], '/readings/0/kind'],
      ['a list', [[]], '/readings/0/kind'],
      ['a number', [5], '/readings/0/kind'],
      ['a kind that is none', [{ kind: 'sniff-test' }], '/readings/0/kind'],
      ['a kind named as a property of objects', [{ kind: 'constructor' }], '/readings/0/kind'],
      ['a kind that is a list', [{ kind: ['fill'] }], '/readings/0/kind'],
      ['a field with a slash in its name', [level, { ...level, 'a/b~c': 1 }], '/readings/1/a~1b~0c'],
      ['41 of them', Array.from({ length: 41 }, () => level), '/readings'],
      [
        'a set of values that is none',
        [{ kind: 'torque-set', fastener: 'x', unit: 'N.m', values: [1, 'x'] }],
        '/readings/0/values',
      ],
    ])('of readings that holds %s is refused at its place', async (_what, readings, pointer) => {
      const before = [await rowsIn('job_reports'), await rowsIn('readings')];
      expect(await refusedAt('/v1/job-reports', report(readings))).toEqual([pointer]);
      expect([await rowsIn('job_reports'), await rowsIn('readings')]).toEqual(before);
    });

    it('of 40 readings is taken', async () => {
      const { status } = await fleet.manager.post(
        '/v1/job-reports',
        report(Array.from({ length: 40 }, () => level)),
      );
      expect(status).toBe(201);
    });

    it('of reports is taken up to 200, and each bad one answered by itself', async () => {
      expect(await refusedAt('/v1/job-reports/batch', { reports: [] })).toEqual(['/reports']);
      expect(
        await refusedAt('/v1/job-reports/batch', { reports: Array.from({ length: 201 }, () => ({})) }),
      ).toEqual(['/reports']);
      const { status, body } = await fleet.manager.post('/v1/job-reports/batch', {
        reports: [null, [], 5, {}, ...Array.from({ length: 196 }, () => ({ vehicleId: 'x' }))],
      });
      expect([status, body.results.length]).toEqual([200, 200]);
      for (const [index, item] of body.results.entries()) {
        expect([item.index, item.status]).toEqual([index, 422]);
        expect(item.problem.errors[0].pointer).toMatch(new RegExp(`^/reports/${index}(/|$)`));
      }
    });

    it('of usage readings is taken from 1 to 5,000', async () => {
      const before = await rowsIn('usage_readings');
      expect(await refusedAt('/v1/usage-readings', { readings: [] })).toEqual(['/readings']);
      expect(
        await refusedAt('/v1/usage-readings', { readings: Array.from({ length: 5001 }, () => 0) }),
      ).toEqual(['/readings']);
      const { status, body } = await fleet.manager.post('/v1/usage-readings', {
        readings: Array.from(
          { length: 5000 },
          (_, index) => [null, [], 5, {}, { vehicleId: '\ud800' }][index % 4],
        ),
      });
      expect([status, body.rejected, body.results.length]).toEqual([200, 5000, 5000]);
      expect(await rowsIn('usage_readings')).toBe(before);
    });
  });

  it('with a field twice counts as its last', async () => {
    const { status, body } = await fleet.manager.send(
      'POST',
      '/v1/depots',
      '{"name":"Twice a","name":"Twice b"}',
    );
    expect([status, body.name]).toEqual([201, 'Twice b']);
  });

  it.each([
    ['{"__proto__":{"name":"x"}}', '/__proto__'],
    ['{"name":"x","elevation":{"__proto__":{"value":1}}}', '/elevation/__proto__'],
    ['{"name":"x","toString":1}', '/toString'],
    ['{"name":"x","constructor":{}}', '/constructor'],
    ['{"name":"x","a/b~c":1}', '/a~1b~0c'],
    ['{"name":"x","":1}', '/'],
    ['{"name":"x","elevation":{"value":1e999,"unit":"m"}}', '/elevation'],
    ['{"name":"x\\u0000"}', '/name'],
    ['{"name":"x\\udc00"}', '/name'],
    ['{"name":"x\\ud83d\\ude9b"}', null],
  ])('%s is refused at %s', async (text, pointer) => {
    const { status, body } = await fleet.manager.send('POST', '/v1/depots', text);
    if (pointer === null) expect(status).toBe(201);
    else expect([status, body.errors.map((fault: any) => fault.pointer)]).toEqual([422, [pointer]]);
  });

  it('leaves no number in the tables that is none, and no trace in another fleet', async () => {
    const { admin } = service.database;
    const { rows: columns } = await admin.query<{ table: string; column: string }>(
      `select table_name as table, column_name as column from information_schema.columns
       where table_schema = 'public' and data_type = 'double precision'`,
    );
    expect(columns.length).toBeGreaterThan(30);
    for (const { table, column } of columns) {
      const { rows } = await admin.query(
        `select 1 from ${table} where ${column} in ('NaN', 'Infinity', '-Infinity') limit 1`,
      );
      expect([table, column, rows]).toEqual([table, column, []]);
    }
    expect(await contentOf(foreign.fleetId)).toBe(foreignContent);
  });
});
