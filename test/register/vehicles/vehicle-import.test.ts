import { postScenario, type Scenario } from '../../support/scenario.js';
import { type Answer, type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

const CSV = { 'content-type': 'text/csv' };

describe('vehicles from a spreadsheet', () => {
  let service: Service;
  let fleet: FleetHandle;
  let scenario: Scenario;

  beforeAll(async () => {
    service = await startService();
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    fleet = await service.newFleet({ units: 'us' });
    scenario = await postScenario(fleet);
  });

  const send = (file: string | Buffer, query = ''): Promise<Answer> =>
    fleet.manager.send('POST', `/v1/vehicles/import${query}`, file, CSV);
  const unitNumbers = async (): Promise<string[]> =>
    (await fleet.manager.get('/v1/vehicles?limit=200')).body.items.map((item: any) => item.unitNumber);

  it('can have every field, under any of its names and in any order of columns', async () => {
    const answer = await send(
      [
        'In service ODOMETER (km),Unit,depot,Spec Sheet,interval_plan,Duty,status,VIN,make,model,Year,in-use months,In Service On,expectedDailyDistanceMi,design low temperature [°C],inServiceEngineHours',
        '100, T-1 ,ridge,Highland 4.6 petrol,Light trucks,Severe,Laid up,11111111111111111,"Alder, Ltd",A 40,2020,6 4 5,2020-03-01,40.5,-31,12',
        '',
      ].join('\r\n'),
    );
    expect(answer.body).toMatchObject({
      dryRun: false,
      rows: 1,
      accepted: 1,
      duplicate: 0,
      held: 0,
      rejected: 0,
      errors: [],
    });
    expect(answer.status).toBe(200);
    expect(answer.body.reading).toMatchObject({ encoding: 'utf-8', delimiter: 'comma' });
    expect(answer.body.reading.columns[0]).toEqual({
      header: 'In service ODOMETER (km)',
      column: 'inServiceOdometer',
      unit: 'km',
    });
    const { body } = await fleet.manager.get('/v1/vehicles?unitNumber=T-1&units=si');
    expect(body.items[0]).toMatchObject({
      unitNumber: 'T-1',
      depotId: scenario.depotId,
      specSheetId: scenario.specSheetId,
      intervalPlanId: scenario.intervalPlanId,
      duty: 'severe',
      status: 'laid-up',
      vin: '11111111111111111',
      make: 'Alder, Ltd',
      model: 'A 40',
      modelYear: 2020,
      inUseMonths: [4, 5, 6],
      inServiceOn: '2020-03-01',
      inServiceOdometer: { value: 100, unit: 'km' },
      // 40.5 mi × 1.609344 km, the mile of NIST SP 811.
      expectedDailyDistance: { value: 65.178432, unit: 'km' },
      inServiceEngineHours: { value: 12, unit: 'h' },
      designLowTemperature: { value: -31, unit: 'C' },
    });
    const due = await fleet.manager.get('/v1/due-list?state=late,due,window,not-due,no-baseline&q=T-1');
    expect(due.body.items).toHaveLength(4);
  });

  it('are recognised in the same file again, and refused if they differ', async () => {
    const file = 'unitNumber,depot,inServiceOdometer\nT-1,Ridge,61250.3\nT-2,,7\n';
    expect((await send(file)).body).toMatchObject({ accepted: 2, duplicate: 0 });
    const before = await unitNumbers();
    expect((await send(file)).body).toMatchObject({ accepted: 0, duplicate: 2, rejected: 0 });
    expect(await unitNumbers()).toEqual(before);
    const other = await send('unitNumber,depot,inServiceOdometer\nT-1,Ridge,61251\nT-9,Ridge,1\n');
    expect(other.status).toBe(422);
    expect(inText(other.body.errors)).toEqual([
      expect.objectContaining({
        line: 2,
        column: 'unitNumber',
        value: 'T-1',
        detail: expect.stringContaining('exists already, with another inServiceOdometer'),
      }),
    ]);
    expect(await unitNumbers()).toEqual(before);
  });

  it('are not stored if a row is bad, with every bad row named; on request the good ones are', async () => {
    const file = [
      'unitNumber,vin,depot,modelYear,duty,inServiceOn,inServiceOdometer,mountedOn',
      'A-1,,Ridge,2019,,,"10",',
      '"A\n2",11111111111111112,Ridg,20x9,harsh,2099-01-01,"61,250",',
      'A-3,,,,,,,A-1',
      'A-1,,,,,,,',
      'A-4,,,,,,,A-3',
      ',,,1,,,,',
    ].join('\n');
    const refused = await send(file);
    expect(refused.status).toBe(422);
    expect(refused.headers.get('content-type')).toContain('application/problem+json');
    expect(refused.body.detail).toContain('4 of 6 rows cannot be taken, so nothing was kept');
    expect(refused.body).toMatchObject({ rows: 6, accepted: 0, rejected: 4, errorsLeftOut: 0 });
    const faults = refused.body.errors.map(({ line, column, value, detail }: any) => [
      line,
      column,
      value,
      detail,
    ]);
    expect(faults).toEqual(
      expect.arrayContaining([
        [3, 'modelYear', '20x9', 'is "20x9"; a number is needed, such as 2019 or 12.5'],
        [3, 'depot', 'Ridg', 'there is no such depot in this fleet; did you mean "Ridge"?'],
        [3, 'duty', 'harsh', 'is "harsh"; one of normal and severe is needed'],
        [
          3,
          'inServiceOdometer',
          '61,250',
          expect.stringContaining('may mean 61250 (thousands comma) or 61.25 (decimal comma)'),
        ],
        [6, 'unitNumber', 'A-1', 'is on line 2 already, and here on line 6'],
        [7, 'mountedOn', 'A-3', 'names A-3, which is itself mounted on another vehicle; name that one'],
        [8, 'modelYear', '1', 'is 1; it must be from 1900 to 2100'],
        [8, 'unitNumber', '', 'is blank'],
      ]),
    );
    expect(await unitNumbers()).toEqual(['R-114']);
    const dry = await send(file, '?partial=true&dryRun=true');
    expect(dry.body).toMatchObject({ dryRun: true, accepted: 2, rejected: 4 });
    expect(await unitNumbers()).toEqual(['R-114']);
    const kept = await send(file, '?partial=true');
    expect(kept.status).toBe(200);
    expect(kept.body).toMatchObject({ dryRun: false, accepted: 2, rejected: 4 });
    expect(await unitNumbers()).toEqual(['A-1', 'A-3', 'R-114']);
    const { body } = await fleet.manager.get('/v1/vehicles?unitNumber=A-3');
    // What is mounted without a depot of its own is where its carrier is.
    expect(body.items[0].depotId).toBe(scenario.depotId);
  });

  it('have their VINs checked, also against the file and the fleet', async () => {
    await send('unitNumber,vin\nV-1,11111111111111111\n');
    const answer = await send(
      'unit,vin\nV-2,11111111111111111\nV-3,1M8GDM9AXKP042788\nV-4,1M8GDM9AXKP042788\nV-5,1M8GDM9A1KP042788\n',
    );
    expect(answer.body.errors.map(({ line, column, detail }: any) => [line, column, detail])).toEqual([
      [2, 'vin', 'is taken by another vehicle, V-1'],
      [4, 'vin', 'is on line 3 already, and here on line 4'],
      // 1M8GDM9A_KP042788 has the check digit X: the example of 49 CFR 565 as it is commonly
      // printed; from memory, checked by the table.
      [5, 'vin', expect.stringContaining('where the others ask for X')],
    ]);
  });

  it('can be mounted on a carrier further down in the file', async () => {
    const answer = await send('unitNumber,mountedOn,depot\nAUX,CAR,\nCAR,,Ridge\n');
    expect(answer.body).toMatchObject({ rows: 2, accepted: 2 });
    const { body } = await fleet.manager.get('/v1/vehicles?unitNumber=CAR');
    const unit = await fleet.manager.get('/v1/vehicles?unitNumber=AUX');
    expect(unit.body.items[0]).toMatchObject({ mountedOn: body.items[0].id, depotId: scenario.depotId });
  });

  it('are for managers, and only as CSV', async () => {
    expect((await fleet.mechanic.send('POST', '/v1/vehicles/import', 'unitNumber\nX\n', CSV)).status).toBe(
      403,
    );
    const json = await fleet.manager.post('/v1/vehicles/import', { unitNumber: 'X' });
    expect(json.status).toBe(415);
    expect(json.body.detail).toContain('Content-Type: text/csv');
    expect((await fleet.manager.send('POST', '/v1/vehicles/import', undefined)).status).toBe(415);
    const elsewhere = await fleet.manager.send('POST', '/v1/depots', 'name\nX\n', CSV);
    expect(elsewhere.status).toBe(415);
    expect((await send('unitNumber\nX\n', '?dryrun=true')).status).toBe(400);
  });

  it('give the first answer to the same file with one key', async () => {
    const key = { ...CSV, 'idempotency-key': 'first-day' };
    const file = 'unitNumber\nK-1\n';
    const first = await fleet.manager.send('POST', '/v1/vehicles/import', file, key);
    const again = await fleet.manager.send('POST', '/v1/vehicles/import', file, key);
    expect(first.body.accepted).toBe(1);
    expect(again.body).toEqual(first.body);
    const other = await fleet.manager.send('POST', '/v1/vehicles/import', 'unitNumber\nK-2\n', key);
    expect(other.status).toBe(422);
  });
});
