import { readFileSync } from 'node:fs';
import { type Service, startService } from '../../support/service.js';

const CHROMIUM = 'text/html,application/xhtml+xml,application/xml;q=0.9,image/avif,image/webp,*/*;q=0.8';

describe('the address of the service', () => {
  let service: Service;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
  });
  afterAll(() => service.stop());

  const enter = (accept?: string, method = 'GET') =>
    fetch(service.url, { method, redirect: 'manual', headers: accept === undefined ? {} : { accept } });

  it('leads a browser to the desk', async () => {
    const answer = await enter(CHROMIUM);
    expect(answer.status).toBe(302);
    expect(answer.headers.get('location')).toBe('/desk');
    expect((await fetch(new URL('/desk', service.url))).status).toBe(200);
  });

  it.each([undefined, '*/*', 'application/json', 'image/png'])(
    'gives links to a client that accepts %s',
    async (accept) => {
      const answer = await enter(accept);
      expect(answer.status).toBe(200);
      const { version, ...links } = (await answer.json()) as Record<string, string>;
      expect(version).toBe(JSON.parse(readFileSync('package.json', 'utf8')).version);
      expect(Object.keys(links)).toEqual(['desk', 'phone', 'openapi', 'docs', 'health']);
      for (const link of Object.values(links))
        expect((await fetch(new URL(link, service.url))).status).toBe(200);
    },
  );

  it('takes no other method', async () => {
    expect((await enter(undefined, 'POST')).status).toBe(405);
  });
});
