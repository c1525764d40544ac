import { type Answer, type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

/** A file for each import, of rows with a date and an odometer. */
const IMPORTS = [
  {
    path: 'vehicles',
    header: 'unitNumber;inServiceOn;inServiceOdometer',
    row: (n: number, date: string, odometer: string) => `N-${n};${date};${odometer}`,
    columns: { date: 'inServiceOn', odometer: 'inServiceOdometer' },
  },
  {
    path: 'usage-readings',
    header: 'unit;readAt;odometer',
    row: (n: number, date: string, odometer: string) => `W-${n};${date};${odometer}`,
    columns: { date: 'readAt', odometer: 'odometer' },
  },
  {
    path: 'job-reports',
    header: 'unit;component;action;date;odometer',
    row: (n: number, date: string, odometer: string) => `W-${n};coolant;replace;${date};${odometer}`,
    columns: { date: 'date', odometer: 'odometer' },
  },
] as const;

describe.each(IMPORTS)('a file for $path', ({ path, header, row, columns }) => {
  let service: Service;
  let fleet: FleetHandle;

  beforeAll(async () => {
    service = await startService({ at: '2026-04-02T15:00:00Z' });
  });
  afterAll(() => service.stop());
  beforeEach(async () => {
    fleet = await service.newFleet({ units: 'us' });
    // Each row is of a vehicle of its own, whose counters no other bears out or contradicts.
    for (const unitNumber of ['W-1', 'W-2', 'W-3']) await fleet.manager.post('/v1/vehicles', { unitNumber });
  });

  const send = (rows: string[], query = '', delimiter = ';'): Promise<Answer> =>
    fleet.manager.send(
      'POST',
      `/v1/${path}/import${query}`,
      [header, ...rows].join('\n').replaceAll(';', delimiter),
      { 'content-type': 'text/csv' },
    );
  /** The odometers that were stored, in miles. */
  const stored = async (): Promise<number[]> => {
    const list = {
      vehicles: '/v1/vehicles',
      'usage-readings': '/v1/usage-readings?status=accepted',
      'job-reports': '/v1/job-reports',
    };
    const { body } = await fleet.manager.get(list[path]);
    return body.items
      .flatMap((item: any) => (path === 'vehicles' ? item.inServiceOdometer : item.odometer) ?? [])
      .map(({ value }: any) => value)
      .sort((a: number, b: number) => a - b);
  };

  it.each([';', '\t'])(
    'is refused row by row if a number could be read two ways and nothing decides ("%s")',
    async (delimiter) => {
      const rows = [
        row(1, '2026-01-05', '81,370'),
        row(2, '2026-02-05', '82,500'),
        row(3, '2026-03-05', '83000'),
      ];
      const { status, body } = await send(rows, '', delimiter);
      expect(status).toBe(422);
      expect(inText(body.errors)).toEqual([
        {
          ...{ line: 2, column: columns.odometer, value: '81,370' },
          detail: expect.stringMatching(
            /81370 \(thousands comma\) or 81.37 \(decimal comma\).*\?decimal=point/,
          ),
        },
        expect.objectContaining({ line: 3, value: '82,500' }),
      ]);
      expect(body.reading.decimal).toEqual({ value: null, decidedBy: null, cell: null });
      expect(body.importId).toBeNull();
      expect(await stored()).toEqual([]);
      expect((await fleet.manager.get('/v1/imports')).body.items).toEqual([]);
    },
  );

  it('with commas between cells is also refused if a point could separate thousands', async () => {
    const { status, body } = await send([row(1, '2026-01-05', '81.370')], '', ',');
    expect([status, body.errors[0].detail]).toEqual([
      422,
      expect.stringContaining('81370 (thousands point) or 81.37'),
    ]);
  });

  it.each([
    ['81,370.5', 'point', [81370, 81370.5]],
    ['1,081,370', 'point', [81370, 1081370]],
    ['81371,50', 'comma', [81.37, 81371.5]],
    ['81.371,5', 'comma', [81.37, 81371.5]],
  ])('is read by its one cell %s, wherever it is: with a decimal %s', async (sure, mark, values) => {
    const rows = [row(1, '2026-01-05', '81,370'), row(2, '2026-01-04', sure)];
    for (const [index, order] of [rows, rows.toReversed()].entries()) {
      const { status, body } = await send(order, '?dryRun=true');
      expect([status, body.rejected]).toEqual([200, 0]);
      expect(body.reading.decimal).toEqual({
        ...{ value: mark, decidedBy: 'cell' },
        cell: { line: index === 0 ? 3 : 2, column: columns.odometer, value: sure },
      });
    }
    expect((await send(rows)).body.accepted).toBe(2);
    expect(await stored()).toEqual(values);
  });

  it('is read as the request says, and cells that do not fit are refused', async () => {
    const rows = [row(1, '2026-01-05', '81,370'), row(2, '2026-01-04', '81.369,5')];
    const { body } = await send(rows, '?decimal=point&partial=true');
    expect(body).toMatchObject({ accepted: 1, rejected: 1 });
    expect(inText(body.errors)).toEqual([
      {
        line: 3,
        column: columns.odometer,
        value: '81.369,5',
        detail: expect.stringContaining('not a number with a decimal point'),
      },
    ]);
    expect(body.reading.decimal).toEqual({ value: 'point', decidedBy: 'request', cell: null });
    expect(await stored()).toEqual([81370]);
    const wrong = await send(rows, '?decimal=semicolon');
    expect([wrong.status, wrong.body.errors[0].parameter]).toEqual([400, 'decimal']);
  });

  it('that contradicts itself is refused as a whole, with both cells', async () => {
    const rows = [
      row(1, '2026-01-05', '81370'),
      row(2, '2026-01-04', '81,369.5'),
      row(3, '2026-01-03', '81.368,5'),
    ];
    const { status, body } = await send(rows, '?partial=true');
    expect(status).toBe(422);
    expect(body.detail).toMatch(/contradicts itself.*"81,369.5" \(line 3.*"81.368,5" \(line 4.*decimal=/);
    expect(inText(body.errors)).toEqual([
      {
        line: 3,
        column: columns.odometer,
        value: '81,369.5',
        detail: 'can be read only with a decimal point',
      },
      {
        line: 4,
        column: columns.odometer,
        value: '81.368,5',
        detail: 'can be read only with a decimal comma',
      },
    ]);
    expect(await stored()).toEqual([]);
  });

  it('has its dates read by the same rule', async () => {
    const doubtful = [row(1, '3/4/2021', '81370')];
    const asked = await send(doubtful);
    expect(asked.status).toBe(422);
    expect(inText(asked.body.errors)).toEqual([
      {
        ...{ line: 2, column: columns.date, value: '3/4/2021' },
        detail: expect.stringMatching(
          /2021-04-03 with the day first, 2021-03-04 with the month first.*dateOrder=/,
        ),
      },
    ]);
    const decided = await send([...doubtful, row(2, '3/14/2021', '81400')], '?dryRun=true');
    expect([decided.status, decided.body.accepted]).toEqual([200, 2]);
    expect(decided.body.reading.dateOrder).toEqual({
      ...{ value: 'month-first', decidedBy: 'cell' },
      cell: { line: 3, column: columns.date, value: '3/14/2021' },
    });
    const both = await send([...doubtful, row(2, '3/14/2021', '81400'), row(3, '15.3.2021', '81500')]);
    expect(both.status).toBe(422);
    expect(both.body.errors.map(({ value, detail }: any) => [value, detail])).toEqual([
      ['3/14/2021', 'can be read only with the month first'],
      ['15.3.2021', 'can be read only with the day first'],
    ]);
    const said = await send(doubtful, '?dateOrder=day-first');
    expect([said.status, said.body.reading.dateOrder.value]).toEqual([200, 'day-first']);
    expect(await stored()).toEqual([81370]);
  });

  it('is refused if a comma may have split a number between cells', async () => {
    const { status, body } = await fleet.manager.send(
      'POST',
      '/v1/vehicles/import',
      'unitNumber,inServiceOdometer,modelYear\nN-1,81,370,\n',
      { 'content-type': 'text/csv' },
    );
    expect([status, inText(body.errors)]).toEqual([
      422,
      [
        {
          line: 2,
          column: 'inServiceOdometer',
          detail: expect.stringContaining('"81,370" may be one number'),
        },
      ],
    ]);
  });
});
