import { type OpenedPage, openPage } from '../../support/pages.js';
import { TestBrowser } from '../../support/browser.js';
import { postScenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const NOW = '2026-04-02T15:00:00Z';

describe('the desk', () => {
  const browser = new TestBrowser();
  let service: Service;
  let fleet: FleetHandle;
  let opened: OpenedPage[];

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
    fleet = await service.newFleet();
    await postScenario(fleet);
  }
  afterEach(async () => {
    const complaints = opened.flatMap((one) => one.complaints);
    for (const { close } of opened) await close();
    if (complaints.length > 0) throw new Error(`the browser complained: ${complaints.join('\n')}`);
  });

  async function open(path: string, options = {}): Promise<OpenedPage> {
    const page = await openPage(await browser.get(), `${service.url}${path}`, options);
    opened.push(page);
    return page;
  }

  const test = browser.tests(prepare);

  test('shows what the due list holds to whoever signs in, in the language that the browser asks for', async () => {
    const { page, transferred, findings } = await open('/desk', { locale: 'es-MX' });
    await page.getByLabel('Token').fill('wh_wrong');
    await page.getByRole('button', { name: 'Iniciar sesión' }).click();
    await page.getByText('Este token no se acepta.').waitFor();
    expect(await findings()).toEqual([]);
    await page.getByLabel('Token').fill(fleet.manager.token);
    await page.getByRole('button', { name: 'Iniciar sesión' }).click();
    // What needs a decision comes first.
    await page.getByRole('heading', { name: 'Hoy' }).waitFor();
    await page.locator('[data-vehicle]').first().waitFor();
    expect(new URL(page.url()).pathname).toBe('/desk/today');
    expect(await findings()).toEqual([]);
    expect(transferred().reduce((sum, { bytes }) => sum + bytes, 0)).toBeLessThan(200_000);
    await page.getByRole('link', { name: 'Pendientes' }).click();
    await page.getByRole('heading', { name: 'Pendientes' }).waitFor();
    const { body } = await fleet.manager.get('/v1/due-list');
    await page.getByRole('row').nth(1).waitFor();
    expect(await page.getByRole('row').count()).toBe(1 + body.items.length);
    await page.getByRole('button', { name: 'English' }).click();
    await page.getByRole('heading', { name: 'Due' }).waitFor();
    expect(await page.title()).toBe('Due · Weephole');
    expect(await findings()).toEqual([]);
    expect(transferred().reduce((sum, { bytes }) => sum + bytes, 0)).toBeLessThan(200_000);
  });

  for (const colorScheme of ['light', 'dark'] as const)
    for (const width of [360, 1280])
      test(`is within reach of everybody, ${colorScheme}, ${width} px wide`, async () => {
        const { page, findings } = await open('/desk', { colorScheme, viewport: { width, height: 800 } });
        expect(await findings()).toEqual([]);
        await page.getByLabel('Token').fill(fleet.manager.token);
        await page.keyboard.press('Enter');
        await page.locator('[data-vehicle]').first().waitFor();
        expect(await findings()).toEqual([]);
        await page.goto(`${service.url}/desk/due`);
        await page.getByRole('row').nth(1).waitFor();
        expect(await findings()).toEqual([]);
        expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
      });

  test('takes nothing from another place, and nothing that is inline', async () => {
    const answer = await fetch(`${service.url}/desk/due?x=1`);
    expect(answer.status).toBe(200);
    expect(answer.headers.get('content-security-policy')).not.toContain('unsafe');
    const { page, transferred } = await open('/desk/due');
    await page.getByLabel('Token').waitFor();
    for (const { url } of transferred()) expect(new URL(url).origin).toBe(service.url);
  });
});
