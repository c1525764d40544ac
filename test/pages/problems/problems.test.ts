import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { PROBLEM_KINDS, PROBLEM_SLUGS } from '../../../src/platform/problems/problem-kinds.js';
import { type Service, startService } from '../../support/service.js';

/** The code alone of each file of `src/`. */
const SOURCES = readdirSync('src', { recursive: true, encoding: 'utf8' })
  .filter((file) => file.endsWith('.ts'))
  .map((file) => readFileSync(`src/${file}`, 'utf8'));

/** The slugs that the source answers with, each with its status where it stands beside it. */
function answered(): { slug: string; status: number | null }[] {
  return SOURCES.flatMap((source) => [
    ...[...source.matchAll(/new Problem\(\s*(\d{3}),\s*'([a-z-]+)'/g)].map(([, status, slug = '']) => ({
      slug,
      status: Number(status),
    })),
    ...[...source.matchAll(/\b(?:conflict|refused)\(\s*'([a-z-]+)'/g)].map(([, slug = '']) => ({
      slug,
      status: 409,
    })),
    ...[...source.matchAll(/\bnoRoom\(\s*'([a-z-]+)'/g)].map(([, slug = '']) => ({ slug, status: 409 })),
    ...[...source.matchAll(/\b(?:noRoomYet|tooMany)\(\s*(?:exhausted,\s*|standing,\s*)?'([a-z-]+)'/g)].map(
      ([, slug = '']) => ({ slug, status: 429 }),
    ),
  ]);
}

describe('the explanation of a problem', () => {
  let service: Service;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
  });
  afterAll(() => service.stop());

  const get = (path: string, headers: Record<string, string> = {}) => service.client(null).get(path, headers);

  it('is declared for each slug and status that the source answers with', () => {
    const found = answered();
    expect(found.length).toBeGreaterThan(70);
    const undeclared = found.filter(({ slug, status }) => {
      const statuses: readonly number[] | undefined = PROBLEM_KINDS[slug as keyof typeof PROBLEM_KINDS];
      return statuses === undefined || (status !== null && !statuses.includes(status));
    });
    expect(undeclared).toEqual([]);
  });

  it('is declared for no slug that nothing answers with', () => {
    const quoted = new Set(
      SOURCES.filter((source) => !source.includes('export const PROBLEM_KINDS')).flatMap((source) =>
        [...source.matchAll(/'([a-z]+(?:-[a-z]+)*)'/g)].map(([, word]) => word),
      ),
    );
    expect(PROBLEM_SLUGS.filter((slug) => !quoted.has(slug))).toEqual([]);
  });

  it.each(PROBLEM_SLUGS)(
    '%s is had without a token, as data and as a page, in both languages',
    async (slug) => {
      const path = `/problems/${slug}`;
      const { status, body, headers } = await get(path);
      expect(status).toBe(200);
      expect(headers.get('content-type')).toMatch('application/json');
      expect(body).toEqual({
        type: path,
        title: expect.stringMatching(/^[A-Z].{3,}/),
        statuses: PROBLEM_KINDS[slug],
        meaning: expect.stringMatching(/^[A-Z].{10,}\.$/),
        remedy: expect.stringMatching(/^[A-Z].{5,}\.$/),
      });
      const spanish = await get(path, { 'accept-language': 'es-MX' });
      expect(spanish.headers.get('content-language')).toBe('es');
      for (const part of ['title', 'meaning', 'remedy']) {
        expect(spanish.body[part]).toMatch(/^[¿A-ZÁÉÍÓÚ]/);
        expect(spanish.body[part]).not.toBe(body[part]);
      }
      const page = await get(path, { accept: 'text/html', 'accept-language': 'es' });
      expect(page.headers.get('content-type')).toBe('text/html; charset=utf-8');
      expect(page.body).toContain('<html lang="es">');
      expect(page.body).toContain('Qué hacer');
    },
  );

  it('is where the type of an answered problem leads', async () => {
    const problem = await get('/v1/vehicles');
    expect(problem.status).toBe(401);
    const explanation = await get(problem.body.type);
    expect(explanation.body).toMatchObject({ type: problem.body.type, title: problem.body.title });
  });

  it.each(['no-such', 'constructor', '__proto__', 'toString', 'not-found%2F', '%3Cb%3E'])(
    'there is none called %s',
    async (slug) => {
      const { status, body } = await get(`/problems/${slug}`, { accept: 'text/html' });
      expect(status).toBe(404);
      expect(body.type).toBe('/problems/no-such-problem');
    },
  );

  it('is a page that loads nothing and runs nothing', async () => {
    const { headers, body } = await get('/problems/not-found', { accept: 'text/html' });
    expect(headers.get('content-security-policy')).toMatch(/^default-src 'none'; style-src 'sha256-/);
    expect(body).not.toMatch(/<script|src=|@import/);
  });

  it('is a page whose style the policy lets through', async () => {
    const { body, headers } = await get('/problems/not-found', { accept: 'text/html' });
    const style = /<style>([^]*?)<\/style>/.exec(body)?.[1] ?? '';
    const digest = createHash('sha256').update(style).digest('base64');
    expect(headers.get('content-security-policy')).toContain(`style-src 'sha256-${digest}'`);
  });
});
