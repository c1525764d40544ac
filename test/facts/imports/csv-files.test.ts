import { postScenario } from '../../support/scenario.js';
import { type Answer, type FleetHandle, type Service, startService } from '../../support/service.js';
import { inText } from '../../support/told.js';

/** A file that each import takes: header, and rows that differ by a number. */
const IMPORTS = [
  { path: 'vehicles', header: 'unitNumber,make,modelYear', row: (n: number) => `N-${n},Alder,2020` },
  {
    path: 'usage-readings',
    header: 'unit,readAt,odometer',
    row: (n: number) => `R-114,2026-01-${String(n).padStart(2, '0')},${60000 + n}`,
  },
  {
    path: 'job-reports',
    header: 'unit,component,action,date',
    row: (n: number) => `R-114,coolant,replace,2025-01-${String(n).padStart(2, '0')}`,
  },
] as const;

let service: Service;

beforeAll(async () => {
  service = await startService();
});
afterAll(() => service.stop());

describe.each(IMPORTS)('a file for $path', ({ path, header, row }) => {
  let fleet: FleetHandle;

  beforeAll(newFleet);

  /** Of which no file has been taken. */
  async function newFleet(): Promise<void> {
    fleet = await service.newFleet({ units: 'us' });
    await postScenario(fleet);
  }

  const send = (file: string | Buffer, query = ''): Promise<Answer> =>
    fleet.manager.send('POST', `/v1/${path}/import${query}`, file, { 'content-type': 'text/csv' });
  const good = [header, row(1), row(2), row(3)];
  const delimitedBy = (delimiter: string): string => good.join('\n').replaceAll(',', delimiter);

  it.each([
    ['CRLF', Buffer.from(`${good.join('\r\n')}\r\n`)],
    [
      'mixed line ends, blank lines and rows of empty cells',
      Buffer.from(`${good[0]}\r\n${good[1]}\r\r\n\n,,\n${good[2]}\r${good[3]}\n\n  \n,,\n\r\n`),
    ],
    ['no line end at its end', Buffer.from(good.join('\n'))],
    ['semicolons', Buffer.from(delimitedBy(';'))],
    ['tabs', Buffer.from(delimitedBy('\t'))],
    ['bars', Buffer.from(delimitedBy('|'))],
    ['a line that names its delimiter', Buffer.from(`sep=;\r\n${delimitedBy(';')}`)],
    ['a byte order mark', Buffer.from(`\uFEFF${good.join('\n')}`)],
    [
      'every cell quoted',
      Buffer.from(
        good
          .map((line) =>
            line
              .split(',')
              .map((cell) => `"${cell}"`)
              .join(','),
          )
          .join('\r\n'),
      ),
    ],
    ['separators after the last cell', Buffer.from(good.map((line) => `${line},,`).join('\n'))],
  ])('is accepted with %s', async (_what, file) => {
    await newFleet();
    const { status, body } = await send(file);
    expect([status, inText(body.errors)]).toEqual([200, []]);
    expect(body).toMatchObject({ rows: 3, accepted: 3, rejected: 0, reading: { encoding: 'utf-8' } });
  });

  const utf16 = (text: string): Buffer => Buffer.from(text, 'utf16le');

  it.each([
    ['with a mark', 'utf-16le', utf16(`\uFEFF${good.join('\n')}`), 'text/csv'],
    ['without one', 'utf-16le', utf16(good.join('\n')), 'text/csv'],
    ['as its charset says', 'utf-16le', utf16(good.join('\n')), 'text/csv; charset=UTF-16'],
    ['with the other order of bytes', 'utf-16be', utf16(`\uFEFF${good.join('\n')}`).swap16(), 'text/csv'],
    ['with the other order and no mark', 'utf-16be', utf16(good.join('\n')).swap16(), 'text/csv'],
  ])('is read in UTF-16 %s', async (_what, encoding, file, type) => {
    await newFleet();
    const { status, body } = await fleet.manager.send('POST', `/v1/${path}/import`, file, {
      'content-type': type,
    });
    expect([status, inText(body.errors)]).toEqual([200, []]);
    expect(body).toMatchObject({ rows: 3, accepted: 3, reading: { encoding } });
  });

  it.each([
    ['text/csv; charset=utf-16', 422, /is not UTF-16/],
    ['text/csv; charset="macintosh"', 415, /charset is macintosh; accepted are utf-8/],
    ['application/vnd.ms-excel', 415, /is application\/vnd\.ms-excel.*Content-Type: text\/csv/],
    ['application/octet-stream', 415, /is application\/octet-stream.*Content-Type: text\/csv/],
    ['text/plain', 415, /Content-Type: text\/csv/],
  ])('is refused as %s, with what is accepted', async (type, refusal, why) => {
    const { status, body } = await fleet.manager.send('POST', `/v1/${path}/import`, good.join('\n'), {
      'content-type': type,
    });
    expect([status, body.detail]).toEqual([refusal, expect.stringMatching(why)]);
  });

  it('is read in Windows-1252 when its charset says so', async () => {
    await newFleet();
    const { status, body } = await fleet.manager.send('POST', `/v1/${path}/import`, good.join('\n'), {
      'content-type': 'text/csv; charset=iso-8859-1',
    });
    expect([status, body.reading.encoding]).toEqual([200, 'windows-1252']);
  });

  it.each([
    ['nothing', Buffer.from(''), /is empty/],
    ['nothing but blank lines', Buffer.from('\r\n\n\n'), /is empty/],
    ['a header alone', Buffer.from(header), /no rows/],
    [
      'a quote that is never closed',
      Buffer.from(`${good[0]}\n${good[1]}\n"${good[2]}\n${good[3]}\n`),
      /line 3: .*never closed/,
    ],
    [
      'a cell of a million characters',
      Buffer.from(`${good.slice(0, 2).join('\n')}\n${'x'.repeat(1e6)},1\n`),
      /line 3: .*closing quote/,
    ],
    [
      'a header of a hundred thousand columns',
      Buffer.from(`${Array.from({ length: 100_000 }, (_, n) => n).join(',')}\n1\n`),
      /line 1: /,
    ],
    [
      'a header of three hundred columns',
      Buffer.from(`${header},${'x,'.repeat(300)}\n${row(1)}\n`),
      /line 1: .*at most 200/,
    ],
    [
      'a picture',
      Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a, 0, 0, 0, 13, 73, 72, 68, 82, 0xff, 0xfe]),
      /./,
    ],
    ['JSON', Buffer.from('{"readings": [{"unitNumber": "R-114"}]}'), /./],
    ['lone quotes', Buffer.from('"'), /line 1: /],
  ])('is refused with %s', async (_what, file, why) => {
    const { status, body } = await send(file, '?partial=true');
    expect(status).toBe(422);
    expect(body.detail).toMatch(why);
    expect(body.errors.length).toBeGreaterThan(0);
  });

  it('is refused row by row, with the line of the file, if cells are too few, too many or not text', async () => {
    await newFleet();
    const file = [
      `${header},remark`,
      `${row(1)},"two\r\nlines"`,
      row(2),
      `${row(3)},a,b`,
      `${row(4)},a\0b`.replace('-', '-\0'),
      `${row(5)},`,
    ].join('\n');
    const { status, body } = await send(file, '?partial=true');
    expect(status).toBe(200);
    expect(body).toMatchObject({ rows: 5, accepted: 2, rejected: 3 });
    const columns = header.split(',').length;
    expect(inText(body.errors)).toEqual([
      {
        line: 4,
        column: 'remark',
        detail: `the row has ${columns} cells where the header names ${columns + 1} columns`,
      },
      expect.objectContaining({ line: 5, detail: expect.stringContaining('not quoted') }),
      expect.objectContaining({ line: 6, detail: expect.stringContaining('is not text') }),
    ]);
    expect(inText(body.notices)).toEqual([
      { line: 1, column: 'remark', detail: 'is not known here and was left out' },
    ]);
  });

  it('gets an answer that names missing columns and misspelt names', async () => {
    const [first = '', ...rest] = header.split(',');
    const { status, body } = await send(`x${first},${rest.join(',')}\n${row(1)}\n`);
    expect(status).toBe(422);
    expect(body.errors.map(({ line, column }: any) => [line, column])).toEqual(
      expect.arrayContaining([[1, first === 'unit' && path === 'usage-readings' ? 'unitNumber' : first]]),
    );
  });

  it('shows the first hundred errors and counts them all', async () => {
    const bad = Array.from({ length: 700 }, () => `,${'bad,'.repeat(header.split(',').length - 2)}bad`);
    const { status, body } = await send([header, ...bad].join('\n'));
    expect(status).toBe(422);
    expect(body).toMatchObject({ rows: 700, rejected: 700 });
    expect(body.errors).toHaveLength(100);
    expect(body.errors.length + body.errorsLeftOut).toBeGreaterThanOrEqual(700);
    expect(body.errors[0].line).toBe(2);
    const lines = body.errors.map(({ line }: any) => line);
    expect(lines).toEqual(lines.toSorted((a: number, b: number) => a - b));
    expect(body.detail).toContain('700 of 700 rows cannot be taken');
  });

  it('may only be sent by a manager: others’ files are written nowhere, however large', async () => {
    const file = Buffer.alloc(33 * 1024 * 1024, 'x');
    const type = { 'content-type': 'text/csv' };
    const refused = await fleet.mechanic.send('POST', `/v1/${path}/import`, file, type);
    // Were it looked at first, it would be 413.
    expect([refused.status, refused.body.type]).toEqual([403, '/problems/wrong-role']);
  });

  it('is refused beyond 100,000 rows and beyond 32 MiB, and the next one is accepted', async () => {
    await newFleet();
    const tooMany = await send(`${header}\n${'x\n'.repeat(100_001)}`, '?partial=true');
    expect(tooMany.status).toBe(422);
    expect(inText(tooMany.body.errors)).toEqual([
      { line: 100_002, detail: 'The file holds more than 100,000 rows; send it in several files' },
    ]);
    const large = await send(Buffer.alloc(32 * 1024 * 1024 + 1, `${row(1)}\n`));
    expect(large.status).toBe(413);
    expect(large.body.detail).toContain('32 MiB');
    expect((await send(good.join('\n'))).status).toBe(200);
  }, 240_000);

  it('is read as Windows-1252 if it is not UTF-8, and the answer says so', async () => {
    await newFleet();
    // é is E9 in Windows-1252 (WHATWG Encoding Standard), which no UTF-8 text has before a letter.
    const file = Buffer.concat([
      Buffer.from(`${header},remark\n${row(1)},Caf`),
      Buffer.from([0xe9, 0x73]),
      Buffer.from('\n'),
    ]);
    const { status, body } = await send(file);
    expect(status).toBe(200);
    expect(body.reading.encoding).toBe('windows-1252');
    expect(body.notices[0].detail).toContain('Windows-1252');
  });
});

describe('a file of vehicles', () => {
  it('keeps its letters in either encoding, and formulas as text', async () => {
    const { manager } = await service.newFleet();
    const send = (file: Buffer): Promise<Answer> =>
      manager.send('POST', '/v1/vehicles/import', file, { 'content-type': 'text/csv' });
    await send(Buffer.from('unit,make\n1,Café\n', 'latin1'));
    await send(Buffer.from("unit,make\n2,Café\n3,=1+1\n4,'=1+1\n"));
    const { body } = await manager.get('/v1/vehicles');
    expect(body.items.map((item: any) => item.make)).toEqual(['Café', 'Café', '=1+1', '=1+1']);
  });

  it('does not wait for another: a second file meanwhile gets 409', async () => {
    const { manager } = await service.newFleet();
    const rows = (letter: string) =>
      `unit\n${Array.from({ length: 3000 }, (_, n) => `${letter}-${n}`).join('\n')}`;
    const answers = await Promise.all(
      ['A', 'B', 'C'].map((letter) =>
        manager.send('POST', '/v1/vehicles/import', rows(letter), { 'content-type': 'text/csv' }),
      ),
    );
    const statuses = answers.map(({ status }) => status);
    for (const status of statuses) expect([200, 409]).toContain(status);
    expect(statuses).toContain(409);
    const taken = statuses.filter((status) => status === 200).length;
    const refused = answers.find(({ status }) => status === 409);
    expect(refused?.headers.get('retry-after')).toBe('10');
    expect((await manager.get('/v1/vehicles.csv')).body.trimEnd().split('\r\n')).toHaveLength(
      1 + 3000 * taken,
    );
  });
});
