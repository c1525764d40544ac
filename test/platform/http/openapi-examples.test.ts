import { readFile } from 'node:fs/promises';
import { API_VERSION } from '../../../src/platform/http/api-version.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

/** A document as JSON, walked freely. */
type Json = any;

const CALCULATORS = [
  'hold-test',
  'freeze-point',
  'dilution',
  'boil-over',
  'vacuum-fill',
  'torque-set',
  'belt',
  'projection',
];

async function committed(): Promise<Json> {
  return JSON.parse(await readFile('openapi.json', 'utf8'));
}

interface Operation {
  path: string;
  method: string;
  operation: Json;
}

function operationsOf(document: Json): Operation[] {
  return Object.entries<Json>(document.paths).flatMap(([path, item]) =>
    Object.entries<Json>(item).map(([method, operation]) => ({ path, method, operation })),
  );
}

function refsIn(value: Json): string[] {
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries<Json>(value).flatMap(([key, inner]) =>
    key === '$ref' && typeof inner === 'string' ? [inner] : refsIn(inner),
  );
}

describe('the API document', () => {
  let service: Service;
  let fleet: FleetHandle;
  let document: Json;

  beforeAll(async () => {
    service = await startService();
    fleet = await service.newFleet();
    document = (await service.client(null).get('/openapi.json')).body;
  });
  afterAll(() => service.stop());

  it('is the committed one; run `npm run openapi` after a change', async () => {
    expect(document).toEqual(await committed());
  });

  it('is OpenAPI 3.1, with the version and licence of the package', async () => {
    const { version } = JSON.parse(await readFile('package.json', 'utf8'));
    expect(API_VERSION).toBe(version);
    expect(document.openapi).toMatch(/^3\.1\./);
    expect(document.info).toMatchObject({
      title: 'Weephole',
      version,
      license: { identifier: 'Apache-2.0' },
    });
    expect(document.components.securitySchemes.bearer).toMatchObject({ type: 'http', scheme: 'bearer' });
  });

  it('refers only to parts that it contains', () => {
    const missing = refsIn(document).filter((ref) => {
      const parts = ref.replace('#/', '').split('/');
      return parts.reduce<Json>((at, part) => at?.[part], document) === undefined;
    });
    expect(missing).toEqual([]);
  });

  it('names every operation once, and describes every tag', () => {
    const ids = operationsOf(document).map(({ operation }) => operation.operationId);
    expect(new Set(ids).size).toBe(ids.length);
    expect(document.tags.filter((tag: Json) => !tag.description)).toEqual([]);
  });

  it('documents problems, units and headers where they apply', () => {
    for (const { path, method, operation } of operationsOf(document)) {
      const where = `${method} ${path}`;
      const parameters: string[] = operation.parameters.map(
        (parameter: Json) => parameter.$ref ?? parameter.name,
      );
      const has = (name: string) => parameters.includes(`#/components/parameters/${name}`);
      expect([where, operation.responses.default?.$ref]).toEqual([
        where,
        '#/components/responses/OtherProblem',
      ]);
      const isOfFleet = path.startsWith('/v1/');
      expect([where, '401' in operation.responses]).toEqual([where, isOfFleet]);
      // A calendar's token may also be part of the URL.
      const ofFeed = [{ calendarToken: [] }, { bearer: [] }];
      // Whoever signs in has no token yet.
      const isOpen = !isOfFleet || ['post /v1/sessions', 'get /v1/sign-in-ways'].includes(where);
      const security = path === '/v1/due-list.ics' ? ofFeed : isOpen ? [] : undefined;
      expect([where, operation.security]).toEqual([where, security]);
      expect([where, has('IfMatch')]).toEqual([where, method === 'patch']);
      expect([where, '412' in operation.responses]).toEqual([where, method === 'patch']);
      expect([where, has('IfNoneMatch')]).toEqual([where, '304' in operation.responses]);
      if (method === 'post') {
        // A sign-in is of no fleet until it has succeeded, so there is nowhere to keep a key.
        const keepsNothing = path.startsWith('/v1/calculators/') || isOpen;
        expect([where, has('IdempotencyKey')]).toEqual([where, !keepsNothing]);
        expect([where, '422' in operation.responses]).toEqual([where, true]);
      }
      if (path.includes('{')) expect([where, '404' in operation.responses]).toEqual([where, true]);
    }
    expect(
      Object.values<Json>(document.components.responses).map((response) => Object.keys(response.content)),
    ).toEqual(Object.keys(document.components.responses).map(() => ['application/problem+json']));
  });

  it('describes problems as the service sends them', async () => {
    const { status, body } = await fleet.manager.post('/v1/calculators/belt', {});
    const { required, properties } = document.components.schemas.Problem;
    expect(status).toBe(422);
    expect(Object.keys(body)).toEqual(expect.arrayContaining(required));
    expect(Object.keys(properties)).toEqual(expect.arrayContaining(Object.keys(body)));
  });

  it.each(CALCULATORS)('shows an example of %s that works', async (name) => {
    const { requestBody, responses } = document.paths[`/v1/calculators/${name}`].post;
    const request = requestBody.content['application/json'].examples.worked.value;
    const shown = responses['200'].content['application/json'].examples.worked.value;
    const { status, body } = await fleet.dashboard.post(`/v1/calculators/${name}?units=si`, request);
    expect(status).toBe(200);
    expect(body).toEqual(shown);
    expect(Object.keys(shown.computed).length).toBeGreaterThan(1);
    const said: Json[] = [...shown.reasons, ...shown.cautions, ...shown.basis];
    expect(said.filter(({ code, text }) => !text || text === code)).toEqual([]);
  });

  it('is served with a page that shows it, the page with its script and style', async () => {
    const page = await service.client(null).get('/docs');
    expect([page.status, page.headers.get('content-type')]).toEqual([200, 'text/html; charset=utf-8']);
    const links = [...String(page.body).matchAll(/(?:src|href)="([^"]+)"/g)].map(([, link]) => link ?? '');
    expect(links.length).toBeGreaterThanOrEqual(2);
    for (const link of links) {
      const asset = await fetch(new URL(link, `${service.url}/docs`));
      expect([link, asset.status]).toEqual([link, 200]);
      expect(asset.headers.get('content-type')).toMatch(
        link.endsWith('.css') ? /^text\/css/ : /^text\/javascript/,
      );
      expect((await asset.text()).length).toBeGreaterThan(10_000);
    }
  });
});
