import { type Answer, type FleetHandle, type Service, startService } from '../../support/service.js';
import { packed, sheetXml, workbook } from '../../support/workbooks.js';

const XLSX = { 'content-type': 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet' };
const CSV = { 'content-type': 'text/csv' };

let service: Service;
let fleet: FleetHandle;

beforeAll(async () => {
  service = await startService({ at: '2026-04-02T15:00:00Z' });
});
beforeEach(async () => {
  fleet = await service.newFleet({ units: 'us' });
});
afterAll(() => service.stop());

const upload = (file: string | Buffer, type: Record<string, string> = CSV, query = ''): Promise<Answer> =>
  fleet.manager.send('POST', `/v1/spreadsheets${query}`, file, type);
const change = (id: string, body: object): Promise<Answer> =>
  fleet.manager.patch(`/v1/spreadsheets/${id}/mapping`, body);
const act = (id: string, what: string): Promise<Answer> =>
  fleet.manager.post(`/v1/spreadsheets/${id}/${what}`);
const answer = (question: string, option: string, values?: object[]) => ({ question, option, values });
const fieldsOf = (body: any): Record<string, string | null> =>
  Object.fromEntries(body.columns.map((column: any) => [column.header, column.field]));
const openIn = (body: any): string[] =>
  body.questions.filter((one: any) => one.isRequired && one.answer === null).map((one: any) => one.id);

/** A list as a county keeps it: titles, merged yards, days, a total. */
const countyBook = () =>
  workbook({
    Fleet: sheetXml(
      [
        ['County of Example', null, null],
        ['Fleet list 2026'],
        null,
        ['Unit #', 'Yard', 'Make', 'Year', 'VIN', 'In service'],
        ['CX-038', 'North Yard', 'Alder', 2019, '1M8GDM9AXKP042788', { day: 43_831 }],
        ['CX 039', null, 'Alder', 2019, null, { day: 43_832 }],
        [
          'CX-040',
          'South Yard',
          'Birch',
          { xml: '<c r="D7"><f>WEBSERVICE("http://x")</f><v>2020</v></c>' },
          null,
          null,
        ],
        ['Total', null, null, null, null, null],
      ],
      '<mergeCells><mergeCell ref="A1:F1"/><mergeCell ref="B5:B6"/></mergeCells>',
    ),
    Notes: sheetXml([['x']]),
  });

it('a workbook is understood, asked about once, tried out and taken, and can be undone', async () => {
  const sent = await upload(await countyBook(), XLSX, '?fileName=county.xlsx');
  expect(sent.status).toBe(201);
  expect(sent.body).toMatchObject({
    ...{
      state: 'asking',
      kind: 'vehicles',
      sheet: 'Fleet',
      headerRow: 4,
      rows: 3,
      oddRows: 1,
      format: 'xlsx',
    },
    ...{ fileName: 'county.xlsx', keptUntil: '2026-04-09T15:00:00.000Z' },
  });
  expect(fieldsOf(sent.body)).toEqual({
    ...{ 'Unit #': 'unitNumber', Yard: 'depot', Make: 'make', Year: 'modelYear', VIN: 'vin' },
    'In service': 'inServiceOn',
  });
  expect(openIn(sent.body)).toEqual(['names:depot']);
  expect(sent.body.columns[5].samples[0]).toMatchObject({ row: 5, value: '2020-01-01', read: '2020-01-01' });
  const { id } = sent.body;
  const early = await act(id, 'take');
  expect([early.status, early.body.type]).toEqual([409, '/problems/questions-open']);
  const ready = await change(id, { answers: [answer('names:depot', 'make')] });
  expect([ready.status, ready.body.state]).toEqual([200, 'ready']);
  const tried = await act(id, 'dry-run');
  expect(tried.body).toMatchObject({ dryRun: true, rows: 3, accepted: 3, rejected: 0, importId: null });
  expect((await fleet.manager.get('/v1/vehicles')).body.items).toEqual([]);
  const taken = await act(id, 'take');
  expect([taken.status, taken.body]).toEqual([200, expect.objectContaining({ rows: 3, accepted: 3 })]);
  const { items } = (await fleet.manager.get('/v1/vehicles')).body;
  const depots = (await fleet.manager.get('/v1/depots')).body.items;
  expect(depots.map((depot: any) => depot.name)).toEqual(['North Yard', 'South Yard']);
  expect(items.map((one: any) => [one.unitNumber, one.modelYear, one.depotId])).toEqual([
    ['CX 039', 2019, depots[0].id],
    ['CX-038', 2019, depots[0].id],
    ['CX-040', 2020, depots[1].id],
  ]);
  expect((await act(id, 'take')).body.type).toBe('/problems/spreadsheet-rows-gone');
  const undone = await fleet.manager.post(`/v1/imports/${taken.body.importId}/undo`);
  expect([undone.status, undone.body.undone.vehicles, undone.body.fileName]).toEqual([200, 3, 'county.xlsx']);
});

it('a mapping is kept for the next file with the same columns, and the answer says so', async () => {
  const file = (unit: string) => `Veh;Patio;Kilometraje\n${unit};Oeste;1\n`;
  const first = await upload(file('A-1'), CSV, '?kind=vehicles');
  await change(first.body.id, { answers: [answer('names:depot', 'leave-empty')] });
  expect((await act(first.body.id, 'take')).status).toBe(200);
  const next = await upload(file('A-2'));
  expect(next.body.mappingFrom).not.toBeNull();
  expect([next.body.state, next.body.kind]).toEqual(['ready', 'vehicles']);
  expect((await act(next.body.id, 'take')).body.accepted).toBe(1);
});

it('numbers and days that can be read two ways are asked about, column by column', async () => {
  await fleet.manager.post('/v1/vehicles', { unitNumber: 'R-1' });
  const sent = await upload('Unit,Date,Odo\nR-1,3/4/2025,"81,370"\n');
  expect([sent.body.kind, openIn(sent.body)]).toEqual(['usage-readings', ['date-order:B', 'decimal:C']]);
  const [order] = sent.body.questions.filter((one: any) => one.id === 'date-order:B');
  expect(order.options.map((one: any) => one.text.text)).toEqual([
    'The day: 3/4/2025 is 2025-04-03',
    'The month: 3/4/2025 is 2025-03-04',
  ]);
  const { id } = sent.body;
  const done = await change(id, {
    answers: [answer('date-order:B', 'month-first'), answer('decimal:C', 'point'), answer('unit:C', 'km')],
  });
  expect(done.body.columns[2]).toMatchObject({ unit: 'km', decimal: 'point', samples: [{ read: '81370' }] });
  expect((await act(id, 'take')).body).toMatchObject({ accepted: 1, rejected: 0 });
  const { items } = (await fleet.manager.get('/v1/usage-readings?status=accepted&units=si')).body;
  expect([items[0].odometer.value, items[0].readAt.slice(0, 10)]).toEqual([81_370, '2025-03-04']);
});

it('unit numbers that are almost the same are asked about, and neither merged nor doubled', async () => {
  await fleet.manager.post('/v1/vehicles', { unitNumber: 'CX-038' });
  const file =
    'Unit No.,Mileage (mi),Date\ncx-038,100,2026-01-01\nCX 038,200,2026-02-01\nZZ-1,5,2026-02-01\n';
  const sent = await upload(file);
  expect(openIn(sent.body)).toEqual(['units:alike']);
  const [alike] = sent.body.questions;
  expect(alike.values).toEqual([
    { given: 'cx-038', rows: 1, use: 'CX-038', nearest: 'CX-038' },
    { given: 'CX 038', rows: 1, use: 'CX-038', nearest: 'CX-038' },
  ]);
  await change(sent.body.id, { answers: [answer('units:alike', 'same')] });
  const tried = await act(sent.body.id, 'dry-run?partial=true');
  expect(tried.body).toMatchObject({ rows: 3, accepted: 2, rejected: 1 });
  expect(tried.body.errors[0]).toMatchObject({ line: 4, column: 'Unit No.', value: 'ZZ-1' });
  const other = await change(sent.body.id, { answers: [answer('units:alike', 'different')] });
  expect(other.body.questions[0].values[0]).toMatchObject({ use: 'cx-038', nearest: 'CX-038' });
  expect((await act(sent.body.id, 'dry-run?partial=true')).body).toMatchObject({ accepted: 0, rejected: 3 });
});

it('past work is taken with the words of the yard, once they are confirmed', async () => {
  await fleet.manager.post('/v1/vehicles', { unitNumber: 'R-1' });
  const sent = await upload('Unidad|Componente|Trabajo|Fecha\nR-1|Bomba de agua|Cambio|14.03.2021\n');
  expect([sent.body.kind, openIn(sent.body)]).toEqual(['job-reports', ['words:component', 'words:action']]);
  const answers = ['component', 'action'].map((field) => answer(`words:${field}`, 'as-proposed'));
  await change(sent.body.id, { answers });
  expect((await act(sent.body.id, 'take')).body).toMatchObject({ accepted: 1, rejected: 0 });
});

describe('the rows that would be refused', () => {
  const refusedOf = (id: string, headers = {}) =>
    fleet.manager.send('GET', `/v1/spreadsheets/${id}/refused-rows.csv`, undefined, headers);

  /** 120 rows, of which 118 are about vehicles that nobody knows. */
  async function sendOdometers(): Promise<string> {
    for (const unitNumber of ['R-1', 'R-2']) await fleet.manager.post('/v1/vehicles', { unitNumber });
    const strangers = Array.from({ length: 117 }, (_, at) => `X-${at},5,2026-01-01,`);
    const file = [
      'Unit,Odo,Date,Note',
      'R-1,5,2026-01-01,',
      ...strangers,
      '=1+1,5,2026-01-01,"a, b"',
      'R-2,7,2026-01-01,',
    ];
    const sent = await upload(file.join('\n'));
    return sent.body.id;
  }

  it('are all given as a file, with their cells, row and reason, and no formula', async () => {
    const id = await sendOdometers();
    const { status, headers, body } = await refusedOf(id);
    const lines = String(body).trimEnd().split('\r\n');
    expect([status, headers.get('content-type'), lines.length]).toEqual([
      ...[200, expect.stringMatching(/^text\/csv/), 119],
    ]);
    expect(lines[0]).toBe('Unit,Odo,Date,Note,Row of the file,Why it was refused');
    const errors = (await act(id, 'dry-run?partial=true')).body.errors;
    // RFC 4180: a cell with quotes is quoted, and its quotes are doubled.
    const why = errors[0].detail.replaceAll('"', '""');
    expect(lines[1]).toBe(`X-0,5,2026-01-01,,3,"Unit: ${why}"`);
    expect(lines[118]).toMatch(/^'=1\+1,5,2026-01-01,"a, b",120,"Unit: /);
    const [spanish] = String((await refusedOf(id, { 'accept-language': 'es' })).body).split('\r\n');
    expect(spanish).toBe('Unit,Odo,Date,Note,Fila del archivo,Por qué se rechazó');
    expect((await fleet.manager.get('/v1/imports')).body.items).toEqual([]);
  });

  it('are still there after the good rows were taken, if the rows are kept', async () => {
    const id = await sendOdometers();
    expect((await act(id, 'take?partial=true&keep=true')).body).toMatchObject({ accepted: 2, rejected: 118 });
    expect(
      String((await refusedOf(id)).body)
        .trimEnd()
        .split('\r\n'),
    ).toHaveLength(119);
    expect((await act(id, 'take?partial=true')).body).toMatchObject({ accepted: 0, duplicate: 2 });
    expect((await refusedOf(id)).body.type).toBe('/problems/spreadsheet-rows-gone');
  });

  it('are not given while a question is open, nor to another fleet', async () => {
    const sent = await upload('Unit,Yard\nA-1,North\n');
    expect((await refusedOf(sent.body.id)).body.type).toBe('/problems/questions-open');
    const other = await service.newFleet();
    expect((await other.manager.get(`/v1/spreadsheets/${sent.body.id}/refused-rows.csv`)).status).toBe(404);
  });
});

it('refuses what is no field, column, option or question, and says what there is', async () => {
  const { id } = (await upload('Unit,Odo\nA-1,5\n', CSV, '?kind=vehicles')).body;
  for (const [body, pointer, told] of [
    [{ columns: [{ column: 'C', field: 'make' }] }, '/columns/0/column', 'its last is B'],
    [{ columns: [{ column: 'B', field: 'colour' }] }, '/columns/0/field', 'unitNumber'],
    [{ answers: [answer('kind', 'boats')] }, '/answers/0/option', 'usage-readings'],
    [{ answers: [answer('colour', 'red')] }, '/answers/0/question', 'no such question'],
    [{ sheet: 'Other' }, '/sheet', 'it has 1'],
    [{ headerRow: 900 }, '/headerRow', 'holds nothing'],
  ] as const) {
    const { status, body: said } = await change(id, body);
    expect([status, said.errors?.[0]?.pointer]).toEqual([422, pointer]);
    expect(said.errors[0].detail).toContain(told);
  }
});

it.each([
  ['nothing', Buffer.alloc(0), /empty/],
  ['an old workbook', Buffer.from('d0cf11e0a1b11ae1', 'hex'), /old form/],
  ['a page', Buffer.from('<html><table><tr><td>Unit</td></tr></table></html>'), /web page/],
  ['a torn workbook', Buffer.from('504b0304ffffffffff', 'hex'), /damaged/],
  [
    'bytes',
    Buffer.concat([Buffer.from('abc'), Buffer.alloc(3), Buffer.from([255, 254, 1, 2, 3, 4, 5, 6, 7])]),
    /./,
  ],
])('refuses %s', async (_what, file, why) => {
  const { status, body } = await upload(file);
  expect(status).toBe(422);
  expect(body.detail).toMatch(why);
});

it('refuses workbooks that unpack too far, reach too far right, or are none', async () => {
  const bomb = await workbook({ A: sheetXml([['Unit']], ' '.repeat(30_000_000)) });
  const wide = await workbook({
    A: '<worksheet><sheetData><row><c r="XFD1"><v>1</v></c></row></sheetData></worksheet>',
  });
  const doctype = await workbook({ A: '<!DOCTYPE a [<!ENTITY b "c">]><worksheet>&b;</worksheet>' });
  for (const [file, why] of [
    [bomb, /unpacks/],
    [wide, /to the right/],
    [doctype, /damaged/],
    [await packed({ 'a.txt': 'x' }), /no \.xlsx/],
  ] as const) {
    const { status, body } = await upload(file, XLSX);
    expect([status, body.detail]).toEqual([422, expect.stringMatching(why)]);
  }
});

it('says which types it takes, and is for managers alone', async () => {
  const wrong = await upload('{}', { 'content-type': 'application/xml' });
  expect([wrong.status, wrong.body.detail]).toEqual([415, expect.stringContaining('text/csv')]);
  expect((await fleet.mechanic.send('POST', '/v1/spreadsheets', 'unit\nA', CSV)).status).toBe(403);
  const { id } = (await upload('unit\nA\n')).body;
  const other = await service.newFleet();
  expect((await other.manager.get(`/v1/spreadsheets/${id}`)).status).toBe(404);
  expect((await other.manager.delete(`/v1/spreadsheets/${id}`)).status).toBe(404);
  expect((await fleet.manager.delete(`/v1/spreadsheets/${id}`)).status).toBe(204);
});

it('takes a file from a form with its name, and speaks Spanish', async () => {
  const form = (name: string) =>
    `--b\r\ncontent-disposition: form-data; name="file"; filename="${name}"\r\ncontent-type: text/csv\r\n\r\nUnidad,Patio\nA,Norte\n\r\n--b--\r\n`;
  const { status, body } = await upload(form('lista.csv'), {
    ...{ 'content-type': 'multipart/form-data; boundary=b', 'accept-language': 'es' },
  });
  expect([status, body.fileName, body.kindLabel.text]).toEqual([201, 'lista.csv', 'Vehículos']);
  expect(body.questions[0].text.text).toBe('1 nombre del archivo no es un patio de la flota. ¿Qué se hace?');
});

it('is removed after seven days, and at most twenty wait', async () => {
  const { id } = (await upload('unit\nA\n')).body;
  for (let count = 1; count < 20; count++) expect((await upload(`unit\nA${count}\n`)).status).toBe(201);
  const full = await upload('unit\nZ\n');
  expect([full.status, full.body.type, full.body.limit]).toEqual([409, '/problems/spreadsheets-full', 20]);
  service.clock.moveDays(7);
  expect((await fleet.manager.get(`/v1/spreadsheets/${id}`)).status).toBe(404);
  expect((await upload('unit\nZ\n')).status).toBe(201);
});
