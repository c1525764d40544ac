import type { Page } from 'playwright-core';
import { onDesk } from '../../support/desk.js';
import { textsIn } from '../../support/english.js';
import { HYBRID_SHEET } from '../../support/hybrid.js';
import { goodJob, postScenario, type Scenario } from '../../support/scenario.js';

const NOW = '2026-04-02T15:00:00Z';
const HOSTILE = '"><img src=x onerror=alert(1)>';

describe('what was found on a vehicle, on the desk', () => {
  let scenario: Scenario;
  const { test, open, fleet } = onDesk(NOW, async (made) => {
    scenario = await postScenario(made);
  });

  const address = (id = scenario.vehicleId): string => `/desk/vehicles/${id}`;
  const plain = (text: string): string => text.replaceAll(/\s+/g, ' ').trim();
  const part = (page: Page, name: string) => page.getByRole('region', { name, exact: true });

  async function made(answer: Promise<{ status: number; body: any }>): Promise<any> {
    const { status, body } = await answer;
    expect([status, status < 300 ? null : body]).toEqual([expect.any(Number), null]);
    return body;
  }

  test('is what it reported: what is wrong, then what to do', async () => {
    const { vehicleId } = scenario;
    const seen = (code: string, seenAt: string, more = {}) => ({ vehicleId, code, seenAt, ...more });
    await made(
      fleet().mechanic.post('/v1/faults', {
        faults: [
          seen('SPN 111 FMI 1', '2026-04-01T14:00:00Z'),
          seen('P0A06', '2026-03-20T12:00:00Z'),
          seen('P0420', '2026-04-01T14:00:00Z'),
          seen('P0217', '2026-02-01T12:00:00Z'),
          seen('P0217', '2026-02-02T12:00:00Z', { active: false }),
        ],
      }),
    );
    const { page, findings } = await open(address());
    const items = part(page, 'What the vehicle reported').locator('[data-fault]');
    await items.nth(2).waitFor();
    // April: UTC-6 in Denver; February: UTC-7. P0420 is about neither coolant nor belt.
    const texts = (await items.allTextContents()).map(plain);
    expect(texts).toEqual([
      expect.stringMatching(
        /^The coolant level is low SPN 111 FMI 1Active since Apr 1, 2026, 8:00 AM, last seen Apr 1, 2026, 8:00 AM\.coolant: inspect\. .*The vehicle reports a low coolant level\. Fill up and find the leak before it is driven/,
      ),
      'Power electronics circuit: Electrical fault of the coolant pump P0A06Active since Mar 20, 2026, 6:00 AM, last seen Mar 20, 2026, 6:00 AM.No work is open because of it.',
      // Its reasons are those of the first, and are not said again.
      expect.stringMatching(
        /^The engine overheated P0217Seen from Feb 1, 2026, 5:00 AM, gone Feb 2, 2026, 5:00 AM\.head gasket: test\. The engine overheated\. .*coolant: inspect$/,
      ),
    ]);
    expect(await findings()).toEqual([]);
  });

  test('is every reading with its values and why, in jobs and outside', async () => {
    const path = `/v1/vehicles/${scenario.vehicleId}/readings`;
    const pressure = await made(
      fleet().mechanic.post(path, {
        ...{ kind: 'hold-test', method: 'pressure', takenAt: '2026-03-28T10:00:00Z', engineCold: true },
        ...{ start: { value: 15, unit: 'psi' }, end: { value: 12, unit: 'psi' }, minutes: 10 },
      }),
    );
    const job = goodJob(scenario.vehicleId, '2026-03-12T10:00:00Z', 53_700);
    await made(fleet().mechanic.post('/v1/job-reports', job));
    const { page, findings } = await open(address());
    const measured = part(page, 'What was measured').locator('[data-reading]');
    const { body } = await fleet().manager.get(`${path}?limit=20`);
    await measured.nth(body.items.length - 1).waitFor();
    expect(await measured.count()).toBe(body.items.length);
    const failed = part(page, 'What was measured').locator(`[data-reading="${pressure.id}"]`);
    expect(plain(await failed.innerText())).toBe(
      `Mar 28, 2026, 4:00 AM pressure test: fail 15 psi at the start, 12 psi after 10 min. ${textsIn(pressure.evaluation.reasons).join(' ')}`,
    );
    await measured.filter({ hasText: '22 inHg at the start, 21.7 inHg after 6 min.' }).waitFor();
    expect(await findings()).toEqual([]);
  });

  test('is how much is left of each interval, by which limit it comes due, and how to read the strips', async () => {
    const readings = [1, 8, 15, 22, 29].map((day, index) => ({
      ...{ vehicleId: scenario.vehicleId, readAt: `2026-03-${String(day).padStart(2, '0')}T14:00:00Z` },
      odometer: { value: 58_000 + index * 300, unit: 'mi' },
    }));
    await made(fleet().manager.post('/v1/usage-readings', { readings }));
    const { page } = await open(address());
    const { body } = await fleet().manager.get(
      `/v1/due-list?vehicleId=${scenario.vehicleId}&state=late,due,window,not-due,no-baseline`,
    );
    const [line] = body.items.filter(({ trigger, remaining }: any) => trigger !== null && remaining.distance);
    const { value } = line.remaining.distance;
    const amount = Math.round(Math.abs(value)).toLocaleString('en-US');
    const said = value < 0 ? `${amount} mi over.` : `${amount} mi left.`;
    await page.locator('table.of-vehicle .why').filter({ hasText: said }).first().waitFor();
    await page.getByText('How to read the strips').click();
    const shapes = await page.evaluate<string[]>(
      `[...document.querySelectorAll('.legend .mark')].map((mark) => mark.innerHTML)`,
    );
    expect(new Set(shapes).size).toBe(5);
  });

  test('is drawn for each circuit of it, with its name', async () => {
    const specSheetId = (await made(fleet().manager.post('/v1/spec-sheets', HYBRID_SHEET))).id;
    const { id } = await made(fleet().manager.post('/v1/vehicles', { unitNumber: 'H-7', specSheetId }));
    for (const [circuit, day] of [
      ['engine', '10'],
      ['battery', '11'],
      ['battery', '20'],
    ])
      await made(
        fleet().mechanic.post(`/v1/vehicles/${id}/readings`, {
          ...{ kind: 'top-up', circuit, takenAt: `2026-03-${day}T12:00:00Z` },
          ...{ added: { value: 0.3, unit: 'L' }, toMark: true, strengthPercent: 50, planned: false },
        }),
      );
    const { body } = await fleet().manager.get(`/v1/vehicles/${id}/loss-trend?circuit=battery`);
    const lost = body.series.find(({ name }: any) => name === 'cumulative-loss').points.length;
    expect(lost).toBe(2);
    const { page } = await open(address(id));
    const charts = (name: string) => page.locator('figure').filter({ hasText: name });
    const battery = charts('Coolant lost, as far as known, battery circuit');
    await battery.getByText(`lost in all: ${lost} values`).waitFor({ state: 'attached' });
    const engine = charts('Coolant lost, as far as known, engine circuit');
    await engine.getByText('lost in all: one value').waitFor({ state: 'attached' });
  });

  test('is plain text, whatever somebody wrote', async () => {
    const depot = await made(fleet().manager.post('/v1/depots', { name: `<b>${HOSTILE}` }));
    const vehicle = { unitNumber: HOSTILE, depotId: depot.id, make: '<script>alert(2)</script>' };
    const { id } = await made(
      fleet().manager.post('/v1/vehicles', { ...vehicle, intervalPlanId: scenario.intervalPlanId }),
    );
    const lines = [{ component: 'coolant', action: 'flush', finding: HOSTILE }];
    const job = { ...goodJob(id, '2026-04-01T10:00:00Z', 100), lines, readings: [], performedBy: HOSTILE };
    await made(fleet().mechanic.post('/v1/job-reports', job));
    const { page } = await open('/desk/vehicles');
    await page.getByRole('link', { name: HOSTILE }).first().click();
    await page.getByRole('heading', { level: 1, name: HOSTILE }).waitFor();
    await part(page, 'History').getByText(`coolant: flush. ${HOSTILE}`).waitFor();
    await page.locator('.facts').getByText(`<b>${HOSTILE}`).waitFor();
    expect(await page.evaluate(`document.querySelectorAll('main img, main script, main b').length`)).toBe(0);
    await page.getByRole('link', { name: 'Job card to print' }).click();
    await page.frameLocator('iframe').getByRole('heading', { level: 1, name: HOSTILE }).waitFor();
  });
});
