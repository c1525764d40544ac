import type { BrowserContext, BrowserContextOptions, Page } from 'playwright-core';
import { decodeQR } from 'qr/decode.js';
import sharp from 'sharp';
import { TestBrowser } from '../../support/browser.js';
import { labelOf } from '../../support/labels.js';
import { findingsOn } from '../../support/pages.js';
import { picture } from '../../support/pictures.js';
import { readPrintedPdf, squeezed } from '../../support/printed-pdf.js';
import { postScenario, type Scenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

/** A small phone. */
const PHONE = { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true } as const;

/** Reads a QR code as a phone's camera does: from a picture. */
async function scanned(screenshot: Buffer): Promise<string> {
  const { data, info } = await sharp(screenshot).ensureAlpha().raw().toBuffer({ resolveWithObject: true });
  return decodeQR({ width: info.width, height: info.height, data }, { timeLimit: 5_000 });
}

/** What is smaller than a thumb needs, or wider than the screen. */
function tooSmall(page: Page): Promise<string[]> {
  return page.evaluate(`(() => {
    const found = [];
    const { scrollWidth, clientWidth } = document.documentElement;
    if (scrollWidth > clientWidth) found.push('the page is ' + scrollWidth + ' px wide, of ' + clientWidth);
    for (const element of document.querySelectorAll('a, button, .tile, textarea, input:not([type=checkbox], [type=hidden])')) {
      const { width, height } = element.getBoundingClientRect();
      if (width < 44 || height < 44) found.push(element.outerHTML.slice(0, 80) + ' ' + width + ' x ' + height);
    }
    return found;
  })()`);
}

describe("a driver's day with the label", () => {
  const browser = new TestBrowser();
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;
  let contexts: BrowserContext[];
  let complaints: string[];

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T20:00:00Z' });
  });
  afterAll(async () => {
    await browser.close();
    await service?.stop();
  });
  beforeEach(prepare);
  afterEach(async () => {
    for (const context of contexts) await context.close();
    if (complaints.length > 0) throw new Error(`the browser complained: ${complaints.join('\n')}`);
  });

  async function prepare(): Promise<void> {
    [contexts, complaints] = [[], []];
    fleet = await service.newFleet();
    scenario = await postScenario(fleet, { unitNumber: 'R-12' });
    await labelOf(fleet, scenario.vehicleId);
  }

  async function tab(options: BrowserContextOptions): Promise<Page> {
    const context = await (await browser.get()).newContext(options);
    contexts.push(context);
    const page = await context.newPage();
    page.on('console', (message) => {
      if (['error', 'warning'].includes(message.type())) complaints.push(message.text());
    });
    page.on('pageerror', (error) => complaints.push(String(error)));
    return page;
  }

  /** The sheet of labels, as a manager prints it. */
  async function sheet(): Promise<Page> {
    const page = await tab({
      extraHTTPHeaders: { authorization: `Bearer ${fleet.manager.token}`, accept: 'text/html' },
    });
    await page.goto(`${service.url}/v1/vehicle-labels`);
    return page;
  }

  const test = browser.tests(prepare);

  test('leads from the printed code, by two taps and without a script, to "taken up" and "stays parked"', async () => {
    const printed = await sheet();
    const address = await scanned(await printed.locator('li').first().screenshot());
    expect(address).toMatch(new RegExp(`^${service.url}/l/`));

    const page = await tab({ ...PHONE, locale: 'en-US', javaScriptEnabled: false });
    await page.goto(address);
    await page.getByRole('heading', { name: 'R-12' }).waitFor();
    await page.getByText('Coolant on the ground').tap();
    await page.getByRole('button', { name: 'Send' }).tap();
    await page.getByRole('heading', { name: 'Report received' }).waitFor();
    await page.getByText('Nobody has looked at it yet.').waitFor();

    const { body } = await fleet.manager.get('/v1/defects?state=open');
    expect(body.items).toMatchObject([{ what: 'Coolant on the ground', origin: 'label', attachments: [] }]);
    const taken = { decidedBy: 'badge 7', component: 'water-pump', action: 'replace', vehicleStays: true };
    const triaged = await fleet.manager.post(`/v1/defects/${body.items[0].id}/triage`, taken);
    expect(triaged.status).toBe(200);

    await page.getByRole('link', { name: 'Look again' }).tap();
    await page.getByText('Taken up.').waitFor();
    await page.getByText('Do not drive. The vehicle stays parked until the defect is repaired.').waitFor();
  });

  test('takes a photo, words and a name in Spanish, and going back and sending again counts once', async () => {
    const { body: label } = await fleet.manager.get(`/v1/vehicles/${scenario.vehicleId}/label`);
    const page = await tab({ ...PHONE, locale: 'es-MX' });
    await page.goto(label.address);
    await page.getByText('Luz de advertencia encendida').tap();
    await page.getByLabel('Más detalles').fill('Se prendió en la subida');
    await page.getByLabel('Foto').setInputFiles({
      ...{ name: 'foto.jpg', mimeType: 'image/jpeg', buffer: await picture('jpeg') },
    });
    await page.getByRole('button', { name: 'Enviar' }).tap();
    await page.getByText('Llegó 1 foto').waitFor();
    await page.goBack();
    await page.getByRole('button', { name: 'Enviar' }).tap();
    await page.getByText('Nadie lo ha revisado todavía.').waitFor();
    const { body } = await fleet.manager.get('/v1/defects');
    expect(body.items).toHaveLength(1);
    expect(body.items[0]).toMatchObject({
      what: 'Warning lamp is on. Se prendió en la subida',
      attachments: [{ mediaType: 'image/jpeg' }],
    });
    await page.getByRole('link', { name: 'English' }).tap();
    await page.getByText('Nobody has looked at it yet.').waitFor();
  });

  for (const colorScheme of ['light', 'dark'] as const)
    test(`can be read by everybody, with a thumb, on a ${colorScheme} screen of 360 px`, async () => {
      const { body: label } = await fleet.manager.get(`/v1/vehicles/${scenario.vehicleId}/label`);
      const page = await tab({ ...PHONE, locale: 'es-MX', colorScheme });
      const check = async (): Promise<void> => {
        expect(await findingsOn(page)).toEqual([]);
        expect(await tooSmall(page)).toEqual([]);
      };
      await page.goto(label.address);
      await check();
      await page.getByRole('button', { name: 'Enviar' }).tap();
      await page.getByText('Toque qué problema tiene y luego envíe.').waitFor();
      complaints = complaints.filter((text) => !text.includes('status of 422'));
      await check();
      await page.getByText('Anticongelante en el piso').tap();
      await page.getByRole('button', { name: 'Enviar' }).tap();
      await page.getByRole('heading', { name: 'Reporte recibido' }).waitFor();
      await check();
      await page.goto(`${service.url}/l/${'A'.repeat(43)}`);
      complaints = complaints.filter((text) => !text.includes('status of 404'));
      await check();
    });

  test('begins with a sheet of ten labels on a page of A4 or US Letter, each of which can be scanned', async () => {
    for (let at = 0; at < 11; at++)
      await fleet.manager.post('/v1/vehicles', {
        ...{ unitNumber: `Ridge County ${at}`, duty: 'normal', status: 'in-use' },
      });
    await fleet.manager.post('/v1/vehicle-labels', {});
    const page = await sheet();
    for (const format of ['A4', 'Letter'] as const) {
      const printed = readPrintedPdf(await page.pdf({ format }));
      expect([format, printed.pages.length]).toEqual([format, 2]);
      expect(printed.text).toContain(squeezed('Ridge County 10'));
    }
    const addresses = new Set<string>();
    for (const label of await page.locator('li').all())
      addresses.add(await scanned(await label.screenshot()));
    const { body } = await fleet.manager.get('/v1/vehicle-labels');
    expect([...addresses].sort()).toEqual(body.items.map((item: any) => item.address).sort());
    expect(addresses.size).toBe(12);
  });
});
