import { freePort } from '../../support/redis-server.mjs';
import { TestBrowser } from '../../support/browser.js';
import { type OpenedPage, openPage } from '../../support/pages.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { startSignInProvider } from '../../support/sign-in-provider.js';

describe('signing in with the account of an organisation', () => {
  const browser = new TestBrowser();
  let provider: Awaited<ReturnType<typeof startSignInProvider>>;
  let service: Service;
  let fleet: FleetHandle;
  let opened: OpenedPage[];

  beforeAll(async () => {
    const port = await freePort();
    const url = `http://127.0.0.1:${port}`;
    provider = await startSignInProvider(`${url}/sign-in`);
    service = await startService({
      // The provider has the time of day.
      at: new Date().toISOString(),
      env: {
        PORT: String(port),
        ...{ OIDC_ISSUER: provider.url, OIDC_AUDIENCE: 'weephole' },
        ...{ OIDC_CLIENT_ID: 'weephole-pages', PUBLIC_URL: url },
      },
    });
  });
  afterAll(async () => {
    await browser.close();
    await service?.stop();
    await provider?.close();
  });

  beforeEach(prepare);
  async function prepare(): Promise<void> {
    opened = [];
    fleet = await service.newFleet();
    const fleetClaims = { weephole_fleet: fleet.fleetId, weephole_role: 'mechanic' };
    provider.who.claims = { name: 'Ana Ferreira', ...fleetClaims };
  }
  afterEach(async () => {
    const complaints = opened.flatMap((one) => one.complaints);
    for (const { close } of opened) await close();
    if (complaints.length > 0) throw new Error(`the browser complained: ${complaints.join('\n')}`);
  });

  async function open(path: string, base = service.url): Promise<OpenedPage> {
    const page = await openPage(await browser.get(), `${base}${path}`, { locale: 'en-US' });
    opened.push(page);
    return page;
  }
  const BUTTON = { name: 'Sign in with your organisation’s account' };

  const test = browser.tests(prepare);

  test('opens the page that fits the role which a real provider gives', async () => {
    const { page, findings } = await open('/desk');
    await page.getByRole('button', BUTTON).waitFor();
    expect(await findings()).toEqual([]);
    await page.getByRole('button', BUTTON).click();
    await page.waitForURL('**/phone');
    await page.getByRole('heading', { level: 1 }).waitFor();
    expect(await page.evaluate(`fetch('/v1/me').then((answer) => answer.json())`)).toMatchObject({
      ...{ role: 'mechanic', person: { name: 'Ana Ferreira' }, fleet: { id: fleet.fleetId } },
    });
    expect(await page.evaluate('document.cookie + sessionStorage.length')).toBe('0');
  });

  test('says that the provider or the person said no, and can be begun again', async () => {
    provider.who.claims = null;
    const { page } = await open('/sign-in');
    await page.getByRole('button', BUTTON).click();
    await page.getByRole('alert').getByText('ended without letting you in').waitFor();
    expect(new URL(page.url()).search).toBe('');
    provider.who.claims = { weephole_fleet: fleet.fleetId, weephole_role: 'manager' };
    await page.getByRole('button', BUTTON).click();
    await page.waitForURL(/\/desk/);
  });

  test('signs nobody in by an address that this tab did not ask for', async () => {
    const { page } = await open('/sign-in?code=planted&state=planted');
    await page.getByRole('alert').getByText('was not begun in this tab').waitFor();
    expect(new URL(page.url()).search).toBe('');
    expect(await page.evaluate(`fetch('/v1/me').then(({ status }) => status)`)).toBe(401);
  });
});
