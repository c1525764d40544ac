import { postScenario, type Scenario } from '../../support/scenario.js';
import { type Answer, type FleetHandle, type Service, startService } from '../../support/service.js';

const CSV = { 'content-type': 'text/csv' };

describe('lists as spreadsheets', () => {
  let service: Service;

  beforeAll(async () => {
    service = await startService();
  });
  afterAll(() => service.stop());

  async function newFleet(units: 'us' | 'si'): Promise<{ fleet: FleetHandle; scenario: Scenario }> {
    const fleet = await service.newFleet({ units });
    return { fleet, scenario: await postScenario(fleet) };
  }
  const withoutIds = (csv: string): string => csv.replaceAll(/,[0-9a-f-]{36}\r\n/g, '\r\n');
  const importInto = (fleet: FleetHandle, csv: string | Buffer): Promise<Answer> =>
    fleet.manager.send('POST', '/v1/vehicles/import', csv, CSV);

  it.each(['us', 'si'] as const)(
    'export vehicles so that an import and a second export give the same (%s)',
    async (units) => {
      const { fleet, scenario } = await newFleet(units);
      const { depotId } = scenario;
      const texts = [
        '=1+1',
        "'=x",
        '-',
        '+49 1',
        '@a',
        'a,b "c"',
        'line\r\nbreak',
        'Šedý 🚚',
        ' lead',
        "'quote",
        '1;2',
        '00123',
      ];
      for (const [index, text] of texts.entries()) {
        const body = { unitNumber: text, make: text, model: `\t${text}`, modelYear: 1990 + index, depotId };
        const answer = await fleet.manager.post('/v1/vehicles', {
          ...body,
          inServiceOdometer: { value: 12345.678901 * (index + 1), unit: 'mi' },
          expectedDailyDistance: { value: 1 / 3, unit: 'km' },
          designLowTemperature: { value: index * 1.7 - 20, unit: 'F' },
          inUseMonths: index % 2 ? [4, 5, 11] : null,
        });
        expect(answer.status).toBe(201);
      }
      await fleet.manager.post('/v1/vehicles', {
        unitNumber: '0 AUX',
        mountedOn: scenario.vehicleId,
        vin: '11111111111111111',
        inServiceOn: '2020-02-29',
        status: 'laid-up',
      });
      const written = await fleet.dashboard.get('/v1/vehicles.csv');
      expect(written.status).toBe(200);
      expect(written.headers.get('content-type')).toMatch(/^text\/csv; charset=utf-8/);
      expect(written.headers.get('content-disposition')).toBe('attachment; filename="vehicles.csv"');
      const csv: string = written.body;
      expect(csv).toContain(`inServiceOdometer (${units === 'us' ? 'mi' : 'km'})`);
      for (const line of csv.split('\r\n')) expect(line).not.toMatch(/(^|,)"?[=+@\t]/);

      const other = await service.newFleet({ units });
      await postScenario(other);
      const {
        body: {
          items: [own],
        },
      } = await other.manager.get('/v1/vehicles');
      expect((await other.manager.delete(`/v1/vehicles/${own.id}`)).status).toBe(204);
      const taken = await importInto(other, csv);
      expect(taken.body).toMatchObject({ rows: texts.length + 2, accepted: texts.length + 2, rejected: 0 });
      expect(withoutIds((await other.manager.get('/v1/vehicles.csv')).body)).toBe(withoutIds(csv));
      // And into the fleet it came from it brings nothing new.
      expect((await importInto(fleet, csv)).body).toMatchObject({ accepted: 0, duplicate: texts.length + 2 });
      const inOthers = (
        await fleet.manager.get(`/v1/vehicles.csv?units=${units === 'us' ? 'si' : 'us'}&bom=true`)
      ).body;
      expect((await importInto(other, inOthers)).body).toMatchObject({
        accepted: 0,
        duplicate: texts.length + 2,
      });
    },
  );

  it('accept the filters of the list and an optional byte order mark, and are for every reader', async () => {
    const { fleet } = await newFleet('us');
    await fleet.manager.post('/v1/vehicles', { unitNumber: 'Z-1', status: 'laid-up' });
    const { body } = await fleet.mechanic.get('/v1/vehicles.csv?status=laid-up');
    expect(body.split('\r\n').map((line: string) => line.split(',')[0])).toEqual(['unitNumber', 'Z-1', '']);
    const marked = await fetch(`${service.url}/v1/vehicles.csv?bom=true`, {
      headers: { authorization: `Bearer ${fleet.manager.token}` },
    });
    expect([...new Uint8Array(await marked.arrayBuffer()).subarray(0, 3)]).toEqual([0xef, 0xbb, 0xbf]);
    expect((await fleet.manager.get('/v1/vehicles.csv?limit=5')).status).toBe(400);
    expect((await fleet.manager.get('/v1/due-list.csv?units=furlongs')).status).toBe(400);
    expect((await service.client(null).get('/v1/due-list.csv')).status).toBe(401);
    const other = await service.newFleet();
    expect((await other.manager.get('/v1/vehicles.csv')).body.split('\r\n')).toHaveLength(2);
  });

  it('contain every line of the due list’s pages, in their order', async () => {
    const { fleet } = await newFleet('us');
    const rows = Array.from(
      { length: 1300 },
      (_, n) => `D-${n},Ridge,Light trucks,20${10 + (n % 15)}-0${1 + (n % 9)}-15`,
    );
    expect((await importInto(fleet, `unit,depot,plan,inServiceOn\n${rows.join('\n')}`)).body.accepted).toBe(
      1300,
    );
    const states = 'state=late,due,window,not-due,no-baseline';
    const ids: string[] = [];
    let first: any;
    for (let cursor = ''; ;) {
      const { body } = await fleet.manager.get(`/v1/due-list?${states}&limit=200${cursor}`);
      first ??= body.items[0];
      ids.push(...body.items.map((item: any) => item.id));
      if (body.next === null) break;
      cursor = `&cursor=${encodeURIComponent(body.next)}`;
    }
    const { body } = await fleet.manager.get(`/v1/due-list.csv?${states}`);
    const [header = '', ...lines] = body.trimEnd().split('\r\n');
    expect(lines.map((line: string) => line.split(',').at(-1))).toEqual(ids);
    const columns = header.split(',');
    const cells = lines[0].split(',');
    const cell = (name: string) => cells[columns.indexOf(name)];
    expect([
      cell('dueOn'),
      cell('state'),
      cell('unitNumber'),
      cell('component'),
      cell('remainingDays'),
    ]).toEqual([
      first.dueOn,
      first.state,
      first.vehicle.unitNumber,
      first.component,
      String(first.remaining.days),
    ]);
    expect(cell('depot')).toBe('Ridge');
    const all = (await fleet.manager.get(`/v1/due-list.csv?dueBefore=${first.dueOn}`)).body;
    // Exclusive: what is due on that day is not due before it.
    expect(all.trimEnd().split('\r\n')).toHaveLength(1);
  }, 240_000);
});
