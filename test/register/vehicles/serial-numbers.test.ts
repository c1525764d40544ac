import { postScenario } from '../../support/scenario.js';
import { type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

/** Invented, of the form of ISO 10261. */
const PIN = 'XYZ00420JKA012345';

describe("a machine's serial number", () => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
  });
  beforeEach(async () => {
    fleet = await service.newFleet();
  });
  afterAll(() => service.stop());

  const importing = (csv: string, query = '') =>
    fleet.manager.send('POST', `/v1/vehicles/import${query}`, csv, { 'content-type': 'text/csv' });

  it('replaces a VIN, can be searched by a part of it, and is on the job card', async () => {
    const { vehicleId } = await postScenario(fleet, { serialNumber: ` ${PIN} ` });
    const { body } = await fleet.manager.get(`/v1/vehicles/${vehicleId}`);
    expect([body.serialNumber, body.vin, body.notices]).toEqual([PIN, null, []]);
    await fleet.manager.post('/v1/vehicles', { unitNumber: 'R-115' });
    const found = await fleet.manager.get('/v1/vehicles?q=jka0123');
    expect(found.body.items.map((item: any) => item.unitNumber)).toEqual(['R-114']);
    const card = await fleet.mechanic.get(`/v1/vehicles/${vehicleId}/job-card`);
    expect(card.body.vehicle.serialNumber).toBe(PIN);
    const changed = await fleet.manager.patch(`/v1/vehicles/${vehicleId}`, { serialNumber: 'B 77/2' });
    expect(changed.body.serialNumber).toBe('B 77/2');
    const cleared = await fleet.manager.patch(`/v1/vehicles/${vehicleId}`, { serialNumber: null });
    expect([cleared.status, cleared.body.serialNumber]).toEqual([200, null]);
  });

  it('can be imported from a spreadsheet and exported to one', async () => {
    const taken = await importing(`Unit,Serial No.,VIN\nL-1,${PIN},\nL-2,,WXY11111211111111\n`);
    expect(taken.body).toMatchObject({ accepted: 2, rejected: 0 });
    expect(inText(taken.body.notices)).toEqual([
      { line: 3, column: 'VIN', detail: expect.stringMatching(/^has the check digit 2/) },
    ]);
    const written = (await fleet.manager.get('/v1/vehicles.csv')).body as string;
    const [header, first] = written.split('\r\n').map((line) => line.split(','));
    expect(first?.[header?.indexOf('serialNumber') ?? -1]).toBe(PIN);
    expect((await importing(written)).body).toMatchObject({ accepted: 0, duplicate: 2 });
    const other = await importing(`unitNumber,pin\nL-1,${PIN}9\n`);
    expect(other.body.errors[0].detail).toMatch(/exists already, with another serialNumber/);
  });

  it('is no more than 40 characters long', async () => {
    const answer = await fleet.manager.post('/v1/vehicles', {
      unitNumber: 'L-1',
      serialNumber: 'x'.repeat(41),
    });
    expect([answer.status, answer.body.errors]).toEqual([
      422,
      [
        {
          pointer: '/serialNumber',
          code: 'field-too-long',
          values: { length: 41, max: 40 },
          detail: 'is 41 characters long; at most 40 are kept',
        },
      ],
    ]);
  });
});
