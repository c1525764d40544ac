import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { goodJob, postScenario, type Scenario } from '../../support/scenario.js';
import { signedIn } from '../../support/browser-client.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { confirmedVisit } from '../../support/visit-plans.js';

const document = JSON.parse(
  readFileSync(fileURLToPath(new URL('../../../openapi.json', import.meta.url)), 'utf8'),
) as { paths: Record<string, Record<string, { requestBody?: { content: Record<string, unknown> } }>> };

const METHODS = ['get', 'post', 'patch', 'put', 'delete'];
const operations = Object.entries(document.paths).flatMap(([path, item]) =>
  Object.keys(item)
    .filter((method) => METHODS.includes(method))
    .map((method) => ({ method: method.toUpperCase(), path, operation: item[method] ?? {} })),
);

/** Paths that answer without a token. */
const PUBLIC = [
  '/',
  '/health/live',
  '/health/ready',
  '/problems/{slug}',
  'POST /v1/sessions',
  '/v1/sign-in-ways',
];

const ROLES = ['manager', 'mechanic', 'driver', 'dashboard', 'calendar', 'telematics'];

/** What only managers may do. The first match decides; a path without a match fails below. */
const MAY: [RegExp, string[]][] = [
  [/^GET \/v1\/(me|sessions)$/, ROLES],
  [/^DELETE \/v1\/sessions\/(current|\{id\})$/, ROLES],
  [/^GET \/v1\/(audit|imports|people|spreadsheets|tokens)/, ['manager']],
  [/^GET \/v1\/(reminder-targets|telematics-sources|visit-plans)/, ['manager']],
  [/^GET \/v1\/(starter-sets|first-steps)/, ['manager']],
  [/^GET \/v1\/due-list\.ics$/, ['manager', 'mechanic', 'dashboard', 'calendar']],
  [/^GET \/v1\/(vehicle-labels(\/\{code\})?|vehicles\/\{id\}\/label(\.svg)?)$/, ['manager', 'mechanic']],
  [/^GET \/v1\/defects/, ['manager', 'mechanic', 'driver', 'dashboard']],
  [/^POST \/v1\/defects(\/batch|\/\{id\}\/attachments)?$/, ['manager', 'mechanic', 'driver']],
  [/^POST \/v1\/defects\/\{id\}\/(triage|dismiss|accept-top-up)$/, ['manager', 'mechanic']],
  [/^(GET \/v1\/|POST \/v1\/calculators\/)/, ['manager', 'mechanic', 'dashboard']],
  [/^POST \/v1\/(usage-readings|faults|coolant-temperatures)$/, ['manager', 'mechanic']],
  [/^POST \/v1\/job-reports(\/batch)?$/, ['manager', 'mechanic']],
  [/^POST \/v1\/job-reports\/\{id\}\/attachments$/, ['manager', 'mechanic']],
  [/^POST \/v1\/vehicles\/\{id\}\/readings$/, ['manager', 'mechanic']],
  [/^POST \/v1\/loss-alerts\/\{id\}\/(acknowledge|shelve)$/, ['manager', 'mechanic']],
  [/^POST \/v1\/telematics-sources\/\{id\}\/reports$/, ['manager', 'telematics']],
  [/^(POST|PATCH|DELETE) \/v1\//, ['manager']],
];

/** Valid bodies, so that the only fault can be the record of another fleet. */
const BODIES: Record<string, unknown> = {
  'POST /v1/due-list/{id}/postpone': { until: '2026-05-01', reason: 'no part' },
  'POST /v1/due-list/{id}/withdraw-postponement': { reason: 'the part came' },
  'POST /v1/job-reports/{id}/void': { reason: 'the wrong vehicle' },
  'POST /v1/job-reports/{id}/attachments/{attachmentId}/void': { reason: 'the wrong picture' },
  'POST /v1/loss-alerts/{id}/shelve': { until: '2026-05-01T00:00:00Z' },
  'POST /v1/loss-alerts/{id}/clear': { note: 'hose replaced' },
  'POST /v1/defects/{id}/triage': {
    ...{ decidedBy: 'badge 7', component: 'water-pump', action: 'replace', vehicleStays: true },
  },
  'POST /v1/defects/{id}/accept-top-up': { added: { value: 1, unit: 'L' } },
  'POST /v1/defects/{id}/dismiss': { decidedBy: 'badge 7', reason: 'nothing found' },
  'POST /v1/defects/{id}/attachments/{attachmentId}/void': { reason: 'the wrong picture' },
  'POST /v1/faults/{id}/void': { reason: 'the wrong vehicle' },
  'POST /v1/coolant-temperature-days/{id}/void': { reason: 'the wrong sensor' },
  'POST /v1/visits/{id}/assign': { personId: null },
  'POST /v1/visits/{id}/cancel': { reason: 'no part' },
  'POST /v1/telematics-sources/{id}/reports': { machines: [] },
  'POST /v1/telematics-sources/{id}/machines/{machineId}/map': { unitNumber: 'R-114' },
  'POST /v1/usage-readings/{id}/void': { reason: 'the wrong vehicle' },
  'POST /v1/vehicles/{id}/readings': {
    ...{ kind: 'top-up', takenAt: '2026-03-25T12:00:00Z', added: { value: 0.1, unit: 'L' }, toMark: true },
  },
};
/**
 * The smallest file that passes the checks made before the service knows whose report it belongs
 * to.
 */
const PNG = Buffer.from(
  'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==',
  'base64',
);

/** The session of a person who has just signed in. */
async function firstPersonsSession(
  service: Service,
  manager: FleetHandle['manager'],
): Promise<{ id: string }> {
  const { body } = await manager.post('/v1/people', { name: 'Ann Lee', role: 'dashboard' });
  const page = await signedIn(service.url, manager, body.id);
  return { id: (await page.get('/v1/me')).body.sessionId };
}

describe('every path of the API', () => {
  let service: Service;
  let fleet: FleetHandle;
  let other: FleetHandle;
  let own: Scenario;
  /** Ids of the fleet's records, by the path segment that names their kind. */
  let ids: Record<string, string>;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
    fleet = await service.newFleet();
    other = await service.newFleet();
    own = await postScenario(fleet);
    await postScenario(other);
    const { manager, mechanic } = fleet;
    const made = async (answer: Promise<{ status: number; body: any }>): Promise<string> => {
      const { status, body } = await answer;
      if (status !== 201) throw new Error(`${status} ${JSON.stringify(body)}`);
      return body.id;
    };
    const report = await made(
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
    const fault = await mechanic.post('/v1/faults', {
      faults: [{ vehicleId: own.vehicleId, code: 'P0217', seenAt: '2026-03-28T10:00:00Z' }],
    });
    await mechanic.post('/v1/coolant-temperatures', {
      samples: [
        {
          ...{ vehicleId: own.vehicleId, readAt: '2026-03-28T10:00:00Z' },
          temperature: { value: 95, unit: 'C' },
        },
      ],
    });
    const defect = await made(
      mechanic.post('/v1/defects', {
        ...{ vehicleId: own.vehicleId, reportedAt: '2026-03-28T10:00:00Z', source: 'driver', what: 'Steam' },
      }),
    );
    const label = await manager.post(`/v1/vehicles/${own.vehicleId}/label`);
    const photo = await send('POST', `/v1/defects/${defect}/attachments`, mechanic.token, PNG, 'image/png');
    const attachment = await send(
      'POST',
      `/v1/job-reports/${report}/attachments`,
      mechanic.token,
      PNG,
      'image/png',
    );
    const target = await made(
      manager.post('/v1/reminder-targets', { kind: 'webhook', address: 'http://127.0.0.1:9/' }),
    );
    const source = await made(manager.post('/v1/telematics-sources', { name: 'Box', kind: 'push' }));
    await manager.post(`/v1/telematics-sources/${source}/reports`, { machines: [{ equipmentId: 'M-1' }] });
    const firstOf = async (path: string): Promise<string> => (await manager.get(path)).body.items[0].id;
    const line = await firstOf('/v1/due-list?state=late,due,window,not-due,no-baseline');
    const { rows } = await service.database.admin.query<{ id: string }>(
      `insert into reminders (fleet_id, id, target_id, due_line_id, cycle, stage, status, next_attempt_at, created_at)
       select fleet_id, gen_random_uuid(), $2, id, cycle, 'due', 'undelivered', now(), now() from due_lines where id = $1 returning id`,
      [line, target],
    );
    const { planId, visitId } = await confirmedVisit(service, fleet);
    const csv = 'unit,readAt,odometer\nR-114,2026-03-28T11:00:00Z,9100';
    const imported = await manager.send('POST', '/v1/usage-readings/import', csv, {
      'content-type': 'text/csv',
    });
    const sheet = await manager.send('POST', '/v1/spreadsheets', 'unit\nS-1', { 'content-type': 'text/csv' });
    ids = {
      imports: imported.body.importId,
      spreadsheets: sheet.body.id,
      'visit-plans': planId,
      visits: visitId,
      depots: own.depotId,
      defects: defect,
      faults: fault.body.faults[0].id,
      'coolant-temperature-days': await firstOf(`/v1/vehicles/${own.vehicleId}/coolant-temperatures`),
      'spec-sheets': own.specSheetId,
      'interval-plans': own.intervalPlanId,
      vehicles: own.vehicleId,
      'vehicle-labels': label.body.address.slice(-43),
      'job-reports': report,
      attachments: attachment.body.id,
      photos: photo.body.id,
      'due-list': line,
      'loss-alerts': await firstOf('/v1/loss-alerts'),
      'usage-readings': await firstOf('/v1/usage-readings?status=held'),
      'reminder-targets': target,
      'telematics-sources': source,
      machines: await firstOf(`/v1/telematics-sources/${source}/machines`),
      reminders: rows[0]?.id ?? '',
      people: await made(manager.post('/v1/people', { name: 'Kim Oduya', role: 'mechanic' })),
      sessions: (await firstPersonsSession(service, manager)).id,
      tokens: await made(manager.post('/v1/tokens', { name: 'board', role: 'dashboard' })),
    };
  });
  afterAll(() => service.stop());

  /** Returns the head of the response, and its body unless it is endless. */
  async function send(
    method: string,
    path: string,
    token: string | null,
    body?: unknown,
    type = 'application/json',
  ): Promise<{ status: number; body: any; text: string }> {
    const response = await fetch(service.url + path, {
      method,
      headers: {
        ...(token === null ? {} : { authorization: `Bearer ${token}` }),
        ...(body === undefined ? {} : { 'content-type': type }),
      },
      ...(body === undefined
        ? {}
        : { body: Buffer.isBuffer(body) ? new Uint8Array(body) : JSON.stringify(body) }),
    });
    if (response.headers.get('content-type')?.startsWith('text/event-stream')) {
      await response.body?.cancel();
      return { status: response.status, body: null, text: '' };
    }
    const text = await response.text();
    const isJson = response.headers.get('content-type')?.includes('json') ?? false;
    return { status: response.status, body: isJson && text !== '' ? JSON.parse(text) : null, text };
  }

  /**
   * Fills in the parameters of a path with the fleet's ids. @throws Error when it has none of that
   * kind
   */
  function filled(path: string): string {
    const isOfDefect = path.startsWith('/v1/defects/');
    return path.replace(/([\w-]+)\/\{(\w+)\}/g, (_, kind: string, name: string) => {
      const id = ids[isOfDefect && kind === 'attachments' ? 'photos' : kind];
      if (!id) throw new Error(`${path}: there is nothing here for {${name}}; make one in this test`);
      return `${kind}/${id}`;
    });
  }

  function call(method: string, path: string, token: string | null) {
    const key = `${method} ${path}`;
    const query =
      path === '/v1/interval-advice'
        ? '?component=water-pump'
        : path.endsWith('/job-card')
          ? '?lines=water-pump:replace'
          : path === '/v1/pick-list'
            ? `?depotId=${ids['depots']}&on=2026-04-06`
            : '';
    if (method === 'POST' && path.endsWith('/attachments'))
      return send(method, filled(path), token, PNG, 'image/png');
    if (key === 'POST /v1/spreadsheets') return send(method, path, token, 'unit\nA', 'text/csv');
    const body = BODIES[key] ?? (method === 'PATCH' ? {} : undefined);
    return send(method, filled(path) + query, token, body);
  }

  const guarded = operations.filter(
    ({ method, path }) => !PUBLIC.includes(path) && !PUBLIC.includes(`${method} ${path}`),
  );

  it('is tried here, some seventy of them', () => {
    expect(guarded.length).toBeGreaterThan(70);
    for (const { path } of operations)
      expect([path, path.startsWith('/v1/') || PUBLIC.includes(path)]).toEqual([path, true]);
  });

  it('is closed to requests without a token, with a made-up token, and with a revoked or expired one', async () => {
    const { manager } = fleet;
    const revoked = await manager.post('/v1/tokens', { name: 'lost', role: 'manager' });
    await manager.delete(`/v1/tokens/${revoked.body.id}`);
    const expiring = await manager.post('/v1/tokens', {
      ...{ name: 'short', role: 'manager', expiresAt: '2026-04-02T15:00:01Z' },
    });
    service.clock.moveTo('2026-04-02T15:00:02Z');
    const tokens = { nobody: null, nonsense: 'wh_x', unknown: `wh_${'a'.repeat(43)}` };
    const bad = { ...tokens, revoked: revoked.body.token, expired: expiring.body.token };
    const open: unknown[] = [];
    for (const { method, path } of guarded) {
      for (const [who, token] of Object.entries(bad)) {
        const { status } = await call(method, path, token);
        if (status !== 401) open.push([method, path, who, status]);
      }
    }
    expect(open).toEqual([]);
  });

  it('is closed to roles that may not use it', async () => {
    const calendar = await fleet.manager.post('/v1/tokens', { name: 'feed', role: 'calendar' });
    const driver = await fleet.manager.post('/v1/tokens', { name: 'phone', role: 'driver' });
    const box = await fleet.manager.post('/v1/tokens', { name: 'box', role: 'telematics' });
    const tokens: Record<string, string> = {
      mechanic: fleet.mechanic.token,
      driver: driver.body.token,
      dashboard: fleet.dashboard.token,
      calendar: calendar.body.token,
      telematics: box.body.token,
    };
    const wrong: unknown[] = [];
    for (const { method, path } of guarded) {
      const may = MAY.find(([pattern]) => pattern.test(`${method} ${path}`))?.[1];
      if (!may) throw new Error(`${method} ${path}: say in this test who may do it`);
      for (const role of ROLES.filter((name) => name !== 'manager')) {
        // Allowed requests are not sent: they would change the records that the next ones are
        // about.
        if (may.includes(role) && method !== 'GET') continue;
        const { status } = await call(method, path, tokens[role] ?? '');
        if (may.includes(role) ? status >= 400 : status !== 403) wrong.push([method, path, role, status]);
      }
    }
    expect(wrong).toEqual([]);
  });

  it('shows nothing to another fleet, and does nothing for it', async () => {
    const secrets = Object.values(ids);
    const shown: unknown[] = [];
    for (const { method, path } of guarded) {
      const isOfOne = path.includes('{');
      // Requests that create or compute something concern the caller's own fleet.
      if (!isOfOne && method !== 'GET') continue;
      const { status, text } = await call(method, path, other.manager.token);
      // A pick list is about one depot, which is not known in the other fleet.
      const expected = isOfOne ? 404 : path === '/v1/pick-list' ? 400 : 200;
      if (status !== expected) shown.push([method, path, status, text.slice(0, 200)]);
      const leaked = secrets.filter((id) => text.includes(id) && !filled(path).includes(id));
      if (leaked.length > 0) shown.push([method, path, 'shows', leaked]);
    }
    expect(shown).toEqual([]);
    // Everything is unchanged.
    for (const path of ['depots', 'spec-sheets', 'interval-plans', 'vehicles', 'job-reports', 'loss-alerts'])
      expect((await fleet.manager.get(`/v1/${path}/${ids[path]}`)).status).toBe(200);
  });

  it('shows nothing of a vehicle to a token bound to another depot', async () => {
    const depot = await fleet.manager.post('/v1/depots', { name: 'Elsewhere' });
    const issued = await fleet.manager.post('/v1/tokens', {
      ...{ name: 'elsewhere', role: 'mechanic', depotIds: [depot.body.id] },
    });
    const ofVehicles = [
      'vehicles',
      'job-reports',
      'attachments',
      'due-list',
      'loss-alerts',
      'usage-readings',
      'reminders',
      'visits',
      'vehicle-labels',
    ];
    const shown: unknown[] = [];
    for (const { method, path } of guarded) {
      const may = MAY.find(([pattern]) => pattern.test(`${method} ${path}`))?.[1] ?? [];
      const kind = path.split('/')[2] ?? '';
      if (!may.includes('mechanic') || (method !== 'GET' && !path.includes('{'))) continue;
      const { status, text } = await call(method, path, issued.body.token);
      if (path.includes('{') && ofVehicles.includes(kind) && status !== 404)
        shown.push([method, path, status]);
      const leaked = ofVehicles.filter(
        (name) => text.includes(ids[name] ?? '?') && !filled(path).includes(ids[name] ?? ''),
      );
      if (leaked.length > 0) shown.push([method, path, 'shows', leaked]);
    }
    expect(shown).toEqual([]);
  });
});
