import { Logger } from '@nestjs/common';
import { execFile } from 'node:child_process';
import { mkdirSync, mkdtempSync, realpathSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { told, toldChange } from '../../../src/domain/quantities/told.js';
import { languageAskedFor } from '../../../src/platform/presenting/language-of-request.js';
import { operatorLanguage } from '../../../src/platform/words/operator-language.js';
import { presentMessage } from '../../../src/platform/words/present-message.js';
import { IN_LOGS, textOf } from '../../../src/platform/words/render.js';
import { clientOf, type FleetHandle, type Service, startService } from '../../support/service.js';

const LOST = {
  code: 'hold-test-lost-too-much',
  values: {
    outcome: 'lost',
    amount: told('vacuum', 10.15916, 'inHg'),
    minutes: 5,
    corrected: 'no',
    allowed: told('vacuum', 3.386388, 'inHg'),
    allowedMinutes: 5,
  },
};

describe('a message', () => {
  it('is given in the language and the units of its reader', () => {
    const inEnglish = 'It lost 3 inHg in 5 minutes. Allowed: 1 inHg in 5 minutes. Find the leak';
    expect(textOf(LOST, { language: 'en', units: 'us' })).toContain(inEnglish);
    const inSpanish = 'Perdió 10 kPa en 5 minutos. Se permite: 3.4 kPa en 5 minutos. Encuentre la fuga';
    expect(textOf(LOST, { language: 'es', units: 'si' })).toContain(inSpanish);
  });

  it('keeps the unit that was typed if it belongs to the reader’s system', () => {
    const inBar = { code: 'hold-test-boiled', values: { deepest: told('vacuum', 80, 'bar') } };
    expect(textOf(inBar, { language: 'en', units: 'si' })).toContain('0.8 bar');
    expect(textOf(inBar, { language: 'en', units: 'us' })).toContain('23.5 inHg');
    expect(textOf(inBar, { language: 'en', units: null })).toContain('0.8 bar');
    expect(textOf(inBar, { language: 'en', units: { typedOr: 'us' } })).toContain('0.8 bar');
  });

  it('converts a temperature difference without the offset', () => {
    const changed = { code: 'hold-test-temperature-changed', values: { change: toldChange(10, 'C') } };
    expect(textOf(changed, { language: 'en', units: 'us' })).toContain('changed by 18 °F');
    expect(textOf(changed, { language: 'es', units: 'si' })).toContain('cambió 10 °C');
    expect(textOf(changed, { language: 'en', units: { typedOr: 'us' } })).toContain('10 °C');
  });

  it('is returned with its code, its values in the units of the reader, and its text', () => {
    expect(presentMessage(LOST, { language: 'en', units: 'si' })).toEqual({
      code: 'hold-test-lost-too-much',
      values: expect.objectContaining({ amount: { value: 10.15916, unit: 'kPa' }, minutes: 5 }),
      text: textOf(LOST, { language: 'en', units: 'si' }),
    });
  });

  it('tells small numbers, and large ones to the tenth', () => {
    const tell = (value: number) =>
      textOf({ code: 'basis-loss-batch', values: { limit: 3, probability: value, batches: 1 } }, IN_LOGS);
    expect(tell(0.00042)).toContain('0.00042');
    expect(tell(0.1 + 0.2)).toContain('0.3 ');
    const hours = (value: number) => ({ code: 'margin-hours', values: { hours: value } });
    expect(textOf(hours(1234.5), IN_LOGS)).toContain('1,234.5');
    expect(textOf(hours(1234.5 + 1e-9), IN_LOGS)).toContain('1,234.5 ');
  });

  it('that no language has any more shows its code, and one from before shows its words', () => {
    expect(textOf({ code: 'gone', values: {} }, { language: 'es', units: null })).toBe('gone');
    const before = { code: 'legacy', values: { text: 'Held: lost nothing in 5 minutes.' } };
    expect(textOf(before, { language: 'es', units: null })).toBe('Held: lost nothing in 5 minutes.');
  });

  it('that lacks a value it needs shows its code, without failing the response', () => {
    expect(textOf({ code: 'hold-test-boiled', values: {} }, { language: 'en', units: null })).toBe(
      'hold-test-boiled',
    );
  });
});

describe('the requested language', () => {
  // RFC 9110, 12.5.4: by weight; a range matches every tag that begins with it.
  it.each([
    ['es', 'es'],
    ['es-MX,es;q=0.9,en;q=0.8', 'es'],
    ['en;q=0.5, es;q=0.9', 'es'],
    ['fr, es-419;q=0.8, en;q=0.5', 'es'],
    ['en-GB', 'en'],
    ['es;q=0, en;q=0.1', 'en'],
    ['fr', null],
    ['*', null],
    ['', null],
    [undefined, null],
  ])('by "%s" is %s', (header, language) => expect(languageAskedFor(header)).toBe(language));

  it.each([
    [{ LANG: 'es_MX.UTF-8' }, 'es'],
    [{ LC_ALL: 'en_US.UTF-8', LANG: 'es_MX.UTF-8' }, 'en'],
    [{ LC_MESSAGES: 'es', LANG: 'en_US' }, 'es'],
    [{ LANG: 'C' }, 'en'],
    [{}, 'en'],
  ])('by a terminal of %j is %s', (env, language) => expect(operatorLanguage(env)).toBe(language));
});

describe('the language of a response', () => {
  let service: Service;
  let fleet: FleetHandle;
  const test = { method: 'vacuum', minutes: 3, engineCold: true, wet: false };
  const body = { ...test, start: { value: 23, unit: 'inHg' }, end: { value: 23, unit: 'inHg' } };
  const tooShort = async (client: { post: FleetHandle['manager']['post'] }, language?: string) => {
    const headers: Record<string, string> = language === undefined ? {} : { 'accept-language': language };
    const answer = await client.post('/v1/calculators/hold-test', body, headers);
    const reason = (answer.body.reasons as { code: string; text: string }[]).find(
      ({ code }) => code === 'hold-test-too-short',
    );
    return [answer.headers.get('content-language'), reason?.text];
  };
  const ENGLISH = ['en', 'Held 3 of 5 minutes. Hold it for 5 minutes.'];
  const SPANISH = ['es', 'La prueba duró 3 de 5 minutos. Espere 5 minutos.'];

  beforeAll(async () => {
    service = await startService();
  });
  beforeEach(async () => {
    fleet = await service.newFleet({ units: 'us' });
  });
  afterAll(() => service.stop());

  it('is the one requested, otherwise the token’s, otherwise the fleet’s', async () => {
    expect(await tooShort(fleet.mechanic)).toEqual(ENGLISH);
    expect(await tooShort(fleet.mechanic, 'es-US,en;q=0.5')).toEqual(SPANISH);
    const changed = await fleet.manager.patch('/v1/fleet', { language: 'es' });
    expect(changed.body.language).toBe('es');
    expect(await tooShort(fleet.mechanic)).toEqual(SPANISH);
    expect(await tooShort(fleet.mechanic, 'en')).toEqual(ENGLISH);
    const issued = await fleet.manager.post('/v1/tokens', { name: 'a', role: 'mechanic', language: 'en' });
    expect(issued.body.language).toBe('en');
    const own = clientOf(service.url, issued.body.token);
    expect(await tooShort(own)).toEqual(ENGLISH);
    expect(await tooShort(own, 'es')).toEqual(SPANISH);
  });

  it('is declared as it is, even if the body cannot be read', async () => {
    await fleet.manager.patch('/v1/fleet', { language: 'es' });
    const ask = (language?: string) =>
      fetch(`${service.url}/v1/depots`, {
        method: 'POST',
        headers: {
          'content-type': 'application/json',
          authorization: `Bearer ${fleet.manager.token}`,
          ...(language === undefined ? {} : { 'accept-language': language }),
        },
        body: '{',
      });
    const told = async (answer: Response) => [
      ...[answer.status, answer.headers.get('content-language')],
      ((await answer.json()) as { detail: string }).detail,
    ];
    expect(await told(await ask())).toEqual([400, 'es', expect.stringMatching(/^El cuerpo no es JSON/)]);
    expect(await told(await ask('en'))).toEqual([400, 'en', expect.stringMatching(/^The body is not JSON/)]);
  });

  it('is one of those supported', async () => {
    const answer = await fleet.manager.patch('/v1/fleet', { language: 'fr' });
    expect([answer.status, answer.body.errors[0].pointer]).toEqual([422, '/language']);
    expect((await fleet.manager.patch('/v1/fleet', { language: null })).body.language).toBe('en');
  });

  it('distinguishes cached pages, and is declared in Vary', async () => {
    const ask = (language: string, tag = '') =>
      fleet.dashboard.get('/v1/due-list', { 'accept-language': language, 'if-none-match': tag });
    const tags = [];
    for (const language of ['en', 'es', 'en', 'es']) {
      const answer = await ask(language);
      expect(answer.headers.get('content-language')).toBe(language);
      expect(answer.headers.get('vary')).toContain('Accept-Language');
      tags.push(answer.headers.get('etag'));
    }
    expect(tags[0]).toBe(tags[2]);
    expect(tags[1]).toBe(tags[3]);
    expect(tags[0]).not.toBe(tags[1]);
    expect((await ask('es', String(tags[1]))).status).toBe(304);
    expect((await ask('es', String(tags[0]))).status).toBe(200);
  });
});

describe('a message that cannot be told', () => {
  let service: Service;
  beforeAll(async () => {
    service = await startService({ isAlone: true });
  });
  afterAll(() => service.stop());

  it('is logged once, whether its text is missing or lacks a value', () => {
    const warn = jest.spyOn(Logger.prototype, 'warn').mockImplementation(() => undefined);
    for (const code of ['gone', 'hold-test-boiled', 'gone', 'hold-test-boiled'])
      expect(textOf({ code, values: {} }, { language: 'es', units: null })).toBe(code);
    expect(warn.mock.calls).toEqual([
      [expect.stringMatching(/^the message "gone" cannot be told: There is no text for it in es$/)],
      [expect.stringMatching(/^the message "hold-test-boiled" cannot be told: .*"deepest" was not provided/)],
    ]);
  });
});

describe('a command', () => {
  it('that cannot open its database says so in that language', async () => {
    const program = fileURLToPath(new URL('../../../dist/src/commands/migrate.js', import.meta.url));
    const dataDir = realpathSync(mkdtempSync(join(tmpdir(), 'weephole-words-')));
    mkdirSync(join(dataDir, 'postgres'));
    writeFileSync(join(dataDir, 'postgres', 'notes.txt'), 'mine');
    const { DATABASE_URL: _url, ...rest } = process.env;
    const env = { ...rest, LC_ALL: 'es_MX.UTF-8', NODE_OPTIONS: '', WEEPHOLE_DATA_DIR: dataDir };
    await expect(promisify(execFile)(process.execPath, [program], { env })).rejects.toThrow(
      `${dataDir}/postgres no está vacío ni es una base de datos de PostgreSQL (no tiene PG_VERSION). No se cambió nada.`,
    );
    rmSync(dataDir, { recursive: true });
  });

  it('uses the language of the terminal', async () => {
    const program = fileURLToPath(new URL('../../../dist/src/commands/issue-token.js', import.meta.url));
    const env = { ...process.env, LC_ALL: 'es_MX.UTF-8', NODE_OPTIONS: '' };
    const told = promisify(execFile)(process.execPath, [program, '--role', 'manager'], { env });
    await expect(told).rejects.toThrow('Falta --fleet.\nuso: npm run token');
  });
});
