import { postScenario } from '../../support/scenario.js';
import { type Answer, type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

describe('usage readings from a spreadsheet', () => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService();
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    fleet = await service.newFleet({ units: 'us' });
    await postScenario(fleet);
  });

  const send = (file: string | Buffer, query = ''): Promise<Answer> =>
    fleet.manager.send('POST', `/v1/usage-readings/import${query}`, file, { 'content-type': 'text/csv' });

  it("read times by the fleet's clock or with an offset, and a date alone as its noon", async () => {
    const answer = await send(
      [
        'readAt,unit,odometer,engineHours',
        '2026-01-05,R-114,60000,2000',
        '2026-01-06 7:30,R-114,60040,',
        '2026-01-07T07:30:00+01:00,R-114,60080,2006.5',
      ].join('\n'),
    );
    expect(answer.body).toMatchObject({ rows: 3, accepted: 3, held: 0, rejected: 0 });
    const { body } = await fleet.manager.get('/v1/usage-readings?status=accepted');
    // Denver is seven hours behind UTC in January.
    expect(body.items.map((item: any) => [item.readAt, item.odometer.value])).toEqual([
      ['2026-01-07T06:30:00.000Z', 60080],
      ['2026-01-06T14:30:00.000Z', 60040],
      ['2026-01-05T19:00:00.000Z', 60000],
    ]);
    expect(body.items[0].source).toBe('manual');
  });

  it('count known ones as duplicates, and hold implausible ones', async () => {
    const file =
      'unit;readAt;odometer (km)\nR-114;2026-01-05;96.560 km\nR-114;2026-01-05;96560,6\nR-114;2026-02-05;98000,25\n';
    const refused = await send(file);
    expect(refused.status).toBe(422);
    expect(inText(refused.body.errors)).toEqual([
      expect.objectContaining({ line: 2, column: 'odometer (km)', value: '96.560 km' }),
    ]);
    expect((await send(file, '?partial=true')).body).toMatchObject({
      accepted: 2,
      duplicate: 0,
      rejected: 1,
    });
    const again = await send(`${file}R-114;2026-03-05;90000\n`, '?partial=true');
    expect(again.body).toMatchObject({ rows: 4, accepted: 0, duplicate: 2, held: 1, rejected: 1 });
    expect(inText(again.body.notices)).toEqual([
      { line: 5, detail: expect.stringContaining('is kept but not counted') },
    ]);
    const { body } = await fleet.manager.get('/v1/usage-readings?status=accepted&units=si');
    expect(body.items.map((item: any) => item.odometer.value)).toEqual([98000.25, 96560.6]);
  });

  it('name unknown vehicles and invalid times and counters, in the words of the batch', async () => {
    const answer = await send(
      [
        'unit,readAt,odometer,source,odometerReplaced',
        'X-9,2026-01-05,1,,',
        'R-114,4/2/2026,1,,',
        'R-114,2026-03-08 02:30,1,,',
        'R-114,2026-01-05,,,',
        'R-114,2026-01-05,-5,,',
        'R-114,2026-01-05,5,radio,',
        'R-114,2026-01-05,5,Fuel Card,perhaps',
        ',2026-01-05,5,,',
      ].join('\n'),
    );
    const faults = answer.body.errors.map(({ line, column, detail }: any) => [line, column, detail]);
    expect(faults).toEqual([
      [2, 'unit', '"X-9" is no vehicle of this fleet'],
      [3, 'readAt', expect.stringContaining('day and month cannot be told apart')],
      // The clock is put forward at two on 8 March 2026 in Denver (tz database).
      [4, 'readAt', expect.stringContaining('America/Denver does not have on that day')],
      [5, 'odometer', 'is missing; give odometer, engineHours or both'],
      [6, 'odometer', expect.stringContaining('is -5 mi; it must be from 0 mi to')],
      [7, 'source', 'is not a known source. Known are dash, telematics, fuel-card, job and manual'],
      [8, 'odometerReplaced', 'is "perhaps"; true or false is needed'],
      [9, 'unit', 'is missing; give vehicleId or unitNumber'],
    ]);
    expect(answer.body).toMatchObject({ rows: 8, rejected: 8 });
  });
});
