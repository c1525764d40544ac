import { connect } from 'node:net';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const BOARD = 'https://board.example';

/**
 * Sends bytes unchanged, first some at once and then one every tenth of a second. Returns the whole
 * answer.
 */
function trickle(url: string, first: string, rest = ''): Promise<{ answer: string; sentAll: boolean }> {
  const { hostname, port } = new URL(url);
  return new Promise((resolve, reject) => {
    const socket = connect(Number(port), hostname, () => socket.write(first));
    let sent = 0;
    const timer = setInterval(() => {
      if (sent < rest.length) socket.write(rest.charAt(sent++));
    }, 100);
    let answer = '';
    socket.on('data', (chunk: Buffer) => (answer += chunk.toString()));
    socket.on('error', reject);
    socket.on('close', () => {
      clearInterval(timer);
      resolve({ answer, sentAll: sent === rest.length });
    });
  });
}

const bodyOf = (answer: string): any => JSON.parse(answer.slice(answer.indexOf('\r\n\r\n') + 4));

describe('limits on requests', () => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService({ env: { REQUEST_TIMEOUT_SECONDS: '1', CORS_ORIGINS: BOARD } });
    fleet = await service.newFleet();
  });
  afterAll(() => service.stop());

  it('end a request whose headers or body come too slowly, with a problem', async () => {
    const [headers, body] = await Promise.all([
      trickle(service.url, 'GET /v1/fleet HTTP/1.1\r\nhost: x\r\nx-slow: ', 'a'.repeat(500)),
      trickle(
        service.url,
        `POST /v1/depots HTTP/1.1\r\nhost: x\r\nauthorization: Bearer ${fleet.manager.token}\r\ncontent-type: application/json\r\ncontent-length: 500\r\n\r\n{"name":"`,
        'a'.repeat(500),
      ),
    ]);
    for (const { answer, sentAll } of [headers, body]) {
      expect(answer).toMatch(/^HTTP\/1\.1 408 /);
      expect(bodyOf(answer)).toMatchObject({ type: '/problems/too-slow', status: 408 });
      expect(sentAll).toBe(false);
    }
    expect((await fleet.manager.get('/v1/depots')).body.items).toEqual([]);
  });

  it('answer invalid requests and oversized headers with a problem', async () => {
    const nonsense = await trickle(service.url, 'good morning\r\n\r\n');
    expect(nonsense.answer).toMatch(/^HTTP\/1\.1 400 /);
    expect(bodyOf(nonsense.answer).type).toBe('/problems/malformed-request');
    const large = await trickle(
      service.url,
      `GET / HTTP/1.1\r\nhost: x\r\nx-large: ${'a'.repeat(20_000)}\r\n\r\n`,
    );
    expect(large.answer).toMatch(/^HTTP\/1\.1 431 /);
    expect(bodyOf(large.answer).type).toBe('/problems/headers-too-large');
  });

  it('refuse a body larger than the path accepts, and nesting that no request needs', async () => {
    const large = await fleet.manager.post('/v1/depots', { name: 'x'.repeat(300_000) });
    expect([large.status, large.body.type]).toEqual([413, '/problems/body-too-large']);
    for (const [open, close] of [
      ['[', ']'],
      ['{"a":', '}'],
    ] as const) {
      const depth = Math.floor(250_000 / (open.length + close.length)) - 1;
      const text = `{"name":${open.repeat(depth)}1${close.repeat(depth)}}`;
      const deep = await fleet.manager.send('POST', '/v1/depots', text);
      expect([deep.status, deep.body.errors?.[0].detail]).toEqual([422, 'is nested deeper than 24 levels']);
    }
  });

  it('still work without the shared store, each process with the whole limit', async () => {
    const alone = await startService({
      env: { QUEUE_URL: 'redis://127.0.0.1:1', REQUESTS_PER_MINUTE: '3', REFUSALS_PER_MINUTE: '2' },
    });
    try {
      const { dashboard } = await alone.newFleet();
      const statuses: number[] = [];
      for (let asked = 0; asked < 4; asked++) statuses.push((await dashboard.get('/v1/fleet')).status);
      const stranger = alone.client('nonsense');
      for (let asked = 0; asked < 3; asked++) statuses.push((await stranger.get('/v1/fleet')).status);
      expect(statuses).toEqual([200, 200, 200, 429, 401, 401, 429]);
    } finally {
      await alone.stop();
    }
  });

  it('allow at most 200 rows a page', async () => {
    for (const path of ['/v1/vehicles', '/v1/due-list', '/v1/audit', '/v1/tokens', '/v1/job-reports']) {
      expect([path, (await fleet.manager.get(`${path}?limit=200`)).status]).toEqual([path, 200]);
      expect([path, (await fleet.manager.get(`${path}?limit=201`)).status]).toEqual([path, 400]);
    }
  });

  it('tell browsers with every answer not to guess its type, frame it or load anything for it', async () => {
    for (const [client, path, status] of [
      [fleet.manager, '/v1/fleet', 200],
      [service.client(null), '/v1/fleet', 401],
      [fleet.manager, '/nothing', 404],
      [service.client(null), '/health/live', 200],
      [service.client(null), '/openapi.json', 200],
    ] as const) {
      const { headers, ...answer } = await client.get(path);
      expect([path, answer.status]).toEqual([path, status]);
      expect(Object.fromEntries(headers)).toMatchObject({
        'content-security-policy':
          "default-src 'none';frame-ancestors 'none';base-uri 'none';form-action 'none'",
        'x-content-type-options': 'nosniff',
        'referrer-policy': 'no-referrer',
        'x-frame-options': 'SAMEORIGIN',
      });
      expect(headers.get('x-powered-by')).toBeNull();
      expect(headers.get('server')).toBeNull();
    }
  });

  it('let the page of the API run only its own scripts', async () => {
    const { headers, body } = await service.client(null).get('/docs');
    const policy = headers.get('content-security-policy') ?? '';
    expect(policy).toMatch(/script-src 'self' 'sha256-[A-Za-z0-9+/=]{44}'/);
    expect(policy).not.toMatch(/script-src[^;]*unsafe/);
    const inline = /<script>([\s\S]*?)<\/script>/.exec(body)?.[1] ?? '';
    const digest = await crypto.subtle.digest('SHA-256', new TextEncoder().encode(inline));
    expect(policy).toContain(`'sha256-${Buffer.from(digest).toString('base64')}'`);
  });

  it('let only pages of named origins call it', async () => {
    const ask = (origin: string) =>
      fetch(`${service.url}/v1/depots`, {
        method: 'OPTIONS',
        headers: {
          origin,
          'access-control-request-method': 'POST',
          'access-control-request-headers': 'authorization,content-type,idempotency-key',
        },
      });
    const allowed = await ask(BOARD);
    expect(allowed.status).toBe(204);
    expect(allowed.headers.get('access-control-allow-origin')).toBe(BOARD);
    expect(allowed.headers.get('access-control-allow-headers')).toContain('idempotency-key');
    expect(allowed.headers.get('access-control-allow-credentials')).toBeNull();
    expect((await ask('https://elsewhere.example')).headers.get('access-control-allow-origin')).toBeNull();
    for (const client of [fleet.manager, service.client(null)]) {
      // A page must be able to read a refusal too.
      const { headers } = await client.get('/v1/fleet', { origin: BOARD });
      expect(headers.get('access-control-allow-origin')).toBe(BOARD);
      expect(headers.get('access-control-expose-headers')).toContain('retry-after');
      expect(headers.get('vary')).toMatch(/origin/i);
    }
    const list = await fleet.manager.get('/v1/due-list', { origin: BOARD });
    expect(list.headers.get('vary')).toBe('Origin, Accept-Language, Authorization');
  });

  it('let no page of another origin call it by default', async () => {
    const plain = await startService();
    try {
      const headers = { origin: BOARD, 'access-control-request-method': 'GET' };
      const asked = await fetch(`${plain.url}/v1/fleet`, { method: 'OPTIONS', headers });
      expect(asked.status).not.toBe(204);
      expect(asked.headers.get('access-control-allow-origin')).toBeNull();
      const { headers: answered } = await plain.client(null).get('/v1/fleet', { origin: BOARD });
      expect(answered.get('access-control-allow-origin')).toBeNull();
    } finally {
      await plain.stop();
    }
  });
});
