import { gzipSync } from 'node:zlib';
import { RawConnection } from '../../support/raw-http.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

describe('an answer', () => {
  let service: Service;
  let fleet: FleetHandle;
  let connection: RawConnection;

  beforeAll(async () => {
    service = await startService();
    fleet = await service.newFleet();
    connection = new RawConnection(service.url);
  });
  afterAll(async () => {
    connection.close();
    await service.stop();
  });

  /** Headers that differ with every answer, or belong to the connection. */
  const OF_ONE_ANSWER = new Set(['date', 'content-length', 'connection', 'keep-alive']);
  const lasting = (headers: Record<string, string>): [string, string][] =>
    Object.entries(headers)
      .filter(([name]) => !OF_ONE_ANSWER.has(name))
      .sort(([a], [b]) => (a < b ? -1 : 1));

  it.each([
    ['cannot be decoded', '/v1/depots/%zz', 400, 'La ruta no es una codificación porcentual válida.'],
    [
      'has a part that is too long',
      `/v1/depots/${'x'.repeat(300)}`,
      414,
      'Una parte de la ruta es más larga',
    ],
  ])('about a path that %s has the headers of every answer', async (_what, path, status, words) => {
    const spanish = { 'accept-language': 'es' };
    const missing = await connection.send('GET', '/problems/nothing-of-the-kind', { headers: spanish });
    expect(missing.status).toBe(404);
    const refused = await connection.send('GET', path, { headers: spanish });
    expect([refused.status, lasting(refused.headers)]).toEqual([status, lasting(missing.headers)]);
    expect(refused.headers).toMatchObject({
      'content-language': 'es',
      vary: 'Accept-Language',
      'x-content-type-options': 'nosniff',
      'content-security-policy': expect.stringContaining("default-src 'none'"),
    });
    expect(JSON.parse(refused.body).detail).toContain(words);
    const english = await connection.send('GET', path);
    expect(english.headers['content-language']).toBe('en');
  });

  it('about a path that cannot be decoded says what is wrong with it', async () => {
    const { status, body } = await connection.send('GET', '/v1/depots/%FF', { token: fleet.manager.token });
    expect([status, JSON.parse(body)]).toEqual([
      400,
      expect.objectContaining({
        code: 'path-not-decodable',
        detail: expect.stringContaining('The path is not valid percent-encoding.'),
      }),
    ]);
  });

  it.each(['/openapi.json', '/docs'])('of %s is in English alone, and says so', async (path) => {
    const answer = await fetch(new URL(path, service.url), { headers: { 'accept-language': 'es' } });
    await answer.arrayBuffer();
    expect(answer.status).toBe(200);
    expect(answer.headers.get('content-language')).toBe('en');
    expect(answer.headers.get('vary') ?? '').not.toContain('Accept-Language');
  });

  describe('to a compressed body', () => {
    const send = async (path: string, body: Buffer, headers: Record<string, string>) => {
      const answer = await fetch(new URL(path, service.url), {
        ...{ method: 'POST', body: new Uint8Array(body) },
        headers: { authorization: `Bearer ${fleet.manager.token}`, ...headers },
      });
      return { status: answer.status, headers: answer.headers, body: (await answer.json()) as any };
    };
    const depot = Buffer.from('{"name":"North"}');

    it.each([
      ['/v1/depots', 'application/json'],
      ['/v1/vehicles/import', 'text/csv'],
      ['/v1/calculators/hold-test', 'application/json'],
    ])('names the compression, and what is taken instead: %s', async (path, type) => {
      const answer = await send(path, gzipSync(depot), { 'content-type': type, 'content-encoding': 'gzip' });
      expect([answer.status, answer.headers.get('accept-encoding')]).toEqual([415, 'identity']);
      expect(answer.body).toMatchObject({
        ...{ type: '/problems/content-encoding', code: 'body-compressed', values: { coding: 'gzip' } },
        detail: expect.stringContaining('Send it as it is, without Content-Encoding.'),
        errors: [expect.objectContaining({ header: 'Content-Encoding' })],
      });
    });

    it('is the usual one where the header says that it is not compressed', async () => {
      const headers = { 'content-type': 'application/json', 'content-encoding': 'Identity' };
      expect((await send('/v1/depots', depot, headers)).status).toBe(201);
    });

    it('is that a path or a token is missing, if it is', async () => {
      const headers = { 'content-type': 'application/json', 'content-encoding': 'br' };
      expect((await send('/v1/nothing', depot, headers)).status).toBe(404);
      expect((await send('/v1/depots', depot, { ...headers, authorization: '' })).status).toBe(401);
    });
  });
});
