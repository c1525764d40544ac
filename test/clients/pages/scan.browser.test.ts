import type { BrowserContextOptions, Page } from 'playwright-core';
import { TestBrowser } from '../../support/browser.js';
import { fakeCamera } from '../../support/camera.js';
import { type OpenedPage, openPage } from '../../support/pages.js';
import { postScenario, type Scenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';

const PHONE = { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true };
const MAY_FILM = { ...PHONE, permissions: ['camera'] };

describe('scanning the label of a vehicle', () => {
  const camera = fakeCamera();
  const browser = new TestBrowser(camera.args);
  const bare = new TestBrowser();
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;
  let opened: OpenedPage[];

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
  });
  afterAll(async () => {
    await browser.close();
    await bare.close();
    await service?.stop();
    camera.remove();
  });

  beforeEach(prepare);
  async function prepare(): Promise<void> {
    opened = [];
    fleet = await service.newFleet();
    scenario = await postScenario(fleet);
  }
  afterEach(async () => {
    const complaints = opened.flatMap((one) => one.complaints);
    for (const { close } of opened) await close();
    if (complaints.length > 0) throw new Error(`the browser complained: ${complaints.join('\n')}`);
  });

  const test = browser.tests(prepare);
  const onBare = bare.tests(prepare);

  const labelOf = async (of = fleet, vehicleId = scenario.vehicleId): Promise<string> =>
    (await of.manager.post(`/v1/vehicles/${vehicleId}/label`)).body.address;

  async function open(of: TestBrowser, options: BrowserContextOptions = MAY_FILM): Promise<OpenedPage> {
    const page = await openPage(await of.get(), `${service.url}/phone`, options);
    opened.push(page);
    await page.page.getByLabel('Token').fill(fleet.mechanic.token);
    await page.page.keyboard.press('Enter');
    return page;
  }
  const scan = (page: Page): Promise<void> => page.getByRole('link', { name: 'Scan the label' }).click();

  test('opens its vehicle, wherever the printed address once led', async () => {
    await camera.see((await labelOf()).replace(service.url, 'https://old.example'));
    const { page } = await open(browser);
    await scan(page);
    await page.getByRole('heading', { name: 'R-114' }).waitFor();
    expect(new URL(page.url()).pathname).toBe(`/phone/v/${scenario.vehicleId}`);
    // The camera was not in between: back leads to the first screen.
    await page.goBack();
    await page.getByRole('link', { name: 'Scan the label' }).waitFor();
  });

  test('uses what the browser finds by itself, where it can', async () => {
    await camera.see(null);
    const address = await labelOf();
    const { page } = await open(browser);
    await page.evaluate((seen) => {
      class BarcodeDetector {
        static getSupportedFormats = async () => ['qr_code'];
        detect = async () => [{ rawValue: seen }];
      }
      Object.assign(globalThis, { BarcodeDetector });
    }, address);
    await scan(page);
    await page.getByRole('heading', { name: 'R-114' }).waitFor();
  });

  test('says that a label is of another fleet, and shows nothing of it', async () => {
    const other = await service.newFleet();
    const theirs = await postScenario(other, { unitNumber: 'THEIRS-1' });
    await camera.see(await labelOf(other, theirs.vehicleId));
    const { page, findings } = await open(browser);
    await scan(page);
    await page.getByText('This label leads to no vehicle of yours').waitFor();
    expect(await page.content()).not.toContain('THEIRS-1');
    expect(await findings()).toEqual([]);
    expect(await page.evaluate('document.documentElement.scrollWidth')).toBeLessThanOrEqual(360);
    await page.getByLabel('Unit number').fill('r-11');
    await page.getByRole('link', { name: /R-114/ }).click();
    await page.getByRole('heading', { name: 'R-114' }).waitFor();
  });

  test('says that another code is no label', async () => {
    await camera.see('https://parts.example/box/12345');
    const { page } = await open(browser, { ...MAY_FILM, locale: 'es-MX' });
    await page.getByRole('link', { name: 'Escanear la etiqueta' }).click();
    await page.getByText('Esta no es la etiqueta de un vehículo.').waitFor();
    await page.getByLabel('Número de unidad').waitFor();
  });

  test('says that the camera is refused, and typing stays', async () => {
    await camera.see(await labelOf());
    const { page, findings } = await open(browser, PHONE);
    await scan(page);
    await page.getByText('The browser may not use the camera.').waitFor();
    expect(await findings()).toEqual([]);
    await page.getByLabel('Unit number').waitFor();
  });

  onBare('says that there is no camera', async () => {
    const { page } = await open(bare);
    await scan(page);
    await page.getByText('This device has no camera').waitFor();
    await page.getByLabel('Unit number').waitFor();
  });

  test('finds a kept label without a network, and says which it does not know', async () => {
    await camera.see(await labelOf());
    const { page, complaints } = await open(browser);
    const labels = page.waitForResponse('**/v1/vehicle-labels?*');
    await page.getByRole('link', { name: /R-114/ }).waitFor();
    await (await labels).finished();
    await page.evaluate('navigator.serviceWorker.ready.then(() => undefined)');
    await page.context().setOffline(true);
    await scan(page);
    await page.getByRole('heading', { name: 'R-114' }).waitFor();
    await camera.see(`${service.url}/l/${'A'.repeat(43)}`);
    await page.goto(`${service.url}/phone/scan`);
    await page.getByText('this phone does not know the label').waitFor();
    const other = complaints.splice(0).filter((one) => !one.includes('net::ERR_INTERNET_DISCONNECTED'));
    expect(other).toEqual([]);
  });

  test('is allowed the camera on the phone page, for itself, and on no other page', async () => {
    const allowed = async (path: string) =>
      (await fetch(service.url + path)).headers.get('permissions-policy')?.split(', ')[0];
    expect(await allowed('/phone/scan')).toBe('camera=(self)');
    expect([await allowed('/desk'), await allowed('/sign-in')]).toEqual(['camera=()', 'camera=()']);
  });
});
