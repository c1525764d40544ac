import { request as rawRequest } from 'node:http';
import { v7 as uuidv7 } from 'uuid';
import { type Endpoint, PATHS } from '../../support/hostile/endpoints.js';
import { startTrial, type Trial } from '../../support/hostile/trial.js';
import type { Scenario } from '../../support/scenario.js';
import type { Answer, FleetHandle, Service } from '../../support/service.js';

/** Operations that take a spreadsheet, too. */
const TAKES_CSV = new Set(['post /v1/telematics-sources/{id}/reports']);

describe('a hostile request', () => {
  let trial: Trial;
  let service: Service;
  let fleet: FleetHandle;
  let foreign: FleetHandle;
  let scenario: Scenario;
  let foreignScenario: Scenario;

  beforeAll(async () => {
    trial = await startTrial();
    ({ service, fleet, foreign, scenario, foreignScenario } = trial);
  });
  afterAll(() => service?.stop());

  const endpointOf = (operation: string): Endpoint => trial.endpointOf(operation);
  const rowsIn = (table: string | null): Promise<number> => trial.rowsIn(table);
  const send = (endpoint: Endpoint, text: string, headers?: Record<string, string>): Promise<Answer> =>
    trial.send(endpoint, text, headers);

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

    it.each(PATHS)('of a type that %s does not accept is refused, with the reason', async (operation) => {
      const endpoint = endpointOf(operation);
      const before = await rowsIn(endpoint.table);
      const isWithoutBody = Object.keys(endpoint.body()).length === 0;
      const complaints: string[] = [];
      for (const [what, text] of WHOLE) {
        const { status, body, headers } = await send(endpoint, text);
        const told = `${what}: ${status} ${JSON.stringify(body).slice(0, 200)}`;
        const isRefused =
          [400, 404, 409, 422, ...(TAKES_CSV.has(operation) ? [415] : [])].includes(status) &&
          headers.get('content-type')?.includes('application/problem+json');
        // Some actions take no body, so an odd one does not stop them.
        const mayPass = isWithoutBody || endpoint.settles;
        if (status >= 500 || (!isRefused && !(mayPass && status === endpoint.status))) complaints.push(told);
        if (status === 400 && !/JSON/.test(body.detail)) complaints.push(`not said: ${told}`);
        if (status === 422 && !body.errors?.every((fault: any) => typeof fault.pointer === 'string'))
          complaints.push(`not named: ${told}`);
      }
      expect(complaints).toEqual([]);
      expect(await rowsIn(endpoint.table)).toBe(before);
    });

    it.each(PATHS)('%s accepts only JSON, and CSV where it says so', async (operation) => {
      const endpoint = endpointOf(operation);
      const before = await rowsIn(endpoint.table);
      for (const type of [
        'text/plain',
        ...(TAKES_CSV.has(operation) ? [] : ['text/csv']),
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

    /** More than any operation accepts. */
    const LARGE = `{"name":"${'x'.repeat(10_000_000)}"}`;

    it.each(PATHS)('of ten megabytes is refused by %s before it is read', async (operation) => {
      const endpoint = endpointOf(operation);
      const { status, body } = await send(endpoint, LARGE);
      expect([status, body.type]).toEqual([413, '/problems/body-too-large']);
    });
  });

  describe('a path, a query or a header', () => {
    /** Every operation with its parameters, as listed in the API document. */
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
      ids = {
        vehicles: trial.bodies.nextVehicle(),
        depots: await firstOf('depots'),
        reminders: await firstOf('reminders'),
        'telematics-sources': await firstOf('telematics-sources'),
      };
    });

    /** The required parameters of queries. */
    const needed = (): Record<string, Record<string, string>> => ({
      '/v1/interval-advice': { component: 'water-pump' },
      '/v1/pick-list': { depotId: ids['depots'] ?? '', on: '2026-04-09' },
    });

    /** A stream has no end, so the head of its response is enough. */
    async function ask(asked: string): Promise<{ status: number; body: any }> {
      const [path = ''] = asked.split('?');
      // Without a required parameter, that would be the reported fault.
      const others = Object.entries(needed()[path] ?? {}).filter(
        ([name]) => !new RegExp(`[?&]${name}\\b`).test(asked),
      );
      const url = asked + others.map(([name, value]) => `&${name}=${value}`).join('');
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

    it('with an unknown parameter is refused by name', async () => {
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

    it('with an invalid page size is refused, and with the greatest is answered', async () => {
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

    it('with an invalid id, or one of another fleet, finds nothing', async () => {
      const foreignIdOf: Record<string, string> = {
        ...{ vehicles: foreignScenario.vehicleId, depots: foreignScenario.depotId },
        ...{ 'spec-sheets': foreignScenario.specSheetId, 'interval-plans': foreignScenario.intervalPlanId },
        'reminder-targets': trial.foreignTargetId,
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
          const [name] = [...trial.endpoints.keys()].filter(
            (each) => each.replace(/ \(.*/, '') === `${method.toLowerCase()} ${path}`,
          );
          const body = name === undefined ? undefined : JSON.stringify(endpointOf(name).body());
          const url = path.replace('{id}', id).replace(/\{\w+\}/g, uuidv7());
          // Operations that take files do not accept JSON.
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
    ])('of the shape %s gets a problem', async (path, expected) => {
      const { status, headers, body } = await send1(path);
      expect([status, headers['content-type'], JSON.parse(body).status]).toEqual([
        expected,
        'application/problem+json; charset=utf-8',
        expected,
      ]);
    });

    /** Sends a request exactly as written; fetch would normalise its path. */
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

    it('with a method that a path does not accept gets the accepted ones', async () => {
      for (const path of new Set(operations.map((operation) => operation.path))) {
        // A path such as /v1/job-reports/batch also matches /v1/job-reports/{id}.
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

    it('with an If-Match that names no version changes nothing, and the answer names the header', async () => {
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

    it('with an invalid Idempotency-Key is refused, and the answer names the header', async () => {
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
    ])('with the Authorization "%s" is refused', async (authorization) => {
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
    ])('of readings with %s is refused at its place', async (_what, readings, pointer) => {
      const before = [await rowsIn('job_reports'), await rowsIn('readings')];
      expect(await refusedAt('/v1/job-reports', report(readings))).toEqual([pointer]);
      expect([await rowsIn('job_reports'), await rowsIn('readings')]).toEqual(before);
    });

    it('of 40 readings is accepted', async () => {
      const { status } = await fleet.manager.post(
        '/v1/job-reports',
        report(Array.from({ length: 40 }, () => level)),
      );
      expect(status).toBe(201);
    });

    it('of up to 200 reports is accepted, and each bad one gets its own answer', async () => {
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

    it('of 1 to 5,000 usage readings is accepted', async () => {
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

  it('with a field twice counts its last value', async () => {
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

  it('leaves no invalid number in the tables, and no trace in another fleet', async () => {
    expect(await trial.traces()).toEqual([]);
  });
});
