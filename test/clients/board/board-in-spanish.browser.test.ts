import type { BrowserContextOptions, Page } from 'playwright-core';
import { type BoardPage, openBoard, seriousFindings, signIn } from '../../support/board.js';
import { TestBrowser } from '../../support/browser.js';
import { textsIn } from '../../support/english.js';
import { englishOn } from '../../support/page-words.js';
import { goodJob, postScenario, type Scenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T15:00:00Z';
const ALL_STATES = '#/due?state=late,due,window,not-due,no-baseline';
const SPANISH = { 'accept-language': 'es' };
/** A browser from Mexico, and one that asks for no language that there is. */
const MEXICAN = { locale: 'es-MX' };
const FRENCH = { locale: 'fr-FR' };

describe('the board in Spanish', () => {
  const browser = new TestBrowser();
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;
  let opened: BoardPage[];
  /** Every text that the service answered to the pages: it is none of the board's own. */
  let answered: Set<string>;
  /** In which language the pages asked the service, by path. */
  let asked: { path: string; language: string | undefined }[];

  beforeAll(async () => {
    service = await startService({ at: NOW });
  });
  afterAll(async () => {
    await browser.close();
    await service?.stop();
  });

  beforeEach(prepare);

  async function prepare(): Promise<void> {
    opened = [];
    answered = new Set();
    asked = [];
    service.clock.moveTo(NOW);
    fleet = await service.newFleet();
    scenario = await postScenario(fleet);
  }

  afterEach(async () => {
    const complaints = opened.flatMap((board) => board.complaints);
    for (const board of opened) await board.close();
    if (complaints.length > 0) throw new Error(`the browser complained: ${complaints.join('\n')}`);
  });

  async function made(answer: Promise<{ status: number; body: any }>): Promise<any> {
    const { status, body } = await answer;
    expect([status, status < 300 ? null : body]).toEqual([expect.any(Number), null]);
    return body;
  }

  async function open(options: BrowserContextOptions & { hash?: string } = MEXICAN): Promise<BoardPage> {
    const board = await openBoard(await browser.get(), service.url, options);
    opened.push(board);
    board.page.on('request', (request) => {
      const { pathname } = new URL(request.url());
      if (pathname.startsWith('/v1/'))
        asked.push({ path: pathname, language: request.headers()['accept-language'] });
    });
    board.page.on('response', (response) => {
      if (!/\bjson\b/.test(response.headers()['content-type'] ?? '')) return;
      void response.json().then(keepTexts, () => undefined);
    });
    return board;
  }

  /** Keeps what is said in sentences; a word alone would hide the same word of the board. */
  function keepTexts(value: unknown): void {
    if (typeof value === 'string' && value.includes(' ')) answered.add(value);
    if (typeof value === 'object' && value !== null) for (const part of Object.values(value)) keepTexts(part);
  }

  /**
   * Two unplanned top-ups within a month, more than 5 % of the 14 L (common practice, no source).
   */
  async function raiseAlert(): Promise<void> {
    for (const day of ['01', '13'])
      await made(
        fleet.mechanic.post(`/v1/vehicles/${scenario.vehicleId}/readings`, {
          ...{ kind: 'top-up', takenAt: `2026-03-${day}T12:00:00Z`, added: { value: 0.4, unit: 'L' } },
          ...{ toMark: true, strengthPercent: 50, planned: false },
        }),
      );
  }

  /** A pressure test that lost 3 of 15 psi in ten minutes, on a vehicle that was released. */
  async function failPressureTest(): Promise<any> {
    const readings = [
      {
        ...{ kind: 'hold-test', method: 'pressure', minutes: 10, engineCold: true },
        ...{ start: { value: 15, unit: 'psi' }, end: { value: 12, unit: 'psi' } },
      },
    ];
    const report = { ...goodJob(scenario.vehicleId, '2026-04-02T14:30:00Z', 59_300), readings };
    const { id } = await made(
      fleet.mechanic.post('/v1/job-reports', { ...report, releasedForService: 'yes' }),
    );
    return made(fleet.mechanic.get(`/v1/job-reports/${id}`, SPANISH));
  }

  async function loaded(page: Page, heading: string): Promise<void> {
    await page.getByRole('heading', { level: 1, name: heading }).waitFor();
    await page.locator('[aria-busy=false]').waitFor();
  }

  const test = browser.tests(prepare);

  test('is in the language that the browser asks for, and says so', async () => {
    const page = (language: string, more: object = {}) =>
      service.client(null).get('/board', { 'accept-language': language, ...more });
    const [spanish, english, french] = [await page('es-MX,en;q=0.5'), await page('en'), await page('fr')];
    expect(spanish.body).toMatch(/<html lang="es" data-asked="es">/);
    expect(spanish.body).toContain('Saltar al contenido');
    expect(spanish.headers.get('content-language')).toBe('es');
    expect(spanish.headers.get('vary')).toMatch(/accept-language/i);
    expect(english.body).toMatch(/<html lang="en" data-asked="en">/);
    expect(french.body).toMatch(/<html lang="en" data-asked="none">/);
    const tags = [spanish, english, french].map(({ headers }) => String(headers.get('etag')));
    expect(new Set(tags).size).toBe(3);
    const [ofSpanish = '', ofEnglish = ''] = tags;
    expect((await page('es', { 'if-none-match': ofSpanish })).status).toBe(304);
    expect((await page('es', { 'if-none-match': ofEnglish })).status).toBe(200);
  });

  test('signs in, lists what is due, and asks the service for everything in Spanish', async () => {
    const { page } = await open({ ...MEXICAN, hash: ALL_STATES });
    await page.getByRole('heading', { name: 'Iniciar sesión' }).waitFor();
    expect(await page.title()).toBe('Iniciar sesión · Weephole');
    expect(await englishOn(page, [])).toEqual([]);
    await page.getByLabel('Token').fill('wh_é');
    await page.getByRole('button', { name: 'Iniciar sesión' }).click();
    await page.getByText('ni letras con acento').waitFor();
    await signIn(page, fleet.manager.token, 'es');
    await loaded(page, 'Lista de trabajos por hacer');
    expect(await page.evaluate('document.documentElement.lang')).toBe('es');
    const { body } = await fleet.dashboard.get('/v1/due-list?state=late,due,window,not-due,no-baseline');
    const pump = body.items.find(({ component }: any) => component === 'water-pump');
    const row = page.locator(`[data-line="${pump.id}"]`);
    expect(await row.innerText()).toContain('bomba de agua: cambio');
    expect(await row.locator('.state').innerText()).toMatch(/^(atrasado|ya toca|pronto toca)$/);
    expect(await row.locator('.when').innerText()).toContain(inSpanish(pump.dueOn));
    await page.getByText('Cómo leer las franjas').click();
    await page.getByText('En vivo: los cambios').waitFor();
    expect(await englishOn(page, [...answered])).toEqual([]);
    expect(await seriousFindings(page)).toEqual([]);
    expect(asked.map(({ path }) => path)).toContain('/v1/due-list/events');
    expect(asked.filter(({ language }) => language !== 'es')).toEqual([]);
  });

  test('shows why a hold test failed on the page of a vehicle, also on a phone', async () => {
    const job = await failPressureTest();
    await raiseAlert();
    const { reasons } = job.readings[0].evaluation;
    expect(textsIn(reasons).join(' ')).toMatch(/^Perdió 3 psi en 10 minutos\. .*Encuentre la fuga/);
    const hash = `#/vehicle/${scenario.vehicleId}`;
    const { page } = await open({ ...MEXICAN, hash, viewport: { width: 360, height: 740 } });
    await signIn(page, fleet.dashboard.token, 'es');
    await loaded(page, 'R-114');
    const tests = page.getByRole('region', { name: 'Pruebas de hermeticidad', exact: true });
    expect(await tests.getByRole('row').nth(1).innerText()).toMatch(
      /^2 de abril de 2026,? a las 8:30\sa\.\s?m\.\s+presión\s+15 psi\s+12 psi\s+10\s+no pasa: Perdió 3 psi en 10 minutos\./,
    );
    const jobs = page.getByRole('region', { name: 'Trabajos hechos', exact: true });
    expect(await jobs.innerText()).toContain('Liberado para circular.');
    expect(await jobs.innerText()).toContain('bomba de agua: cambio (había fallado): seal weeping');
    await page.getByRole('alert').getByText('Liberado con hallazgos').waitFor();
    for (const summary of await page.locator('summary').all()) await summary.click();
    expect(await englishOn(page, ['seal weeping', 'accessory', ...answered])).toEqual([]);
    expect(await seriousFindings(page)).toEqual([]);
    expect(await page.evaluate('document.documentElement.scrollWidth')).toBe(360);
  });

  test('shows loss alerts, and what to check next', async () => {
    await raiseAlert();
    const { page } = await open({ ...MEXICAN, hash: '#/alerts', viewport: { width: 360, height: 740 } });
    await signIn(page, fleet.dashboard.token, 'es');
    await page.getByRole('heading', { name: 'R-114: Rellenos repetidos' }).waitFor();
    await page.getByText(/^Se activó el 13 de marzo de 2026/).waitFor();
    const { body } = await fleet.dashboard.get('/v1/loss-alerts', SPANISH);
    for (const check of textsIn(body.items[0].checkNext)) await page.getByText(check).waitFor();
    expect(await page.title()).toBe('Alertas de pérdida · Weephole');
    expect(await englishOn(page, [...answered])).toEqual([]);
    expect(await seriousFindings(page)).toEqual([]);
    expect(await page.evaluate('document.documentElement.scrollWidth')).toBe(360);
  });

  test('is turned by a switch, which the browser remembers, without signing in again', async () => {
    const { page } = await open({ ...MEXICAN, hash: '#/alerts' });
    await page.getByRole('button', { name: 'English' }).click();
    await page.getByRole('heading', { name: 'Sign in' }).waitFor();
    expect(await page.evaluate('localStorage.getItem("weephole-language")')).toBe('en');
    await signIn(page, fleet.dashboard.token, 'en');
    await page.getByText('No loss alerts.').waitFor();
    expect(new Set(asked.map(({ language }) => language))).toEqual(new Set(['en']));

    await page.getByRole('group', { name: 'Language' }).getByRole('button', { name: 'Español' }).click();
    await page.getByText('No hay alertas de pérdida.').waitFor();
    const group = page.getByRole('group', { name: 'Idioma' });
    expect(await group.getByRole('button', { pressed: true }).innerText()).toBe('Español');
    expect(await englishOn(page, [])).toEqual([]);
    await page.getByText('En vivo').waitFor();
    await page.reload();
    await page.getByText('No hay alertas de pérdida.').waitFor();
    expect(await page.evaluate('document.documentElement.lang')).toBe('es');

    // What was chosen comes before what the browser asks for, whose page is in English.
    await group.getByRole('button', { name: 'English' }).click();
    await page.getByText('No loss alerts.').waitFor();
    await page.reload();
    await page.getByText('No loss alerts.').waitFor();
    expect(await page.evaluate('document.documentElement.lang')).toBe('en');
    await page.getByRole('link', { name: 'Due list' }).click();
    await loaded(page, 'Due list');
  });

  test("is in the fleet's language, or the token's, for a browser that asks for neither", async () => {
    await made(fleet.manager.patch('/v1/fleet', { language: 'es' }));
    const french = await open({ ...FRENCH, hash: '#/alerts' });
    await signIn(french.page, fleet.dashboard.token, 'en', 'es');
    await french.page.getByText('No hay alertas de pérdida.').waitFor();
    expect(await french.page.evaluate('document.documentElement.lang')).toBe('es');
    const [first, ...others] = asked.splice(0);
    expect(first).toEqual({ path: '/v1/fleet', language: '*' });
    expect(new Set(others.map(({ language }) => language))).toEqual(new Set(['es']));
    await french.page.reload();
    await french.page.getByText('No hay alertas de pérdida.').waitFor();

    const issued = { name: 'wall', role: 'dashboard', language: 'en' };
    const { token } = await made(fleet.manager.post('/v1/tokens', issued));
    const ofToken = await open({ ...FRENCH, hash: '#/alerts' });
    await signIn(ofToken.page, token, 'en');
    await ofToken.page.getByText('No loss alerts.').waitFor();

    const english = await open({ locale: 'en-GB', hash: '#/alerts' });
    await signIn(english.page, fleet.dashboard.token, 'en');
    await english.page.getByText('No loss alerts.').waitFor();
  });
});

const MONTHS = [
  ...['enero', 'febrero', 'marzo', 'abril', 'mayo', 'junio', 'julio', 'agosto', 'septiembre'],
  ...['octubre', 'noviembre', 'diciembre'],
];

const inSpanish = (date: string): string => {
  const [year, month, day] = date.split('-').map(Number);
  return `${day} de ${MONTHS[Number(month) - 1]} de ${year}`;
};
