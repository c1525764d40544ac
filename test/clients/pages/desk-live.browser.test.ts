import { onDesk } from '../../support/desk.js';
import { openPage } from '../../support/pages.js';
import { goodJob, postScenario, type Scenario } from '../../support/scenario.js';

const NOW = '2026-04-02T15:00:00Z';

describe('the desk while time passes', () => {
  let scenario: Scenario;
  const { browser, test, open, fleet, service } = onDesk(NOW, async (made) => {
    scenario = await postScenario(made);
  });

  const report = async (): Promise<void> => {
    const job = goodJob(scenario.vehicleId, '2026-04-02T10:00:00Z', 59_300);
    expect((await fleet().mechanic.post('/v1/job-reports', job)).status).toBe(201);
  };

  async function signIn(page: Awaited<ReturnType<typeof openPage>>['page'], token: string): Promise<void> {
    await page.getByLabel('Token').fill(token);
    await page.keyboard.press('Enter');
    await page.getByLabel('Token').waitFor({ state: 'detached' });
  }

  test('loads the list again when a stream that was refused before begins', async () => {
    const { page, complaints, close } = await openPage(await browser.get(), `${service().url}/desk/due`);
    await page.route('**/v1/due-list/events', (route) => route.abort());
    await signIn(page, fleet().dashboard.token);
    const pump = page.locator('tr[data-line]').filter({ hasText: 'water pump: replace' });
    await pump.waitFor();
    await page.getByText('Cut off').waitFor();
    await report();
    await page.unroute('**/v1/due-list/events');
    await pump.waitFor({ state: 'detached' });
    for (const complaint of complaints) expect(complaint).toMatch(/net::ERR/);
    await close();
  });

  test('comes back with the id of what it heard last, and is told what it missed', async () => {
    const { page, complaints } = await open('/desk/due');
    const pump = page.locator('tr[data-line]').filter({ hasText: 'water pump: replace' });
    await pump.waitFor();
    await page.getByText('Live: changes show').waitFor();
    for (const address of ['**/v1/due-list/events', '**/v1/due-list?*'])
      await page.route(address, (route) => route.abort());
    service().app.getHttpServer().closeAllConnections();
    await page.getByText('Cut off').waitFor();
    await report();
    const asked = page.waitForRequest(
      (request) => request.url().endsWith('/events') && Boolean(request.headers()['last-event-id']),
    );
    await page.unroute('**/v1/due-list/events');
    await asked;
    // The list itself cannot be loaded yet: it was told.
    await pump.waitFor({ state: 'detached' });
    await page.getByText('Live: changes show').waitFor();
    // Whoever cannot see the mark on a line hears how many changed.
    await page.getByRole('status').filter({ hasText: 'changed since you opened this page' }).waitFor();
    await page.unroute('**/v1/due-list?*');
    for (const complaint of complaints.splice(0)) expect(complaint).toMatch(/net::ERR/);
  });

  test('tells managers why reminders may not arrive, and ceases by itself', async () => {
    const { page, complaints, close } = await openPage(await browser.get(), `${service().url}/desk`);
    await page.clock.install();
    await page.reload();
    await signIn(page, fleet().manager.token);
    const part = page.getByRole('region', { name: 'Reminders that may not arrive' });
    await part.waitFor();
    const { body } = await fleet().manager.get('/v1/due-list/summary');
    expect(body.deliveryTroubles.map(({ kind }: any) => kind)).toContain('nobody-hears');
    expect(await part.getByRole('listitem').allInnerTexts()).toEqual(
      body.deliveryTroubles.map(({ message }: any) => message.text),
    );
    // Nothing changes in the fleet: a worker comes by, and a target is told about due lines.
    const { admin } = service().database;
    await admin.query(
      `insert into workers (id, seen_at) values (gen_random_uuid(), now() + interval '1 hour')`,
    );
    await admin.query(
      `insert into reminder_targets (fleet_id, id, kind, address, hears, stages, digest)
       values ($1, gen_random_uuid(), 'email', 'shop@example.com', array['due-line'], array['due'], 'each')`,
      [fleet().fleetId],
    );
    await page.clock.fastForward(61_000);
    await part.waitFor({ state: 'detached' });
    await admin.query('delete from workers');
    await page.clock.fastForward(61_000);
    await page.getByText('No worker of the service is running').waitFor();
    expect(complaints).toEqual([]);
    await close();
  });

  test('asks for a token again, and says why, when its token is revoked', async () => {
    const issued = (await fleet().manager.post('/v1/tokens', { name: 'wall', role: 'dashboard' })).body;
    const { page, findings, close } = await openPage(await browser.get(), `${service().url}/desk/due`);
    expect(await page.getByText('This sign-in has ended').count()).toBe(0);
    await signIn(page, issued.token);
    await page.locator('tr[data-line]').first().waitFor();
    expect(await page.evaluate('document.cookie')).toBe('');
    expect(await page.evaluate('JSON.stringify({ ...localStorage, ...sessionStorage })')).not.toContain(
      'wh_',
    );
    expect((await fleet().manager.delete(`/v1/tokens/${issued.id}`)).status).toBe(204);
    await page.getByText('This sign-in has ended. Sign in again.').waitFor();
    expect(await findings()).toEqual([]);
    expect(await page.locator('tr[data-line]').count()).toBe(0);
    expect(await page.getByRole('navigation', { name: 'Views' }).count()).toBe(0);
    await signIn(page, fleet().dashboard.token);
    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.getByLabel('Token').waitFor();
    expect(await page.getByText('This sign-in has ended').count()).toBe(0);
    await close();
  });
});
