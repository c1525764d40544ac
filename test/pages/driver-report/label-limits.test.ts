import { idOf, labelOf, open, sendForm } from '../../support/labels.js';
import { postScenario } from '../../support/scenario.js';
import { type Service, startService } from '../../support/service.js';

describe('the limits of what labels take', () => {
  let service: Service;

  beforeAll(async () => {
    service = await startService({
      env: { LABEL_REQUESTS_PER_MINUTE: '12', LABEL_REPORTS_PER_MINUTE: '2', TRUST_PROXY: '1' },
    });
  });
  afterAll(() => service.stop());

  it('count reports by vehicle, and requests by address, whether or not a label exists', async () => {
    const fleet = await service.newFleet();
    const { vehicleId } = await postScenario(fleet, { unitNumber: 'R-12' });
    const label = service.url + (await labelOf(fleet, vehicleId));
    const form = { id: idOf(await open(label)), trouble: ['belt-noise'] };
    const statuses: number[] = [];
    for (let at = 0; at < 3; at++) statuses.push((await sendForm(label, form, 'es')).status);
    expect(statuses).toEqual([303, 303, 429]);
    const refused = await sendForm(label, form, 'es');
    expect(refused.text).toContain('Se envió demasiado desde aquí');
    expect(Number(refused.headers.get('retry-after'))).toBeGreaterThan(0);
    const guesses: number[] = [];
    for (let at = 0; at < 12; at++) guesses.push((await open(`${service.url}/l/${'A'.repeat(43)}`)).status);
    expect(guesses).toEqual([
      ...Array.from({ length: 7 }, () => 404),
      ...Array.from({ length: 5 }, () => 429),
    ]);
    expect((await open(label)).status).toBe(429);
    const elsewhere = await fetch(label, { headers: { 'x-forwarded-for': '198.51.100.7' } });
    expect(elsewhere.status).toBe(200);
  });
});
