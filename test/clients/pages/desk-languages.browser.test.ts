import type { Page } from 'playwright-core';
import { onDesk } from '../../support/desk.js';
import { matterMaker } from '../../support/matters.js';
import { englishOn } from '../../support/page-words.js';
import { until } from '../../support/receiver.js';
import { goodJob, postScenario, type Scenario } from '../../support/scenario.js';

const NOW = '2026-04-02T15:00:00Z';
/** A browser from Mexico, and one that asks for no language that there is. */
const MEXICAN = { locale: 'es-MX' };
const FRENCH = { locale: 'fr-FR' };

describe('the language of the desk', () => {
  let scenario: Scenario;
  /** Every sentence that the service answered to the page: it is none of the page's own. */
  const answered = new Set<string>();
  const { test, open, fleet, service } = onDesk(NOW, async (made) => {
    answered.clear();
    scenario = await postScenario(made);
    await (await matterMaker(made, scenario)).make('loss-alert', 'A-1');
    const job = goodJob(scenario.vehicleId, '2026-03-12T10:00:00Z', 53_700);
    await made.mechanic.post('/v1/job-reports', job);
  });

  /** Keeps what is said in sentences; a word alone would hide the same word of the page. */
  function keepTexts(value: unknown): void {
    if (typeof value === 'string' && value.includes(' ')) answered.add(value);
    if (typeof value === 'object' && value !== null) for (const part of Object.values(value)) keepTexts(part);
  }

  const settled = (page: Page): Promise<void> =>
    until(async () => (await page.locator('[aria-busy=true], main > p[role=status]').count()) === 0);

  const spoken = (page: Page): Promise<string> => page.evaluate('document.documentElement.lang');

  test('is Spanish in every view, with no English word left', async () => {
    const { page } = await open('/desk', MEXICAN);
    const asked: (string | undefined)[] = [];
    page.on('request', (request) => {
      if (request.url().includes('/v1/')) asked.push(request.headers()['accept-language']);
    });
    page.on('response', (response) => {
      if (!/\bjson\b/.test(response.headers()['content-type'] ?? '')) return;
      void response.json().then(keepTexts, () => undefined);
    });
    for (const path of [
      ...['today', 'due', 'vehicles', `vehicles/${scenario.vehicleId}`, 'visits', 'alerts', 'reports'],
      ...['readings', 'files', 'people', 'settings'],
    ]) {
      await page.goto(`${service().url}/desk/${path}`);
      await page.getByRole('heading', { level: 1 }).waitFor();
      await settled(page);
      for (const summary of await page.locator('summary').all()) await summary.click();
      const given = ['seal weeping', 'accessory', 'badge 7', 'English', ...answered];
      expect([path, await englishOn(page, given)]).toEqual([path, []]);
    }
    expect(asked.length).toBeGreaterThan(20);
    expect(asked.filter((language) => language !== 'es')).toEqual([]);
  });

  test('is turned by a switch, which the browser remembers', async () => {
    const { page } = await open('/desk/alerts', MEXICAN);
    await page.getByRole('heading', { level: 1, name: 'Alertas' }).waitFor();
    await page.getByRole('button', { name: 'English' }).click();
    await page.getByRole('heading', { level: 1, name: 'Alerts' }).waitFor();
    await page.reload();
    await page.getByRole('heading', { level: 1, name: 'Alerts' }).waitFor();
    expect(await spoken(page)).toBe('en');
    const group = page.getByRole('group', { name: 'Language' });
    expect(await group.getByRole('button', { pressed: true }).innerText()).toBe('English');
  });

  test("is the fleet's, or the token's, for a browser that asks for neither", async () => {
    expect((await fleet().manager.patch('/v1/fleet', { language: 'es' })).status).toBe(200);
    const french = await open('/desk/alerts', FRENCH);
    await french.page.getByRole('heading', { level: 1, name: 'Alertas' }).waitFor();
    expect(await spoken(french.page)).toBe('es');
    await french.page.reload();
    await french.page.getByRole('heading', { level: 1, name: 'Alertas' }).waitFor();

    const issued = { name: 'wall', role: 'dashboard', language: 'en' };
    const { token } = (await fleet().manager.post('/v1/tokens', issued)).body;
    const ofToken = await open('/desk/alerts', FRENCH, token);
    await ofToken.page.getByRole('heading', { level: 1, name: 'Alerts' }).waitFor();

    const english = await open('/desk/alerts', { locale: 'en-GB' });
    await english.page.getByRole('heading', { level: 1, name: 'Alerts' }).waitFor();
  });
});
