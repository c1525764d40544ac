import { gunzipSync } from 'node:zlib';
import { request } from 'node:http';
import { type Service, startService } from '../../support/service.js';

const PAGES = ['/desk', '/phone', '/sign-in'];

describe('the pages', () => {
  let service: Service;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
  });
  afterAll(() => service.stop());

  const read = (path: string, headers = {}) => service.client(null).get(path, headers);
  const scriptOf = async (page: string): Promise<string> =>
    /src="([^"]+)"/.exec((await read(page)).body)?.[1] ?? '';

  it.each(PAGES)('are asked for anew each time, and not sent twice: %s', async (page) => {
    const { headers } = await read(page);
    expect(headers.get('cache-control')).toBe('no-cache');
    const known = { 'if-none-match': String(headers.get('etag')) };
    expect((await read(page, known)).status).toBe(304);
    expect((await read(page, { 'if-none-match': '"another"' })).status).toBe(200);
  });

  it.each(PAGES)('take nothing that is inline or from elsewhere, and stand in no frame: %s', async (page) => {
    const { headers } = await read(page);
    const policy = String(headers.get('content-security-policy'));
    expect(policy).toMatch(/^default-src 'none'; script-src 'self'; /);
    expect(policy).not.toMatch(/unsafe|\*|https?:/);
    expect(policy).toContain("frame-ancestors 'none'");
    expect(headers.get('referrer-policy')).toBe('no-referrer');
  });

  it.each(PAGES)('have scripts that browsers keep for good: %s', async (page) => {
    const { status, headers } = await read(await scriptOf(page));
    expect(status).toBe(200);
    expect(headers.get('cache-control')).toBe('public, max-age=31536000, immutable');
    expect(headers.get('x-content-type-options')).toBe('nosniff');
  });

  it('send a script compressed to whoever takes that, and the same plain to others', async () => {
    const path = await scriptOf('/desk');
    const [packed, plain] = [await sent(path, 'gzip'), await sent(path, 'identity')];
    expect([packed.encoding, plain.encoding]).toEqual(['gzip', undefined]);
    expect(packed.bytes.length).toBeLessThan(plain.bytes.length);
    expect(gunzipSync(packed.bytes)).toEqual(plain.bytes);
  });

  /** As it comes over the network: `fetch` would unpack it. */
  const sent = (path: string, encoding: string): Promise<{ encoding?: string; bytes: Buffer }> =>
    new Promise((resolve, reject) => {
      const asked = request(new URL(path, service.url), { headers: { 'accept-encoding': encoding } });
      asked.on('error', reject);
      asked.on('response', (answer) => {
        const pieces: Buffer[] = [];
        answer.on('data', (piece: Buffer) => pieces.push(piece));
        answer.on('end', () =>
          resolve({ encoding: answer.headers['content-encoding'], bytes: Buffer.concat(pieces) }),
        );
      });
      asked.end();
    });

  it.each(['/board', '/board/', '/desks', '/pages/none.js'])('are at no other address: %s', async (path) => {
    const { status, body } = await service.newFleet().then(({ manager }) => manager.get(path));
    expect([status, body.status]).toEqual([404, 404]);
  });
});
